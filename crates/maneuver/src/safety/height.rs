//! Maneuvers flown lower than the published standards let them.
//!
//! The heights of 14 CFR 91.119 hang on people, buildings and towns, which no recording knows: they are not claimed.

use super::held::{Reading, excursions};
use super::scene::{Against, Scene};
use super::{Answer, LimitOrigin, SafetyEvent};
use crate::{Kind, Maneuver};
use air::units::M_PER_FT;
use flight::Origin;

/// A ripple of the height is shorter, s (assumed).
const HOLD_S: f64 = 1.0;

/// Kind, least height above ground in ft, and where it stands.
const LEAST: [(Kind, f64, &str); 10] = [
    (
        Kind::PowerOffStall,
        1500.0,
        "FAA-S-ACS-6C PA.VII.B, FAA-S-ACS-7B CA.VII.B, single engine",
    ),
    (
        Kind::PowerOnStall,
        1500.0,
        "FAA-S-ACS-6C PA.VII.C, FAA-S-ACS-7B CA.VII.C, single engine",
    ),
    (
        Kind::AcceleratedStall,
        3000.0,
        "FAA-S-ACS-7B CA.VII.D, FAA-S-ACS-25 AI.X.E",
    ),
    (
        Kind::SlowFlight,
        1500.0,
        "FAA-S-ACS-6C PA.VII.A, FAA-S-ACS-7B CA.VII.A, single engine",
    ),
    (Kind::SteepSpiral, 1500.0, "FAA-S-ACS-7B CA.V.B"),
    (Kind::Chandelle, 1500.0, "FAA-S-ACS-7B CA.V.C"),
    (Kind::LazyEight, 1500.0, "FAA-S-ACS-7B CA.V.D"),
    // Entered at 600 to 1,000 ft and held within 100 ft.
    (Kind::RectangularCourse, 500.0, GROUND_REFERENCE),
    (Kind::STurns, 500.0, GROUND_REFERENCE),
    (Kind::TurnsAroundAPoint, 500.0, GROUND_REFERENCE),
];
const GROUND_REFERENCE: &str = "FAA-S-ACS-6C PA.V.B, 600 ft at the entry less 100 ft of tolerance";
/// Forms of a stall that only an instructor shows.
const SHOWN: [&str; 3] = ["secondary", "cross_controlled", "elevator_trim"];
const SHOWN_FT: f64 = 3000.0;
const SHOWN_SOURCE: &str = "FAA-S-ACS-25 AI.X.F to H";
const KINDS: &[Kind] = &[
    Kind::PowerOffStall,
    Kind::PowerOnStall,
    Kind::AcceleratedStall,
    Kind::SlowFlight,
    Kind::SteepSpiral,
    Kind::Chandelle,
    Kind::LazyEight,
    Kind::RectangularCourse,
    Kind::STurns,
    Kind::TurnsAroundAPoint,
];

/// Lower than the standard's least height for what was flown.
pub(super) fn find(scene: &Scene) -> Answer {
    let agl = scene.agl()?;
    let mut events = Vec::new();
    for (place, maneuver) in scene.likely(KINDS) {
        let Some((feet, source)) = least(maneuver) else {
            continue;
        };
        let from_s = maneuver
            .event("pitch_up")
            .map_or(maneuver.start_s, |event| event.at_s);
        let range = scene.samples(from_s, maneuver.end_s);
        let found = excursions(range, scene.flight.clock.step_s, HOLD_S, |index| {
            let (value, sigma) = scene.height(agl, index);
            Some(Reading::below(value, sigma, feet * M_PER_FT))
        });
        let against = Against {
            id: "below_minimum_height",
            unit: "m",
            origin: Origin::Derived,
            limit_origin: LimitOrigin::Published,
            source,
        };
        let all = scene.events(&against, found);
        events.extend(lowest(&all).map(|event| SafetyEvent {
            maneuver: Some(place),
            ..event
        }));
    }
    Ok(events)
}

/// One maneuver was too low once, however often it went up between.
fn lowest(all: &[SafetyEvent]) -> Option<SafetyEvent> {
    let worst = all
        .iter()
        .min_by(|a, b| a.value.value.total_cmp(&b.value.value))?;
    Some(SafetyEvent {
        start_s: all.first()?.start_s,
        end_s: all.last()?.end_s,
        sure: all.iter().any(|event| event.sure),
        ..worst.clone()
    })
}

/// The least height for a maneuver, ft.
fn least(maneuver: &Maneuver) -> Option<(f64, &'static str)> {
    let shown = maneuver
        .variants
        .iter()
        .any(|variant| variant.probability >= 0.8 && SHOWN.contains(&variant.name));
    if shown {
        return Some((SHOWN_FT, SHOWN_SOURCE));
    }
    LEAST
        .iter()
        .find(|(kind, _, _)| *kind == maneuver.kind)
        .map(|(_, feet, source)| (*feet, *source))
}
