//! The ball: lateral load kept up, in g.

use crate::context::{Context, mean, median};
use crate::draft::{self, Number};
use crate::held;
use crate::model::Mark;
use crate::pack::Criterion;
use crate::ribbon;
use flight::{PowerState, Series};

/// The ball is judged by what it shows over some seconds, not by a jolt, s.
const AVERAGE_S: f64 = 5.0;
/// Reach of the means that take the engine's shaking out, to both sides, s.
const SMOOTH_S: f64 = 0.25;
/// How well the ends of the graded part are known, s.
const SHIFT_S: f64 = 0.5;
/// Wings level, rad.
const LEVEL_RAD: f64 = 0.05;
/// So much level flight with the power off tells the sensor's offset, s.
const QUIET_S: f64 = 20.0;

/// Highest mean size of the lateral load over five seconds of the window, g.
pub(super) fn ball(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.lateral else {
        return draft::not_recorded(mark, "no lateral load was recorded");
    };
    let Some((from_s, to_s)) = context.window(criterion) else {
        return draft::not_recorded(mark, "the graded part was not found");
    };
    let step_s = context.flight.clock.step_s;
    let (bias, bias_sigma) = bias(context, series);
    let noise = noise(context, series, from_s, to_s);
    let values = smooth(&context.slice(series, from_s, to_s), step_s);
    let values: Vec<f64> = values.iter().map(|value| value - bias).collect();
    let Some(worst) = worst_mean(&values, step_s, noise) else {
        return draft::not_recorded(mark, "no lateral load was recorded here");
    };
    // The moment of the stall is known to the better part of a second, and the load grows toward it; at
    // one sample a second the mean also hangs on where the samples fell.
    let shift_s = SHIFT_S.max(step_s);
    let moved = |by_s: f64| {
        let values = smooth(&context.slice(series, from_s + by_s, to_s + by_s), step_s);
        let values: Vec<f64> = values.iter().map(|value| value - bias).collect();
        worst_mean(&values, step_s, noise).map_or(worst.0, |worst| worst.0)
    };
    let timing = 0.5 * (moved(shift_s) - moved(-shift_s)).abs();
    let length = (AVERAGE_S.min(to_s - from_s) / step_s).max(1.0);
    let number = Number {
        value: worst.0,
        sigma: bias_sigma
            .hypot(noise / length.sqrt())
            .hypot(timing)
            .hypot(0.003),
        at_s: from_s + worst.1 as f64 * step_s,
        note: String::new(),
    };
    let mut mark = draft::number(mark, &number, series.origin);
    mark.ribbon = super::line::drawn(context, series, 1.0, (from_s, to_s)).map(|mut line| {
        line.values = smooth(&line.values, step_s)
            .iter()
            .map(|value| value - bias)
            .collect();
        ribbon::line(&line, criterion, 0.0, number.sigma)
    });
    mark
}

/// Noise from sample to sample, g: what the flight says of a single value, or what a quiet stretch shows.
fn noise(context: &Context, series: &Series, from_s: f64, to_s: f64) -> f64 {
    let single = context.sigma(series, from_s, to_s);
    let shown = held::roughness(&context.slice(series, from_s - 30.0, to_s));
    if single.is_finite() {
        single.min(shown.max(0.004))
    } else {
        shown.max(0.01)
    }
}

/// Mean size of the ball over [`AVERAGE_S`], the worst such stretch, and its first sample. What noise
/// alone would show as a size is taken out again.
fn worst_mean(values: &[f64], step_s: f64, noise: f64) -> Option<(f64, usize)> {
    let length = ((AVERAGE_S / step_s).round() as usize).clamp(1, values.len().max(1));
    // For normal noise of deviation s the mean size is 0.798 s; half-second means leave less of it.
    let floor = 0.798 * noise / (1.0 + 2.0 * (SMOOTH_S / step_s).round()).sqrt();
    values
        .windows(length)
        .enumerate()
        .filter_map(|(index, stretch)| {
            let sizes: Vec<f64> = stretch.iter().map(|value| value.abs()).collect();
            mean(&sizes).map(|size| ((size * size - floor * floor).max(0.0).sqrt(), index))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0))
}

/// Half-second means: a recorder's single samples shake with the engine.
fn smooth(values: &[f64], step_s: f64) -> Vec<f64> {
    let reach = (SMOOTH_S / step_s).round() as usize;
    if reach == 0 {
        return values.to_vec();
    }
    (0..values.len())
        .map(|index| {
            let from = index.saturating_sub(reach);
            let to = (index + reach + 1).min(values.len());
            mean(&values[from..to]).unwrap_or(f64::NAN)
        })
        .collect()
}

/// Offset of the sensor and what it is known to, g: its median with the wings level and the power off,
/// where nothing makes the aircraft yaw and even a careless pilot's ball is centered. Where the recording
/// has too little of that, none is taken off: a ball that is out in cruise is not the sensor's fault.
fn bias(context: &Context, series: &Series) -> (f64, f64) {
    let flight = context.flight;
    let quiet = |index: &usize| {
        flight.power_state.get(*index) == Some(&PowerState::Idle)
            && !flight.on_ground.get(*index).copied().unwrap_or(false)
            && flight
                .bank
                .as_ref()
                .is_some_and(|bank| bank.at(*index).abs() < LEVEL_RAD)
    };
    // Every so many samples will do for a median.
    let every = (flight.clock.len / 8_000).max(1);
    let values: Vec<f64> = (0..flight.clock.len)
        .step_by(every)
        .filter(quiet)
        .map(|index| context.known(series, index))
        .collect();
    let seconds = values.len() as f64 * every as f64 * flight.clock.step_s;
    if seconds < QUIET_S {
        return (0.0, 0.008);
    }
    (median(values).unwrap_or(0.0), 0.005)
}
