//! Wind from heading and ground velocity, with or without airspeed.
//!
//! With ê the heading and r̂ to the right of it, v = c·V·ê + s·V·r̂ + w: along ê it needs the airspeed
//! V, across it only where the nose points. c is the scale of the airspeed, s the heading's error; the
//! airspeed may also be off by a constant.
//! Everything is linear, so that one robust least-squares fit takes the whole flight.

use super::circle::Circles;
use super::{Normal, Steady};
use crate::horizontal::Horizontal;
use crate::stats;
use crate::stats::Errors;

/// What there is to see the wind by.
pub struct Sight<'a> {
    /// Recorded heading with variation, rad, unwrapped.
    pub heading: Option<&'a [f64]>,
    /// Its rate, rad/s.
    pub heading_rate: Option<&'a [f64]>,
    /// 1-σ of the variation and mounting, rad.
    pub heading_prior_rad: f64,
    /// True airspeed by pitot and density, m/s.
    pub tas: Option<&'a [f64]>,
    /// In the air and moving.
    pub flying: &'a [bool],
}

const STATES: usize = 8;
/// Autocorrelation time of gusts and of what pilots do, s.
const ALIKE_S: f64 = 8.0;

/// States: mean east, north, shear east, north, scale − 1, heading error, airspeed offset, lead of the
/// velocity's clock over the heading's, s.
pub fn fit(
    ground: &Horizontal,
    layer: &[f64],
    sight: &Sight<'_>,
    stride: usize,
    circles: &Circles<'_>,
) -> Option<Steady> {
    let heading = sight.heading?;
    let prior = || {
        Normal::with_prior(
            [0.0; STATES],
            [6.0, 6.0, 1.5, 1.5, 0.03, sight.heading_prior_rad, 1.0, 0.3],
        )
    };
    let mut x = [0.0; STATES];
    let mut covariance = [[0.0; STATES]; STATES];
    let mut sigma = 2.0_f64;
    let mut rows = 0_usize;
    let indices = || (0..layer.len().min(heading.len())).step_by(stride);
    let directions: Vec<(f64, f64)> = indices().map(|i| heading[i].sin_cos()).collect();
    for round in 0..5 {
        let mut normal = prior();
        let mut residuals = Vec::new();
        for (i, direction) in indices().zip(&directions) {
            let Some(sample) = Sample::new(i, ground, *direction, sight, &x, layer) else {
                continue;
            };
            for (row, y) in sample.rows() {
                let residual = y - dot(&row, &x);
                residuals.push(residual);
                let spread = sigma.with(sample.loose);
                let z = (residual / spread).abs();
                // Student-t with four degrees of freedom; the first round has nothing to judge by.
                let weight = if round == 0 { 1.0 } else { 5.0 / (4.0 + z * z) };
                normal.add(&row, y, weight / (spread * spread * 2.0 * ALIKE_S));
            }
        }
        if sight.tas.is_none() {
            // Without airspeed the nose tells only one component at a time; turns tell both.
            circles.add(&mut normal, &x);
        }
        rows = residuals.len();
        if rows < 30 {
            return None;
        }
        (x, covariance) = normal.solve();
        sigma = stats::spread(residuals).clamp(0.3, 6.0);
    }
    if rows < 30 {
        return None;
    }
    let mut out = [[0.0; 4]; 4];
    for (to, from) in out.iter_mut().zip(&covariance) {
        to.copy_from_slice(&from[..4]);
    }
    Some(Steady {
        mean: [x[0], x[1]],
        shear: [x[2], x[3]],
        covariance: out,
        scale: 1.0 + x[4],
        offset_mps: x[6],
        heading_bias_rad: x[5],
        heading_bias_sigma_rad: covariance[5][5].max(0.0).sqrt(),
    })
}

/// One second of flight.
struct Sample {
    sin: f64,
    cos: f64,
    velocity: [f64; 2],
    layer: f64,
    tas: Option<f64>,
    speed: f64,
    rate: f64,
    /// Added spread while turning: what some tenths of a second between the channels make of it.
    loose: f64,
}

impl Sample {
    fn new(
        i: usize,
        ground: &Horizontal,
        (sin, cos): (f64, f64),
        sight: &Sight<'_>,
        x: &[f64; STATES],
        layer: &[f64],
    ) -> Option<Self> {
        if !sight.flying.get(i).copied().unwrap_or(false) {
            return None;
        }
        let velocity = [*ground.velocity[0].get(i)?, *ground.velocity[1].get(i)?];
        let layer = *layer.get(i)?;
        let tas = match sight.tas {
            Some(tas) => Some(*tas.get(i)?),
            None => None,
        };
        let along =
            (velocity[0] - x[0] - x[2] * layer) * sin + (velocity[1] - x[1] - x[3] * layer) * cos;
        let speed = tas.unwrap_or(along);
        let rate = sight
            .heading_rate
            .and_then(|rate| rate.get(i))
            .copied()
            .unwrap_or(0.0);
        let loose = 0.2 * speed * rate.abs();
        let all = velocity[0] + velocity[1] + sin + speed + loose;
        all.is_finite().then_some(Self {
            sin,
            cos,
            velocity,
            layer,
            tas,
            speed,
            rate,
            loose,
        })
    }

    fn rows(&self) -> impl Iterator<Item = ([f64; STATES], f64)> {
        let (sin, cos, z) = (self.sin, self.cos, self.layer);
        let across = (
            [
                cos,
                -sin,
                z * cos,
                -z * sin,
                0.0,
                self.speed,
                0.0,
                self.speed * self.rate,
            ],
            self.velocity[0] * cos - self.velocity[1] * sin,
        );
        let along = self.tas.map(|tas| {
            let ahead = self.velocity[0] * sin + self.velocity[1] * cos;
            (
                [sin, cos, z * sin, z * cos, tas, 0.0, 1.0, 0.0],
                ahead - tas,
            )
        });
        std::iter::once(across).chain(along)
    }
}

/// Ground velocity minus air velocity minus the steady wind, m/s; needs heading and airspeed.
pub fn residual(
    ground: &Horizontal,
    wind: &[Vec<f64>; 2],
    sight: &Sight<'_>,
    steady: &Steady,
) -> Option<[Vec<f64>; 2]> {
    let heading = sight.heading?;
    let tas = sight.tas?;
    let len = wind[0].len();
    let mut out = [vec![f64::NAN; len], vec![f64::NAN; len]];
    for i in 0..len {
        let rate = sight
            .heading_rate
            .and_then(|rate| rate.get(i))
            .copied()
            .unwrap_or(0.0);
        // In turns a lag of the heading looks like wind; there the steady part must do.
        if !sight.flying.get(i).copied().unwrap_or(false) || rate.abs() > 0.1 {
            continue;
        }
        let (Some(heading), Some(tas)) = (heading.get(i), tas.get(i)) else {
            continue;
        };
        let (sin, cos) = (heading + steady.heading_bias_rad).sin_cos();
        let air = [sin, cos].map(|part| (steady.scale * tas + steady.offset_mps) * part);
        for axis in 0..2 {
            out[axis][i] = ground.velocity[axis][i] - air[axis] - wind[axis][i];
        }
    }
    Some(out)
}

fn dot(a: &[f64; STATES], b: &[f64; STATES]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}
