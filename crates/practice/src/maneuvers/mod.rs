//! The maneuvers, flown well or with faults of any size. Each returns what was flown, the truth with it.

pub mod attitudes;
pub mod engine_out;
pub mod field;
pub mod go_around;
pub mod ground_reference;
pub mod instrument;
pub mod landing;
pub mod legs;
pub mod pattern;
pub mod performance;
pub mod power_off_180;
pub mod pylons;
pub mod slow_flight;
pub mod stalls;
pub mod takeoff;
pub mod turns;
