//! One 360° steep turn: roll in, bank established, roll-out, wings level, and how far altitude, speed
//! strayed through the whole turn, and bank between 30° of turn and the roll-out (FAA-S-ACS-6 and -7,
//! task V.A: altitude ±100 ft, airspeed ±10 kt, bank ±5°, roll-out ±10°).

use super::entry;
use super::motion::{Motion, REACH_S};
use super::sheet::{Sheet, poorer};
use super::turn::{self, Turn};
use super::wave::Wave;
use crate::{Direction, Maneuver, Span};
use flight::{Flight, Origin};

/// Turn after which the entry is over, rad.
const ENTRY_TURN_RAD: f64 = 30.0 * std::f64::consts::PI / 180.0;
/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;

/// Works out a steep turn.
pub fn detail(flight: &Flight, span: &Span, others: &[Span]) -> Maneuver {
    let motion = Motion::new(flight, span, others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let middle = 0.5 * (span.start_s + span.end_s);
    let right = match span.direction {
        Direction::Left => false,
        Direction::Right => true,
        _ => motion.bank.median(span.start_s, span.end_s) > 0.0,
    };
    let sign = if right { 1.0 } else { -1.0 };
    let bank = motion.bank.map(|bank| sign * bank);
    // Where the wings do not come level before the neighbor (circles in one go), the cut between them stands.
    let level = turn::LEVEL_RAD;
    let before = bank.last_beyond(motion.from_s, middle, level, false);
    let after = bank.first_beyond(middle, motion.to_s, level, false);
    let from_s = before.map_or(span.start_s, |_| motion.from_s);
    let to_s = after.map_or(span.end_s, |_| motion.to_s);
    let found = turn::find(&bank, from_s, to_s, middle, level);
    let Some(turn) = found else {
        return sheet.finish();
    };
    sheet.direction(if right {
        Direction::Right
    } else {
        Direction::Left
    });
    sheet.bounds(turn.roll_in_s, turn.level_s);
    events(&motion, &turn, &mut sheet);
    entry::write(&motion, turn.roll_in_s, turn.level_s, &mut sheet);
    heading(&motion, &turn, sign, &mut sheet);
    excursions(&motion, &turn, &bank, sign, &mut sheet);
    sheet.phases_in_order(
        &[
            ("entry", turn.roll_in_s),
            ("established", turn.established_s),
            ("rollout", turn.roll_out_s),
        ],
        turn.level_s,
    );
    sheet.finish()
}

fn events(motion: &Motion, turn: &Turn, sheet: &mut Sheet) {
    let (_, origin) = motion.quality(motion.flight.bank.as_ref(), turn.roll_in_s);
    // Bank that was recorded moves 10 °/s and more in a roll; derived bank is smoothed over a second.
    let sigma = if origin == Origin::Measured {
        0.35
    } else {
        1.0
    };
    sheet.event("roll_in", turn.roll_in_s, sigma, origin);
    sheet.event("bank_established", turn.established_s, 1.4 * sigma, origin);
    sheet.event("roll_out_start", turn.roll_out_s, 1.4 * sigma, origin);
    sheet.event("wings_level", turn.level_s, 1.4 * sigma, origin);
}

/// Heading through the turn and the error of the roll-out, positive when turned too far.
fn heading(motion: &Motion, turn: &Turn, sign: f64, sheet: &mut Sheet) {
    let (_, origin) = motion.quality(motion.flight.heading.as_ref(), turn.roll_in_s);
    let before = motion
        .heading
        .mean(turn.roll_in_s - 1.5, turn.roll_in_s + 0.2);
    // The compass system swings for a second or two after a steep roll-out; the mean of the next two
    // seconds is what the pilot rolled out on.
    let after = motion.heading.mean(turn.level_s - 0.2, turn.level_s + 1.5);
    let turned = after - before;
    let sigma = if origin == Origin::Measured {
        1.5f64
    } else {
        4.0
    }
    .to_radians();
    sheet.fact("heading_turned", turned, "rad", sigma, origin);
    let whole = sign * std::f64::consts::TAU;
    sheet.fact(
        "rollout_error",
        sign * (turned - whole),
        "rad",
        sigma,
        origin,
    );
}

fn excursions(motion: &Motion, turn: &Turn, bank: &Wave, sign: f64, sheet: &mut Sheet) {
    let start = motion.heading.at(turn.roll_in_s);
    let turned = motion.heading.map(|heading| sign * (heading - start));
    let from = turned
        .first_beyond(turn.roll_in_s, turn.level_s, ENTRY_TURN_RAD, true)
        .unwrap_or(turn.established_s);
    let to = turn.roll_out_s;
    // Altitude and airspeed are to be held all the way, bank only once it is established.
    let whole = (turn.roll_in_s, turn.level_s);
    let entry = |wave: &Wave| wave.mean(turn.roll_in_s - 1.5, turn.roll_in_s + 0.5);
    let (_, origin) = motion.altitude_quality(from);
    if let Some((low, high)) = motion.altitude.held(whole.0, whole.1, HOLD_S) {
        let zero = entry(&motion.altitude);
        let sigma = motion.altitude_change_sigma_m(2.0);
        sheet.fact("altitude_low", low - zero, "m", sigma, origin);
        sheet.fact("altitude_high", high - zero, "m", sigma, origin);
    }
    let (_, origin) = motion.quality(motion.flight.ias.as_ref(), from);
    if let Some((low, high)) = motion.ias.held(whole.0, whole.1, HOLD_S) {
        let zero = entry(&motion.ias);
        let sigma = motion.ias_change_sigma_mps();
        sheet.fact("ias_low", low - zero, "m/s", sigma, origin);
        sheet.fact("ias_high", high - zero, "m/s", sigma, origin);
    }
    let (sigma, origin) = motion.quality(motion.flight.bank.as_ref(), from);
    if let Some((low, high)) = bank.held(from, to, HOLD_S) {
        sheet.fact("bank_low", low, "rad", sigma, origin);
        sheet.fact("bank_high", high, "rad", sigma, origin);
    }
    sheet.fact(
        "bank_mean",
        bank.mean(from, to),
        "rad",
        sigma,
        poorer(origin, Origin::Derived),
    );
    sheet.fact("seconds_judged", to - from, "s", 1.0, origin);
}
