//! The ball: lateral load kept up, in g.

use crate::context::{Context, mean, median};
use crate::draft::{self, Number};
use crate::held;
use crate::model::Mark;
use crate::pack::Criterion;
use crate::ribbon;
use flight::Series;

/// The ball is judged by what it shows over some seconds, not by a jolt, s.
const AVERAGE_S: f64 = 5.0;

/// Highest mean size of the lateral load over five seconds of the window, g.
pub(super) fn ball(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.lateral else {
        return draft::not_recorded(mark, "no lateral load was recorded");
    };
    let Some((from_s, to_s)) = context.window(criterion) else {
        return draft::not_recorded(mark, "the graded part was not found");
    };
    let values: Vec<f64> = context.slice(series, from_s, to_s);
    let bias = bias(context, series);
    let step_s = context.flight.clock.step_s;
    let values: Vec<f64> = smooth(&values, step_s)
        .iter()
        .map(|value| value - bias)
        .collect();
    let Some(worst) = worst_mean(&values, step_s) else {
        return draft::not_recorded(mark, "no lateral load was recorded here");
    };
    let number = Number {
        value: worst.0,
        sigma: sigma(context, series, from_s, to_s, &values),
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

/// Mean size of the ball over [`AVERAGE_S`], the worst such stretch, and its first sample. The noise that
/// a mean of absolute values keeps is taken out again.
fn worst_mean(values: &[f64], step_s: f64) -> Option<(f64, usize)> {
    let length = ((AVERAGE_S / step_s).round() as usize).clamp(1, values.len().max(1));
    // For normal noise of deviation s the mean size is 0.798 s.
    let floor = 0.798 * held::roughness(values);
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
    let reach = (0.25 / step_s).round() as usize;
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

/// Offset of the sensor: its median in flight with the wings level. Balanced flight has none.
fn bias(context: &Context, series: &Series) -> f64 {
    let level = |index: &usize| {
        let flying = !context
            .flight
            .on_ground
            .get(*index)
            .copied()
            .unwrap_or(false);
        flying
            && context
                .flight
                .bank
                .as_ref()
                .is_none_or(|bank| bank.at(*index).abs() < 0.05)
    };
    // Every so many samples will do for a median.
    let every = (context.flight.clock.len / 2_000).max(1);
    let values = (0..context.flight.clock.len).step_by(every).filter(level);
    median(values.map(|index| context.known(series, index)).collect()).unwrap_or(0.0)
}

/// The mean over five seconds is known to the sensor's drift (a fifth of the limit is usual, no source)
/// and a share of the noise.
fn sigma(context: &Context, series: &Series, from_s: f64, to_s: f64, values: &[f64]) -> f64 {
    let single = context.sigma(series, from_s, to_s);
    let single = if single.is_finite() { single } else { 0.02 };
    let averaged = held::roughness(values) / (values.len().max(1) as f64).sqrt();
    (0.35 * single).hypot(averaged).max(0.006)
}
