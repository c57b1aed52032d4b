//! A second stall in the recovery: past the critical angle again.

use super::Moment;
use super::breaking::Breaking;
use super::recovery::Recovery;
use super::scene::Scene;
use crate::phases::wave::Wave;
use flight::Origin;

/// A secondary stall, or how little speaks for one.
#[derive(Clone, Copy, Debug)]
pub struct Secondary {
    /// Chance that there was one, 0 to 1; NaN when nothing can tell.
    pub probability: f64,
    /// When.
    pub moment: Option<Moment>,
    /// When the angle was greatest, where that shows how it came about, s.
    pub top_s: Option<f64>,
}

impl Secondary {
    /// Where nothing can tell.
    const UNKNOWN: Secondary = Secondary {
        probability: f64::NAN,
        moment: None,
        top_s: None,
    };
}

/// Looks for one from half a second after unloading until the climb is settled.
pub fn find(scene: &Scene, breaking: &Breaking, recovery: &Recovery) -> Secondary {
    let from = recovery.start.at_s + 0.4;
    let settled = recovery
        .positive_climb
        .map_or(from + 20.0, |climb| climb.at_s + 12.0);
    let to = settled.min(from + 40.0).min(scene.motion.to_s);
    // The angle has to come down first, else it is still the same stall.
    let low = scene.critical_rad - 1f64.to_radians();
    let Some(down) = scene.aoa.first_beyond(from - 0.3, to, low, false) else {
        return Secondary::UNKNOWN;
    };
    if scene.vane && scene.critical_known {
        return by_vane(scene, down, to);
    }
    by_estimate(scene, breaking, down, to)
}

fn by_vane(scene: &Scene, from: f64, to: f64) -> Secondary {
    let Some((top_at, top)) = scene.aoa.highest(from, to) else {
        return Secondary::UNKNOWN;
    };
    let odds = ((top - scene.critical_rad) / (0.6 * scene.aoa_sigma_rad)).clamp(-6.0, 6.0);
    let probability = 1.0 / (1.0 + (-odds).exp());
    let at = scene
        .aoa
        .first_beyond(from, to, scene.critical_rad, true)
        .unwrap_or(top_at);
    Secondary {
        probability,
        moment: Some(Moment::new(at, 0.3, Origin::Measured)),
        top_s: None,
    }
}

/// The first rise of the angle that was a stall as likely as not; where none was, the likeliest.
fn by_estimate(scene: &Scene, breaking: &Breaking, from: f64, to: f64) -> Secondary {
    let aoa = scene.aoa.smooth(0.5);
    let doubt = scene.aoa_sigma_rad.max(1f64.to_radians());
    let mut best = Secondary::UNKNOWN;
    let mut at = from;
    let mut low_rad = f64::INFINITY;
    while let Some(mut rise) = next_rise(&aoa, at, to, doubt) {
        // An angle that comes up in two steps came up from the first one's foot.
        low_rad = low_rad.min(rise.low_rad);
        rise.low_rad = low_rad;
        let probability = chance(scene, breaking, &rise, doubt);
        if best.probability.is_nan() || probability > best.probability {
            // A wing that stays stalled goes on to larger angles: the stall was where it passed the critical one.
            let passed = aoa.first_beyond(rise.low_s, rise.top_s, scene.critical_rad, true);
            let moment = Moment::new(passed.unwrap_or(rise.top_s - 0.5), 0.6, Origin::Derived);
            best = Secondary {
                probability,
                moment: Some(moment),
                top_s: Some(rise.top_s),
            };
        }
        if probability >= 0.5 || rise.over_s <= at {
            break;
        }
        at = rise.over_s;
    }
    best
}

/// The angle of attack up from a low point and down again.
struct Rise {
    low_s: f64,
    low_rad: f64,
    top_s: f64,
    top_rad: f64,
    /// When it had come down again by its error, or there is no more, s.
    over_s: f64,
}

fn next_rise(aoa: &Wave, from: f64, to: f64, doubt: f64) -> Option<Rise> {
    const STEP_S: f64 = 0.1;
    let count = ((to - from) / STEP_S).floor().max(0.0) as usize;
    let (mut low, mut top): ((f64, f64), Option<(f64, f64)>) = ((from, f64::INFINITY), None);
    let rise = |(top_s, top_rad), (low_s, low_rad), over_s| Rise {
        low_s,
        low_rad,
        top_s,
        top_rad,
        over_s,
    };
    for step in 0..=count.min(1_000) {
        let at = from + STEP_S * step as f64;
        let now = aoa.at(at);
        if now.is_nan() {
            continue;
        }
        top = match top {
            None if now > low.1 + doubt => Some((at, now)),
            Some((_, high)) if now > high => Some((at, now)),
            Some((top_s, high)) if now < high - doubt => return Some(rise((top_s, high), low, at)),
            other => other,
        };
        if top.is_none() && now < low.1 {
            low = (at, now);
        }
    }
    top.map(|top| rise(top, low, to))
}

/// Chance that a rise was past the critical angle, by the angle and by the nose that falls after it.
fn chance(scene: &Scene, breaking: &Breaking, rise: &Rise, doubt: f64) -> f64 {
    // Where the angle cannot be held against the critical one, the greatest that this flight showed in the
    // first stall is the better yardstick: both have the same error.
    let yardstick = if scene.critical_known && scene.angle_is_sound() {
        scene.critical_rad
    } else {
        scene.critical_rad.max(0.85 * breaking.aoa_max.1)
    };
    let mut odds = ((rise.top_rad - yardstick) / doubt).clamp(-3.0, 3.0) - 0.7;
    // An angle that is on its way down from the stall, or does not come up again by more than its own error, is no second.
    odds += ((rise.top_rad - rise.low_rad - 2.0 * doubt) / doubt).clamp(-3.0, 0.0);
    // A second fall of the nose after that angle.
    let top_s = rise.top_s;
    let pitch = scene.motion.pitch.smooth(0.5);
    let peak = pitch
        .highest(top_s - 1.5, top_s + 0.5)
        .map_or(f64::NAN, |(_, p)| p);
    let fall = peak
        - pitch
            .lowest(top_s, top_s + 2.5)
            .map_or(f64::NAN, |(_, p)| p);
    if fall.is_finite() {
        odds += ((fall.to_degrees() - 4.0) / 1.5).clamp(-1.5, 1.5);
    }
    1.0 / (1.0 + (-odds).exp())
}
