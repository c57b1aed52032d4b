//! The smoother over a whole flight with holes, in two passes: the first shows how large each
//! channel's errors really are and which readings are wild, the second uses that.

use std::ops::Range;

use crate::matrix::{Matrix, dot};
use crate::rts::{self, Dynamics, Reading, Smoothed};
use crate::stats;

/// One kind of reading over the whole flight.
pub struct Input<const N: usize, const A: usize> {
    /// y = h·x.
    pub h: [f64; N],
    /// 1-σ expected of one reading; the residuals may raise it, up to tenfold.
    pub sigma: f64,
    /// One column per axis; empty where nothing is read.
    pub values: [Vec<f64>; A],
    /// Weight given away beforehand, in halvings (see [`Reading::demotion`]). Empty: none.
    pub demotion: Vec<u8>,
}

/// Smoothed states over the whole flight.
pub struct Track<const N: usize, const A: usize> {
    /// By axis and state, one column each; NaN in holes.
    pub states: [[Vec<f64>; N]; A],
    /// 1-σ by state (axes share it).
    pub sigmas: [Vec<f32>; N],
}

/// Smooths every stretch.
pub fn smooth<const N: usize, const A: usize, const R: usize>(
    dynamics: &Dynamics<N>,
    inputs: &[Input<N, A>; R],
    stretches: &[Range<usize>],
    len: usize,
) -> Track<N, A> {
    let sigmas: [f64; R] = std::array::from_fn(|k| inputs[k].sigma);
    let told: [&[u8]; R] = std::array::from_fn(|k| inputs[k].demotion.as_slice());
    let first = pass(dynamics, inputs, &sigmas, &told, stretches, len);
    let mut learned = sigmas;
    let mut changed = false;
    let judged: [Vec<u8>; R] = std::array::from_fn(|k| {
        let (input, sigma) = (&inputs[k], sigmas[k]);
        let residuals = residuals(input, &first, len);
        let seen = residuals
            .iter()
            .map(|axis| stats::spread(axis.iter().step_by(1 + len / 20_000).copied()))
            .fold(f64::NAN, f64::max);
        let to = if seen.is_finite() {
            seen.clamp(sigma, 10.0 * sigma)
        } else {
            sigma
        };
        changed |= to > 1.3 * sigma;
        learned[k] = to;
        let demotion = demote(input, &residuals, to);
        changed |= demotion != input.demotion && demotion.iter().any(|level| *level > 0);
        demotion
    });
    if !changed {
        return columns(&first, len);
    }
    drop(first);
    let judged: [&[u8]; R] = std::array::from_fn(|k| judged[k].as_slice());
    let second = pass(dynamics, inputs, &learned, &judged, stretches, len);
    columns(&second, len)
}

/// Stretches with their states.
type Parts<const N: usize, const A: usize> = Vec<(Range<usize>, Smoothed<N, A>)>;

/// Reading minus what the states say, by axis; NaN in holes. Empty where there are no readings.
fn residuals<const N: usize, const A: usize>(
    input: &Input<N, A>,
    parts: &Parts<N, A>,
    len: usize,
) -> [Vec<f64>; A] {
    std::array::from_fn(|axis| {
        let values = &input.values[axis];
        let mut out = Vec::with_capacity(if values.is_empty() { 0 } else { len });
        for (range, smoothed) in parts {
            let Some(values) = values.get(range.clone()) else {
                continue;
            };
            out.resize(range.start, f64::NAN);
            out.extend(
                values
                    .iter()
                    .zip(&smoothed.x)
                    .map(|(value, x)| value - dot(&input.h, &x[axis])),
            );
        }
        if !values.is_empty() {
            out.resize(len, f64::NAN);
        }
        out
    })
}

/// Huber's weight min(1, 4σ/|r|), as halvings: beyond four σ a reading pulls no harder than at four.
fn demote<const N: usize, const A: usize>(
    input: &Input<N, A>,
    residuals: &[Vec<f64>; A],
    sigma: f64,
) -> Vec<u8> {
    let limit = 4.0 * sigma;
    let len = residuals.iter().map(Vec::len).min().unwrap_or(0);
    let mut out = if input.demotion.is_empty() {
        vec![0; len]
    } else {
        input.demotion.clone()
    };
    for (i, level) in out.iter_mut().enumerate().take(len) {
        let mut worst = 0.0_f64;
        for axis in residuals {
            worst = worst.max(axis[i].abs());
        }
        if worst > limit {
            // Squared, because a wild reading is more often wrong than merely large.
            let more = (2.0 * (worst / limit).log2()).ceil().clamp(1.0, 14.0);
            *level = level.saturating_add(more as u8).min(15);
        }
    }
    out
}

fn pass<const N: usize, const A: usize, const R: usize>(
    dynamics: &Dynamics<N>,
    inputs: &[Input<N, A>; R],
    sigmas: &[f64; R],
    demotions: &[&[u8]; R],
    stretches: &[Range<usize>],
    len: usize,
) -> Parts<N, A> {
    let mut parts = Vec::new();
    for stretch in stretches {
        let range = stretch.start.min(len)..stretch.end.min(len);
        let readings: [Reading<'_, N, A>; R] = std::array::from_fn(|k| Reading {
            h: inputs[k].h,
            variance: sigmas[k] * sigmas[k],
            values: std::array::from_fn(|axis| {
                inputs[k].values[axis]
                    .get(range.clone())
                    .unwrap_or_default()
            }),
            demotion: demotions[k].get(range.clone()).unwrap_or_default(),
        });
        let there = |reading: &Reading<'_, N, A>| {
            reading
                .values
                .iter()
                .all(|axis| axis.iter().any(|value| value.is_finite()))
        };
        if readings.iter().any(there) {
            let smoothed = rts::smooth(dynamics, &readings, start(&readings), range.len());
            parts.push((range, smoothed));
        }
    }
    parts
}

/// Samples that are turned into columns at once: few enough to stay in the nearest memory.
const BLOCK: usize = 256;

/// States and their 1-σ as columns.
fn columns<const N: usize, const A: usize>(parts: &Parts<N, A>, len: usize) -> Track<N, A> {
    let mut states: [[Vec<f64>; N]; A] =
        std::array::from_fn(|_| std::array::from_fn(|_| Vec::with_capacity(len)));
    let mut sigmas: [Vec<f32>; N] = std::array::from_fn(|_| Vec::with_capacity(len));
    for (range, smoothed) in parts {
        for column in states.iter_mut().flatten() {
            column.resize(range.start, f64::NAN);
        }
        for block in smoothed.x.chunks(BLOCK) {
            for (axis, states) in states.iter_mut().enumerate() {
                for (k, column) in states.iter_mut().enumerate() {
                    column.extend(block.iter().map(|x| x[axis][k]));
                }
            }
        }
        for (k, column) in sigmas.iter_mut().enumerate() {
            let mut form = [0.0; N];
            form[k] = 1.0;
            column.resize(range.start, f32::NAN);
            smoothed.add_sigmas(&form, column);
        }
    }
    for column in states.iter_mut().flatten() {
        column.resize(len, f64::NAN);
    }
    for column in &mut sigmas {
        column.resize(len, f32::NAN);
    }
    Track { states, sigmas }
}

/// The first readings of the stretch, where a state is read almost alone.
fn start<const N: usize, const A: usize>(readings: &[Reading<'_, N, A>]) -> [[f64; N]; A] {
    let mut x = [[0.0; N]; A];
    for reading in readings {
        let Some(state) = reading.h.iter().position(|h| *h == 1.0) else {
            continue;
        };
        for (x, values) in x.iter_mut().zip(&reading.values) {
            let mut first: Vec<f64> = values
                .iter()
                .filter(|value| value.is_finite())
                .take(5)
                .copied()
                .collect();
            first.sort_by(f64::total_cmp);
            if let Some(middle) = first.get(first.len() / 2)
                && x[state] == 0.0
            {
                x[state] = *middle;
            }
        }
    }
    x
}

/// A value that wanders slowly, from readings at every sample, reckoned once a second.
pub struct Slow {
    /// By sample, straight between the seconds; NaN in holes.
    pub value: Vec<f64>,
    /// 1-σ by sample.
    pub sigma: Vec<f32>,
}

/// Smooths slow values. `sigma` is that of a whole second's mean with what stays alike from second to
/// second taken into account, `density` the random walk's spectral density.
pub fn slow<const A: usize>(
    readings: &[Vec<f64>; A],
    sigma: f64,
    density: f64,
    p0: f64,
    stretches: &[Range<usize>],
    step_s: f64,
) -> [Slow; A] {
    let len = readings.first().map_or(0, Vec::len);
    let bin = ((1.0 / step_s).round() as usize).max(1);
    let bins = len.div_ceil(bin);
    let values: [Vec<f64>; A] =
        std::array::from_fn(|axis| readings[axis].chunks(bin).map(mean).collect());
    let coarse: Vec<Range<usize>> = stretches
        .iter()
        .map(|range| range.start / bin..range.end.div_ceil(bin))
        .collect();
    let inputs = [Input {
        h: [1.0],
        sigma,
        values,
        demotion: Vec::new(),
    }];
    let track = smooth(
        &walk(bin as f64 * step_s, density, p0),
        &inputs,
        &coarse,
        bins,
    );
    let middle = (bin - 1) as f64 / 2.0;
    std::array::from_fn(|axis| {
        let [column] = &track.states[axis];
        let at = |i: usize| {
            let place = ((i as f64 - middle) / bin as f64).clamp(0.0, (bins - 1) as f64);
            let k = place as usize;
            let low = column[k];
            let high = column
                .get(k + 1)
                .copied()
                .filter(|high| high.is_finite())
                .unwrap_or(low);
            low + (place - k as f64) * (high - low)
        };
        Slow {
            value: (0..len).map(at).collect(),
            sigma: (0..len)
                .map(|i| track.sigmas[0].get(i / bin).copied().unwrap_or(f32::NAN))
                .collect(),
        }
    })
}

/// Mean of the finite values; NaN without any.
fn mean(values: &[f64]) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for value in values {
        if value.is_finite() {
            sum += value;
            count += 1.0;
        }
    }
    if count > 0.0 { sum / count } else { f64::NAN }
}

/// Position, speed and acceleration with white jerk of a spectral density, over one step.
pub fn white_jerk(step_s: f64, density: f64, p0: [f64; 3]) -> Dynamics<3> {
    let t = step_s;
    let q = density;
    Dynamics {
        f: [[1.0, t, t * t / 2.0], [0.0, 1.0, t], [0.0, 0.0, 1.0]],
        q: [
            [
                q * t.powi(5) / 20.0,
                q * t.powi(4) / 8.0,
                q * t.powi(3) / 6.0,
            ],
            [q * t.powi(4) / 8.0, q * t.powi(3) / 3.0, q * t * t / 2.0],
            [q * t.powi(3) / 6.0, q * t * t / 2.0, q * t],
        ],
        p0: diagonal(p0),
    }
}

/// Value and rate, the rate being a random walk of a spectral density, over one step.
pub fn white_acceleration(step_s: f64, density: f64, p0: [f64; 2]) -> Dynamics<2> {
    let t = step_s;
    let q = density;
    Dynamics {
        f: [[1.0, t], [0.0, 1.0]],
        q: [
            [q * t.powi(3) / 3.0, q * t * t / 2.0],
            [q * t * t / 2.0, q * t],
        ],
        p0: diagonal(p0),
    }
}

/// A random walk of a spectral density.
pub fn walk(step_s: f64, density: f64, p0: f64) -> Dynamics<1> {
    Dynamics {
        f: [[1.0]],
        q: [[density * step_s]],
        p0: [[p0]],
    }
}

fn diagonal<const N: usize>(values: [f64; N]) -> Matrix<N> {
    let mut out = [[0.0; N]; N];
    for (k, value) in values.into_iter().enumerate() {
        out[k][k] = value;
    }
    out
}
