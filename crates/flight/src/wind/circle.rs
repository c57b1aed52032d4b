//! Wind from turns alone: no heading, no airspeed.
//!
//! In a turn the ground velocity runs on a circle about the wind. The radius is the airspeed, which
//! changes as height is traded for it, so it is specific energy |v − w|²/2 + g·h that is held to a
//! straight line in time over each turn. With u = v² that is linear in the wind:
//! v²/2 + g·h = v·w + a + b·t (w²/2 goes into a). Shear enters through v·w₁·z − …, by two rounds.
//! The circle through ground velocities is the method of GPS airspeed calibration (D. Gray, "Using
//! GPS to accurately establish true airspeed", 1998); keeping energy instead of speed is ours.

use super::{Normal, Steady};
use crate::horizontal::Horizontal;
use crate::stats;
use crate::stats::Errors;

/// Slowest turn that counts, rad/s.
const TURNING: f64 = 0.03;
/// Shortest turn that counts, s.
const LEAST_S: f64 = 8.0;
/// Longest stretch over which the energy is a straight line, s.
const MOST_S: f64 = 60.0;
/// What pilots and gusts do to the speed around that line, m/s, before the flight tells.
const SPEED_SIGMA: f64 = 1.5;

/// The turns of a flight.
pub struct Circles<'a> {
    ground: &'a Horizontal,
    height: &'a [f64],
    layer: &'a [f64],
    turns: Vec<std::ops::Range<usize>>,
    stride: usize,
    step_s: f64,
}

impl<'a> Circles<'a> {
    /// Finds the turns.
    pub fn new(
        ground: &'a Horizontal,
        height: &'a [f64],
        layer: &'a [f64],
        flying: &[bool],
        stride: usize,
        step_s: f64,
    ) -> Self {
        Self {
            ground,
            height,
            layer,
            turns: turns(ground, flying, step_s),
            stride,
            step_s,
        }
    }

    /// Rows about a wind that is nearly right.
    fn rows(&self, x: &[f64; 4]) -> Vec<([f64; 4], f64)> {
        let mut out = Vec::new();
        for turn in &self.turns {
            out.extend(detrend(turn_rows(
                turn,
                self.ground,
                self.height,
                self.layer,
                x,
                self.stride,
            )));
        }
        out
    }

    /// Independent rows among overlapping ones: errors stay alike for some eight seconds.
    fn share(&self) -> f64 {
        (self.stride as f64 * self.step_s / 16.0).min(1.0)
    }

    /// Adds what the turns say to a fit whose first four states are the wind.
    pub fn add<const N: usize>(&self, normal: &mut Normal<N>, x: &[f64; N]) {
        let Some(wind) = x.first_chunk::<4>() else {
            return;
        };
        for (row, y) in self.rows(wind) {
            let residual = y - (0..4).map(|k| row[k] * wind[k]).sum::<f64>();
            let z = (residual / SPEED_SIGMA).abs();
            let mut wide = [0.0; N];
            wide[..4].copy_from_slice(&row);
            normal.add(
                &wide,
                y,
                5.0 / (4.0 + z * z) * self.share() / (SPEED_SIGMA * SPEED_SIGMA),
            );
        }
    }

    /// Wind by the turns alone; states: mean east, north, shear east, north.
    pub fn fit(&self) -> Option<Steady> {
        let mut x = [0.0; 4];
        let mut covariance = [[0.0; 4]; 4];
        let mut sigma = SPEED_SIGMA;
        for round in 0..5 {
            let mut normal = Normal::with_prior([0.0; 4], [8.0, 8.0, 1.5, 1.5]);
            let mut residuals = Vec::new();
            for (row, y) in self.rows(&x) {
                let residual = y - (0..4).map(|k| row[k] * x[k]).sum::<f64>();
                residuals.push(residual);
                let z = (residual / sigma).abs();
                let weight = if round == 0 { 1.0 } else { 5.0 / (4.0 + z * z) };
                normal.add(&row, y, weight * self.share() / (sigma * sigma));
            }
            if residuals.len() < 15 {
                return None;
            }
            (x, covariance) = normal.solve();
            sigma = stats::spread(residuals).clamp(0.7, 5.0);
        }
        // A wind known no better than this says nothing about airspeed.
        (covariance[0][0].max(covariance[1][1]).sqrt() < 6.0).then_some(Steady {
            mean: [x[0], x[1]],
            shear: [x[2], x[3]],
            covariance,
            scale: 1.0,
            offset_mps: 0.0,
            heading_bias_rad: 0.0,
            heading_bias_sigma_rad: 0.0,
        })
    }
}

/// Stretches of turning, as sample ranges.
fn turns(ground: &Horizontal, flying: &[bool], step_s: f64) -> Vec<std::ops::Range<usize>> {
    let [east, north] = &ground.velocity;
    let [east_a, north_a] = &ground.acceleration;
    let rate = |i: usize| {
        let square = east[i] * east[i] + north[i] * north[i];
        (east_a[i] * north[i] - north_a[i] * east[i]) / square.max(1.0)
    };
    let least = (LEAST_S / step_s) as usize;
    let most = (MOST_S / step_s) as usize;
    let mut out = Vec::new();
    let mut start = None;
    let len = flying.len().min(east.len());
    for i in 0..=len {
        let turning = i < len && flying.get(i) == Some(&true) && rate(i).abs() > TURNING;
        match (turning, start) {
            (true, None) => start = Some(i),
            (true, Some(from)) if i - from < most => {}
            (false, None) => {}
            (_, Some(from)) => {
                if i - from >= least {
                    out.push(from..i);
                }
                start = turning.then_some(i);
            }
        }
    }
    out
}

struct Row {
    t: f64,
    row: [f64; 4],
    y: f64,
}

/// Rows in m/s: energy over the turn's usual airspeed.
fn turn_rows(
    turn: &std::ops::Range<usize>,
    ground: &Horizontal,
    height: &[f64],
    layer: &[f64],
    x: &[f64; 4],
    stride: usize,
) -> Vec<Row> {
    let mut rows = Vec::new();
    let speeds = turn.clone().filter_map(|i| {
        Some((ground.velocity[0].get(i)? - x[0]).with(ground.velocity[1].get(i)? - x[1]))
    });
    let speed = stats::median(speeds).max(15.0);
    let base = turn
        .clone()
        .find_map(|i| height.get(i).copied().filter(|h| h.is_finite()))
        .unwrap_or(0.0);
    for i in turn.clone().step_by(stride) {
        let (Some(e), Some(n)) = (ground.velocity[0].get(i), ground.velocity[1].get(i)) else {
            continue;
        };
        let (Some(h), Some(z)) = (height.get(i), layer.get(i)) else {
            continue;
        };
        let w = [x[0] + x[2] * z, x[1] + x[3] * z];
        let v = [e - w[0], n - w[1]];
        let h = if h.is_finite() { h - base } else { 0.0 };
        // Linear about the present wind: |v − w − δ|²/2 = |v − w|²/2 − (v − w)·δ.
        let energy = (v[0] * v[0] + v[1] * v[1]) / 2.0 + air::units::G0_MPS2 * h;
        let row = [v[0], v[1], v[0] * z, v[1] * z].map(|part| part / speed);
        let at = (0..4).map(|k| row[k] * x[k]).sum::<f64>();
        if energy.is_finite() {
            rows.push(Row {
                t: i as f64,
                row,
                y: energy / speed + at,
            });
        }
    }
    rows
}

/// Takes a straight line in time off every column: the energy's level and its drift.
fn detrend(mut rows: Vec<Row>) -> Vec<([f64; 4], f64)> {
    let n = rows.len() as f64;
    if rows.len() < 5 {
        return Vec::new();
    }
    let mean_t = rows.iter().map(|row| row.t).sum::<f64>() / n;
    let square: f64 = rows.iter().map(|row| (row.t - mean_t).powi(2)).sum();
    for column in 0..5 {
        let get = |row: &Row| if column < 4 { row.row[column] } else { row.y };
        let mean = rows.iter().map(get).sum::<f64>() / n;
        let slope = rows
            .iter()
            .map(|row| (row.t - mean_t) * get(row))
            .sum::<f64>()
            / square.max(1e-9);
        for row in &mut rows {
            let line = mean + slope * (row.t - mean_t);
            if column < 4 {
                row.row[column] -= line;
            } else {
                row.y -= line;
            }
        }
    }
    rows.into_iter().map(|row| (row.row, row.y)).collect()
}
