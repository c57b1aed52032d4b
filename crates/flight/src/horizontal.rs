//! Position and velocity over the ground.

use crate::grid::Grid;
use crate::stats;
use crate::stretch::{self, Input};
use recording::Quantity;

/// Motion over the ground in the local frame.
pub struct Horizontal {
    /// Latitude of the origin, rad.
    pub origin_latitude_rad: f64,
    /// Longitude of the origin, rad.
    pub origin_longitude_rad: f64,
    /// Whether there is a position (else it is the integral of the velocity from the first sample).
    pub located: bool,
    /// East and north of the origin, m.
    pub position: [Vec<f64>; 2],
    /// East and north, m/s.
    pub velocity: [Vec<f64>; 2],
    /// East and north, m/s².
    pub acceleration: [Vec<f64>; 2],
    /// 1-σ of one component, m.
    pub position_sigma: Vec<f32>,
    /// 1-σ of one component, m/s.
    pub velocity_sigma: Vec<f32>,
    /// 1-σ of one component, m/s².
    pub acceleration_sigma: Vec<f32>,
}

/// Spectral density of jerk, (m/s³)²·s: rolling into a 45° turn within two seconds. Between fixes farther
/// apart the jerk of a turn (V·rate², 2 m/s³ at 45°) does not change sign, so there it counts for more.
const JERK: f64 = 2.0;

/// Smooths the path over the ground; `None` without position and without speed and track.
pub fn smooth(grid: &Grid<'_>) -> Option<Horizontal> {
    let position = position(grid);
    let velocity = velocity(grid);
    if position.is_none() && velocity.is_none() {
        return None;
    }
    let located = position.is_some();
    let (origin, places, place_sigma) =
        position.unwrap_or(([0.0, 0.0], [Vec::new(), Vec::new()], 1.0));
    let (speeds, speed_sigma) = velocity.unwrap_or(([Vec::new(), Vec::new()], 1.0));
    let inputs = [
        Input {
            h: [1.0, 0.0, 0.0],
            sigma: place_sigma,
            values: places,
            demotion: Vec::new(),
        },
        Input {
            h: [0.0, 1.0, 0.0],
            sigma: speed_sigma,
            values: speeds,
            demotion: Vec::new(),
        },
    ];
    // Without a position the integral starts at the origin, known there.
    let p0 = if located { 1e6 } else { 1e-4 };
    let dynamics = stretch::white_jerk(
        grid.clock.step_s,
        JERK * grid.interval_s().max(1.0).powf(1.5),
        [p0, 1e4, 1e2],
    );
    let track = stretch::smooth(&dynamics, &inputs, &grid.stretches, grid.clock.len);
    let [[east, east_v, east_a], [north, north_v, north_a]] = track.states;
    let [position_sigma, velocity_sigma, acceleration_sigma] = track.sigmas;
    Some(Horizontal {
        origin_latitude_rad: origin[0],
        origin_longitude_rad: origin[1],
        located,
        position: [east, north],
        velocity: [east_v, north_v],
        acceleration: [east_a, north_a],
        position_sigma,
        velocity_sigma,
        acceleration_sigma,
    })
}

type Columns = ([f64; 2], [Vec<f64>; 2], f64);

/// Position as metres east and north of the first fix.
///
/// Equirectangular with the ellipsoid's two radii of curvature at the origin (WGS-84, NIMA TR8350.2):
/// over 100 km it is off by some tens of metres, evenly, which no rate or angle here can feel.
fn position(grid: &Grid<'_>) -> Option<Columns> {
    let latitude = grid.values(Quantity::Latitude)?;
    let longitude = grid.angle(Quantity::Longitude)?;
    let both = |i: &usize| latitude[*i].is_finite() && longitude[*i].is_finite();
    let first = (0..latitude.len().min(longitude.len())).find(both)?;
    let origin = [latitude[first], longitude[first]];
    let (meridian, normal) = air::geodesy::radii_of_curvature_m(origin[0]);
    let parallel = normal * origin[0].cos();
    let east = longitude
        .iter()
        .map(|value| (value - origin[1]) * parallel)
        .collect();
    let north = latitude
        .iter()
        .map(|value| (value - origin[0]) * meridian)
        .collect();
    let rounding = (grid.rounding(Quantity::Latitude, 0.0) * meridian)
        .max(grid.rounding(Quantity::Longitude, 0.0) * parallel);
    Some((origin, [east, north], rounding.max(1.0)))
}

/// Velocity from ground speed and track; the 1-σ of one component.
fn velocity(grid: &Grid<'_>) -> Option<([Vec<f64>; 2], f64)> {
    let speed = grid.values(Quantity::GroundSpeed)?;
    let track = grid.angle(Quantity::TrackTrue)?;
    let (east, north): (Vec<f64>, Vec<f64>) = speed
        .iter()
        .zip(&track)
        .map(|(speed, track)| {
            let (sin, cos) = track.sin_cos();
            (speed * sin, speed * cos)
        })
        .unzip();
    let typical = stats::quantile(speed.iter().copied(), 0.7);
    let across =
        grid.rounding(Quantity::TrackTrue, 0.0) * if typical.is_finite() { typical } else { 40.0 };
    let sigma = grid.rounding(Quantity::GroundSpeed, 0.2).max(across);
    Some(([east, north], sigma))
}
