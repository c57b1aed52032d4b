//! What can be wrong with a question to this crate.

use crate::{geodesy, magnetic, turn};

/// What is wrong and how to mend it; the caller adds where (file, channel, time).
///
/// Functions that run once a sample give no error: outside their domain they give NaN, which their
/// docs say, so that one dropped sample never stops a flight.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum AirError {
    /// True airspeed that no turn has.
    #[error(
        "true airspeed {0:.1} m/s is not {min} to {max}; drop ground samples",
        min = turn::TAS_MPS_MIN, max = turn::TAS_MPS_MAX
    )]
    Airspeed(f64),
    /// Bank that no level turn has.
    #[error(
        "bank {0:.1}° is not {min} to {max}; split the track into turns",
        min = turn::BANK_DEG_MIN, max = turn::BANK_DEG_MAX
    )]
    Bank(f64),
    /// A course that cannot be held.
    #[error(
        "a crosswind of {crosswind_mps:.1} m/s at {tas_mps:.1} m/s true airspeed leaves no heading \
         that holds the course; check the wind and its unit"
    )]
    CourseNotHeld {
        /// Wind across the course, m/s.
        crosswind_mps: f64,
        /// True airspeed, m/s.
        tas_mps: f64,
    },
    /// Legs that say nothing of the wind.
    #[error("wind needs at least three legs of different track; add a leg or a full turn")]
    LegsTooAlike,
    /// A position that is not on Earth.
    #[error(
        "position {latitude_deg}°, {longitude_deg}° is not on Earth (latitude -90 to 90, longitude \
         -180 to 360); drop the fix"
    )]
    Position {
        /// Latitude, degrees.
        latitude_deg: f64,
        /// Longitude, degrees.
        longitude_deg: f64,
    },
    /// A height that no model of ours reaches.
    #[error(
        "height {0:.0} m is not {min} to {max} m; check the unit of the height",
        min = geodesy::HEIGHT_M_MIN, max = geodesy::HEIGHT_M_MAX
    )]
    Height(f64),
    /// A date that the magnetic model does not cover.
    #[error(
        "{year} day {day_of_year} is outside the magnetic models here ({first} to {last}); check \
         the date, or give the variation by hand",
        first = magnetic::FIRST_YEAR, last = magnetic::LAST_YEAR
    )]
    MagneticDate {
        /// Year.
        year: i32,
        /// Day of the year, from 1.
        day_of_year: u16,
    },
}
