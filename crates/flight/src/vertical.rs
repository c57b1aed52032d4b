//! Height, climb and vertical acceleration.

use crate::grid::Grid;
use crate::stretch::{self, Input};
use recording::Quantity;

/// The vertical motion over the flight, in the scale of true height.
pub struct Vertical {
    /// The altitude the pilot flew by, lag removed, m.
    pub altitude: Vec<f64>,
    /// 1-σ of it, without its slow offset, m.
    pub altitude_sigma: Vec<f32>,
    /// True climb rate, m/s.
    pub climb: Vec<f64>,
    /// 1-σ, m/s.
    pub climb_sigma: Vec<f32>,
    /// Vertical acceleration, m/s².
    pub acceleration: Vec<f64>,
    /// True metres in an indicated one (temperature), 1 for GNSS.
    pub scale: f64,
    /// Whether the altitude is barometric.
    pub barometric: bool,
}

/// What the other channels contribute.
pub struct Help<'a> {
    /// Vertical acceleration by the load factor, m/s², where there is one.
    pub acceleration: Option<&'a [f64]>,
    /// Lag of the static system, s.
    pub lag_s: f64,
    /// True metres in an indicated one.
    pub scale: f64,
}

/// Spectral density of jerk, (m/s³)²·s: pulls and pushes of some tenths of a g within a second.
const JERK: f64 = 2.0;

/// How late a GNSS altitude is, s: receivers filter over some tenths of a second (from memory).
const GNSS_LAG_S: f64 = 0.25;

/// Smooths the vertical motion; `None` without any altitude.
pub fn smooth(grid: &Grid<'_>, help: &Help<'_>) -> Option<Vertical> {
    let baro = [Quantity::AltitudeIndicated, Quantity::AltitudePressure];
    let (quantity, values) = baro
        .into_iter()
        .chain([Quantity::AltitudeGnss])
        .find_map(|quantity| grid.values(quantity).map(|values| (quantity, values)))?;
    let barometric = quantity != Quantity::AltitudeGnss;
    let (lag, scale) = if barometric {
        (help.lag_s, help.scale)
    } else {
        (GNSS_LAG_S, 1.0)
    };
    let scaled = values.iter().map(|value| value * scale).collect();
    // Sensor noise of a baro altimeter is well under a foot beside its rounding; GNSS height wanders
    // by some decimetres from second to second (common practice, no source).
    let sigma = grid.rounding(quantity, if barometric { 0.25 } else { 0.5 });
    let inputs = [
        Input {
            h: [1.0, -lag, lag * lag],
            sigma,
            values: [scaled],
            demotion: Vec::new(),
        },
        Input {
            h: [0.0, 0.0, 1.0],
            sigma: 0.4,
            values: [help.acceleration.map_or_else(Vec::new, <[f64]>::to_vec)],
            demotion: Vec::new(),
        },
    ];
    let dynamics = stretch::white_jerk(grid.clock.step_s, JERK, [1e4, 1e2, 1e1]);
    let track = stretch::smooth(&dynamics, &inputs, &grid.stretches, grid.clock.len);
    let [[height, climb, acceleration]] = track.states;
    let [height_sigma, climb_sigma, _] = track.sigmas;
    Some(Vertical {
        altitude: height.iter().map(|value| value / scale).collect(),
        altitude_sigma: height_sigma,
        climb,
        climb_sigma,
        acceleration,
        scale,
        barometric,
    })
}
