//! From a [`recording::Recording`] to a [`Flight`]: one even time base, every quantity with a 1-σ and
//! an origin. What a recorder cannot support stays `None`.

mod model;
pub use model::*;
