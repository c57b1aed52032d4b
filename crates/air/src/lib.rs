//! The physics a debrief stands on: units, the standard atmosphere, airspeeds, turns, wind, geodesy
//! and the magnetic field. Nothing here knows of recordings or maneuvers.
//!
//! Everything is SI and radians; names carry the unit last. Conversions to knots, feet and degrees
//! happen only where a file is read or a page is written, with the constants of [`units`].

pub mod stall;
pub mod units;
