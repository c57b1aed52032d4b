//! The physics a debrief stands on: units, the standard atmosphere, airspeeds, turns, wind, geodesy
//! and the magnetic field. Nothing here knows of recordings or maneuvers.
//!
//! Everything is SI and radians; names carry the unit last. Conversions to knots, feet and degrees
//! happen only where a file is read or a page is written, with the constants of [`units`].
//!
//! What runs once a sample is infallible and gives NaN outside its domain; what a person asks once
//! gives an [`AirError`] that says how to mend the question.

mod error;

pub mod airspeed;
pub mod atmosphere;
pub mod energy;
pub mod geodesy;
pub mod magnetic;
pub mod stall;
pub mod turn;
pub mod units;
pub mod wind;

pub use error::AirError;
