//! The maneuvers, flown well or with faults of any size. Each returns what was flown, the truth with it.

pub mod legs;
pub mod performance;
pub mod slow_flight;
pub mod stalls;
pub mod turns;
