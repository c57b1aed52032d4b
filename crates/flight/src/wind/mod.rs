//! The wind at the aircraft: a mean, a shear with height, and slow wandering.

mod circle;
mod triangle;

use crate::grid::Grid;
use crate::horizontal::Horizontal;
use crate::normal::Normal;
use crate::stats::Errors;
use crate::stretch;

pub use triangle::Sight;

use circle::Circles;

/// Height over which shear is counted, m: a thousand feet.
const SHEAR_HEIGHT_M: f64 = 304.8;
/// How the wind wanders along a training flight, m/s per √s (ALGORITHMS: 0.05 to 0.1 near the ground).
const WANDER: f64 = 0.05;

/// Wind over the flight.
pub struct Wind {
    /// From west to east and from south to north, m/s.
    pub components: [Vec<f64>; 2],
    /// 1-σ of one component, m/s.
    pub sigma: Vec<f32>,
    /// True airspeed over what the pitot and the density give; 1 without a pitot.
    pub scale: f64,
    /// Added to that, m/s.
    pub offset_mps: f64,
    /// Added to the recorded heading (with variation) to get the direction of flight through the air.
    pub heading_bias_rad: f64,
    /// 1-σ of that.
    pub heading_bias_sigma_rad: f64,
}

/// The steady part of the wind with what was learned beside it.
struct Steady {
    /// At the mean height, m/s.
    mean: [f64; 2],
    /// Change per [`SHEAR_HEIGHT_M`], m/s.
    shear: [f64; 2],
    /// Covariance of mean east, north, shear east, north.
    covariance: [[f64; 4]; 4],
    scale: f64,
    offset_mps: f64,
    heading_bias_rad: f64,
    heading_bias_sigma_rad: f64,
}

/// Estimates the wind; `None` where the recording cannot show it.
pub fn estimate(
    grid: &Grid<'_>,
    ground: &Horizontal,
    height: Option<&[f64]>,
    sight: &Sight<'_>,
) -> Option<Wind> {
    let len = grid.clock.len;
    let flat = vec![0.0; len];
    let height = height.unwrap_or(&flat);
    let layer = layer(height, sight.flying);
    let stride = ((1.0 / grid.clock.step_s).round() as usize).max(1);
    let circles = Circles::new(
        ground,
        height,
        &layer,
        sight.flying,
        stride,
        grid.clock.step_s,
    );
    let steady = if sight.heading.is_some() {
        triangle::fit(ground, &layer, sight, stride, &circles)
    } else {
        circles.fit()
    }?;
    let mut components = [0, 1].map(|axis| {
        layer
            .iter()
            .map(|z| steady.mean[axis] + steady.shear[axis] * z)
            .collect::<Vec<f64>>()
    });
    // A heading source is off by some tenths of a degree that change with the heading; 0.6° at 45 m/s.
    let floor = if sight.heading.is_some() { 0.5 } else { 0.3 };
    let mut sigma: Vec<f32> = layer
        .iter()
        .map(|z| steady_sigma(&steady.covariance, *z).with(floor) as f32)
        .collect();
    if let Some(residual) = triangle::residual(ground, &components, sight, &steady) {
        // Gusts stay alike for some eight seconds, so single readings weigh less than they seem to.
        let spread = residual
            .iter()
            .map(|axis| crate::stats::spread(axis.iter().step_by(stride).copied()))
            .fold(0.3, f64::max);
        let sigma_one = 4.0 * spread;
        let walked = stretch::slow(
            &residual,
            sigma_one,
            WANDER * WANDER,
            1.0,
            &grid.stretches,
            grid.clock.step_s,
        );
        for (component, walked) in components.iter_mut().zip(&walked) {
            for (component, wander) in component.iter_mut().zip(&walked.value) {
                *component += if wander.is_finite() { *wander } else { 0.0 };
            }
        }
        for (sigma, wander) in sigma.iter_mut().zip(&walked[0].sigma) {
            if wander.is_finite() {
                // The walk sees the mean again, so the two errors are not added.
                *sigma = sigma.max(wander.with(floor as f32));
            }
        }
    }
    Some(Wind {
        components,
        sigma,
        scale: steady.scale,
        offset_mps: steady.offset_mps,
        heading_bias_rad: steady.heading_bias_rad,
        heading_bias_sigma_rad: steady.heading_bias_sigma_rad,
    })
}

fn steady_sigma(covariance: &[[f64; 4]; 4], z: f64) -> f64 {
    let axis = |a: usize| {
        covariance[a][a] + 2.0 * z * covariance[a][a + 2] + z * z * covariance[a + 2][a + 2]
    };
    ((axis(0) + axis(1)) / 2.0).max(0.0).sqrt()
}

/// Height above the mean height in flight, in units of [`SHEAR_HEIGHT_M`]; 0 where unknown.
fn layer(height: &[f64], flying: &[bool]) -> Vec<f64> {
    let (mut sum, mut count) = (0.0, 0.0_f64);
    for (height, flying) in height.iter().zip(flying) {
        if *flying && height.is_finite() {
            sum += height;
            count += 1.0;
        }
    }
    let mean = if count > 0.0 { sum / count } else { 0.0 };
    height
        .iter()
        .map(|height| {
            if height.is_finite() {
                (height - mean) / SHEAR_HEIGHT_M
            } else {
                0.0
            }
        })
        .collect()
}
