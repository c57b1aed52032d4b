//! From the lever to the air: power up, rotation, lift-off.

use super::ground::Ground;
use super::strip::Strip;
use crate::phases::motion::Motion;
use crate::phases::power::Lever;
use flight::Origin;

/// A moment with its 1-σ and origin.
#[derive(Clone, Copy, Debug)]
pub struct Moment {
    /// When, s.
    pub at_s: f64,
    /// 1-σ, s.
    pub sigma_s: f64,
    /// Origin.
    pub origin: Origin,
}

/// Share of the push's fastest rise from which the lever moves.
const MOVED: f64 = 0.15;
/// A roll gathers speed by this much at least, m/s²: rolling friction and drag leave a light airplane more.
const GATHERS_MPS2: f64 = 0.5;

/// When the power came up between two times: by the lever, else by the speed that it gathered.
pub fn power_up(motion: &Motion, ground: &Ground, from_s: f64, to_s: f64) -> Option<Moment> {
    if let Some(lever) = Lever::best(motion) {
        let (_, top) = lever.wave.held(from_s, to_s, 1.0)?;
        let (_, low) = lever.wave.lowest(from_s, to_s)?;
        if top - low > 0.2 {
            // A touch of power before is not the push: that is where it rises fastest.
            let rate = lever.wave.rate(1.0);
            let (steep_s, steepest) = rate.highest(from_s, to_s)?;
            let at_s = rate.last_beyond(from_s, steep_s, MOVED * steepest, false)?;
            return Some(Moment {
                at_s: (at_s - lever.delay_s()).max(from_s),
                sigma_s: 1.5 * lever.sigma_s,
                origin: lever.origin,
            });
        }
    }
    let gathers = ground.speed.rate(3.0);
    let (fast_s, most) = gathers.highest(from_s, to_s)?;
    let at_s = gathers.last_beyond(from_s, fast_s, GATHERS_MPS2.min(0.5 * most), false)?;
    // The lever moves two seconds before the engine and the wheels show it.
    Some(Moment {
        at_s: (at_s - 2.5).max(from_s),
        sigma_s: 2.0,
        origin: Origin::Derived,
    })
}

/// Before the wheels leave, the struts stretch and the nose comes up: the altitude has risen by this much, m
/// (common practice, no source).
const STRETCH_M: f64 = 1.0;

/// When the wheels left, near a moment that is about right.
pub fn lift_off(motion: &Motion, strip: &Strip, about_s: f64, to_s: f64) -> Moment {
    let height = motion.altitude.map(|altitude| altitude - strip.level_m);
    let near = strip.near_m();
    let Some(up_s) = height.first_held(about_s - 8.0, to_s, near, true, 2.0) else {
        return Moment {
            at_s: about_s,
            sigma_s: 3.0,
            origin: Origin::Derived,
        };
    };
    let climb = motion.climb.median(up_s, up_s + 3.0);
    let climb = if climb.is_finite() {
        climb.clamp(1.0, 4.0)
    } else {
        1.0
    };
    let own = (strip.height_sigma_m / climb)
        .hypot(0.4 * height.step_s())
        .hypot(0.3);
    Moment {
        at_s: up_s - ((near - STRETCH_M).max(0.0) / climb).min(1.5),
        sigma_s: own,
        origin: Origin::Derived,
    }
}

/// A rise of the nose smaller than this is no rotation that can be told, rad.
const LEAST_RISE_RAD: f64 = 1.5 * std::f64::consts::PI / 180.0;

/// When the nose came up on the roll; `None` without pitch or where it rose too little. The struts stretch with the
/// speed and lift the nose slowly all along the roll: the rotation is where it rises fastest.
pub fn rotate(motion: &Motion, roll_s: f64, lift_off_s: f64) -> Option<Moment> {
    let low = motion.pitch.quantile(roll_s + 1.0, lift_off_s - 1.0, 0.3);
    let up = motion.pitch.median(lift_off_s - 0.7, lift_off_s + 1.0);
    let rise = up - low;
    if rise.is_nan() || rise < LEAST_RISE_RAD {
        return None;
    }
    let rate = motion.pitch.rate(1.5);
    let (steep_s, steepest) = rate.highest(roll_s + 2.0, lift_off_s + 0.5)?;
    let at_s = rate.last_beyond(roll_s, steep_s, 0.3 * steepest, false)?;
    Some(Moment {
        at_s,
        sigma_s: 0.7_f64.hypot(0.5 * motion.pitch.step_s()),
        origin: Origin::Measured,
    })
}
