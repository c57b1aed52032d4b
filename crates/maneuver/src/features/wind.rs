//! Airspeed and direction through the air out of ground velocity, for flights that carry no airspeed and
//! whose smoother gave none: a steady wind that keeps the energy of every turn on a straight line.
//!
//! With ground velocity u and wind w the airspeed is |u − w|, so specific energy |u − w|²/2 + g·h changing
//! evenly in time over a turn says u²/2 + g·h = u·w + a + b·t, linear in w with an a and b of each turn's own.
//! (In a turn at constant airspeed the ground velocities lie on a circle about the wind: D. Gray, "Using GPS to
//! accurately establish true airspeed", 1998.) Several quarter turns to different sides say as much as a circle.

use super::{STEP_S, smooth};
use air::units::G0_MPS2;

/// Slowest turn that tells something, rad/s (1.7°/s).
const TURNING: f64 = 0.03;
/// Shortest and longest stretch over which the energy is a straight line, samples.
const LENGTH: (usize, usize) = ((10.0 / STEP_S) as usize, (60.0 / STEP_S) as usize);
/// Error of the energy line, m²/s²: 1.5 m/s of speed at 45 m/s, by gusts and by hands.
const SIGMA: f64 = 70.0;
/// Prior of each wind component, m/s.
const PRIOR: f64 = 8.0;
/// A wind that is less sure than this is not used, m/s.
const WORST: f64 = 3.0;

/// True airspeed and direction through the air.
pub struct AirVelocity {
    /// True airspeed, m/s.
    pub tas: Vec<f64>,
    /// Direction, unwrapped, rad.
    pub heading: Vec<f64>,
}

/// `None` when the turns do not tell the wind.
pub fn by_turns(ground_speed: &[f64], track: &[f64], altitude: &[f64]) -> Option<AirVelocity> {
    let east: Vec<f64> = ground_speed
        .iter()
        .zip(track)
        .map(|(v, t)| v * t.sin())
        .collect();
    let north: Vec<f64> = ground_speed
        .iter()
        .zip(track)
        .map(|(v, t)| v * t.cos())
        .collect();
    let height = smooth::gaussian(altitude, 1.5);
    let turn_rate = smooth::rate(&smooth::gaussian(track, 1.0), 2);
    let rows = rows(&east, &north, &height, &turn_rate);
    let (mut wind, mut sigma) = ([0.0; 2], f64::INFINITY);
    for _ in 0..4 {
        (wind, sigma) = solve(&rows, wind);
    }
    // No light aircraft trains in 50 kt of wind.
    let sane = sigma < WORST && wind[0].hypot(wind[1]) < 25.0;
    sane.then(|| {
        let (e, n): (Vec<f64>, Vec<f64>) = east
            .iter()
            .zip(&north)
            .map(|(e, n)| (e - wind[0], n - wind[1]))
            .unzip();
        let mut last = f64::NAN;
        let heading = e.iter().zip(&n).map(|(e, n)| {
            let raw = e.atan2(*n);
            last = if last.is_finite() && raw.is_finite() {
                last + air::units::wrap_pi(raw - last)
            } else {
                raw
            };
            last
        });
        AirVelocity {
            heading: heading.collect(),
            tas: e.iter().zip(&n).map(|(e, n)| e.hypot(*n)).collect(),
        }
    })
}

/// East, north and energy of every turning sample, without the straight line of its stretch.
fn rows(east: &[f64], north: &[f64], height: &[f64], turn_rate: &[f64]) -> Vec<[f64; 3]> {
    let turning = |i: usize| turn_rate[i].abs() > TURNING && east[i].hypot(north[i]) > 15.0;
    let mut out = Vec::new();
    let mut index = 0;
    while index < east.len() {
        let from = index;
        while index < east.len()
            && index - from < LENGTH.1
            && turning(index)
            && height[index].is_finite()
        {
            index += 1;
        }
        if index - from >= LENGTH.0 {
            let energy: Vec<f64> = (from..index)
                .map(|i| 0.5 * (east[i].powi(2) + north[i].powi(2)) + G0_MPS2 * height[i])
                .collect();
            let columns = [
                detrend(&east[from..index]),
                detrend(&north[from..index]),
                detrend(&energy),
            ];
            out.extend((0..index - from).map(|i| [columns[0][i], columns[1][i], columns[2][i]]));
        }
        index = index.max(from + 1);
    }
    out
}

/// Takes mean and slope away.
fn detrend(values: &[f64]) -> Vec<f64> {
    let n = values.len() as f64;
    let middle = 0.5 * (n - 1.0);
    let mean = values.iter().sum::<f64>() / n;
    let (mut cross, mut square) = (0.0, 0.0);
    for (i, value) in values.iter().enumerate() {
        let t = i as f64 - middle;
        cross += t * (value - mean);
        square += t * t;
    }
    let slope = if square > 0.0 { cross / square } else { 0.0 };
    values
        .iter()
        .enumerate()
        .map(|(i, v)| v - mean - slope * (i as f64 - middle))
        .collect()
}

/// One round of weighted least squares about the last wind: the wind and the worse σ of its components.
fn solve(rows: &[[f64; 3]], last: [f64; 2]) -> ([f64; 2], f64) {
    let prior = PRIOR.powi(-2);
    let (mut a, mut b, mut c, mut x, mut y) = (prior, 0.0, prior, 0.0, 0.0);
    // Neighbors within some eight seconds err alike.
    let share = STEP_S / 8.0;
    for [e, n, energy] in rows {
        let z = (energy - e * last[0] - n * last[1]) / SIGMA;
        let weight = share * 5.0 / (4.0 + z * z) / (SIGMA * SIGMA);
        a += weight * e * e;
        b += weight * e * n;
        c += weight * n * n;
        x += weight * e * energy;
        y += weight * n * energy;
    }
    let determinant = a * c - b * b;
    if determinant <= 0.0 || determinant.is_nan() {
        return ([0.0; 2], f64::INFINITY);
    }
    let wind = [(c * x - b * y) / determinant, (a * y - b * x) / determinant];
    (wind, (a.max(c) / determinant).sqrt())
}
