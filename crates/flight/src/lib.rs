//! From a [`recording::Recording`] to a [`Flight`]: one even time base, every quantity with a 1-σ and
//! an origin. What a recorder cannot support stays `None`.

mod airmass;
mod airspeed;
mod assemble;
mod attitude;
mod bias;
mod build;
mod faults;
pub mod flaps;
mod grid;
mod ground;
mod gust;
mod height;
mod horizontal;
mod lift;
mod matrix;
mod model;
mod normal;
mod power;
mod recorded;
mod rotation;
mod rts;
mod stats;
mod stretch;
mod turn;
mod updraft;
mod vertical;
mod wind;

pub use build::{build, build_timed};
pub use model::*;
