//! Recorded angles, smoothed lightly, with their rates.

use recording::Quantity;

use crate::grid::Grid;
use crate::stretch::{self, Input};

/// An angle and its rate over the flight.
pub struct Angle {
    /// rad, unwrapped.
    pub value: Vec<f64>,
    /// 1-σ of a single value, without bias, rad.
    pub sigma: Vec<f32>,
    /// rad/s.
    pub rate: Vec<f64>,
    /// 1-σ of the rate, rad/s.
    pub rate_sigma: Vec<f32>,
}

/// Smooths a recorded angle. `density` is the spectral density of its angular acceleration, (rad/s²)²·s.
pub fn smooth(grid: &Grid<'_>, quantity: Quantity, density: f64) -> Option<Angle> {
    let values = grid.angle(quantity)?;
    // An attitude source wobbles by some hundredths of a degree beside its rounding.
    let sigma = grid.rounding(quantity, 0.05_f64.to_radians());
    let inputs = [Input {
        h: [1.0, 0.0],
        sigma,
        values: [values],
        demotion: Vec::new(),
    }];
    let dynamics = stretch::white_acceleration(grid.clock.step_s, density, [1e2, 1.0]);
    let track = stretch::smooth(&dynamics, &inputs, &grid.stretches, grid.clock.len);
    let [[value, rate]] = track.states;
    let [sigma, rate_sigma] = track.sigmas;
    Some(Angle {
        value,
        sigma,
        rate,
        rate_sigma,
    })
}
