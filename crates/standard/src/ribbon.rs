//! The ribbon of a mark: deviation ÷ tolerance along time, thinned for drawing.

use crate::draft::Line;
use crate::model::{Ribbon, RibbonStyle};
use crate::pack::Criterion;

/// No ribbon needs more: a sheet gives a row about this many dots of ink.
pub(crate) const POINTS_MAX: usize = 240;

/// Scale that puts the limits of a criterion at −1 and +1: middle and half width, from the target.
///
/// A one-sided limit at `h` has its middle at zero deviation and its half width `|h|`; an absolute least
/// value (`low` alone, no target) counts from a point above it by a third of itself.
pub(crate) fn scale(low: Option<f64>, high: Option<f64>, absolute: bool) -> (f64, f64) {
    match (low, high) {
        (Some(low), Some(high)) => (0.5 * (low + high), (0.5 * (high - low)).max(1e-9)),
        (None, Some(high)) => (0.0, high.abs().max(1e-9)),
        (Some(low), None) if absolute => {
            let half = (low.abs() / 3.0).max(1e-9);
            (low + half, half)
        }
        (Some(low), None) => (0.0, low.abs().max(1e-9)),
        (None, None) => (0.0, 1.0),
    }
}

/// Ribbon of a line. Each drawn point is the most deviating value of its step, so that thinning never
/// hides an excursion.
pub(crate) fn line(line: &Line, criterion: &Criterion, target: f64, sigma: f64) -> Ribbon {
    let (middle, half) = scale(criterion.low, criterion.high, line.aim.is_none());
    let every = line.values.len().div_ceil(POINTS_MAX).max(1);
    let scaled = |value: &f64| (value - target - middle) / half;
    let point = |values: &[f64]| {
        values
            .iter()
            .map(scaled)
            .filter(|deviation| deviation.is_finite())
            .max_by(|a, b| a.abs().total_cmp(&b.abs()))
            // Far on the allowed side of a one-sided limit is not worth ink.
            .map(|deviation| {
                if criterion.high.is_none() {
                    deviation.min(3.0)
                } else {
                    deviation
                }
            })
            .map(|deviation| deviation as f32)
    };
    let first = line.graded.iter().position(|graded| *graded).unwrap_or(0);
    let last = line.graded.iter().rposition(|graded| *graded).unwrap_or(0);
    Ribbon {
        start_s: line.from_s,
        step_s: line.step_s * every as f64,
        graded_from_s: line.from_s + first as f64 * line.step_s,
        graded_to_s: line.from_s + last as f64 * line.step_s,
        deviation: line.values.chunks(every).map(point).collect(),
        sigma: (sigma / half) as f32,
        style: RibbonStyle::Line,
        moments_s: Vec::new(),
    }
}
