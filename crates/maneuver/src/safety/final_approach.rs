//! An unsettled approach that was continued to the landing.
//!
//! FAA-H-8083-3C, chapter 9, wants an approach settled from 500 ft above the ground and a go-around otherwise; the
//! numbers here are common practice. Looked at is the last part of a landing, from 300 ft down to 50 ft: higher up
//! there is time to settle, lower down is the flare. A go-around is no event: it is the cure.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin, SafetyEvent};
use crate::Kind;
use air::units::{M_PER_FT, MPS_PER_KT};
use flight::{Origin, Series};

/// Settled from here down, ft above ground (common practice, no source).
const SETTLED_FT: f64 = 300.0;
const FLARE_FT: f64 = 50.0;
/// More than this above the approach speed, kt (common practice, no source: twice the +10 kt of the standards).
const FAST_KT: f64 = 20.0;
/// Less than this many stall speeds (common practice, no source: 1.3 is flown).
const SLOW: f64 = 1.15;
/// More bank than this, deg (common practice, no source).
const BANK_DEG: f64 = 30.0;
const LANDINGS: &[Kind] = &[Kind::Landing, Kind::PowerOff180];

/// Much faster than the approach speed.
pub(super) fn fast(scene: &Scene) -> Answer {
    let approach = scene.aircraft.speeds.approach_mps;
    let approach = approach.ok_or("the aircraft's file gives no approach speed")?;
    let limit = approach + FAST_KT * MPS_PER_KT;
    scene.has_measured_airspeed()?;
    look(scene, ("fast_on_final", "m/s", 3.0), |index| {
        let (value, sigma) = scene.airspeed(index);
        Some(Reading::above(value, sigma, limit))
    })
}

/// Near the stall speed.
pub(super) fn slow(scene: &Scene) -> Answer {
    scene.has_measured_airspeed()?;
    if scene.stall_speed(0, 1.0).is_none() {
        return Err("the aircraft's file gives no stall speed");
    }
    look(scene, ("slow_on_final", "m/s", 2.0), |index| {
        let (stall, stall_sigma) = scene.stall_speed(index, 1.0)?;
        let (value, sigma) = scene.airspeed(index);
        let sigma = sigma.hypot(SLOW * stall_sigma);
        Some(Reading::below(value, sigma, SLOW * stall))
    })
}

/// Steeply banked low down.
pub(super) fn banked(scene: &Scene) -> Answer {
    let bank = scene.bank()?;
    look(scene, ("banked_on_final", "rad", 1.0), |index| {
        let (value, sigma) = scene.angle(bank, index);
        Some(Reading {
            value,
            ..Reading::above(value.abs(), sigma, BANK_DEG.to_radians())
        })
    })
}

fn look(
    scene: &Scene,
    (id, unit, hold_s): (&'static str, &'static str, f64),
    reading: impl Fn(usize) -> Option<Reading>,
) -> Answer {
    let agl = scene.agl()?;
    let mut events = Vec::new();
    for (place, maneuver) in scene.likely(LANDINGS) {
        let from_s = settled_s(scene, agl, (maneuver.start_s, maneuver.end_s));
        let range = scene.samples(from_s, maneuver.end_s);
        let found = excursions(range, scene.flight.clock.step_s, hold_s, |index| {
            let (height, _) = scene.height(agl, index);
            (height > FLARE_FT * M_PER_FT)
                .then(|| reading(index))
                .flatten()
        });
        let against = Against {
            id,
            unit,
            origin: Origin::Measured,
            limit_origin: LimitOrigin::Assumed,
            source: "common practice, no source; FAA-H-8083-3C, chapter 9, asks for a settled approach",
        };
        let of_this = scene.events(&against, found).into_iter();
        events.extend(of_this.map(|event| SafetyEvent {
            maneuver: Some(place),
            ..event
        }));
    }
    Ok(events)
}

/// When the height passed 300 ft for the last time, s.
fn settled_s(scene: &Scene, agl: &Series, (start_s, end_s): (f64, f64)) -> f64 {
    let above = |index: &usize| agl.at(*index) > SETTLED_FT * M_PER_FT;
    scene
        .samples(start_s, end_s)
        .rev()
        .find(above)
        .map_or(start_s, |index| scene.flight.clock.time_s(index))
}
