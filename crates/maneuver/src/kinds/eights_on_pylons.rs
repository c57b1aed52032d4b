//! Eights on pylons: a circle around one pylon, then the other way around a second one, at the pivotal
//! altitude (about 500 to 1,100 ft above the ground for a light airplane).
//!
//! FAA-S-ACS-7B CA.VI.A. Bounded by the first roll-in and the last roll-out.

use super::{Grammar, MOST_UNKNOWN, deg, ft, pair, row};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};

/// How it takes part.
pub const ROW: Grammar = row(Kind::EightsOnPylons, propose);

/// Two circles in opposite directions with a short straight run between.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for two in features.turns.windows(2) {
        let (a, b) = (&two[0], &two[1]);
        if a.right() != b.right() && b.start_s - a.end_s < 30.0 {
            out.extend(candidate(features, a, b));
        }
    }
}

fn candidate(features: &Features, a: &Turn, b: &Turn) -> Option<Candidate> {
    let window = features.window(a.start_s, b.end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    let mut evidence = Evidence::base(10.0)
        // The height follows the ground speed: some hundred feet up and down are part of it.
        .within(window.height_range(), 0.0, ft(450.0), ft(120.0))
        .within(agl, ft(350.0), ft(1500.0), ft(200.0))
        // Straight and level for some seconds from one pylon to the next; an S-turn rolls right through.
        .mostly(b.start_s - a.end_s, 2.0, 25.0, 1.2, 3.0);
    for turn in [a, b] {
        evidence = evidence
            // Around a pylon and over to the other one it is well more than the half circle of an S-turn,
            // which the crab into the wind makes some 200°.
            .within(turn.turned_rad.abs(), deg(235.0), deg(400.0), deg(13.0))
            .within(turn.held_bank_rad, deg(17.0), deg(41.0), deg(2.5));
    }
    Some(Candidate::maneuver(
        Kind::EightsOnPylons,
        pair(a.turned_rad),
        a.start_s,
        b.end_s,
        evidence.total(),
    ))
}
