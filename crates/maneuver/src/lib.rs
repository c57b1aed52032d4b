//! From a [`flight::Flight`] to the maneuvers flown in it: kind, direction, phases, events, facts and
//! confidence.

mod model;
pub use model::*;
