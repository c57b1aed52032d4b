//! Where a maneuver that begins by slowing down begins: the setup of stalls and of slow flight.
//!
//! The pilot reduces power and holds height; the specific energy starts to fall and, a second or two
//! later, so does the airspeed. That step is looked for near the knee of the airspeed, but not before the
//! last thing that was something else: a turn at maneuvering speed, the recovery from the last minimum,
//! a hole in the recording.

use super::{deg, fpm, stall_signature};
use crate::features::{Features, STEP_S};
use flight::Air;

/// Longest setup looked for, s: a slow deceleration, a long flap extension, a long descent.
const LONGEST_S: f64 = 150.0;

/// Start of the setup that leads to a slow moment at `slow_s`.
#[must_use]
pub fn start_before(features: &Features, slow_s: f64, not_before_s: f64) -> f64 {
    let floor = floor_before(features, slow_s).max(not_before_s);
    let knee = knee(features, floor, slow_s);
    step_near(features, knee, floor).clamp(floor, slow_s)
}

/// Start of slow flight that is slowed down to by `slow_s`: the last reduction out of flying that held its energy. An
/// overshoot of the cruise speed a minute before is not the speed that it was entered from.
#[must_use]
pub fn last_start_before(features: &Features, slow_s: f64) -> f64 {
    let first = start_before(features, slow_s, 0.0);
    let later = reductions(features, first + HELD_S, slow_s - SHORTEST_S);
    let faster =
        |at_s: &f64| features.at(&features.ias, *at_s) > 1.2 * features.at(&features.ias, slow_s);
    later.into_iter().rfind(faster).unwrap_or(first)
}

/// Where a stall may begin.
#[derive(Clone, Copy, Debug)]
pub struct Start {
    /// When, s.
    pub at_s: f64,
    /// Log-odds of beginning there.
    pub odds: f64,
    /// Out of slow flight: slowed already, so that seconds remain of what a setup takes.
    pub slow_already: bool,
}

impl Start {
    /// How long the setup takes from here, s, where it takes `usual_s` from cruise.
    #[must_use]
    pub fn lasts(&self, usual_s: f64) -> f64 {
        // From 1.2 stall speeds at 1 kt/s (14 CFR 23.201) a wing lets go within ten seconds or so.
        if self.slow_already { 12.0 } else { usual_s }
    }
}

/// Where a stall may begin: the setup from the fastest speed before it, and every later reduction out of flying
/// that held its energy (slow flight, slow cruise, a climb), whatever its speed.
#[must_use]
pub fn starts_before(features: &Features, slow_s: f64) -> Vec<Start> {
    let first = start_before(features, slow_s, 0.0);
    let mut starts: Vec<Start> = reductions(features, first + HELD_S, slow_s - SHORTEST_S)
        .into_iter()
        .map(|at_s| Start {
            at_s,
            odds: 0.0,
            slow_already: false,
        })
        .collect();
    // Nobody sets up a stall by flying on for half a minute: what holds such a stretch began too early.
    let mut early = if starts.is_empty() { 0.0 } else { -1.5 };
    if let Some((from_s, to_s)) = slow_and_level(features, first, slow_s) {
        let out_of_it = change_near(features, to_s, slow_s);
        for start in &mut starts {
            start.slow_already = start.at_s > out_of_it - 8.0;
        }
        if starts.iter().all(|s| (s.at_s - out_of_it).abs() > 6.0) {
            starts.push(Start {
                at_s: out_of_it,
                odds: 0.0,
                slow_already: true,
            });
        }
        early -= ((to_s - from_s - HELD_S) / 10.0).clamp(0.0, 6.0);
    }
    starts.insert(
        0,
        Start {
            at_s: first,
            odds: early,
            slow_already: false,
        },
    );
    starts
}

/// Slow flight before a stall: slow, level and at a speed that was held, for at least [`HELD_S`]; its start and end.
fn slow_and_level(features: &Features, from_s: f64, slow_s: f64) -> Option<(f64, f64)> {
    // Slow flight is flown at up to 1.2 stall speeds or so, a climb at VY at 1.4.
    let slow = 1.3 * features.scale.vs1_mps;
    // Gusts of a knot or two and some hundred feet a minute are no change of what is flown.
    let (drift, wander) = match features.air {
        Air::Calm => (0.022, fpm(250.0)),
        Air::Light => (0.03, fpm(250.0)),
        Air::Rough => (0.05, fpm(400.0)),
    };
    let held = |t: f64| {
        let (before, after) = (features.window(t - 4.0, t), features.window(t, t + 4.0));
        let speed = features.window(t - 4.0, t + 4.0).mean_ias();
        // 0.3 kt/s, slower than anybody approaches a stall (14 CFR 23.201: up to 1 kt/s), is 2 % in 4 s.
        let steady = (before.mean_ias() - after.mean_ias()).abs() < drift * speed;
        let level = features.window(t - 4.0, t + 4.0).mean_climb().abs() < wander;
        speed < slow && steady && level
    };
    let mut t = slow_s - 6.0;
    let mut end = None;
    while t > from_s && t > slow_s - 45.0 {
        if held(t) {
            end = Some(t + 2.0);
            break;
        }
        t -= 1.0;
    }
    let end_s = end?;
    // Neither does a gust, nor half a swing of speed against height: a phugoid takes π√2·V/g (Lanchester), 15 s at 65 kt,
    // and shows for some seconds more in means of 4 s. But it stays slow.
    let (mut start_s, mut broken) = (t, 0.0);
    while t > from_s && broken < SWING_S && features.at(&features.ias, t) < slow {
        t -= 1.0;
        if held(t) {
            (start_s, broken) = (t, 0.0);
        } else {
            broken += 1.0;
        }
    }
    (end_s - start_s >= HELD_S).then_some((start_s, end_s))
}

/// Half a swing of the speed, and what the means smear it by, s.
const SWING_S: f64 = 12.0;

/// Where slow flight is left for the stall: the greatest step of power or energy, up or down, near its end.
fn change_near(features: &Features, end_s: f64, slow_s: f64) -> f64 {
    let (mut best, mut top) = (end_s, 0.25);
    let mut t = end_s - 10.0;
    while t <= (end_s + 8.0).min(slow_s - 2.0) {
        let step = step_at(features, t).abs() - 0.5 * ((t - end_s) / 8.0).powi(2);
        if step > top {
            (best, top) = (t - 2.0, step);
        }
        t += STEP_S;
    }
    best
}

/// Energy held for so long is flying of its own and no part of a setup, s.
const HELD_S: f64 = 25.0;
/// From the reduction to the least speed takes at least so long (7 kt at 1 kt/s), s.
const SHORTEST_S: f64 = 7.0;

/// Moments at which energy that was held begins to be lost, by a step of the power where that is known.
fn reductions(features: &Features, from_s: f64, to_s: f64) -> Vec<f64> {
    let k = features.scale.k;
    let mut found: Vec<(f64, f64)> = Vec::new();
    let mut t = from_s;
    while t <= to_s {
        let held = held_before(features, t);
        let lost = features.window(t + 1.0, t + 7.0).mean_energy_rate() < -fpm(300.0) * k;
        let step = step_at(features, t);
        if held && lost && step > 0.4 {
            // One reduction gives a cluster of moments: the greatest step stands for it.
            match found.last_mut() {
                Some(last) if t - last.0 < 12.0 => {
                    if step > last.1 {
                        *last = (t, step);
                    }
                }
                _ => found.push((t, step)),
            }
        }
        t += STEP_S;
    }
    // The lever began to move about two seconds before the middle of the step.
    found.iter().map(|(t, _)| t - 2.0).collect()
}

/// Energy and speed were held for a while: not slowing down ever so gently, which is a setup too.
fn held_before(features: &Features, t: f64) -> bool {
    let speed = |from: f64, to: f64| features.window(t - from, t - to).mean_ias();
    let (then, now) = (speed(HELD_S, HELD_S - 6.0), speed(8.0, 2.0));
    let energy = features.window(t - HELD_S, t - 2.0).mean_energy_rate();
    energy > -fpm(200.0) * features.scale.k && now > 0.93 * then
}

/// How much power, or the specific energy rate, steps down: half the power is one step, and so is half of
/// what that power climbs.
fn step_at(features: &Features, t: f64) -> f64 {
    let before = features.window(t - 4.0, t);
    let after = features.window(t + STEP_S, t + 4.0);
    let power = before.mean_power() - after.mean_power();
    let energy = (before.mean_energy_rate() - after.mean_energy_rate()) / fpm(500.0);
    if power.is_finite() {
        2.0 * power + 0.3 * energy
    } else {
        energy
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
        // One that was pulled into out of a steep bank lets go by the roll-out and regains little speed.
        let pulled = stall_signature::accelerated(features, dip) > 0.0
            && stall_signature::evidence_pulled(features, dip).total() > 1.0;
        if pulled || stall_signature::evidence(features, dip).total() > 1.0 {
            floor = floor.max(dip.after_s.min(slow_s - 6.0));
        }
    }
    for pull in features.pulls_in(slow_s - 3.0 * LONGEST_S, slow_s - 8.0) {
        let pulled = stall_signature::accelerated(features, pull) > 0.0
            && stall_signature::evidence_pulled(features, pull).total() > 1.0;
        if pulled {
            floor = floor.max(pull.after_s.min(slow_s - 6.0));
        }
    }
    floor = floor.max(descent_before(features, floor, slow_s));
    let from = features.index(floor);
    let hole = (from..features.index(slow_s))
        .rev()
        .find(|i| !features.known[*i]);
    hole.map_or(floor, |i| features.time_s(i + 1))
}

/// The end of the last fast descent at speed; `floor_s` where there is none. Nobody slows down for a stall or slow flight
/// while coming down faster than a glide does: that is an emergency descent, or a dive.
fn descent_before(features: &Features, floor_s: f64, slow_s: f64) -> f64 {
    let sinks = -fpm(950.0) * features.scale.k;
    let fast = 1.42 * features.scale.vs1_mps;
    let mut t = slow_s - 6.0;
    while t > floor_s {
        let around = features.window(t - 3.0, t + 3.0);
        if around.mean_climb() < sinks && around.mean_ias() > fast {
            return t + 3.0;
        }
        t -= 1.0;
    }
    floor_s
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
        let step = step_at(features, t);
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
