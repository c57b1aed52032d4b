//! Clearing turns: two turns, one each way (or one long one), before a maneuver (common practice: 90°
//! each way, or one of 180°; FAA-H-8083-3C chapter 5 asks for clearing turns before stalls).

use super::motion::{Motion, REACH_S};
use super::sheet::Sheet;
use super::turn::{self, Turn};
use crate::{Direction, Maneuver, Span};
use flight::{Flight, Origin};

/// Bank that is a turn and not wandering, rad.
const TURN_RAD: f64 = 10.0 * std::f64::consts::PI / 180.0;

/// Bank at which a gentle turn is over: its roll-out ends slowly, rad.
const WINGS_LEVEL_RAD: f64 = 3.0 * std::f64::consts::PI / 180.0;

/// Works out clearing turns.
pub fn detail(flight: &Flight, span: &Span, others: &[Span]) -> Maneuver {
    let motion = Motion::new(flight, span, others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let turns = turns(&motion, span);
    let (Some(first), Some(last)) = (turns.first().copied(), turns.last().copied()) else {
        return sheet.finish();
    };
    let (start, end) = (first.1.roll_in_s, last.1.level_s);
    sheet.bounds(start, end);
    let (_, origin) = motion.quality(motion.flight.bank.as_ref(), start);
    let sigma = if origin == Origin::Measured { 0.5 } else { 1.2 };
    if turns.len() > 1 {
        // The first turn is over when the roll into the second begins.
        sheet.event("first_turn_end", last.1.roll_in_s, sigma, origin);
        sheet.phases_in_order(
            &[("first_turn", start), ("second_turn", last.1.roll_in_s)],
            end,
        );
        sheet.direction(if first.0 > 0.0 {
            Direction::RightLeft
        } else {
            Direction::LeftRight
        });
    } else {
        sheet.phase("first_turn", start, end);
        sheet.direction(if first.0 > 0.0 {
            Direction::Right
        } else {
            Direction::Left
        });
    }
    headings(&motion, &turns, &mut sheet);
    facts(&motion, start, end, &mut sheet);
    sheet.finish()
}

/// The first and the last turn within the span, each with its sign (right positive).
fn turns(motion: &Motion, span: &Span) -> Vec<(f64, Turn)> {
    let mut found: Vec<(f64, Turn)> = Vec::new();
    let mut at = span.start_s - 0.4 * REACH_S;
    let stop = span.end_s + 0.3 * REACH_S;
    while let Some(time) = motion
        .bank
        .map(f64::abs)
        .first_held(at, stop, TURN_RAD, true, 3.0)
    {
        let sign = motion.bank.mean(time, time + 3.0).signum();
        let bank = motion.bank.map(|bank| sign * bank);
        let one = turn::find(
            &bank,
            motion.from_s,
            motion.to_s,
            time + 1.0,
            WINGS_LEVEL_RAD,
        );
        let Some(turn) = one else { break };
        at = turn.level_s.max(time + 1.0) + 0.1;
        let middle = 0.5 * (turn.roll_in_s + turn.level_s);
        if middle > span.start_s - 2.0 && middle < span.end_s + 2.0 {
            found.push((sign, turn));
        }
    }
    if found.len() > 2 {
        // Wandering between the two is none of the two: keep the two that turn most.
        let size = |item: &(f64, Turn)| item.1.held_rad * (item.1.level_s - item.1.roll_in_s);
        found.sort_by(|a, b| size(b).total_cmp(&size(a)));
        found.truncate(2);
        found.sort_by(|a, b| a.1.roll_in_s.total_cmp(&b.1.roll_in_s));
    }
    found
}

fn headings(motion: &Motion, turns: &[(f64, Turn)], sheet: &mut Sheet) {
    let (_, origin) = motion.quality(motion.flight.heading.as_ref(), 0.0);
    let sigma = if origin == Origin::Measured {
        2.0f64
    } else {
        4.0
    }
    .to_radians();
    let starts: Vec<f64> = turns.iter().map(|(_, turn)| turn.roll_in_s).collect();
    let names = ["first_turn", "second_turn"];
    for ((place, (_, turn)), name) in turns.iter().enumerate().zip(names) {
        let end = starts.get(place + 1).copied().unwrap_or(turn.level_s + 0.5);
        let turned = motion.heading.at(end) - motion.heading.at(turn.roll_in_s);
        sheet.fact(name, turned, "rad", sigma, origin);
    }
}

fn facts(motion: &Motion, start: f64, end: f64, sheet: &mut Sheet) {
    let (sigma, origin) = motion.altitude_quality(start);
    let entry = motion.altitude.smooth(1.0).at(start);
    sheet.fact("entry_altitude", entry, "m", sigma, origin);
    if let Some((low, high)) = motion.altitude.held(start, end, 1.0) {
        let sigma = motion.altitude_change_sigma_m(1.5);
        sheet.fact("altitude_low", low - entry, "m", sigma, origin);
        sheet.fact("altitude_high", high - entry, "m", sigma, origin);
    }
    let (sigma, origin) = motion.quality(motion.flight.bank.as_ref(), start);
    if let Some((_, bank)) = motion.bank.map(f64::abs).highest(start, end) {
        sheet.fact("bank_max", bank, "rad", sigma, origin);
    }
    let turned = motion.heading.at(end) - motion.heading.at(start);
    let (sigma, origin) = motion.quality(motion.flight.heading.as_ref(), start);
    sheet.fact("heading_change", turned, "rad", sigma, origin);
}
