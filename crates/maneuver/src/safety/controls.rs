//! A control at its stop above the maneuvering speed.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin};

/// From this share of its travel a control is taken to be at its stop (assumed: a potentiometer's two per cent and
/// the play of cables).
const STOP: f64 = 0.95;
/// As long as a surface takes to load the structure, s (assumed).
const HOLD_S: f64 = 0.5;

/// Full deflection above VA (FAA-H-8083-25C, chapter 5, maneuvering speed). VA is taken at the mass in use.
pub(super) fn find(scene: &Scene) -> Answer {
    let va = scene.aircraft.va_mps();
    let va = va.ok_or("the aircraft's file gives no VA")?;
    let flight = scene.flight;
    let controls = [&flight.elevator, &flight.aileron, &flight.rudder];
    if controls.iter().all(|control| control.is_none()) {
        return Err("no control positions were recorded");
    }
    let Some(ias) = &flight.ias else {
        return Err("no airspeed is known");
    };
    let at_stop = |index: usize| {
        let positions = controls.iter().filter_map(|control| control.as_ref());
        positions
            .map(|control| control.at(index).abs())
            .any(|position| position >= STOP)
    };
    let found = excursions(scene.all(), flight.clock.step_s, HOLD_S, |index| {
        let (value, sigma) = scene.airspeed(index);
        at_stop(index).then(|| Reading::above(value, sigma, va))
    });
    let against = Against {
        id: "full_deflection_above_va",
        unit: "m/s",
        origin: ias.origin,
        limit_origin: LimitOrigin::Aircraft,
        source: "the aircraft's file",
    };
    Ok(scene.events(&against, found))
}
