//! Eights on pylons: a circle around one pylon, then the other way around a second one, at the pivotal
//! altitude (about 500 to 1,100 ft above the ground for a light airplane).
//!
//! FAA-S-ACS-7B CA.V.E. One eight is two circles; two and more eights follow each other without a pause. Bounded by
//! the first roll-in and the last roll-out.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, ft, pair, row};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};
use crate::phases::entry;
use crate::phases::given::Given;
use crate::phases::ground::Ground;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::{Sheet, poorer};
use crate::phases::turn_blocks::{self, Block};
use crate::phases::{pivotal, pylons};
use crate::{Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::EightsOnPylons, propose).worked_out(
    detail,
    &["roll_in", "first_turn_end", "second_turn_start", "wings_level"],
    &[
        figure("turns", "1", "circles about a pylon"),
        figure(
            "pivotal_error",
            "m",
            "greatest difference of the height above ground from the pivotal altitude in the turns, with its sign",
        ),
        figure(
            "entry_pivotal_error",
            "m",
            "height above ground at the entry against the pivotal altitude there",
        ),
        figure(
            "height_follows",
            "1",
            "change of height for each foot of change of the pivotal altitude: 1 as needed, 0 not followed",
        ),
        figure(
            "pylon_ahead",
            "rad",
            "greatest angle of a pylon that was given ahead of the wing, behind it negative",
        ),
        figure("straight_seconds", "s", "shortest straight run between two pylons"),
        figure("bank_most", "rad", "steepest bank"),
        figure("ground_speed_least", "m/s", "least ground speed in the turns"),
        figure("ground_speed_most", "m/s", "greatest ground speed in the turns"),
        figure("entry_off_downwind", "rad", "track at the entry against straight downwind"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// The most circles that are told as one maneuver: four eights.
const MOST: usize = 8;
/// From one pylon to the next, at the longest, s.
const RUN_S: f64 = 30.0;

/// Circles in alternating directions with a short straight run between.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let turns = &features.turns;
    for first in 0..turns.len() {
        for last in first + 1..turns.len().min(first + MOST) {
            let (a, b) = (&turns[last - 1], &turns[last]);
            if a.right() == b.right() || b.start_s - a.end_s > RUN_S {
                break;
            }
            out.extend(candidate(features, &turns[first..=last]));
        }
    }
}

fn candidate(features: &Features, run: &[Turn]) -> Option<Candidate> {
    let (first, last) = (run.first()?, run.last()?);
    let window = features.window(first.start_s, last.end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    // Each circle more is another coincidence that ordinary flying would have to make.
    let mut evidence = Evidence::base(10.0 + 5.0 * (run.len() as f64 - 2.0))
        // The height follows the ground speed: some hundred feet up and down are part of it, and in a strong wind
        // the pivotal altitude itself moves by twice the wind over the airspeed.
        .within(window.height_range(), 0.0, ft(600.0), ft(120.0))
        .within(agl, ft(350.0), ft(1500.0), ft(200.0));
    for two in run.windows(2) {
        // Straight and level for some seconds from one pylon to the next; an S-turn rolls right through.
        evidence = evidence.mostly(two[1].start_s - two[0].end_s, 2.0, 25.0, 1.2, 3.0);
    }
    for turn in run {
        evidence = evidence
            // Around a pylon and over to the other one it is well more than the half circle of an S-turn,
            // which the crab into the wind makes some 200°.
            .within(turn.turned_rad.abs(), deg(235.0), deg(400.0), deg(13.0))
            .within(turn.held_bank_rad, deg(17.0), deg(43.0), deg(2.5));
    }
    Some(Candidate::maneuver(
        Kind::EightsOnPylons,
        pair(first.turned_rad),
        first.start_s,
        last.end_s,
        evidence.total(),
    ))
}

/// A turn of less is a correction between the pylons, rad.
const CIRCLE_RAD: f64 = deg(120.0);
/// Roll-in and roll-out of a turn, in which the height is not judged yet, s.
const ROLLING_S: f64 = 4.0;

/// Turns, pylons, and the height against the pivotal altitude.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let turns = circles(&motion, span.start_s, span.end_s);
    let (Some(first), Some(last)) = (turns.first(), turns.last()) else {
        return sheet.finish();
    };
    let (start_s, end_s) = (first.start_s, last.end_s);
    sheet.direction(pair(first.turned_rad));
    sheet.bounds(start_s, end_s);
    let (_, origin) = motion.quality(motion.flight.bank.as_ref(), start_s);
    let sigma = if origin == Origin::Measured { 0.5 } else { 1.2 };
    sheet.event("roll_in", start_s, sigma, origin);
    if let [one, two, ..] = turns.as_slice() {
        sheet.event("first_turn_end", one.end_s, sigma, origin);
        sheet.event("second_turn_start", two.start_s, sigma, origin);
    }
    sheet.event("wings_level", end_s, sigma, origin);
    entry::write(&motion, start_s, end_s, &mut sheet);
    sheet.fact("turns", turns.len() as f64, "1", 0.0, Origin::Derived);
    let straight = turns
        .windows(2)
        .map(|two| two[1].start_s - two[0].end_s)
        .fold(f64::NAN, f64::min);
    sheet.fact("straight_seconds", straight, "s", 1.4 * sigma, origin);
    let (bank_sigma, bank_origin) = motion.bank_quality(0.5 * (start_s + end_s));
    if let Some((_, most)) = motion.bank.map(f64::abs).held(start_s, end_s, 1.0) {
        sheet.fact("bank_most", most, "rad", bank_sigma, bank_origin);
    }
    over_the_ground(&motion, case.given, &turns, &mut sheet);
    let names = [
        "pylon_1", "pylon_2", "pylon_3", "pylon_4", "pylon_5", "pylon_6", "pylon_7", "pylon_8",
    ];
    let parts: Vec<(&'static str, f64)> = names
        .into_iter()
        .zip(turns.iter().map(|turn| turn.start_s))
        .collect();
    sheet.phases_in_order(&parts, end_s);
    sheet.finish()
}

/// The circles within the span, each the other way than the one before.
fn circles(motion: &Motion, start_s: f64, end_s: f64) -> Vec<Block> {
    let mut out: Vec<Block> = Vec::new();
    for block in turn_blocks::find(motion, motion.from_s, motion.to_s, CIRCLE_RAD) {
        let inside = block.middle_s() > start_s - 2.0 && block.middle_s() < end_s + 2.0;
        let alternates = out.last().is_none_or(|last| last.sign() != block.sign());
        if inside && alternates && out.len() < MOST {
            out.push(block);
        }
    }
    out
}

fn over_the_ground(motion: &Motion, given: Option<&Given>, turns: &[Block], sheet: &mut Sheet) {
    let span = turns.first().zip(turns.last());
    let ground = span.and_then(|(first, last)| Ground::new(motion, first.start_s, last.end_s));
    let Some(ground) = ground else {
        for name in ["pivotal_error", "entry_pivotal_error", "height_follows"] {
            sheet.missing(
                name,
                "no position was recorded, so the ground speed is not known",
            );
        }
        return;
    };
    let start_s = turns.first().map_or(0.0, |turn| turn.start_s);
    ground.write_wind(start_s, sheet);
    let judged: Vec<(f64, f64)> = turns
        .iter()
        .map(|turn| (turn.start_s + ROLLING_S, turn.end_s - ROLLING_S))
        .filter(|(from_s, to_s)| to_s > from_s)
        .collect();
    let speeds = judged
        .iter()
        .flat_map(|(from_s, to_s)| ground.speed.between(*from_s, *to_s))
        .map(|(_, speed)| speed);
    let (least, most) = speeds.fold((f64::NAN, f64::NAN), |(least, most): (f64, f64), speed| {
        (least.min(speed), most.max(speed))
    });
    let origin = poorer(ground.origin, Origin::Derived);
    sheet.fact("ground_speed_least", least, "m/s", 0.6, origin);
    sheet.fact("ground_speed_most", most, "m/s", 0.6, origin);
    pivotal::write(motion, &ground, start_s, &judged, sheet);
    pylons::write(motion, &ground, given, turns, sheet);
}
