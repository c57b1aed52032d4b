//! Indicated airspeed and its rate.

use crate::grid::Grid;
use crate::stretch::{self, Input};
use recording::Quantity;

/// Indicated airspeed over the flight.
pub struct Airspeed {
    /// Indicated airspeed, lag removed, m/s.
    pub ias: Vec<f64>,
    /// 1-σ, m/s.
    pub ias_sigma: Vec<f32>,
    /// Its rate, m/s².
    pub rate: Vec<f64>,
    /// 1-σ, m/s².
    pub rate_sigma: Vec<f32>,
}

/// Spectral density of the rate's change, (m/s³)²·s: from level to a dive within seconds.
const DENSITY: f64 = 1.0;

/// Smooths the airspeed; `None` without a pitot.
pub fn smooth(grid: &Grid<'_>, lag_s: f64) -> Option<Airspeed> {
    let (quantity, values) = [Quantity::AirspeedIndicated, Quantity::AirspeedCalibrated]
        .into_iter()
        .find_map(|quantity| grid.values(quantity).map(|values| (quantity, values)))?;
    let inputs = [Input {
        h: [1.0, -lag_s],
        sigma: grid.rounding(quantity, 0.3),
        values: [values],
        demotion: Vec::new(),
    }];
    let dynamics = stretch::white_acceleration(grid.clock.step_s, DENSITY, [1e4, 1e1]);
    let track = stretch::smooth(&dynamics, &inputs, &grid.stretches, grid.clock.len);
    let [[ias, rate]] = track.states;
    let [ias_sigma, rate_sigma] = track.sigmas;
    Some(Airspeed {
        ias,
        ias_sigma,
        rate,
        rate_sigma,
    })
}
