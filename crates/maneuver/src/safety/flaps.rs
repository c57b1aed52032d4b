//! Flaps out above their limit speed.

use super::held::{Excursion, Reading, excursions};
use super::scene::{Against, Scene, measured};
use super::{Answer, LimitOrigin};
use crate::phases::wave::Wave;
use flight::{FlapStep, Origin};

/// A gust on the gauge is shorter, s.
const HOLD_S: f64 = 1.0;
/// Inferred steps count from here: from then on they are right nine times in ten.
const LIKELY: f64 = 0.8;

/// By position where it was recorded, else at the steps that were inferred.
pub(super) fn find(scene: &Scene) -> Answer {
    if scene.aircraft.has_flaps() == Some(false) {
        return Ok(Vec::new());
    }
    let Some(flaps) = &scene.flight.flaps else {
        return Err("the flaps were neither recorded nor could be worked out");
    };
    scene.has_measured_airspeed()?;
    let mut detents = 1..scene.aircraft.flaps.len();
    if !detents.any(|detent| scene.aircraft.flap_limit_mps(detent).is_some()) {
        return Err("the aircraft's file gives no limit speed for the flaps");
    }
    let limit = |angle_rad: f64| {
        let detent = scene.aircraft.nearest_detent(angle_rad)?;
        scene.aircraft.flap_limit_mps(detent)
    };
    let found = match measured(Some(&flaps.angle)) {
        Some(angle) => excursions(scene.all(), scene.flight.clock.step_s, HOLD_S, |index| {
            let (value, sigma) = scene.airspeed(index);
            Some(Reading::above(value, sigma, limit(angle.at(index))?))
        }),
        None => flaps
            .steps
            .iter()
            .filter(|step| step.to_rad > step.from_rad && step.probability >= LIKELY)
            .filter_map(|step| inferred(scene, step, limit(step.to_rad)?))
            .collect(),
    };
    let against = Against {
        id: "flaps_above_vfe",
        unit: "m/s",
        origin: flaps.angle.origin.max(Origin::Measured),
        limit_origin: LimitOrigin::Aircraft,
        source: "the aircraft's file",
    };
    Ok(scene.events(&against, found))
}

/// One inferred step: when it was is not sure, so neither is the speed then.
fn inferred(scene: &Scene, step: &FlapStep, limit_mps: f64) -> Option<Excursion> {
    let clock = scene.flight.clock;
    let index = clock.index(step.at_s);
    let (value, sigma) = scene.airspeed(index);
    let spread_s = step.sigma_s.clamp(0.5, 20.0);
    let around = Wave::cut_option(
        scene.flight,
        scene.flight.ias.as_ref(),
        step.at_s - spread_s,
        step.at_s + spread_s,
    );
    let (_, high) = around.highest(step.at_s - spread_s, step.at_s + spread_s)?;
    let (_, low) = around.lowest(step.at_s - spread_s, step.at_s + spread_s)?;
    let reading = Reading::above(value, sigma.hypot(0.5 * (high - low)), limit_mps);
    let deviations = reading.beyond / reading.sigma;
    (deviations >= 1.0).then_some(Excursion {
        first: index,
        last: index,
        worst: index,
        reading,
        // That there was a step at all is only likely.
        sure: deviations >= 2.0 && step.probability >= 0.98,
    })
}
