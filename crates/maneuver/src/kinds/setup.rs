//! Where a maneuver that begins by slowing down begins: the setup of stalls and of slow flight.
//!
//! The pilot reduces power and holds height; the specific energy starts to fall and, a second or two
//! later, so does the airspeed. That step is looked for near the knee of the airspeed, but not before the
//! last thing that was something else: a turn at maneuvering speed, the recovery from the last minimum,
//! a hole in the recording.

use super::{deg, fpm, stall_signature};
use crate::features::{Features, STEP_S};

/// Longest setup looked for, s: a slow deceleration, a long flap extension, a long descent.
const LONGEST_S: f64 = 150.0;

/// Start of the setup that leads to a slow moment at `slow_s`.
#[must_use]
pub fn start_before(features: &Features, slow_s: f64, not_before_s: f64) -> f64 {
    let floor = floor_before(features, slow_s).max(not_before_s);
    let knee = knee(features, floor, slow_s);
    step_near(features, knee, floor).clamp(floor, slow_s)
}

/// Where a stall may begin: the setup from normal speed and, when the aircraft was flown slowly and level
/// for a while before, the moment it was slowed further out of that slow flight.
#[must_use]
pub fn starts_before(features: &Features, slow_s: f64) -> Vec<f64> {
    let first = start_before(features, slow_s, 0.0);
    let late = start_before(features, slow_s, slow_s - 40.0);
    let plateau = features.window(late - 38.0, late - 2.0);
    let slow = plateau.max(&features.ias) < 1.32 * features.scale.vs1_mps;
    // Held, not decelerating and not descending: the energy stayed.
    if late - first > 38.0 && slow && plateau.mean_energy_rate() > -fpm(250.0) {
        vec![first, late]
    } else {
        vec![first]
    }
}

/// The last moment that still belongs to something else.
#[must_use]
pub fn floor_before(features: &Features, slow_s: f64) -> f64 {
    let mut floor = (slow_s - LONGEST_S).max(0.0);
    // Turns flown fast belong to the clearing turns or a maneuver before; turns flown slowly to the stall.
    let fast = 1.42 * features.scale.vs1_mps;
    for turn in features.turns_in(slow_s - 3.0 * LONGEST_S, slow_s) {
        let apart = turn.end_s < slow_s - 8.0 && turn.turned_rad.abs() > deg(45.0);
        if apart && features.at(&features.ias, turn.end_s) > fast {
            floor = floor.max(turn.end_s);
        }
    }
    // The speed regained after the stall before this one. A mere undershoot while settling into the descent
    // is part of the setup.
    for dip in features.dips_in(slow_s - 3.0 * LONGEST_S, slow_s - 8.0) {
        if stall_signature::evidence(features, dip).total() > 1.0 {
            floor = floor.max(dip.after_s.min(slow_s - 6.0));
        }
    }
    let from = features.index(floor);
    let hole = (from..features.index(slow_s))
        .rev()
        .find(|i| !features.known[*i]);
    hole.map_or(floor, |i| features.time_s(i + 1))
}

/// The last moment at which the speed was still the entry speed.
fn knee(features: &Features, floor_s: f64, slow_s: f64) -> f64 {
    let window = features.window(floor_s, slow_s);
    let values = window.slice(&features.ias);
    // Not the very maximum: a gust or the overshoot after a turn would stand for the entry speed.
    let entry = window.percentile(&features.ias, 0.97, |v| v);
    let least = values.last().copied().unwrap_or(f64::NAN);
    let limit = entry - 0.06 * (entry - least).max(0.0) - 0.4;
    let last = values.iter().rposition(|v| *v >= limit);
    last.map_or(floor_s, |i| features.time_s(window.from + i))
}

/// The step down of power, or of the specific energy rate, closest to the knee of the airspeed.
fn step_near(features: &Features, knee_s: f64, floor_s: f64) -> f64 {
    let (mut best, mut top) = (knee_s - 1.5, f64::NAN);
    let mut t = (knee_s - 14.0).max(floor_s);
    while t <= knee_s + 3.0 {
        let (before, after) = (
            features.window(t - 4.0, t),
            features.window(t + STEP_S, t + 4.0),
        );
        let power = before.mean_power() - after.mean_power();
        let energy = (before.mean_energy_rate() - after.mean_energy_rate()) / fpm(500.0);
        // Half the power is one step, and so is half of what that power climbs.
        let step = if power.is_finite() {
            2.0 * power + 0.3 * energy
        } else {
            energy
        };
        // The knee itself says where; the step says when exactly.
        let closeness = 0.5 * ((t - knee_s + 2.0) / 6.0).powi(2);
        let score = step - closeness;
        if step > 0.35 && (top.is_nan() || score > top) {
            (best, top) = (t, score);
        }
        t += STEP_S;
    }
    // The step is widest in its middle: the lever began to move about two seconds before.
    (best - 2.0).max(floor_s)
}
