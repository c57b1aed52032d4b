//! From unloading to the climb.

use super::Moment;
use super::breaking::{Breaking, disagreement, weighted_median};
use super::scene::Scene;
use flight::Origin;

/// Climb that counts as positive, m/s: 200 ft/min as a mean of 3 s.
const CLIMB_MPS: f64 = 200.0 * air::units::MPS_PER_FPM;
/// Nearness to V<sub>Y</sub> or V<sub>X</sub> that counts as reaching it, from below or from above, m/s: 4 kt,
/// what a pilot holds a climb speed to.
const NEAR_MPS: f64 = 4.0 * air::units::MPS_PER_KT;

/// The recovery.
#[derive(Clone, Copy, Debug)]
pub struct Recovery {
    /// Unloaded.
    pub start: Moment,
    /// Throttle fully open (or already open when the recovery began).
    pub full_power: Option<Moment>,
    /// Whether power was already full.
    pub power_was_full: bool,
    /// Climbing again.
    pub positive_climb: Option<Moment>,
    /// V<sub>X</sub> passed.
    pub vx: Option<Moment>,
    /// V<sub>Y</sub> reached.
    pub vy: Option<Moment>,
}

/// Works out the recovery.
pub fn find(scene: &Scene, breaking: &Breaking, cue: Option<&Moment>, is_full: bool) -> Recovery {
    let start = if is_full {
        unloaded(scene, breaking, None)
    } else {
        first_input(scene, breaking, cue)
    };
    from(scene, breaking, start, is_full)
}

/// The recovery whose first input is known already, at the cue.
pub fn begun_at(scene: &Scene, breaking: &Breaking, start: Moment) -> Recovery {
    from(scene, breaking, start, false)
}

/// What followed an unloading.
pub fn from(scene: &Scene, breaking: &Breaking, start: Moment, is_full: bool) -> Recovery {
    let (full_power, power_was_full) = full_power(scene, breaking, &start, is_full);
    let positive_climb = positive_climb(scene, start.at_s);
    let speed_after = |speed: Option<f64>, after: f64| {
        let speed = speed?;
        let off = scene.motion.ias.smooth(1.0).map(|ias| (ias - speed).abs());
        let at = off.first_beyond(after, scene.motion.to_s, NEAR_MPS, false)?;
        Some(Moment::new(at, 1.0 * scene.air_factor(), Origin::Derived))
    };
    let speeds = &scene.aircraft.speeds;
    let vx = speed_after(speeds.vx_mps, start.at_s);
    let vy = positive_climb.and_then(|climb| speed_after(speeds.vy_mps, climb.at_s));
    Recovery {
        start,
        full_power,
        power_was_full,
        positive_climb,
        vx,
        vy,
    }
}

/// The unloading of a wing that had let go again at `again_s`; `None` where nothing was recorded after that.
pub fn unloaded_after(scene: &Scene, breaking: &Breaking, again_s: f64) -> Option<Moment> {
    (again_s < scene.motion.to_s - 1.0).then(|| unloaded(scene, breaking, Some(again_s)))
}

/// Below the critical angle again, for half a second at least. With a vane that is the definition; without
/// one it is one of several signs. Looked for from the full stall, or from when the wing had let go again.
fn unloaded(scene: &Scene, breaking: &Breaking, again_s: Option<f64>) -> Moment {
    let full = again_s.unwrap_or(breaking.full.at_s);
    let by_angle = angle_again(scene, breaking, full);
    // In a steep turn pitch follows the bank as much as the wing: only the angle counts there.
    let sure = (scene.vane && scene.critical_known) || scene.accelerated();
    if let (true, Some(moment)) = (sure, by_angle) {
        return moment;
    }
    let pitch = scene.motion.pitch.smooth(0.3);
    let widen = scene.air_factor();
    let mut signs: Vec<(f64, f64)> = Vec::new();
    // Estimated angles lag a little: they are smoothed, and the path is.
    signs.extend(by_angle.map(|m| (m.at_s - 0.3, m.sigma_s)));
    // A nose that falls while the wing stays stalled (a stall that is held) is not the recovery.
    let unstalls = |at: f64| {
        let after = scene.aoa.mean(at + 0.4, at + 1.9);
        after.is_nan() || after < scene.critical_rad + 0.5 * scene.aoa_sigma_rad
    };
    let fastest = pitch
        .rate(0.8)
        .lowest(full - 0.2, full + 8.0)
        .filter(|(_, rate)| *rate < 0.0);
    signs.extend(
        fastest
            .filter(|(at, _)| unstalls(*at))
            .map(|(at, _)| (at, 0.5 * widen)),
    );
    let trough = pitch.lowest(full, full + 8.0);
    let peak = match again_s {
        None => breaking.pitch_peak.1,
        Some(at) => pitch
            .highest(at - 1.0, at + 1.0)
            .map_or(f64::NAN, |(_, peak)| peak),
    };
    let half =
        trough.and_then(|(at, low)| pitch.last_beyond(full - 1.0, at, 0.5 * (peak + low), true));
    signs.extend(
        half.filter(|at| unstalls(*at))
            .map(|at| (at - 0.1, 0.5 * widen)),
    );
    let fall = scene.aoa.rate(0.8).lowest(full, full + 8.0);
    signs.extend(
        fall.filter(|(at, _)| unstalls(*at))
            .map(|(at, _)| (at - 0.4, 0.7 * widen)),
    );
    let middle = weighted_median(&mut signs);
    middle.map_or(
        Moment::new(full + 1.4, 1.0 * widen, Origin::Derived),
        |at| {
            let sigma = 0.45 * widen * disagreement(&signs, at);
            Moment::new(at.max(full + 0.1), sigma, Origin::Derived)
        },
    )
}

/// When the angle of attack came below the critical one.
fn angle_again(scene: &Scene, breaking: &Breaking, full: f64) -> Option<Moment> {
    let until = (full + 14.0).min(scene.motion.to_s);
    let aoa = &scene.aoa;
    let level = if scene.vane {
        scene.critical_rad
    } else {
        level_on_the_way_down(scene, breaking, full)
    };
    let mut at = aoa.first_held(full + 0.1, until, level, false, 0.5)?;
    while scene.vane
        && let Some(later) = still_stalled(scene, at, level, until)
    {
        at = later;
    }
    let rate = aoa.rate(0.6).at(at).abs().max(2f64.to_radians());
    let (floor, origin) = if scene.vane {
        (0.1, Origin::Measured)
    } else {
        (0.35, Origin::Derived)
    };
    let sigma = (scene.aoa_sigma_rad / rate).clamp(0.2, 1.5).hypot(floor);
    Some(Moment::new(at, sigma, origin))
}

/// Past the angle again so soon after it was left, s, without having gained so much speed, m/s: the same stall, held.
const SOON_S: f64 = 2.0;
const GAINED_MPS: f64 = 3.0 * air::units::MPS_PER_KT;

/// A hand that unloads takes the angle down by more than this, rad: 3°.
const DIP_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;

/// When a wing that dipped below its critical angle for a moment came below it again: in a stall that is held the airplane
/// bobs, and nothing is recovered before it gains speed.
fn still_stalled(scene: &Scene, at: f64, level: f64, until: f64) -> Option<f64> {
    let again = scene
        .aoa
        .first_held(at + 0.1, (at + SOON_S).min(until), level, true, 0.3)?;
    let speed = scene.motion.ias.smooth(0.5);
    let (_, least) = scene.aoa.lowest(at, again)?;
    if speed.at(again) - speed.at(at) > GAINED_MPS || least < level - DIP_RAD {
        return None;
    }
    scene.aoa.first_held(again, until, level, false, 0.5)
}

/// An estimated angle may never reach the critical one by its own error: then its way down from the
/// greatest counts, a third of it.
fn level_on_the_way_down(scene: &Scene, breaking: &Breaking, full: f64) -> f64 {
    let later = full > breaking.full.at_s;
    let (at, most) = scene
        .aoa
        .highest(full - 1.0, full + 2.0)
        .filter(|_| later)
        .unwrap_or(breaking.aoa_max);
    let least = scene
        .aoa
        .lowest(at, at + 5.0)
        .map_or(f64::NAN, |(_, low)| low);
    let third = most - 0.35 * (most - least);
    let critical = scene.critical_rad;
    if most > critical + 1f64.to_radians() {
        critical.min(third.max(0.8 * critical))
    } else {
        third
    }
}

/// The first input of a recovery at the cue: stick forward, or power, or the nose starting down.
fn first_input(scene: &Scene, breaking: &Breaking, cue: Option<&Moment>) -> Moment {
    let motion = scene.motion;
    let (peak_at, peak) = breaking.pitch_peak;
    let from = cue.map_or(peak_at - 2.0, |cue| (cue.at_s - 0.3).min(peak_at));
    let to = peak_at + 2.0;
    let elevator = motion.elevator.smooth(0.3);
    if let Some((at, rate)) = elevator.rate(0.5).lowest(from, to) {
        // A hand that unloads moves the stick by a twentieth of its travel or more in half a second.
        if rate < -0.1 {
            let start = elevator
                .rate(0.4)
                .last_beyond(from - 0.5, at, 0.3 * rate, true);
            return Moment::new(start.unwrap_or(at), 0.3, Origin::Measured);
        }
    }
    let falls = motion.pitch.smooth(0.3);
    let down = falls.first_beyond(peak_at, peak_at + 4.0, peak - 0.5f64.to_radians(), false);
    let at = down.unwrap_or(peak_at) - 0.5;
    Moment::new(at.max(from), 0.6 * scene.air_factor(), Origin::Derived)
}

/// Full power. Where it was full before, it is at hand when the recovery begins: the moment of the input.
fn full_power(
    scene: &Scene,
    breaking: &Breaking,
    start: &Moment,
    is_full: bool,
) -> (Option<Moment>, bool) {
    let Some(lever) = scene.lever.as_ref() else {
        return (None, false);
    };
    let top = lever
        .wave
        .highest(start.at_s, start.at_s + 15.0)
        .map_or(f64::NAN, |(_, top)| top);
    let reference = breaking.full.at_s.min(start.at_s) - 0.5;
    if lever.is_full(reference, top) {
        // The stick is let forward about half a second before the wing is unstalled.
        let ahead = if is_full { 0.6 } else { 0.0 };
        let at = start.at_s - ahead;
        return (
            Some(Moment::new(at, start.sigma_s.hypot(0.4), Origin::Derived)),
            true,
        );
    }
    let at = lever.full_at(reference - 1.0, start.at_s + 15.0);
    (
        at.map(|at| Moment::new(at, lever.sigma_s, lever.origin)),
        false,
    )
}

fn positive_climb(scene: &Scene, start_s: f64) -> Option<Moment> {
    let climb = scene.motion.climb.smooth(3.0);
    let to_s = scene.motion.to_s;
    let mut from_s = start_s;
    let mut at = climb.first_held(from_s, to_s, CLIMB_MPS, true, 0.8)?;
    // A pull with power still climbs at its cue, and sinks only after the break. Where no pitch was
    // recorded the recovery may be put at the cue, and that climb was still the entry's.
    while !scene.motion.pitch.is_known()
        && let Some(sink) =
            climb.first_held(at, (at + SINK_AFTER_S).min(to_s), SINK_MPS, false, 1.0)
    {
        from_s = sink + 1.0;
        match climb.first_held(from_s, to_s, CLIMB_MPS, true, 0.8) {
            Some(later) => at = later,
            None => break,
        }
    }
    Some(Moment::new(at, 0.5 * scene.air_factor(), Origin::Derived))
}

/// Sink that only a stall or its recovery has in a climb, m/s (400 ft/min; the sink that tells a full
/// stall in the definition).
const SINK_MPS: f64 = -400.0 * air::units::MPS_PER_FPM;
/// A stall sinks within this time of its cue, s.
const SINK_AFTER_S: f64 = 12.0;
