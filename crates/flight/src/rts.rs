//! A forward–backward (Rauch–Tung–Striebel) smoother for small time-invariant systems.
//!
//! States follow x(i+1) = F·x(i) + w, cov(w) = Q; scalar readings are y = H·x + e, any of them may be
//! missing at any sample and any may be given less weight. Source: H. Rauch, F. Tung, C. Striebel,
//! "Maximum likelihood estimates of linear dynamic systems", AIAA Journal 3 (1965).
//!
//! Covariances do not depend on the readings, only on which of them were there. So each distinct
//! covariance is kept once and the walk along the flight is a walk through these: where the pattern of
//! readings repeats (also with a period), a step costs only its gains. Two axes that see the same
//! pattern (east and north) share all of it.

// Matrix arithmetic reads as in the books with its indices; every bound is a constant.
#![allow(clippy::needless_range_loop)]

use crate::matrix::{
    Matrix, dot, identity, less, multiply, multiply_transposed, quadratic, solve, symmetrize,
    times, transpose, without,
};

/// How the states move.
#[derive(Clone, Copy, Debug)]
pub struct Dynamics<const N: usize> {
    /// Transition over one step.
    pub f: Matrix<N>,
    /// Covariance of what is added in one step.
    pub q: Matrix<N>,
    /// Covariance before the first reading.
    pub p0: Matrix<N>,
}

/// One kind of reading for `A` axes that share their covariance.
pub struct Reading<'a, const N: usize, const A: usize> {
    /// y = h·x.
    pub h: [f64; N],
    /// Variance of one reading.
    pub variance: f64,
    /// One row per axis; missing at a sample where any axis is NaN, and everywhere in an empty row.
    pub values: [&'a [f64]; A],
    /// Halvings of weight per sample: 0 = full, 1 = half, …, 15 = none. Empty: all full.
    pub demotion: &'a [u8],
}

/// Smoothed states, and which covariance each has.
pub struct Smoothed<const N: usize, const A: usize> {
    /// States by sample.
    pub x: Vec<[[f64; N]; A]>,
    /// Index into `covariances` by sample.
    pub which: Vec<u32>,
    /// Distinct covariances.
    pub covariances: Vec<Matrix<N>>,
}

impl<const N: usize, const A: usize> Smoothed<N, A> {
    /// 1-σ of a linear form by distinct covariance, spread over the samples.
    pub fn add_sigmas(&self, form: &[f64; N], column: &mut Vec<f32>) {
        let table: Vec<f32> = self
            .covariances
            .iter()
            .map(|p| quadratic(p, form).max(0.0).sqrt() as f32)
            .collect();
        let of = |which: &u32| table.get(*which as usize).copied().unwrap_or(f32::NAN);
        column.extend(self.which.iter().map(of));
    }
}

const NONE: u32 = u32::MAX;
/// How many of the latest covariances are looked through for one that is as good.
const LOOK_BACK: usize = 32;

/// A covariance on the way forward, with what follows from it.
struct Node<const N: usize, const R: usize> {
    filtered: Matrix<N>,
    /// F·P·Fᵀ + Q of the next sample.
    predicted: Matrix<N>,
    /// P·Fᵀ·predicted⁻¹.
    back: Matrix<N>,
    /// 1 − back·F: what the smoothed state keeps of the filtered one.
    keep: Matrix<N>,
    /// What all readings of the sample leave of the state before them.
    correct: Matrix<N>,
    /// That of the state one sample earlier: correct·F.
    step: Matrix<N>,
    /// What each reading adds, the later ones of the sample taken into account; 0 for one that was not
    /// there.
    gains: [[f64; N]; R],
    pattern: u64,
    next: Vec<(u64, u32)>,
}

/// Smooths one stretch. `start` is the state before the first reading.
pub fn smooth<const N: usize, const A: usize, const R: usize>(
    dynamics: &Dynamics<N>,
    readings: &[Reading<'_, N, A>; R],
    start: [[f64; N]; A],
    len: usize,
) -> Smoothed<N, A> {
    let len = readings
        .iter()
        .flat_map(|reading| &reading.values)
        .map(|axis| axis.len())
        .filter(|len| *len > 0)
        .fold(len, usize::min);
    let mut nodes: Vec<Node<N, R>> = Vec::new();
    let mut filtered: Vec<[[f64; N]; A]> = Vec::with_capacity(len);
    let mut node_of: Vec<u32> = Vec::with_capacity(len);
    let mut x = start;
    let mut node = NONE;
    let mut first: Vec<(u64, u32)> = Vec::new();
    let mut i = 0;
    while i < len {
        let pattern = pattern_at(readings, i);
        let table = nodes.get(node as usize).map_or(&first, |node| &node.next);
        let known = table
            .iter()
            .find(|(of, _)| *of == pattern)
            .map(|(_, to)| *to);
        let next = known.unwrap_or_else(|| {
            let predicted = nodes
                .get(node as usize)
                .map_or(dynamics.p0, |node| node.predicted);
            let made = make_node(dynamics, readings, predicted, pattern);
            let to = merge(&mut nodes, made);
            match nodes.get_mut(node as usize) {
                Some(node) => node.next.push((pattern, to)),
                None => first.push((pattern, to)),
            }
            to
        });
        let Some(found) = nodes.get(next as usize) else {
            break;
        };
        let by = if i > 0 { &found.step } else { &found.correct };
        x = stepped(by, readings, found, i, &x);
        let settled = next == node;
        node = next;
        filtered.push(x);
        node_of.push(node);
        i += 1;
        if settled {
            let run = i..len;
            i = settled_run(readings, found, run, &mut x, &mut filtered);
            node_of.resize(filtered.len(), node);
        }
    }
    backward(&nodes, filtered, node_of)
}

/// Samples that are looked ahead at once.
const AHEAD: usize = 64;

/// Goes on with the same gains for as long as the same readings are there at the same weight; gives the
/// sample where that ended.
fn settled_run<const N: usize, const A: usize, const R: usize>(
    readings: &[Reading<'_, N, A>; R],
    node: &Node<N, R>,
    run: std::ops::Range<usize>,
    x: &mut [[f64; N]; A],
    out: &mut Vec<[[f64; N]; A]>,
) -> usize {
    let mut from = run.start;
    while from < run.end {
        let ahead = (from + AHEAD).min(run.end);
        let mut to = ahead;
        for (k, reading) in readings.iter().enumerate() {
            to = same_until(reading, level(node.pattern, k), from..to);
        }
        for i in from..to {
            *x = stepped(&node.step, readings, node, i, x);
            out.push(*x);
        }
        from = to;
        if to < ahead {
            break;
        }
    }
    from
}

/// How far a reading stays there at a level (15: stays away).
fn same_until<const N: usize, const A: usize>(
    reading: &Reading<'_, N, A>,
    level: u8,
    range: std::ops::Range<usize>,
) -> usize {
    let mut end = range.end;
    let demotion = reading.demotion.get(range.start..end);
    if level < 15 {
        for axis in &reading.values {
            let ahead = axis.get(range.start..end).unwrap_or_default();
            let there = ahead.iter().position(|value| value.is_nan());
            end = range.start + there.unwrap_or(ahead.len());
        }
        match demotion {
            Some(demotion) => {
                let other = demotion.iter().position(|now| (*now).min(15) != level);
                end.min(range.start + other.unwrap_or(usize::MAX - range.start))
            }
            None if level == 0 => end,
            None => range.start,
        }
    } else {
        let away = |i: &usize| {
            let missing = |axis: &&[f64]| axis.get(*i).is_none_or(|value| value.is_nan());
            reading.values.iter().any(missing)
                || reading.demotion.get(*i).is_some_and(|now| *now >= 15)
        };
        (range.start..end).find(|i| !away(i)).unwrap_or(end)
    }
}

fn level(pattern: u64, reading: usize) -> u8 {
    ((pattern >> (4 * reading)) & 15) as u8
}

/// Four bits a reading: 15 = absent, else its demotion.
fn pattern_at<const N: usize, const A: usize, const R: usize>(
    readings: &[Reading<'_, N, A>; R],
    i: usize,
) -> u64 {
    let mut pattern = 0;
    for (k, reading) in readings.iter().enumerate() {
        let there = reading
            .values
            .iter()
            .all(|axis| axis.get(i).is_some_and(|value| !value.is_nan()));
        let level = if there {
            reading.demotion.get(i).copied().unwrap_or(0).min(15)
        } else {
            15
        };
        pattern |= u64::from(level) << (4 * k);
    }
    pattern
}

fn make_node<const N: usize, const A: usize, const R: usize>(
    dynamics: &Dynamics<N>,
    readings: &[Reading<'_, N, A>; R],
    predicted: Matrix<N>,
    pattern: u64,
) -> Node<N, R> {
    let mut p = predicted;
    let mut gains = [[0.0; N]; R];
    for (k, (reading, slot)) in readings.iter().zip(&mut gains).enumerate() {
        let level = (pattern >> (4 * k)) & 15;
        let mut gain = [0.0; N];
        if level < 15 {
            let ph = times(&p, &reading.h);
            let s = dot(&reading.h, &ph) + reading.variance * f64::from(1_u32 << level);
            if s > 0.0 {
                gain = ph.map(|value| value / s);
                for row in 0..N {
                    for column in 0..N {
                        p[row][column] -= gain[row] * ph[column];
                    }
                }
            }
        }
        *slot = gain;
    }
    symmetrize(&mut p);
    let mut correct = identity();
    for (k, reading) in readings.iter().enumerate() {
        let update = without(&identity(), &gains[k], &reading.h);
        correct = multiply(&update, &correct);
        for earlier in gains.iter_mut().take(k) {
            *earlier = times(&update, earlier);
        }
    }
    let fp = multiply(&dynamics.f, &p);
    let mut next = multiply_transposed(&fp, &dynamics.f);
    for (row, add) in next.iter_mut().zip(&dynamics.q) {
        for (value, add) in row.iter_mut().zip(add) {
            *value += add;
        }
    }
    symmetrize(&mut next);
    // back = (predicted⁻¹ · F·P)ᵀ, solved without inverting.
    let back = transpose(&solve(&next, &fp));
    Node {
        filtered: p,
        predicted: next,
        keep: less(&identity(), &multiply(&back, &dynamics.f)),
        back,
        step: multiply(&correct, &dynamics.f),
        correct,
        gains,
        pattern,
        next: Vec::new(),
    }
}

/// A covariance that is as good as one that is there already takes its place.
fn merge<const N: usize, const R: usize>(nodes: &mut Vec<Node<N, R>>, made: Node<N, R>) -> u32 {
    let from = nodes.len().saturating_sub(LOOK_BACK);
    let found =
        nodes.iter().enumerate().skip(from).rev().find(|(_, node)| {
            node.pattern == made.pattern && close(&node.filtered, &made.filtered)
        });
    match found {
        Some((index, _)) => index as u32,
        None => {
            nodes.push(made);
            (nodes.len() - 1) as u32
        }
    }
}

fn close<const N: usize>(a: &Matrix<N>, b: &Matrix<N>) -> bool {
    // Relative to the diagonal: half a thousandth of a variance is a quarter of a thousandth of a σ.
    (0..N).all(|i| {
        (0..=i).all(|j| (a[i][j] - b[i][j]).abs() <= 5e-4 * (a[i][i] * a[j][j]).abs().sqrt())
    })
}

/// The state after a sample: what `by` leaves of the one before, and what the readings add.
#[inline]
fn stepped<const N: usize, const A: usize, const R: usize>(
    by: &Matrix<N>,
    readings: &[Reading<'_, N, A>; R],
    node: &Node<N, R>,
    i: usize,
    x: &[[f64; N]; A],
) -> [[f64; N]; A] {
    let mut out = [[0.0; N]; A];
    for axis in 0..A {
        let mut added = [0.0; N];
        for (k, (reading, gain)) in readings.iter().zip(&node.gains).enumerate() {
            // A missing reading has no gain, but NaN times nothing is still NaN.
            if level(node.pattern, k) < 15 {
                let value = reading.values[axis][i];
                for (added, gain) in added.iter_mut().zip(gain) {
                    *added += gain * value;
                }
            }
        }
        let kept = times(by, &x[axis]);
        for k in 0..N {
            out[axis][k] = added[k] + kept[k];
        }
    }
    out
}

fn backward<const N: usize, const A: usize, const R: usize>(
    nodes: &[Node<N, R>],
    mut x: Vec<[[f64; N]; A]>,
    node_of: Vec<u32>,
) -> Smoothed<N, A> {
    let len = x.len();
    let mut covariances: Vec<Matrix<N>> = Vec::new();
    let mut previous: Vec<Vec<(u32, u32)>> = Vec::new();
    let mut which = vec![NONE; len];
    let mut after: Option<[[f64; N]; A]> = None;
    let mut after_p = NONE;
    // A node and covariance that lead to the same covariance.
    let mut settled = (NONE, NONE);
    for i in (0..len).rev() {
        let node_id = node_of.get(i).copied().unwrap_or(NONE);
        let (Some(node), Some(state)) = (nodes.get(node_id as usize), x.get_mut(i)) else {
            continue;
        };
        if let Some(next_state) = after {
            for (state, next) in state.iter_mut().zip(&next_state) {
                let kept = times(&node.keep, state);
                let from = times(&node.back, next);
                for k in 0..N {
                    state[k] = kept[k] + from[k];
                }
            }
            if node_id == settled.0 && after_p == settled.1 {
                after = Some(*state);
                which[i] = after_p;
                continue;
            }
            let before_p = after_p;
            let known = previous.get(after_p as usize).and_then(|table| {
                table
                    .iter()
                    .find(|(of, _)| *of == node_id)
                    .map(|(_, to)| *to)
            });
            after_p = known.unwrap_or_else(|| {
                let next = covariances
                    .get(after_p as usize)
                    .copied()
                    .unwrap_or(node.filtered);
                let to = merge_smoothed(&mut covariances, &mut previous, smoothed(node, &next));
                if let Some(table) = previous.get_mut(after_p as usize) {
                    table.push((node_id, to));
                }
                to
            });
            if after_p == before_p {
                settled = (node_id, after_p);
            }
        } else {
            after_p = merge_smoothed(&mut covariances, &mut previous, node.filtered);
        }
        after = Some(*state);
        if let Some(which) = which.get_mut(i) {
            *which = after_p;
        }
    }
    Smoothed {
        x,
        which,
        covariances,
    }
}

fn smoothed<const N: usize, const R: usize>(node: &Node<N, R>, next: &Matrix<N>) -> Matrix<N> {
    let change = less(next, &node.predicted);
    let mut p = multiply_transposed(&multiply(&node.back, &change), &node.back);
    for row in 0..N {
        for column in 0..N {
            p[row][column] += node.filtered[row][column];
        }
    }
    symmetrize(&mut p);
    p
}

fn merge_smoothed<const N: usize>(
    all: &mut Vec<Matrix<N>>,
    previous: &mut Vec<Vec<(u32, u32)>>,
    made: Matrix<N>,
) -> u32 {
    let from = all.len().saturating_sub(LOOK_BACK);
    if let Some((index, _)) = all
        .iter()
        .enumerate()
        .skip(from)
        .rev()
        .find(|(_, p)| close(p, &made))
    {
        return index as u32;
    }
    all.push(made);
    previous.push(Vec::new());
    (all.len() - 1) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::normal::Normal;

    /// Law: for a linear system with normal errors the smoothed state is the least-squares solution over
    /// all states at once (Rauch, Tung, Striebel 1965), with its covariance.
    #[test]
    fn prop_smoothed_states_are_the_least_squares_solution() {
        let dynamics = Dynamics {
            f: [[1.0, 0.5], [0.0, 1.0]],
            q: [[0.02, 0.01], [0.01, 0.05]],
            p0: [[4.0, 0.0], [0.0, 9.0]],
        };
        let y = [1.0, 1.7, f64::NAN, 2.1, 4.0, 3.2];
        let rates = [f64::NAN, 0.4, 0.1, f64::NAN, f64::NAN, -0.3];
        let demotion = [0, 0, 0, 0, 2, 0];
        let readings = [
            Reading {
                h: [1.0, -0.2],
                variance: 0.3,
                values: [&y[..]],
                demotion: &demotion,
            },
            Reading {
                h: [0.0, 1.0],
                variance: 0.1,
                values: [&rates[..]],
                demotion: &[],
            },
        ];
        let found = smooth(&dynamics, &readings, [[0.5, 0.2]], 6);

        let mut normal = Normal::<12>::with_prior([0.0; 12], [1e9; 12]);
        let mut add_pair = |rows: [[f64; 12]; 2], values: [f64; 2], covariance: Matrix<2>| {
            // Whitened by the Cholesky factor of the covariance.
            let l11 = covariance[0][0].sqrt();
            let l21 = covariance[1][0] / l11;
            let l22 = (covariance[1][1] - l21 * l21).sqrt();
            let first: [f64; 12] = std::array::from_fn(|k| rows[0][k] / l11);
            let second: [f64; 12] = std::array::from_fn(|k| (rows[1][k] - l21 * first[k]) / l22);
            let v1 = values[0] / l11;
            normal.add(&first, v1, 1.0);
            normal.add(&second, (values[1] - l21 * v1) / l22, 1.0);
        };
        let unit = |k: usize| std::array::from_fn::<f64, 12, _>(|j| f64::from(j == k));
        add_pair([unit(0), unit(1)], [0.5, 0.2], dynamics.p0);
        for i in 0..5 {
            let mut rows = [unit(2 * i + 2), unit(2 * i + 3)];
            for r in 0..2 {
                for c in 0..2 {
                    rows[r][2 * i + c] -= dynamics.f[r][c];
                }
            }
            add_pair(rows, [0.0, 0.0], dynamics.q);
        }
        for i in 0..6 {
            for reading in &readings {
                let value = reading.values[0][i];
                if !value.is_nan() {
                    let mut row = [0.0; 12];
                    row[2 * i..2 * i + 2].copy_from_slice(&reading.h);
                    let level = reading.demotion.get(i).copied().unwrap_or(0);
                    normal.add(
                        &row,
                        value,
                        1.0 / (reading.variance * f64::from(1_u32 << level)),
                    );
                }
            }
        }
        let (x, covariance) = normal.solve();
        let mut sigma = Vec::new();
        found.add_sigmas(&[0.0, 1.0], &mut sigma);
        for i in 0..6 {
            // Merging covariances is allowed half a thousandth.
            assert!((found.x[i][0][0] - x[2 * i]).abs() < 2e-3, "sample {i}");
            assert!((found.x[i][0][1] - x[2 * i + 1]).abs() < 2e-3, "sample {i}");
            let expected = covariance[2 * i + 1][2 * i + 1].sqrt();
            assert!(
                (f64::from(sigma[i]) / expected - 1.0).abs() < 1e-3,
                "sample {i}"
            );
        }
    }

    /// Law: a long run with a steady pattern gives the same as going through it sample by sample.
    #[test]
    fn prop_periodic_patterns_end_in_few_covariances() {
        let dynamics = Dynamics {
            f: [[1.0]],
            q: [[0.01]],
            p0: [[100.0]],
        };
        let values: Vec<f64> = (0..5_000)
            .map(|i| if i % 10 == 0 { 3.0 } else { f64::NAN })
            .collect();
        let readings = [Reading {
            h: [1.0],
            variance: 1.0,
            values: [&values[..]],
            demotion: &[],
        }];
        let found = smooth(&dynamics, &readings, [[0.0]], values.len());
        assert!(found.covariances.len() < 300, "{}", found.covariances.len());
        assert!(
            found
                .x
                .iter()
                .skip(500)
                .all(|x| (x[0][0] - 3.0).abs() < 1e-3)
        );
    }
}
