//! Magnetic variation by the World Magnetic Model.
//!
//! WMM2025 from 2025 to 2029 and WMM2020 before it, evaluated by the crate `world_magnetic_model`
//! (spherical harmonics to degree 12, in 32-bit arithmetic). Position on WGS-84, height above its
//! ellipsoid in m (mean sea level is at most 110 m away, which nothing here can feel), date in UTC.
//!
//! Variation (declination) is the angle from true to magnetic north, east positive:
//! true heading = magnetic heading + variation.
//!
//! The 1-σ is that of the model's own error budget (crust, magnetic storms, solid-earth change): near
//! 0.4° at middle latitudes, growing toward the poles. It says nothing of the aircraft's compass.
//! Source: Chulliat et al., *The US/UK World Magnetic Model for 2025–2030: Technical Report*, NCEI,
//! 2025, section 3.4 for the error. All 100 official test values are reproduced within 0.006° and half
//! a unit of their last digit (test `val_official_wmm2025_values`).

use world_magnetic_model::GeomagneticField;
use world_magnetic_model::time::Date;
use world_magnetic_model::uom::si::angle::radian;
use world_magnetic_model::uom::si::f32::{Angle, Length};
use world_magnetic_model::uom::si::length::meter;

use crate::AirError;
use crate::geodesy::check_position;
use crate::units::wrap_pi;

/// First year that a model here covers.
pub const FIRST_YEAR: i32 = 2020;
/// Last year that a model here covers, to its end.
pub const LAST_YEAR: i32 = 2029;

/// Variation at a place and day.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Variation {
    /// Angle from true to magnetic north, rad, east positive.
    pub value_rad: f64,
    /// 1-σ of the model there, rad.
    pub sigma_rad: f64,
    /// Angle of the field below the horizontal, rad, positive down in the north.
    pub dip_rad: f64,
}

/// Magnetic variation; `day_of_year` counts from 1.
///
/// It changes by some 0.1° a year and 0.01° a mile: once a flight is enough for training distances.
///
/// # Errors
/// [`AirError::Position`], [`AirError::Height`] and [`AirError::MagneticDate`] outside the model.
///
/// ```
/// // Near Denver in 2026 the compass points some 7° east of true north.
/// let here = (39.86_f64.to_radians(), -104.67_f64.to_radians());
/// let variation = air::magnetic::variation(here.0, here.1, 1_655.0, 2026, 1)?;
/// assert!((variation.value_rad.to_degrees() - 7.4).abs() < 0.01);
/// assert!(air::magnetic::variation(here.0, here.1, 1_655.0, 2019, 1).is_err());
/// # Ok::<(), air::AirError>(())
/// ```
pub fn variation(
    latitude_rad: f64,
    longitude_rad: f64,
    height_m: f64,
    year: i32,
    day_of_year: u16,
) -> Result<Variation, AirError> {
    check_position(latitude_rad, longitude_rad, height_m)?;
    let outside = AirError::MagneticDate { year, day_of_year };
    if !(FIRST_YEAR..=LAST_YEAR).contains(&year) {
        return Err(outside);
    }
    let date = Date::from_ordinal_date(year, day_of_year).map_err(|_| outside)?;
    // The nearest f32 of π/2 lies above π/2, where the model would refuse a pole.
    let limit = std::f32::consts::FRAC_PI_2.next_down();
    let latitude = (latitude_rad as f32).clamp(-limit, limit);
    let longitude = (wrap_pi(longitude_rad) as f32).clamp(-2.0 * limit, 2.0 * limit);
    let field = GeomagneticField::new(
        Length::new::<meter>(height_m as f32),
        Angle::new::<radian>(latitude),
        Angle::new::<radian>(longitude),
        date,
    )
    .map_err(|_| outside)?;
    Ok(Variation {
        value_rad: f64::from(field.declination().get::<radian>()),
        sigma_rad: f64::from(field.declination_uncertainty().get::<radian>()),
        dip_rad: f64::from(field.inclination().get::<radian>()),
    })
}

/// Day of the year, from 1, of a date of the Gregorian calendar; `None` for a date that is none.
///
/// ```
/// assert_eq!(air::magnetic::day_of_year(2024, 12, 31), Some(366));
/// ```
#[must_use]
pub fn day_of_year(year: i32, month: u8, day: u8) -> Option<u16> {
    let month = world_magnetic_model::time::Month::try_from(month).ok()?;
    Date::from_calendar_date(year, month, day)
        .ok()
        .map(Date::ordinal)
}
