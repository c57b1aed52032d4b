//! From the setup to the stick coming back.

use super::Moment;
use super::breaking::Breaking;
use super::scene::Scene;
use crate::Kind;
use crate::phases::motion::REACH_S;
use flight::Origin;

/// The entry.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// Power back for the setup.
    pub setup: Moment,
    /// Last moment of a steady descent (power-off stalls).
    pub descent_stable: Option<Moment>,
    /// Throttle closed (power-off stalls).
    pub idle: Option<Moment>,
    /// Power set (power-on stalls).
    pub power_set: Option<Moment>,
    /// Stick starts back.
    pub pitch_up: Moment,
    /// Seconds of steady descent before the stick came back.
    pub steady_s: f64,
}

/// Works out the entry from its end backwards.
pub fn find(scene: &Scene, breaking: &Breaking) -> Entry {
    let setup = setup(scene);
    let pitch_up = pitch_up(scene, breaking, setup.at_s);
    let idle = idle(scene, setup.at_s, pitch_up.at_s);
    let power_set = power_set(scene, setup.at_s, pitch_up.at_s);
    let steady_s = steady_descent(scene, setup.at_s, pitch_up.at_s);
    let descent_stable = (steady_s > 2.0 && scene.span.kind == Kind::PowerOffStall).then(|| {
        let idle_start = idle.map_or(f64::INFINITY, |idle| idle.at_s - 0.8);
        let at = pitch_up
            .at_s
            .min(idle_start)
            .min(turn_in(scene, setup.at_s, pitch_up.at_s))
            - 0.3;
        Moment::new(at, 1.5 * pitch_up.sigma_s, Origin::Derived)
    });
    Entry {
        setup,
        descent_stable,
        idle,
        power_set,
        pitch_up,
        steady_s,
    }
}

/// The power reduction nearest the decoder's start; without one, that start.
fn setup(scene: &Scene) -> Moment {
    let start = scene.span.start_s;
    let reach = 0.8 * REACH_S;
    let to = (start + reach).min(scene.anchor_s - 5.0);
    scene
        .lever
        .as_ref()
        .and_then(|lever| {
            Some((
                lever.cut_start(start - reach, to)?,
                lever.sigma_s,
                lever.origin,
            ))
        })
        .map_or(
            Moment::new(start, 3.0, Origin::Derived),
            |(at, sigma, origin)| Moment::new(at.max(scene.motion.from_s), 2.0 * sigma, origin),
        )
}

/// When the stick came back: where the rise of the nose to its peak began. Going back from the middle of
/// the rise, that is where the nose rose slower than a quarter of the steepest rate.
fn pitch_up(scene: &Scene, breaking: &Breaking, setup_s: f64) -> Moment {
    if scene.accelerated() {
        return tightened(scene, breaking);
    }
    let pitch = scene.motion.pitch.smooth(0.6);
    let (peak_at, peak) = breaking.pitch_peak;
    if !peak_at.is_finite() {
        return Moment::new(scene.anchor_s - 10.0, 4.0, Origin::Derived);
    }
    let from = (setup_s + 1.0).max(peak_at - 30.0);
    let low = pitch.quantile(from, peak_at, 0.1);
    let middle = low + 0.5 * (peak - low);
    let Some(half) = pitch.last_beyond(from, peak_at, middle, false) else {
        return Moment::new(peak_at - 8.0, 4.0, Origin::Derived);
    };
    let rate = pitch.rate(1.2);
    let (_, steepest) = rate
        .highest(half - 3.0, half + 1.0)
        .unwrap_or((half, f64::NAN));
    let mut onset = rate
        .last_beyond(from, half, 0.25 * steepest, false)
        .unwrap_or(from);
    if scene.span.kind == Kind::PowerOffStall {
        // From a steady descent the first 1.5° above its attitude are the beginning, pause or not.
        let before = pitch.quantile((peak_at - 25.0).max(from), peak_at, 0.15);
        let left = before + 1.5f64.to_radians();
        let crossed = pitch
            .last_beyond(from, half, left, false)
            .map(|at| at - 0.8);
        onset = crossed.map_or(onset, |at| at.min(onset));
    }
    // A slope over 1.2 s sees the rise a little early, and the nose follows the stick a little late.
    Moment::new(onset, 0.8 * scene.air_factor(), Origin::Derived)
}

/// In an accelerated stall the turn is tightened once its bank is there (within 5° of what is then held);
/// pitch, seen from the horizon, hardly shows it.
fn tightened(scene: &Scene, breaking: &Breaking) -> Moment {
    let full = breaking.full.at_s;
    let bank = scene.motion.bank.map(f64::abs);
    let held = bank.median(full - 1.5, full);
    let there = bank.last_beyond(full - 15.0, full, held - 5f64.to_radians(), false);
    Moment::new(
        there.unwrap_or(full - 3.0),
        1.2 * scene.air_factor(),
        Origin::Derived,
    )
}

fn idle(scene: &Scene, setup_s: f64, pitch_up_s: f64) -> Option<Moment> {
    if scene.span.kind != Kind::PowerOffStall {
        return None;
    }
    let lever = scene.lever.as_ref()?;
    // Most close the throttle as the nose comes up; some had it closed since the setup.
    let near = lever.idle_at(pitch_up_s - 7.0, pitch_up_s + 4.0);
    let at = near.or_else(|| lever.idle_at(setup_s - 1.0, pitch_up_s + 4.0))?;
    Some(Moment::new(at, 1.2 * lever.sigma_s, lever.origin))
}

fn power_set(scene: &Scene, setup_s: f64, pitch_up_s: f64) -> Option<Moment> {
    if scene.span.kind != Kind::PowerOnStall {
        return None;
    }
    let lever = scene.lever.as_ref()?;
    let at = lever.set_at(setup_s, pitch_up_s)?;
    Some(Moment::new(
        at.min(pitch_up_s),
        1.5 * lever.sigma_s,
        lever.origin,
    ))
}

/// When a turning stall was rolled into; infinite for a straight one.
fn turn_in(scene: &Scene, setup_s: f64, pitch_up_s: f64) -> f64 {
    let bank = scene.motion.bank.map(f64::abs).smooth(1.0);
    if bank.median(pitch_up_s, scene.anchor_s) < 10f64.to_radians() {
        return f64::INFINITY;
    }
    bank.last_beyond(setup_s, pitch_up_s + 1.0, 4f64.to_radians(), false)
        .map_or(f64::INFINITY, |at| at - 0.5)
}

/// Seconds of descent at a steady speed that ended with the stick coming back: speed within 5 kt of what
/// it was then, sinking more than 200 ft/min; at most 30 s are counted.
fn steady_descent(scene: &Scene, setup_s: f64, pitch_up_s: f64) -> f64 {
    let motion = scene.motion;
    let from = (pitch_up_s - 30.0).max(setup_s);
    let speed = motion.ias.mean(pitch_up_s - 1.0, pitch_up_s + 0.5);
    let near = 5.0 * air::units::MPS_PER_KT;
    let ias = motion.ias.smooth(1.0);
    let off = ias
        .map(|ias| (ias - speed).abs())
        .last_beyond(from, pitch_up_s - 0.5, near, true)
        .unwrap_or(from);
    let level = motion
        .climb
        .smooth(2.0)
        .last_beyond(
            from,
            pitch_up_s - 0.5,
            -200.0 * air::units::MPS_PER_FPM,
            true,
        )
        .unwrap_or(from);
    (pitch_up_s - off.max(level)).max(0.0)
}
