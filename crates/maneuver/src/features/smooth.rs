//! Small smoothing tools that know NaN.

use super::STEP_S;

/// Gaussian smoothing with σ in seconds. A missing value stays missing and lends no weight to its neighbors.
#[must_use]
pub fn gaussian(values: &[f64], sigma_s: f64) -> Vec<f64> {
    if values.iter().all(|v| v.is_nan()) {
        return values.to_vec();
    }
    let reach = (3.0 * sigma_s / STEP_S).ceil() as usize;
    let weights: Vec<f64> = (0..=reach)
        .map(|i| (-0.5 * (i as f64 * STEP_S / sigma_s).powi(2)).exp())
        .collect();
    (0..values.len())
        .map(|center| {
            if values[center].is_nan() {
                return f64::NAN;
            }
            let from = center.saturating_sub(reach);
            let to = (center + reach).min(values.len() - 1);
            let (mut sum, mut weight) = (0.0, 0.0);
            for (index, value) in values.iter().enumerate().take(to + 1).skip(from) {
                if value.is_finite() {
                    let w = weights[index.abs_diff(center)];
                    sum += w * value;
                    weight += w;
                }
            }
            sum / weight
        })
        .collect()
}

/// Central difference over `half` samples each way, per second.
#[must_use]
pub fn rate(values: &[f64], half: usize) -> Vec<f64> {
    let last = values.len().saturating_sub(1);
    (0..values.len())
        .map(|i| {
            let (from, to) = (i.saturating_sub(half), (i + half).min(last));
            if to == from {
                f64::NAN
            } else {
                (values[to] - values[from]) / ((to - from) as f64 * STEP_S)
            }
        })
        .collect()
}

/// `values` where known, else `other`.
#[must_use]
pub fn fill_from(values: &[f64], other: &[f64]) -> Vec<f64> {
    values
        .iter()
        .zip(other)
        .map(|(a, b)| if a.is_finite() { *a } else { *b })
        .collect()
}

/// A percentile (0 to 1) of the finite values, NaN when there are none.
#[must_use]
pub fn percentile(values: &[f64], share: f64) -> f64 {
    let mut finite: Vec<f64> = values.iter().copied().filter(|v| v.is_finite()).collect();
    percentile_of(&mut finite, share)
}

/// The same on a scratch vector of finite values, which it reorders.
#[must_use]
pub fn percentile_of(finite: &mut [f64], share: f64) -> f64 {
    if finite.is_empty() {
        return f64::NAN;
    }
    let at = ((finite.len() - 1) as f64 * share.clamp(0.0, 1.0)).round() as usize;
    *finite.select_nth_unstable_by(at, f64::total_cmp).1
}
