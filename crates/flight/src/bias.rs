//! Slow errors of a portable attitude source that the motion gives away.
//!
//! A tablet's or pocket unit's idea of level is pulled toward the apparent vertical in long turns and is
//! off by how it was stuck on. Coordinated flight gives the same bank another way, noisy from moment to
//! moment but right on the average, so a slow error is estimated between the two. A panel's own source
//! is better than that average, which a slip shifts, and is left alone.

use std::ops::Range;

use crate::rts::Dynamics;
use crate::stretch::{self, Input};
use crate::turn;

/// What bank must fit to.
pub struct Turning<'a> {
    /// Recorded bank, rad.
    pub bank: &'a [f64],
    /// Rate of turn through the air, rad/s.
    pub rate: &'a [f64],
    /// True airspeed, m/s.
    pub tas: &'a [f64],
    /// Vertical acceleration, m/s².
    pub up: &'a [f64],
    /// In the air.
    pub flying: &'a [bool],
    /// 1-σ of the error to expect, rad.
    pub expected_rad: f64,
}

/// How long the error stays alike, s.
const ALIKE_S: f64 = 30.0;
/// Coordinated against true bank: a slip of a few degrees, gusts; 1-σ, rad, alike for some six seconds.
const COORDINATED_RAD: f64 = 2.0 * std::f64::consts::PI / 180.0;

/// Error to be taken off the recorded bank, and its 1-σ, rad, by sample.
pub fn of_bank(
    turning: &Turning<'_>,
    stretches: &[Range<usize>],
    step_s: f64,
) -> (Vec<f64>, Vec<f32>) {
    let len = turning.bank.len();
    let difference = (0..len)
        .map(|i| {
            let coordinated =
                turn::coordinated_bank_rad(turning.rate[i] * turning.tas[i], turning.up[i]);
            // Past the stall nothing is coordinated, nor on the ground.
            let usable = turning.flying[i] && coordinated.abs() < 1.1;
            if usable {
                turning.bank[i] - coordinated
            } else {
                f64::NAN
            }
        })
        .collect();
    let keep = (-step_s / ALIKE_S).exp();
    let variance = turning.expected_rad.powi(2);
    let dynamics = Dynamics {
        f: [[keep]],
        q: [[variance * (1.0 - keep * keep)]],
        p0: [[variance]],
    };
    let sigma = COORDINATED_RAD * (12.0 / step_s).max(1.0).sqrt();
    let inputs = [Input {
        h: [1.0],
        sigma,
        values: [difference],
        demotion: Vec::new(),
    }];
    let track = stretch::smooth(&dynamics, &inputs, stretches, len);
    let [[error]] = track.states;
    let [sigma] = track.sigmas;
    (error, sigma)
}
