//! Flap steps of one maneuver as events, with the speed at each.

use super::motion::Motion;
use super::sheet::{Sheet, poorer};
use crate::Fact;
use flight::{FlapStep, Origin};

/// Names of the angle that each step leads to, in order.
const DOWN: [&str; 4] = ["flap_down_1", "flap_down_2", "flap_down_3", "flap_down_4"];
const UP: [&str; 4] = ["flap_up_1", "flap_up_2", "flap_up_3", "flap_up_4"];
/// A step less likely than this is not told.
const LEAST: f64 = 0.5;

/// The steps within an interval, in order of time.
pub fn steps(motion: &Motion, from_s: f64, to_s: f64) -> Vec<FlapStep> {
    let all = motion
        .flight
        .flaps
        .as_ref()
        .map(|flaps| flaps.steps.as_slice())
        .unwrap_or_default();
    let inside = |step: &&FlapStep| step.at_s >= from_s && step.at_s <= to_s;
    all.iter()
        .filter(inside)
        .filter(|step| step.probability >= LEAST)
        .copied()
        .collect()
}

/// Whether a step goes down.
pub fn is_down(step: &FlapStep) -> bool {
    step.to_rad > step.from_rad
}

/// Writes one event per step, `flap_down` or `flap_up` with the airspeed at it, and the angle it leads
/// to as a fact (`flap_down_1` ...).
pub fn write(motion: &Motion, steps: &[FlapStep], sheet: &mut Sheet) {
    let (mut downs, mut ups) = (DOWN.iter(), UP.iter());
    for step in steps {
        let (event, name) = if is_down(step) {
            ("flap_down", downs.next())
        } else {
            ("flap_up", ups.next())
        };
        let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), step.at_s);
        // Speed changes by a knot or so each second: what is not known of the time counts too.
        let drift = motion.ias.rate(3.0).at(step.at_s) * step.sigma_s;
        let ias = motion.ias.at(step.at_s);
        let value = ias.is_finite().then(|| Fact {
            value: ias,
            unit: "m/s",
            sigma: sigma.hypot(if drift.is_finite() { drift } else { 0.0 }),
            origin: poorer(origin, step.origin),
        });
        sheet.event_full(
            event,
            step.at_s,
            step.sigma_s,
            step.origin,
            step.probability,
            value,
        );
        if let Some(name) = name {
            let sigma = 2f64.to_radians();
            sheet.fact(name, step.to_rad, "rad", sigma, step.origin);
        }
    }
}

/// Flap angle at a time, with origin; NaN where unknown.
pub fn angle_at(motion: &Motion, at_s: f64) -> (f64, Origin) {
    motion
        .flight
        .flaps
        .as_ref()
        .map_or((f64::NAN, Origin::Assumed), |flaps| {
            (
                flaps.angle.at(motion.flight.clock.index(at_s)),
                flaps.angle.origin,
            )
        })
}

/// Chance that the flaps are out at a time; NaN where unknown.
pub fn out_at(motion: &Motion, at_s: f64) -> f64 {
    motion.flight.flaps.as_ref().map_or(f64::NAN, |flaps| {
        let index = motion.flight.clock.index(at_s);
        flaps.out.get(index).map_or(f64::NAN, |out| f64::from(*out))
    })
}
