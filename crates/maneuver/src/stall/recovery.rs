//! From unloading to the climb.

use super::Moment;
use super::breaking::Breaking;
use super::scene::Scene;
use flight::Origin;

/// Climb that counts as positive, m/s: 200 ft/min as a mean of 3 s.
const CLIMB_MPS: f64 = 200.0 * air::units::MPS_PER_FPM;
/// Speed short of V<sub>Y</sub> or V<sub>X</sub> that still counts as reaching it, m/s (4 kt: a pilot
/// aims at it and does not stop on it).
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
        unloaded(scene, breaking)
    } else {
        first_input(scene, breaking, cue)
    };
    let (full_power, power_was_full) = full_power(scene, breaking, &start, is_full);
    let positive_climb = positive_climb(scene, start.at_s);
    let speed_after = |speed: Option<f64>, after: f64| {
        let at = scene.motion.ias.smooth(1.0).first_beyond(
            after,
            scene.motion.to_s,
            speed? - NEAR_MPS,
            true,
        )?;
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

/// Below the critical angle again and for half a second at least.
fn unloaded(scene: &Scene, breaking: &Breaking) -> Moment {
    let full = breaking.full.at_s;
    let until = (full + 14.0).min(scene.motion.to_s);
    let aoa = &scene.aoa;
    let origin = if scene.vane {
        Origin::Measured
    } else {
        Origin::Derived
    };
    let level = if scene.vane {
        scene.critical_rad
    } else {
        level_on_the_way_down(scene, breaking)
    };
    if let Some(at) = aoa.first_held(full + 0.1, until, level, false, 0.5) {
        let rate = aoa.rate(0.6).at(at).abs().max(2f64.to_radians());
        let sigma = (scene.aoa_sigma_rad / rate)
            .clamp(0.2, 1.5)
            .hypot(if scene.vane { 0.1 } else { 0.4 });
        return Moment::new(at, sigma, origin);
    }
    fastest_fall(scene, full).unwrap_or(Moment::new(full + 1.4, 1.0, Origin::Derived))
}

/// An estimated angle may never reach the critical one by its own error: then its way down from the
/// greatest counts, a third of it.
fn level_on_the_way_down(scene: &Scene, breaking: &Breaking) -> f64 {
    let (at, most) = breaking.aoa_max;
    let least = scene
        .aoa
        .lowest(at, at + 5.0)
        .map_or(f64::NAN, |(_, low)| low);
    let third = most - 0.35 * (most - least);
    if most > scene.critical_rad + 1f64.to_radians() {
        scene.critical_rad.min(third.max(0.8 * scene.critical_rad))
    } else {
        third
    }
}

/// The nose falls fastest when the wing comes unstalled.
fn fastest_fall(scene: &Scene, full: f64) -> Option<Moment> {
    let (at, rate) = scene.motion.pitch.rate(0.6).lowest(full, full + 5.0)?;
    (rate < 0.0).then(|| Moment::new(at, 0.7 * scene.air_factor(), Origin::Derived))
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
    let at = climb.first_beyond(start_s, scene.motion.to_s, CLIMB_MPS, true)?;
    Some(Moment::new(at, 0.5 * scene.air_factor(), Origin::Derived))
}
