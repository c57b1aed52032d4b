//! Rectangular course: straight leg, four corners of about 90° the same way with straight legs between,
//! level, at pattern height.
//!
//! FAA-S-ACS-6C PA.VI.A. Bounded by the leg before the first corner and the end of the last corner or of
//! the leg after it. A traffic pattern has the same corners but ends on the ground.

use super::{Grammar, MOST_UNKNOWN, deg, ft, row, side};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};

/// How it takes part.
pub const ROW: Grammar = row(Kind::RectangularCourse, propose);

/// Runs of four corners the same way.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let corners = corners(&features.turns);
    for (place, four) in corners.windows(4).enumerate() {
        let same = four.windows(2).all(|two| two[0].right() == two[1].right());
        if same {
            let before = place.checked_sub(1).and_then(|i| corners.get(i));
            out.extend(candidate(features, four, before));
        }
    }
}

/// The turns with small corrections the other way (a corner overshot, the wind found late) added to the
/// corner before them.
fn corners(turns: &[Turn]) -> Vec<Turn> {
    let mut out: Vec<Turn> = Vec::new();
    for turn in turns {
        match out.last_mut() {
            Some(last)
                if turn.turned_rad.abs() < deg(50.0)
                    && turn.turned_rad.abs() < 0.6 * last.turned_rad.abs()
                    && turn.start_s - last.end_s < 15.0 =>
            {
                // The corner ends where it ended: the correction is flown on the leg.
                last.turned_rad += turn.turned_rad;
            }
            _ => out.push(*turn),
        }
    }
    out
}

fn candidate(features: &Features, corners: &[Turn], before: Option<&Turn>) -> Option<Candidate> {
    let (first, last) = (corners.first()?, corners.last()?);
    // The entry leg is as long as the legs of the same side, but begins after the last other turn.
    let leg = corners.get(2)?.start_s - corners.get(1)?.end_s;
    let free = before.map_or(0.0, |turn| turn.end_s);
    let start_s = (first.start_s - leg)
        .max(free + 1.0)
        .min(first.start_s)
        .max(0.0);
    let window = features.window(start_s, last.end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let net: f64 = corners.iter().map(|turn| turn.turned_rad.abs()).sum();
    let straight = 1.0 - corners.iter().map(Turn::seconds).sum::<f64>() / window.seconds();
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    let mut evidence = Evidence::base(11.0)
        .within(net, deg(320.0), deg(385.0), deg(18.0))
        .within(straight, 0.25, 0.80, 0.08)
        .within(window.height_range(), 0.0, ft(260.0), ft(80.0))
        .within(agl, ft(350.0), ft(1500.0), ft(250.0))
        .lasting(window.seconds(), 170.0, 0.5);
    for corner in corners {
        evidence = evidence
            .within(corner.turned_rad.abs(), deg(58.0), deg(122.0), deg(14.0))
            .within(corner.held_bank_rad, deg(9.0), deg(36.0), deg(4.0));
    }
    for two in corners.windows(2) {
        evidence = evidence.within(two[1].start_s - two[0].end_s, 4.0, 80.0, 3.0);
    }
    Some(Candidate::maneuver(
        Kind::RectangularCourse,
        side(first.turned_rad),
        start_s,
        last.end_s,
        evidence.total(),
    ))
}
