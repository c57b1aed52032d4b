//! Load factor beyond the structure's limits.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene, measured};
use super::{Answer, LimitOrigin};
use air::units::KG_PER_LB;
use flight::Origin;

/// A sensor of load is held to this, g (assumed).
const SENSOR_G: f64 = 0.05;
/// A bump of a seat is shorter, a pull is not, s (assumed).
const HOLD_S: f64 = 0.5;
const NORMAL_CATEGORY: &str = "14 CFR 23.337, amendment 62, normal category (from memory)";

/// Above the positive limit.
pub(super) fn above(scene: &Scene) -> Answer {
    let (limit, origin, source) = match scene.aircraft.limits.load_max_g {
        Some(limit) => (limit, LimitOrigin::Aircraft, "the aircraft's file"),
        None => (
            positive_limit_g(scene),
            LimitOrigin::Published,
            NORMAL_CATEGORY,
        ),
    };
    look(scene, "load_above_limit", (limit, origin, source), true)
}

/// Below the negative limit: 0.4 of the positive one, the other way.
pub(super) fn below(scene: &Scene) -> Answer {
    let (limit, origin, source) = match scene.aircraft.limits.load_min_g {
        Some(limit) => (limit, LimitOrigin::Aircraft, "the aircraft's file"),
        None => (
            -0.4 * positive_limit_g(scene),
            LimitOrigin::Published,
            NORMAL_CATEGORY,
        ),
    };
    look(scene, "load_below_limit", (limit, origin, source), false)
}

/// 2.1 + 24,000 / (W + 10,000) with W in lb, at most 3.8 (14 CFR 23.337(a)); 3.8 where no mass is known.
fn positive_limit_g(scene: &Scene) -> f64 {
    let mass_kg = scene.aircraft.mass.maximum_kg;
    mass_kg.map_or(3.8, |mass_kg| {
        (2.1 + 24_000.0 / (mass_kg / KG_PER_LB + 10_000.0)).min(3.8)
    })
}

fn look(
    scene: &Scene,
    id: &'static str,
    (limit_g, limit_origin, source): (f64, LimitOrigin, &'static str),
    upper: bool,
) -> Answer {
    let Some(load) = measured(scene.flight.load.as_ref()) else {
        return Err("no load factor was recorded");
    };
    let found = excursions(scene.all(), scene.flight.clock.step_s, HOLD_S, |index| {
        if !scene.flying(index) {
            return None;
        }
        let (value, sigma) = (load.at(index), load.sigma_at(index).hypot(SENSOR_G));
        Some(if upper {
            Reading::above(value, sigma, limit_g)
        } else {
            Reading::below(value, sigma, limit_g)
        })
    });
    let against = Against {
        id,
        unit: "g",
        origin: Origin::Measured,
        limit_origin,
        source,
    };
    Ok(scene.events(&against, found))
}
