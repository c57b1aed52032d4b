//! Sinking fast near the ground.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin};
use air::units::{M_PER_FT, MPS_PER_FPM};

/// Near the ground is below this, ft above it (common practice, no source).
const NEAR_FT: f64 = 500.0;
/// Most sink there, ft/min (common practice, no source).
const SINK_FPM: f64 = 1000.0;
/// A vertical speed is held to this by lag and gusts, ft/min (assumed).
const SINK_SIGMA_FPM: f64 = 50.0;
/// A gust is shorter, s (assumed).
const HOLD_S: f64 = 2.0;

/// More than 1,000 ft/min of sink below 500 ft above ground. The value is the sink, positive.
pub(super) fn find(scene: &Scene) -> Answer {
    let agl = scene.agl()?;
    let Some(climb) = &scene.flight.climb else {
        return Err("no climb rate is known");
    };
    let found = excursions(scene.all(), scene.flight.clock.step_s, HOLD_S, |index| {
        let (height, sigma) = scene.height(agl, index);
        if height.is_nan() || height + sigma > NEAR_FT * M_PER_FT {
            return None;
        }
        let own = climb.sigma_at(index);
        let sigma = own.hypot(SINK_SIGMA_FPM * MPS_PER_FPM);
        Some(Reading::above(
            -climb.at(index),
            sigma,
            SINK_FPM * MPS_PER_FPM,
        ))
    });
    let against = Against {
        id: "sink_near_ground",
        unit: "m/s",
        origin: climb.origin,
        limit_origin: LimitOrigin::Assumed,
        source: "common practice, no source",
    };
    Ok(scene.events(&against, found))
}
