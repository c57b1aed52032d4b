//! What an instrument has wrong all the time: the smoother's σ says how well it follows the instrument,
//! not how well the instrument tells the truth.
//!
//! Assumed, as training aircraft go: an airspeed system is held to a few knots by its position error and
//! its gauge (1.2 kt at 1-σ), an attitude sensor to the better part of a degree, worse while rough air
//! shakes its filter (0.8 and 1.5 degrees). The coverage of the intervals of `worst` is the check.

use crate::context::Context;
use air::units::MPS_PER_KT;
use flight::{Air, Origin, Series};

const AIRSPEED_KT: f64 = 1.2;
/// Airspeed from ground speed and wind: the wind at the maneuver is known to this, kt.
const DERIVED_AIRSPEED_KT: f64 = 4.0;
const BANK_DEG: f64 = 0.8;
const BANK_ROUGH_DEG: f64 = 1.5;

/// 1-σ of an indicated airspeed, kt, from the smoother's own in m/s.
pub(crate) fn airspeed_kt(series: &Series, smoothed_mps: f64) -> f64 {
    let smoothed = smoothed_mps / MPS_PER_KT;
    if series.origin == Origin::Measured {
        smoothed.hypot(AIRSPEED_KT)
    } else {
        smoothed.max(DERIVED_AIRSPEED_KT)
    }
}

/// 1-σ of a bank, degrees, from the smoother's own in radians.
pub(crate) fn bank_deg(context: &Context, smoothed_rad: f64) -> f64 {
    let sensor = if context.flight.air == Air::Rough {
        BANK_ROUGH_DEG
    } else {
        BANK_DEG
    };
    smoothed_rad.to_degrees().hypot(sensor)
}
