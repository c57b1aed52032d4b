//! The break itself: when the wing was past its critical angle and the airplane showed it.

use super::Moment;
use super::scene::Scene;
use crate::phases::wave::Wave;
use flight::Origin;

/// Fall of the nose below its peak that counts as the break, rad: 1.5°, more than a pilot's hand wanders.
const NOSE_FALL_RAD: f64 = 1.5 * std::f64::consts::PI / 180.0;
/// Sink that counts with the stick well back, m/s: 400 ft/min.
const SINK_MPS: f64 = 400.0 * air::units::MPS_PER_FPM;
/// The highest pitch from which the nose falls may lie this long before the critical angle, s; and a fall
/// that belongs to that angle has begun this long before, s: a gentle break takes a second for 1.5°.
const EARLIER_S: f64 = 6.0;
const BEFORE_S: f64 = 1.0;
/// In a steep turn the highest pitch is that since the roll-in, so long before, s; and the airplane shows its stall within this, s.
const ROLLED_IN_S: f64 = 8.0;
const TURN_S: f64 = 4.0;
/// In the last half second before the wing is unstalled it is the push that moves the nose.
const PUSH_S: f64 = 0.5;
/// First and last time that the stall can have been further apart than this say so in σ, s.
const APART_S: f64 = 2.0;
/// Where the pull was seen, the stall is no longer before it and after it than this, s.
const PULL_S: [f64; 2] = [2.0, 2.5];
/// Stick well back, and on its stop, shares of travel.
const WELL_BACK: f64 = 0.5;
const STOP: f64 = 0.9;

/// Lags of signs behind the full stall, s, from how a light airplane moves (and their 1-σ):
/// speed still falls until drag and the nose give way, about three quarters of a second; the angle of
/// attack goes on growing while the nose falls slower than the path, about as long.
const SPEED_LAG_S: (f64, f64) = (0.75, 0.55);
const ANGLE_LAG_S: (f64, f64) = (0.75, 0.6);

/// What the break looked like.
#[derive(Clone, Copy, Debug)]
pub struct Breaking {
    /// When a full stall began, if there was one.
    pub full: Moment,
    /// When the angle of attack passed the critical one.
    pub past_critical_s: f64,
    /// Greatest angle of attack around it, rad, and when.
    pub aoa_max: (f64, f64),
    /// Highest pitch before the nose fell: when, rad.
    pub pitch_peak: (f64, f64),
    /// Fall of the nose within 3 s, rad.
    pub nose_fall_rad: f64,
    /// Dip of the load factor below what it was before, g.
    pub load_dip_g: f64,
    /// Greatest lift ratio around it.
    pub lift_ratio_max: f64,
    /// Lowest airspeed: when, m/s.
    pub slowest: (f64, f64),
}

/// Finds the break.
pub fn find(scene: &Scene) -> Breaking {
    let search = Search {
        from_s: scene.search_s.0,
        to_s: scene.search_s.1,
        anchor_s: scene.anchor_s,
        anchor_sigma_s: scene.anchor_sigma_s,
        until_s: f64::INFINITY,
    };
    find_in(scene, &search)
}

/// Where a break is looked for.
pub struct Search {
    /// The nose begins to fall no earlier, s.
    pub from_s: f64,
    /// And no later, s.
    pub to_s: f64,
    /// About when, s.
    pub anchor_s: f64,
    /// What is not known of that, s.
    pub anchor_sigma_s: f64,
    /// What comes after this is another story, s.
    pub until_s: f64,
}

/// Finds the break in a part of the scene.
pub fn find_in(scene: &Scene, search: &Search) -> Breaking {
    let motion = scene.motion;
    let nowhere = (f64::NAN, f64::NAN);
    let pitch = motion.pitch.smooth(0.3);
    let fall = largest_fall(&pitch, search, 3.0);
    let around = fall.map_or(search.anchor_s, |(at, _)| at);
    // Before a pull lies the roll-in, in which the nose falls too.
    let earlier_s = if scene.pull_seen { 1.0 } else { 3.0 };
    let pitch_peak = pitch
        .highest(around - earlier_s, around + 1.0)
        .unwrap_or(nowhere);
    let (from, to) = if scene.pull_seen {
        (search.anchor_s - PULL_S[0], search.anchor_s + PULL_S[1])
    } else {
        (around - 3.5, (around + 4.5).min(search.until_s))
    };
    let aoa_max = scene.aoa.highest(from, to).unwrap_or(nowhere);
    let slowest = motion.ias.smooth(0.6).lowest(from, to).unwrap_or(nowhere);
    let load = motion.load.smooth(0.5);
    // What was pulled comes off at once.
    let before = if scene.pull_seen {
        load.highest(around - 3.0, around)
            .map_or(f64::NAN, |(_, most)| most)
    } else {
        load.median(around - 6.0, around - 1.0)
    };
    let load_dip_g = load
        .lowest(around - 1.5, around + 3.5)
        .map_or(f64::NAN, |(_, n)| before - n);
    let lift_ratio_max = motion
        .lift_ratio
        .smooth(1.0)
        .highest(from, to)
        .map_or(f64::NAN, |(_, ratio)| ratio);
    let past_critical_s = past_critical(scene, from, to);
    let mut breaking = Breaking {
        full: Moment::new(around, 2.0, Origin::Derived),
        past_critical_s,
        aoa_max,
        pitch_peak,
        nose_fall_rad: fall.map_or(f64::NAN, |(_, fall)| fall),
        load_dip_g,
        lift_ratio_max,
        slowest,
    };
    breaking.full = full_moment(scene, &breaking, &pitch, around);
    breaking
}

/// The fall within `width_s` that stands out most near the anchor: when it began, and how much it was. A
/// secondary stall may fall farther than the first, so distance from the anchor counts against it.
fn largest_fall(pitch: &Wave, search: &Search, width_s: f64) -> Option<(f64, f64)> {
    let (from, to) = (search.from_s, search.to_s);
    let count = ((to - from) / 0.2).max(0.0) as usize;
    let falls = (0..=count.min(1_000)).filter_map(|step| {
        let at = from + 0.2 * step as f64;
        let fall = pitch.at(at) - pitch.at(at + width_s);
        let far = (at - search.anchor_s) / search.anchor_sigma_s;
        fall.is_finite()
            .then_some((at, fall, fall / (1.0 + far * far)))
    });
    falls
        .max_by(|a, b| a.2.total_cmp(&b.2))
        .map(|(at, fall, _)| (at, fall))
}

/// First time past the critical angle, held for a third of a second.
fn past_critical(scene: &Scene, from: f64, to: f64) -> f64 {
    scene
        .aoa
        .first_held(from, to, scene.critical_rad, true, 0.3)
        .unwrap_or(f64::NAN)
}

/// By the definition where a vane was recorded; else from all the signs there are.
fn full_moment(scene: &Scene, breaking: &Breaking, pitch: &Wave, around: f64) -> Moment {
    if scene.vane && scene.critical_known && breaking.past_critical_s.is_finite() {
        return by_vane(scene, breaking.past_critical_s, pitch);
    }
    let motion = scene.motion;
    let mut signs: Vec<(f64, f64)> = Vec::new();
    let widen = scene.air_factor();
    let mut add = |at: f64, sigma: f64| {
        if at.is_finite() && (at - around).abs() < 6.0 {
            signs.push((at, sigma * widen));
        }
    };
    if scene.accelerated() {
        add(breaking.aoa_max.0 - ANGLE_LAG_S.0, 0.8);
        if breaking.past_critical_s.is_finite() {
            let shown = shown_in_turn(scene, breaking.past_critical_s, pitch);
            add(shown, 0.8);
        }
    } else {
        let nose = nose_break(breaking, pitch);
        add(nose, 0.45);
        add(breaking.slowest.0 - SPEED_LAG_S.0, SPEED_LAG_S.1);
        add(breaking.aoa_max.0 - ANGLE_LAG_S.0, ANGLE_LAG_S.1);
        // The definition itself with an estimated angle outweighs the lagging signs together where the
        // path through the air is measured; from GNSS alone it has the wind's error in it.
        let measured = motion
            .flight
            .ias
            .as_ref()
            .is_some_and(|ias| ias.origin == Origin::Measured);
        add(
            by_angle(scene, breaking, pitch),
            if measured { 0.22 } else { 0.6 },
        );
    }
    let at = weighted_median(&mut signs).unwrap_or(around);
    let sigma = if signs.len() > 1 {
        0.45 * widen * disagreement(&signs, at)
    } else {
        1.5 * widen
    };
    Moment::new(at, sigma, Origin::Derived)
}

/// The definition with a vane: past the critical angle, and shown by the nose, the sink or the stick.
fn by_vane(scene: &Scene, past_s: f64, pitch: &Wave) -> Moment {
    let rate = scene.aoa.rate(0.6).at(past_s).max(1f64.to_radians());
    let sigma = (0.5 * scene.aoa_sigma_rad / rate)
        .clamp(0.15, 1.0)
        .hypot(0.15);
    if scene.accelerated() {
        return Moment::new(shown_in_turn(scene, past_s, pitch), sigma, Origin::Measured);
    }
    let unstalled = scene
        .aoa
        .first_held(past_s + 0.3, past_s + 14.0, scene.critical_rad, false, 0.5)
        .unwrap_or(past_s);
    // With a nose that had come down before, or a mush that neither nose nor height shows, the wing is
    // past its angle for a while and the stall somewhere in that time.
    let first = match shown_after(scene, past_s, pitch, EARLIER_S) {
        Some(at) if at < unstalled - PUSH_S || unstalled - past_s < APART_S => at.min(unstalled),
        _ => past_s,
    };
    let last = shown_after(scene, past_s, pitch, BEFORE_S)
        .filter(|at| *at < unstalled - PUSH_S)
        .unwrap_or(unstalled)
        .max(first);
    if last - first < APART_S {
        return Moment::new(first, sigma, Origin::Measured);
    }
    let length = (last - first).min(8.0);
    let sigma = sigma.hypot(length / 12f64.sqrt());
    Moment::new(first + 0.5 * length, sigma, Origin::Derived)
}

/// The definition in a steep turn: as a rule the nose has left its peak before the angle is passed, and then the angle
/// decides. A pull that keeps the nose up shows the stall later, but while the wing is still past its angle.
fn shown_in_turn(scene: &Scene, past_s: f64, pitch: &Wave) -> f64 {
    let unstalled = scene
        .aoa
        .first_held(
            past_s + 0.3,
            past_s + TURN_S,
            scene.critical_rad,
            false,
            0.5,
        )
        .unwrap_or(past_s + TURN_S);
    shown_after(scene, past_s, pitch, ROLLED_IN_S)
        .filter(|at| *at <= unstalled - PUSH_S)
        .unwrap_or(past_s)
}

/// First sign after the critical angle: the nose 1.5° below the highest so far, sinking over 400 ft/min
/// with the stick well back, or the stick on its stop for a second.
fn shown_after(scene: &Scene, past_s: f64, pitch: &Wave, before_s: f64) -> Option<f64> {
    let motion = scene.motion;
    let until = past_s + 8.0;
    let peak = pitch
        .highest(past_s - before_s, past_s)
        .map_or(f64::NAN, |(_, peak)| peak);
    let nose = falling_below(pitch, peak, past_s, until);
    let mut first = nose.unwrap_or(f64::INFINITY);
    let stick_back = motion.elevator.is_known();
    let sinking = motion.climb.first_beyond(past_s, until, -SINK_MPS, false);
    if let Some(at) = sinking.filter(|at| !stick_back || motion.elevator.at(*at) > WELL_BACK) {
        first = first.min(at);
    }
    if let Some(at) = motion.elevator.first_held(past_s, until, STOP, true, 1.0) {
        first = first.min(at + 1.0);
    }
    first.is_finite().then_some(first)
}

/// First time that pitch is 1.5° below the highest so far, the peak still growing while it grows.
fn falling_below(pitch: &Wave, peak: f64, from: f64, to: f64) -> Option<f64> {
    let mut peak = peak;
    let mut at = from;
    while at <= to {
        let now = pitch.at(at);
        if now.is_finite() {
            peak = if peak.is_finite() { peak.max(now) } else { now };
            if now <= peak - NOSE_FALL_RAD {
                return Some(at);
            }
        }
        at += 0.05;
    }
    None
}

/// The nose 1.5° below its last peak before the fall.
fn nose_break(breaking: &Breaking, pitch: &Wave) -> f64 {
    let (at, peak) = breaking.pitch_peak;
    pitch
        .first_beyond(at, at + 6.0, peak - NOSE_FALL_RAD, false)
        .unwrap_or(f64::NAN)
}

/// The definition with an estimated angle of attack: no earlier than past critical, no earlier than shown.
fn by_angle(scene: &Scene, breaking: &Breaking, pitch: &Wave) -> f64 {
    let past = breaking.past_critical_s;
    if past.is_nan() {
        return f64::NAN;
    }
    shown_after(scene, past, pitch, EARLIER_S)
        .filter(|at| at - past < 4.0)
        .unwrap_or(past)
}

/// How much wider an error is than each sign's own says, at least 1: the scale factor for measurements
/// that disagree, √(χ²/(n − 1)) (Particle Data Group, *Review of Particle Physics*, introduction), at most 4.
pub fn disagreement(signs: &[(f64, f64)], at: f64) -> f64 {
    let chi: f64 = signs
        .iter()
        .map(|(sign, sigma)| ((sign - at) / sigma).powi(2))
        .sum();
    let free = signs.len().saturating_sub(1).max(1) as f64;
    (chi / free).sqrt().clamp(1.0, 4.0)
}

/// Median with weights 1/σ².
pub fn weighted_median(signs: &mut [(f64, f64)]) -> Option<f64> {
    signs.sort_by(|a, b| a.0.total_cmp(&b.0));
    let total: f64 = signs.iter().map(|(_, sigma)| sigma.powi(-2)).sum();
    let mut sum = 0.0;
    let mut previous: Option<f64> = None;
    for (at, sigma) in signs.iter() {
        sum += sigma.powi(-2);
        if (sum - 0.5 * total).abs() < 1e-9 * total {
            previous = Some(*at);
        } else if sum > 0.5 * total {
            return Some(previous.map_or(*at, |left| 0.5 * (left + at)));
        }
    }
    previous
}

#[cfg(test)]
mod tests {
    use super::disagreement;

    /// Two values 2 apart with σ 0.5 each: about their mean χ² = 2 · 2² = 8 with one degree of freedom, so
    /// the scale factor is √8; values that agree are left alone.
    #[test]
    fn val_scale_factor_of_disagreeing_signs() {
        let apart = [(9.0, 0.5), (11.0, 0.5)];
        assert!((disagreement(&apart, 10.0) - 8f64.sqrt()).abs() < 1e-12);
        assert_eq!(disagreement(&[(10.0, 0.5), (10.1, 0.5)], 10.05), 1.0);
        assert_eq!(disagreement(&[(0.0, 0.1), (50.0, 0.1)], 25.0), 4.0);
    }
}
