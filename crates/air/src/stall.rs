//! How stall and maneuvering speed go with load factor and mass.
//!
//! From lift = n·m·g = ½·ρ0·V²·S·CL at the maximum lift coefficient, in one configuration:
//!
//! - stall speed Vs = Vs_ref · √(n · m / m_ref)
//! - maneuvering speed VA = VA_ref · √(m / m_ref)
//! - share of the maximum lift coefficient in use CL/CLmax = n · (m / m_ref) · (Vs_ref / V)²
//!
//! Speeds are calibrated (strictly equivalent; below 200 kt and 10,000 ft they differ by under
//! 1 %): applied to what an indicator shows near the stall the relations are wrong by part of its
//! position error. Holds at one configuration, power and center of gravity.
//! Source: FAA-H-8083-25C, *Pilot's Handbook of Aeronautical Knowledge*, ch. 5, "Load Factors and
//! Stalling Speeds".

/// A speed scaled by the square root of a ratio of lifts (load factor × mass ratio), m/s.
///
/// `None` for a ratio that is negative or not a number: such a wing has no stall speed.
///
/// ```
/// // 50 kt at 1 g is 100 kt at 4 g.
/// assert_eq!(air::stall::scaled_speed_mps(50.0, 4.0), Some(100.0));
/// ```
#[must_use]
pub fn scaled_speed_mps(reference_mps: f64, lift_ratio: f64) -> Option<f64> {
    (lift_ratio >= 0.0 && lift_ratio.is_finite() && reference_mps.is_finite())
        .then(|| reference_mps * lift_ratio.sqrt())
}

/// Share of the maximum lift coefficient in use at a calibrated speed; above 1 is past the stall.
///
/// `lift_ratio` is load factor × mass / reference mass, `stall_reference_mps` the 1-g stall speed at
/// the reference mass in the same configuration. Infinite at rest.
#[inline]
#[must_use]
pub fn lift_share(speed_mps: f64, stall_reference_mps: f64, lift_ratio: f64) -> f64 {
    let ratio = stall_reference_mps / speed_mps;
    lift_ratio * ratio * ratio
}
