//! Straight and level, climbs and descents at a constant airspeed, turns to a heading: ordinary flying by the
//! recording alone, so they are never proposed. A person or the lesson's plan says that one was set; then it is
//! worked out as given.
//!
//! FAA-S-ACS-6C PA.VIII.A to D: altitude ±200 ft, heading ±20°, airspeed ±10 kt, roll-out ±10°.

use super::{Case, Figure, Grammar, figure, row};
use crate::phases::entry;
use crate::phases::motion::Motion;
use crate::phases::sheet::Sheet;
use crate::phases::turn;
use crate::phases::turning::Turning;
use crate::{Kind, Maneuver};

/// Straight and level.
pub const STRAIGHT: Grammar = set(Kind::StraightAndLevel);
/// Constant-airspeed climb.
pub const CLIMB: Grammar = set(Kind::ConstantAirspeedClimb);
/// Constant-airspeed descent.
pub const DESCENT: Grammar = set(Kind::ConstantAirspeedDescent);
/// Turn to a heading.
pub const TURN: Grammar =
    row(Kind::TurnToHeading, |_, _| ()).worked_out(detail, &["roll_in", "wings_level"], FIGURES);

const FIGURES: &[Figure] = &[
    figure("ias_held", "m/s", "airspeed held, the median"),
    figure("heading_held", "rad", "heading held, the median, magnetic"),
    figure("final_altitude", "m", "altitude at the end"),
    figure("final_heading", "rad", "heading at the end, magnetic"),
    figure("lowest_agl", "m", "lowest height above ground"),
];

const fn set(kind: Kind) -> Grammar {
    row(kind, |_, _| ()).worked_out(detail, &[], FIGURES)
}

fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, 0.0, 0.0);
    let mut sheet = Sheet::new(span);
    let (start_s, end_s) = (span.start_s, span.end_s);
    entry::write(&motion, start_s, end_s, &mut sheet);
    let middle = 0.5 * (start_s + end_s);
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), middle);
    sheet.fact(
        "ias_held",
        motion.ias.median(start_s, end_s),
        "m/s",
        sigma,
        origin,
    );
    let (sigma, origin) = motion.altitude_quality(end_s);
    let last = motion.altitude.mean(end_s - 2.0, end_s);
    sheet.fact("final_altitude", last, "m", sigma, origin);
    let magnetic = |heading: f64| air::units::wrap_tau(heading - motion.flight.variation_rad);
    let (_, origin) = motion.quality(motion.flight.heading.as_ref(), middle);
    let sigma = entry::heading_change_sigma_rad(origin);
    let held = motion.heading.median(start_s, end_s);
    sheet.fact("heading_held", magnetic(held), "rad", sigma, origin);
    let last = motion.heading.mean(end_s - 1.5, end_s);
    sheet.fact("final_heading", magnetic(last), "rad", sigma, origin);
    if span.kind == Kind::TurnToHeading
        && let Some(turn) = Turning::new(&motion, span, middle)
    {
        sheet.event("roll_in", turn.roll_in_s, 0.8, turn.origin);
        let level = turn
            .bank
            .first_beyond(middle, end_s, turn::LEVEL_RAD, false);
        sheet.event("wings_level", level.unwrap_or(end_s), 0.8, turn.origin);
    }
    sheet.phase("established", start_s, end_s);
    sheet.finish()
}
