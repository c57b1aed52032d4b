//! Specific energy: height and speed in one figure.
//!
//! - specific energy E = h + V²/(2·g), in m, with V the true airspeed
//! - its rate is the excess power for each newton of weight: dE/dt = (T − D)·V/(m·g), in m/s
//!
//! Source: FAA-H-8083-3C, *Airplane Flying Handbook*, ch. 4, p. 4-7, figure 4-6. The handbook puts
//! indicated airspeed and altitude in; physics asks for true airspeed (at 8,000 ft the other
//! understates the kinetic part by a fifth), and through the air, not over the ground. Frame: the
//! air mass; while the wind changes, the figure changes with it.

use crate::units::G0_MPS2;

/// Kinetic part of the specific energy, m: V²/(2·g).
#[inline]
#[must_use]
pub fn kinetic_height_m(tas_mps: f64) -> f64 {
    tas_mps * tas_mps / (2.0 * G0_MPS2)
}

/// Specific energy, m.
///
/// ```
/// // 100 kt at 3,000 ft is worth 3,443 ft.
/// let energy = air::energy::specific_energy_m(3_000.0 * 0.3048, 100.0 * 1852.0 / 3600.0);
/// assert_eq!((energy / 0.3048).round(), 3_443.0);
/// ```
#[inline]
#[must_use]
pub fn specific_energy_m(height_m: f64, tas_mps: f64) -> f64 {
    height_m + kinetic_height_m(tas_mps)
}

/// Rate of the specific energy, m/s, from climb rate and acceleration along the path: ḣ + V·V̇/g.
#[inline]
#[must_use]
pub fn specific_power_mps(climb_mps: f64, tas_mps: f64, acceleration_mps2: f64) -> f64 {
    climb_mps + tas_mps * acceleration_mps2 / G0_MPS2
}

/// True airspeed after a change of height without a change of energy, m/s; NaN when the height
/// asked for is more than the energy gives.
#[must_use]
pub fn speed_after_climb_mps(tas_mps: f64, climbed_m: f64) -> f64 {
    (tas_mps * tas_mps - 2.0 * G0_MPS2 * climbed_m).sqrt()
}
