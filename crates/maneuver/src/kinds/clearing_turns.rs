//! Clearing turns: about 90° one way, then back, level, at maneuvering speed.
//!
//! FAA-H-8083-3C, chapter 5: "clearing turns … at least a 180° turn or two 90° turns in opposite
//! directions" (from memory). Only the pair is proposed: a lone 180° turn cannot be told from ordinary
//! flying. Bounded by wings level before the first roll-in and after the last roll-out.

use super::{Grammar, MOST_UNKNOWN, deg, figure, ft, pair, row};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};
use crate::phases;

/// How it takes part.
pub const ROW: Grammar = row(Kind::ClearingTurns, propose).worked_out(
    |case| phases::clearing_turns::detail(case.flight, case.span, case.others),
    &["first_turn_end"],
    &[
        figure(
            "heading_change",
            "rad",
            "heading after both turns against the entry",
        ),
        figure("bank_max", "rad", "greatest bank"),
    ],
);

/// Adjacent turns that go opposite ways.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for two in features.turns.windows(2) {
        let (first, second) = (&two[0], &two[1]);
        if first.right() != second.right() {
            out.extend(candidate(features, first, second));
        }
    }
}

fn candidate(features: &Features, first: &Turn, second: &Turn) -> Option<Candidate> {
    let pause = second.start_s - first.end_s;
    if pause > 40.0 {
        return None;
    }
    let whole = features.window(first.start_s, second.end_s);
    if whole.unknown() > MOST_UNKNOWN {
        return None;
    }
    let vs = features.scale.vs1_mps;
    let entry = features
        .window(first.start_s - 2.0, first.start_s + 2.0)
        .mean_ias()
        / vs;
    let speed = first.ias_mps.min(second.ias_mps) / vs;
    let net = (first.turned_rad + second.turned_rad).abs();
    // The speed removes turns inside slow flight (1.1 to 1.3 times the stall speed, and 10 to 15° of bank:
    // quarter turns banked as clearing turns are, are not turns of slow flight whatever the speed).
    let gentle = first.held_bank_rad.min(second.held_bank_rad) < deg(19.0);
    let slow = Evidence::base(0.0)
        .within(entry, 1.42, 9.0, 0.06)
        .mostly(speed, 1.42, 9.0, 0.08, 2.0)
        .total();
    let too_slow = if gentle { slow } else { slow.max(-1.5) };
    let evidence = Evidence::base(6.0)
        // Quarter turns, flown by eye.
        .within(first.turned_rad.abs(), deg(72.0), deg(108.0), deg(10.0))
        .within(second.turned_rad.abs(), deg(72.0), deg(108.0), deg(10.0))
        // Back to the entry heading; a second maneuver's heading may be taken up instead.
        .mostly(net, 0.0, deg(15.0), deg(9.0), 4.0)
        .within(first.held_bank_rad, deg(13.0), deg(36.0), deg(4.0))
        .within(second.held_bank_rad, deg(13.0), deg(36.0), deg(4.0))
        .mostly(whole.height_range(), 0.0, ft(130.0), ft(60.0), 4.0)
        .plus(too_slow)
        .within(pause, 0.0, 14.0, 3.5)
        .lasting(whole.seconds(), 42.0, 0.5);
    Some(Candidate::maneuver(
        Kind::ClearingTurns,
        pair(first.turned_rad),
        first.start_s,
        second.end_s,
        evidence.total(),
    ))
}
