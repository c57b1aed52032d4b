//! Wind along and across a runway.

use super::NO_WIND;
use super::ground::Ground;
use crate::phases::motion::Motion;
use crate::phases::sheet::Sheet;
use air::units::MPS_PER_KT;

/// From here it is called a crosswind, m/s: 5 kt (common practice, no source).
pub const CROSSWIND_MPS: f64 = 5.0 * MPS_PER_KT;

/// Writes `headwind` and `crosswind` (from the right positive) as the mean between two times, and gives them
/// with the σ of either; `None` where no wind is known.
pub fn write(
    motion: &Motion,
    ground: &Ground,
    course_rad: f64,
    (from_s, to_s): (f64, f64),
    sheet: &mut Sheet,
) -> Option<(f64, f64, f64)> {
    let east = ground.wind_east.mean(from_s, to_s);
    let north = ground.wind_north.mean(from_s, to_s);
    if !(east.is_finite() && north.is_finite()) {
        sheet.missing("headwind", NO_WIND);
        sheet.missing("crosswind", NO_WIND);
        return None;
    }
    let (sin, cos) = course_rad.sin_cos();
    let headwind = -(east * sin + north * cos);
    let crosswind = north * sin - east * cos;
    let (sigma, origin) = motion.quality(motion.flight.wind_east.as_ref(), 0.5 * (from_s + to_s));
    // The wind near the ground is not the wind that turns higher up showed.
    let sigma = sigma.max(1.0);
    sheet.fact("headwind", headwind, "m/s", sigma, origin);
    sheet.fact("crosswind", crosswind, "m/s", sigma, origin);
    Some((headwind, crosswind, sigma))
}

/// Says that it was a crosswind one, with the chance that the component was above [`CROSSWIND_MPS`].
pub fn variant(crosswind_mps: f64, sigma_mps: f64, sheet: &mut Sheet) {
    let over = (crosswind_mps.abs() - CROSSWIND_MPS) / sigma_mps.max(0.1);
    // The logistic curve nearest to the normal one (scale 1.702, Bowling et al. 2009, from memory).
    let chance = 1.0 / (1.0 + (-1.702 * over).exp());
    if chance >= 0.5 {
        sheet.variant(
            "crosswind",
            chance.min(0.98),
            "more than 5 kt of wind across the runway (common practice, no source)",
        );
    }
}
