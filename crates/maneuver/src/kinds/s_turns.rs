//! S-turns across a road: half circles to alternating sides, level, low, rolling through wings level
//! over the line.
//!
//! FAA-S-ACS-6C PA.VI.A. Two half circles at least; four are common. Bounded by the first roll-in and the
//! last roll-out; may end while still banked.

use super::{Grammar, MOST_UNKNOWN, deg, ft, pair, row};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};

/// How it takes part.
pub const ROW: Grammar = row(Kind::STurns, propose);

/// Runs of turns that alternate.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let turns = &features.turns;
    for first in 0..turns.len() {
        for last in first + 1..turns.len().min(first + 8) {
            let (a, b) = (&turns[last - 1], &turns[last]);
            // The line is crossed wings level, but only crossed.
            if a.right() == b.right() || b.start_s - a.end_s > 10.0 {
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
    let count = run.len() as f64;
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    // Each half circle more is another coincidence that ordinary flying would have to make.
    let mut evidence = Evidence::base(3.5 * count - 1.5)
        .within(window.height_range(), 0.0, ft(240.0), ft(80.0))
        .mostly(
            window.total_turn() / count,
            deg(150.0),
            deg(215.0),
            deg(15.0),
            6.0,
        )
        .mostly(agl, ft(400.0), ft(1400.0), ft(250.0), 3.0)
        .lasting(window.seconds() / count, 28.0, 0.5);
    for (place, turn) in run.iter().enumerate() {
        // The first and the last half circle may be cut by entry and exit.
        let inner = place > 0 && place + 1 < run.len();
        let least = if inner { 140.0 } else { 110.0 };
        evidence = evidence
            .within(turn.turned_rad.abs(), deg(least), deg(235.0), deg(14.0))
            .within(turn.held_bank_rad, deg(13.0), deg(48.0), deg(4.0));
    }
    Some(Candidate::maneuver(
        Kind::STurns,
        pair(first.turned_rad),
        first.start_s,
        last.end_s,
        evidence.total(),
    ))
}
