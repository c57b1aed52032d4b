//! Attitudes beyond 60° of bank or 30° of pitch.
//!
//! 14 CFR 91.307(c) names these two angles, relative to the horizon, as what needs a parachute with anybody else on
//! board, unless an instructor gives spins or another maneuver that a certificate or rating asks for. Whether it
//! applied is for people to say; the angles are told.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin};
use flight::{Origin, Series};

/// A bump is shorter, s (assumed).
const HOLD_S: f64 = 1.0;
const RULE: &str = "14 CFR 91.307(c)";

/// Bank beyond 60° either way; the value keeps its side.
pub(super) fn bank(scene: &Scene) -> Answer {
    let limit = 60_f64.to_radians();
    Ok(look(
        scene,
        "bank_beyond_60",
        scene.bank()?,
        move |value, sigma| Reading {
            value,
            ..Reading::above(value.abs(), sigma, limit)
        },
    ))
}

/// Nose more than 30° up.
pub(super) fn nose_high(scene: &Scene) -> Answer {
    let limit = 30_f64.to_radians();
    Ok(look(
        scene,
        "pitch_above_30",
        scene.pitch()?,
        move |value, sigma| Reading::above(value, sigma, limit),
    ))
}

/// Nose more than 30° down.
pub(super) fn nose_low(scene: &Scene) -> Answer {
    let limit = -30_f64.to_radians();
    Ok(look(
        scene,
        "pitch_below_minus_30",
        scene.pitch()?,
        move |value, sigma| Reading::below(value, sigma, limit),
    ))
}

fn look(
    scene: &Scene,
    id: &'static str,
    series: &Series,
    reading: impl Fn(f64, f64) -> Reading,
) -> Vec<super::SafetyEvent> {
    let found = excursions(scene.all(), scene.flight.clock.step_s, HOLD_S, |index| {
        let (value, sigma) = scene.angle(series, index);
        Some(reading(value, sigma))
    });
    let against = Against {
        id,
        unit: "rad",
        origin: Origin::Measured,
        limit_origin: LimitOrigin::Published,
        source: RULE,
    };
    scene.events(&against, found)
}
