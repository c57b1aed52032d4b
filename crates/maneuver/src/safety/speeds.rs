//! Airspeed above the red line, and above the yellow arc's beginning in rough air.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin};
use flight::Air;

/// A gust on the gauge is shorter, s.
const HOLD_S: f64 = 1.0;

/// Faster than VNE, which is never to be exceeded (14 CFR 91.9(a) and the aircraft's limitations).
pub(super) fn above_vne(scene: &Scene) -> Answer {
    let vne = scene.aircraft.speeds.vne_mps;
    above(
        scene,
        "above_vne",
        vne.ok_or("the aircraft's file gives no VNE")?,
    )
}

/// Faster than VNO, which is for smooth air only (FAA-H-8083-25C, chapter 8, airspeed indicator markings: the caution
/// range is flown in smooth air, and then with caution). Smooth air is nobody's fault: only rough air is told.
pub(super) fn above_vno(scene: &Scene) -> Answer {
    let vno = scene.aircraft.speeds.vno_mps;
    let vno = vno.ok_or("the aircraft's file gives no VNO")?;
    if scene.flight.air != Air::Rough {
        return Ok(Vec::new());
    }
    above(scene, "above_vno_in_rough_air", vno)
}

fn above(scene: &Scene, id: &'static str, limit_mps: f64) -> Answer {
    let Some(ias) = &scene.flight.ias else {
        return Err("no airspeed is known");
    };
    let found = excursions(scene.all(), scene.flight.clock.step_s, HOLD_S, |index| {
        let (value, sigma) = scene.airspeed(index);
        Some(Reading::above(value, sigma, limit_mps))
    });
    let against = Against {
        id,
        unit: "m/s",
        origin: ias.origin,
        limit_origin: LimitOrigin::Aircraft,
        source: "the aircraft's file",
    };
    Ok(scene.events(&against, found))
}
