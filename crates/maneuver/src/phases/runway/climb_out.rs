//! The climb away from the runway: after a takeoff, after a go-around.

use super::NO_AIRSPEED;
use crate::phases::motion::Motion;
use crate::phases::sheet::Sheet;
use air::units::{MPS_PER_FPM, MPS_PER_KT};
use aircraft::Aircraft;
use flight::Origin;

/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;
/// A climb rate that is one, m/s: 200 ft/min, for so long, s.
const CLIMBS_MPS: f64 = 200.0 * MPS_PER_FPM;
const CLIMBS_S: f64 = 2.0;
/// The speed counts as settled when it changes by less than this, m/s²: 0.2 kt/s, for so long, s.
const SETTLED_MPS2: f64 = 0.2 * MPS_PER_KT;
const SETTLED_S: f64 = 3.0;
/// A pause this long on the way to VY is no climb speed of its own, s.
const STILL_GATHERS_S: f64 = 15.0;
/// Within this of VY it was reached, m/s.
const REACHED_MPS: f64 = MPS_PER_KT;

/// When the positive climb began, when VY was reached, and from when on the climb was steady.
pub struct ClimbOut {
    /// Positive rate held; NaN where it never was.
    pub positive_s: f64,
    /// Steady climb: VY reached, else the speed settled.
    pub steady_s: f64,
}

/// Writes events and figures of a climb from `from_s` (in the air) to `to_s`.
pub fn write(
    motion: &Motion,
    aircraft: &Aircraft,
    (from_s, to_s): (f64, f64),
    sheet: &mut Sheet,
) -> ClimbOut {
    let positive_s = motion
        .climb
        .first_held(from_s, to_s, CLIMBS_MPS, true, CLIMBS_S)
        .unwrap_or(f64::NAN);
    let (_, climb_origin) = motion.quality(motion.flight.climb.as_ref(), from_s);
    sheet.event("positive_climb", positive_s, 1.0, climb_origin);
    if !motion.ias.is_known() {
        for name in ["ias_climbing", "ias_climbing_low", "ias_climbing_high"] {
            sheet.missing(name, NO_AIRSPEED);
        }
        return ClimbOut {
            positive_s,
            steady_s: f64::NAN,
        };
    }
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), from_s);
    let reached_s = aircraft.speeds.vy_mps.and_then(|vy| {
        motion
            .ias
            .first_beyond(from_s, to_s, vy - REACHED_MPS, true)
    });
    if let Some(at_s) = reached_s {
        let rate = motion.ias.rate(3.0).at(at_s).abs().max(0.1);
        let own = (motion.ias_change_sigma_mps() / rate).clamp(0.5, 5.0);
        sheet.event("vy_reached", at_s, own, origin);
    }
    // While it still gathers speed it is not the climb that the standard speaks of.
    let settled_s = motion.ias.smooth(2.0).rate(8.0).first_held(
        from_s + 2.0,
        to_s,
        SETTLED_MPS2,
        false,
        SETTLED_S,
    );
    let steady_s = match (reached_s, settled_s) {
        // It was still on its way to VY.
        (Some(reached), Some(settled)) if reached < settled + STILL_GATHERS_S => reached,
        (_, Some(settled)) => settled,
        (Some(reached), None) => reached,
        (None, None) => f64::INFINITY,
    };
    let steady_s = if steady_s < to_s - SETTLED_S {
        steady_s
    } else {
        f64::NAN
    };
    sheet.event("climb_steady", steady_s, 2.0, origin);
    let sigma = sigma.max(0.6);
    if let Some((low, high)) = motion.ias.held(steady_s, to_s, HOLD_S)
        && steady_s.is_finite()
    {
        let median = motion.ias.median(steady_s, to_s);
        sheet.fact("ias_climbing", median, "m/s", sigma, origin);
        sheet.fact("ias_climbing_low", low, "m/s", sigma, origin);
        sheet.fact("ias_climbing_high", high, "m/s", sigma, origin);
    } else {
        let why = "the speed did not settle before the climb ended";
        for name in ["ias_climbing", "ias_climbing_low", "ias_climbing_high"] {
            sheet.missing(name, why);
        }
    }
    let rate = motion.climb.mean(positive_s, to_s);
    sheet.fact(
        "climb_rate",
        rate,
        "m/s",
        0.3,
        climb_origin.max(Origin::Measured),
    );
    ClimbOut {
        positive_s,
        steady_s,
    }
}
