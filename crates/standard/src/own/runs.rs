//! Where in a flight a step could be: the stretches in which its primitive holds.

use crate::pack::{Power, Primitive, Step};
use air::units::{MPS_PER_FPM, MPS_PER_KT};
use maneuver::features::{Features, STEP_S};

/// More is climbing or descending: what ordinary flying is cut by, too.
const LEVEL_FPM: f64 = 200.0;
/// More is a turn: less is keeping the wings level.
const WINGS_LEVEL_DEG: f64 = 10.0;
/// More is accelerating or decelerating: a third of a knot a second is seen on the instrument within a few seconds.
/// Assumed.
const SPEED_KT_PER_S: f64 = 0.33;
/// Closed, and all there is, as shares of the greatest power. Assumed: a gauge and an idling engine are no better.
const IDLE: f64 = 0.15;
const FULL: f64 = 0.9;
/// A primitive may be interrupted for so long, s: a gust.
const BRIDGED_S: f64 = 2.0;
/// Half the time over which a rate is averaged, s.
const HALF_MEAN_S: f64 = 2.5;

/// From and to, s.
pub(super) type Run = (f64, f64);

/// The stretches in which a step's primitive holds, in order, apart from each other.
pub(super) fn of(features: &Features, step: &Step) -> Vec<Run> {
    if step.primitive.turn() {
        let right = step.primitive == Primitive::TurnRight;
        let turns = features.turns.iter();
        return turns
            .filter(|turn| turn.right() == right)
            .map(|turn| (turn.start_s, turn.end_s))
            .collect();
    }
    let holds = |index: usize| {
        let at = |series: &[f64]| series.get(index).copied().unwrap_or(f64::NAN);
        let known = features.known.get(index).copied().unwrap_or(false);
        let ground = features.on_ground.get(index).copied().unwrap_or(false);
        let level = at(&features.bank).abs() < WINGS_LEVEL_DEG.to_radians();
        let climb = mean(features, &features.climb, index) / MPS_PER_FPM;
        let speed = mean(features, &features.ias_rate, index) / MPS_PER_KT;
        let power = at(&features.power);
        known
            && !ground
            && match step.primitive {
                Primitive::Level => level && climb.abs() <= LEVEL_FPM,
                Primitive::Climb => level && climb > LEVEL_FPM,
                Primitive::Descend => level && climb < -LEVEL_FPM,
                Primitive::Accelerate => level && speed > SPEED_KT_PER_S,
                Primitive::Decelerate => level && speed < -SPEED_KT_PER_S,
                Primitive::PowerIdle => is(Power::Idle, power),
                Primitive::PowerPartial => is(Power::Partial, power),
                Primitive::PowerFull => is(Power::Full, power),
                Primitive::TurnLeft | Primitive::TurnRight => false,
            }
            && step.power.is_none_or(|wanted| is(wanted, power))
    };
    let mut runs: Vec<Run> = Vec::new();
    for index in (0..features.len).filter(|index| holds(*index)) {
        let at_s = features.time_s(index);
        match runs.last_mut() {
            Some(last) if at_s - last.1 <= BRIDGED_S + STEP_S => last.1 = at_s,
            _ => runs.push((at_s, at_s)),
        }
    }
    runs
}

/// Whether the power is so; an unknown one is nothing.
pub(super) fn is(wanted: Power, power: f64) -> bool {
    match wanted {
        Power::Idle => power <= IDLE,
        Power::Partial => power > IDLE && power < FULL,
        Power::Full => power >= FULL,
    }
}

fn mean(features: &Features, series: &[f64], index: usize) -> f64 {
    let at_s = features.time_s(index);
    features
        .window(at_s - HALF_MEAN_S, at_s + HALF_MEAN_S)
        .mean(series)
}
