//! Flap position where it is not recorded.
//!
//! Two equations show the flaps, both against *lift* λ = n (VS1 / V)²:
//!
//! 1. **Load line.** Angle of attack α = pitch − air path = a₀ + a₁ λ + power terms + D. Flaps give the
//!    same lift at a smaller angle, D < 0. Without a vane α does not see vertical gusts, so this one
//!    drowns in rough air.
//! 2. **Force along the body.** (dv/dt · heading) cos θ / g + sin θ = (thrust − drag) / weight + n α(λ).
//!    The acceleration is over the ground, lift comes from the load factor: whatever the air does, it
//!    stands on both sides, so a gust does not enter. Flaps act by n D and by their drag, d (V/VS1)².
//!
//! (Force balance along and across the path rotated into body axes; any text on flight mechanics, e.g.
//! Etkin & Reid, *Dynamics of Flight*, 3rd ed. 1996, ch. 1–2. The use for flaps is ours.)
//!
//! Lines, flap effects, noise and positions are found together by expectation–maximization on a hidden
//! Markov model whose states include the travel between detents, so that a step is dated to the lever
//! (L. R. Rabiner, "A tutorial on hidden Markov models", Proc. IEEE 77, 1989).

mod bins;
mod chain;
mod channel;
mod em;
mod lattice;
mod learn;
mod prior;
mod steps;

use aircraft::Aircraft;

use crate::{Flaps, Flight, Origin, Series, Sigma};

pub use learn::{Learned, learn};

/// Innovation of the angle of attack beyond which the air is too rough to know the flaps by it, rad.
pub const TOO_ROUGH_RAD: f64 = 0.8 * std::f64::consts::PI / 180.0;

/// Flap position over a flight, inferred where it is not recorded.
///
/// Where the air is too rough for the load line, *clean* is never said and steps are not reported; only
/// flaps that the force along the body shows to be out for certain are. On the ground nothing is said.
/// A lever moved through several notches comes as steps a few seconds apart.
///
/// Recorded flaps are handed back untouched; an aircraft with one detent is known to be clean. `None`
/// without attitude or air data, or when the aircraft file tells neither detents nor any speed.
#[must_use]
pub fn infer(flight: &Flight, aircraft: &Aircraft) -> Option<Flaps> {
    if let Some(recorded) = flight
        .flaps
        .as_ref()
        .filter(|f| f.angle.origin == Origin::Measured)
    {
        return Some(recorded.clone());
    }
    if let [only] = aircraft.flaps.as_slice() {
        return Some(always_clean(flight, only.angle_rad));
    }
    let angles_rad = prior::detents_rad(aircraft)?;
    let bins = bins::Bins::new(flight, aircraft)?;
    let solution = em::solve(&bins, aircraft, &angles_rad)?;
    let quiet: Vec<steps::Quiet> = (0..bins.len())
        .map(|t| {
            if bins.ground[t] {
                steps::Quiet::Ground
            } else if !bins.vane && solution.rough_rad[t] > TOO_ROUGH_RAD {
                if bins.inertial {
                    steps::Quiet::Rough
                } else {
                    steps::Quiet::Ground
                }
            } else {
                steps::Quiet::No
            }
        })
        .collect();
    Some(steps::publish(
        flight,
        &bins,
        &solution,
        &angles_rad,
        &quiet,
    ))
}

/// No flaps to move.
fn always_clean(flight: &Flight, angle_rad: f64) -> Flaps {
    let len = flight.clock.len;
    Flaps {
        angle: Series {
            values: vec![angle_rad; len],
            sigma: Sigma::Constant(0.0),
            origin: Origin::Assumed,
        },
        out: vec![0.0; len],
        steps: Vec::new(),
    }
}
