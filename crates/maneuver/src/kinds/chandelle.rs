//! Chandelle: a climbing turn of 180°, bank set at once and taken out over the second half, ending just
//! above the stall.
//!
//! FAA-S-ACS-7B CA.V.C; FAA-H-8083-3C, chapter 10 (from memory). Bounded by wings level before and after.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, fpm, ft, row, side, stall_signature};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S, Turn};
use crate::phases::entry;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::phases::turning::Turning;
use crate::{Kind, Maneuver};
use flight::Origin;

/// Log-odds of a stall at the end from which it was one: the end of a good chandelle is an approach to the
/// stall as well, without the break.
const SURE_STALL: f64 = 5.5;

/// How it takes part.
pub const ROW: Grammar = row(Kind::Chandelle, propose).worked_out(
    detail,
    &["roll_in", "ninety_point", "wings_level"],
    &[
        figure(
            "rollout_error",
            "rad",
            "heading at wings level against 180° from the entry",
        ),
        figure("final_ias", "m/s", "airspeed at the 180° point"),
        figure("bank_first_half", "rad", "greatest bank to the 90° point"),
        figure(
            "bank_spread_first_half",
            "rad",
            "how far the bank wandered between the roll-in and the 90° point",
        ),
        figure(
            "pitch_spread_second_half",
            "rad",
            "how far the pitch wandered after the 90° point",
        ),
        figure("altitude_gain", "m", "height gained"),
        figure("sag", "m", "height given back on the way up"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Turns of about 180° that climb and slow down.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    out.extend(
        features
            .turns
            .iter()
            .filter_map(|turn| candidate(features, turn)),
    );
}

fn candidate(features: &Features, turn: &Turn) -> Option<Candidate> {
    let window = features.window(turn.start_s, turn.end_s);
    if turn.gained_m < ft(150.0) || window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let (vs, k) = (features.scale.vs1_mps, features.scale.k);
    let first = features.at(&features.ias, turn.start_s);
    let last = features
        .window(turn.end_s - 6.0, turn.end_s + 2.0)
        .min(&features.ias);
    let middle = 0.5 * (turn.start_s + turn.end_s);
    let early = features.window(turn.start_s, middle).mean_abs_bank();
    let late = features.window(middle, turn.end_s).mean_abs_bank();
    let stalled = features
        .dips_in(middle, turn.end_s + 6.0)
        .iter()
        .map(|dip| stall_signature::evidence(features, dip).total())
        .fold(0.0, f64::max);
    let evidence = Evidence::base(8.0)
        .within(turn.turned_rad.abs(), deg(160.0), deg(200.0), deg(12.0))
        // Ends within about ten knots of the stall, having started at or under maneuvering speed.
        .within(last / vs, 0.85, 1.34, 0.06)
        .ramp(first / last, 1.15, -4.0, 1.45, 0.5)
        // A turn entered slow from a setup is a turning stall.
        .within(first / vs, 1.45, 9.0, 0.1)
        // And so is one that ends in a stall beyond doubt: a chandelle is flown to just above it.
        .plus(-(stalled - SURE_STALL).max(0.0))
        .within(turn.gained_m, ft(280.0) * k, ft(1800.0), ft(70.0))
        .within(
            turn.gained_m / turn.seconds(),
            fpm(380.0) * k,
            fpm(3000.0),
            fpm(80.0),
        )
        // Never gives height back on the way.
        .within(sag(&window, &features.altitude), 0.0, ft(45.0), ft(30.0))
        .mostly(early / late, 1.1, 20.0, 0.25, 3.0)
        .within(turn.greatest_bank_rad, deg(20.0), deg(48.0), deg(6.0))
        .lasting(turn.seconds(), 46.0, 0.5);
    let end_s = last_degrees(features, turn);
    Some(Candidate::maneuver(
        Kind::Chandelle,
        side(turn.turned_rad),
        turn.start_s,
        end_s,
        evidence.total(),
    ))
}

/// The last degrees come slowly, with the wings nearly level: up to 180° turned, at most 25 s, as long as
/// it still turns the same way and the speed has not been let go.
fn last_degrees(features: &Features, turn: &Turn) -> f64 {
    let start = features.at(&features.heading, turn.start_s);
    let slowest = features.at(&features.ias, turn.end_s);
    let mut t = turn.end_s;
    while t < turn.end_s + 25.0 && t < features.end_s() {
        let turned = (features.at(&features.heading, t) - start) * turn.turned_rad.signum();
        let same = features.at(&features.bank, t) * turn.turned_rad.signum() > deg(0.8);
        if turned >= deg(179.0) || !same || features.at(&features.ias, t) > 1.05 * slowest {
            break;
        }
        t += STEP_S;
    }
    t
}

/// Deepest fall below the highest altitude so far.
fn sag(window: &crate::features::Window<'_>, altitude: &[f64]) -> f64 {
    let (mut top, mut deepest) = (f64::NEG_INFINITY, 0.0_f64);
    for h in window.slice(altitude).iter().filter(|h| h.is_finite()) {
        top = top.max(*h);
        deepest = deepest.max(top - h);
    }
    deepest
}

/// Bank at which the turn is over, rad: the last degrees come with the wings nearly level.
const OVER_RAD: f64 = deg(2.5);
/// The speed let go after the 180° point, as a share of the slowest.
const LET_GO: f64 = 1.06;
/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;

/// Roll-in, the 90° point, wings level, and what the standard asks for between them.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let early = span.start_s + 0.35 * (span.end_s - span.start_s);
    let Some(turn) = Turning::new(&motion, span, early) else {
        return sheet.finish();
    };
    let to_s = motion.to_s;
    let Some(ninety_s) = turn.reached(turn.roll_in_s, to_s, deg(90.0)) else {
        return sheet.finish();
    };
    let level_s = over(&motion, &turn, ninety_s, span.end_s);
    sheet.direction(side(turn.sign));
    sheet.bounds(turn.roll_in_s, level_s);
    let sigma = if turn.origin == Origin::Measured {
        0.4
    } else {
        1.0
    };
    sheet.event("roll_in", turn.roll_in_s, sigma, turn.origin);
    sheet.event("ninety_point", ninety_s, sigma, turn.origin);
    sheet.event("wings_level", level_s, 2.0 * sigma, turn.origin);
    entry::write(&motion, turn.roll_in_s, level_s, &mut sheet);
    turned(&motion, &turn, (ninety_s, level_s), &mut sheet);
    climbed(&motion, turn.roll_in_s, level_s, &mut sheet);
    sheet.phases_in_order(
        &[("first_half", turn.roll_in_s), ("second_half", ninety_s)],
        level_s,
    );
    sheet.finish()
}

/// Wings level, the speed let go, or the turn gone the other way, whichever comes first.
fn over(motion: &Motion, turn: &Turning, ninety_s: f64, found_s: f64) -> f64 {
    let to_s = motion.to_s.min(found_s + REACH_S);
    let level = turn.bank.first_held(ninety_s, to_s, OVER_RAD, false, 0.5);
    let slowest = motion.ias.lowest(ninety_s, to_s);
    let let_go = slowest
        .and_then(|(at_s, slow)| motion.ias.first_held(at_s, to_s, LET_GO * slow, true, 1.0));
    match (level, let_go) {
        (Some(level), Some(let_go)) => level.min(let_go),
        (Some(one), None) | (None, Some(one)) => one,
        (None, None) => found_s,
    }
}

fn turned(motion: &Motion, turn: &Turning, (ninety_s, level_s): (f64, f64), sheet: &mut Sheet) {
    let error = turn.settled(level_s) - std::f64::consts::PI;
    sheet.fact("rollout_error", error, "rad", turn.sigma_rad(), turn.origin);
    let (sigma, origin) = motion.bank_quality(ninety_s);
    if let Some((_, high)) = turn.bank.held(turn.roll_in_s, ninety_s, HOLD_S) {
        sheet.fact("bank_first_half", high, "rad", sigma, origin);
        // Once it is there: from nine tenths of it on.
        let there = turn
            .bank
            .first_beyond(turn.roll_in_s, ninety_s, 0.9 * high, true);
        let kept = there.and_then(|from| turn.bank.held(from, ninety_s, HOLD_S));
        if let Some((low, high)) = kept {
            sheet.fact(
                "bank_spread_first_half",
                high - low,
                "rad",
                1.4 * sigma,
                origin,
            );
        }
    }
    let (sigma, origin) = motion.quality(motion.flight.pitch.as_ref(), ninety_s);
    if let Some((low, high)) = motion.pitch.held(ninety_s, level_s, HOLD_S) {
        sheet.fact(
            "pitch_spread_second_half",
            high - low,
            "rad",
            1.4 * sigma,
            origin,
        );
    }
}

fn climbed(motion: &Motion, start_s: f64, level_s: f64, sheet: &mut Sheet) {
    let (_, origin) = motion.altitude_quality(level_s);
    let from = motion.altitude.mean(start_s - 1.5, start_s + 0.5);
    let to = motion.altitude.mean(level_s - 0.5, level_s + 0.5);
    // An altimeter reads heights in cold or warm air a few percent wrong.
    let sigma = motion
        .altitude_change_sigma_m(2.0)
        .hypot(0.02 * (to - from));
    sheet.fact("altitude_gain", to - from, "m", sigma, origin);
    let lost = motion.altitude.greatest_fall(start_s, level_s);
    sheet.fact("sag", lost, "m", sigma, origin);
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), level_s);
    let last = motion.ias.mean(level_s - 1.0, level_s + 0.3);
    sheet.fact("final_ias", last, "m/s", sigma.max(0.6), origin);
}
