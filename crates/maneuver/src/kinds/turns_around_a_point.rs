//! Turns around a point: two (or more) level circles one way at 20 to 45° of bank, low.
//!
//! FAA-S-ACS-6C PA.VI.A: 600 to 1,000 ft above the ground, altitude ± 100 ft. The bank varies with the
//! wind but the wings never come level. May end while still banked.

use super::{Grammar, MOST_UNKNOWN, deg, ft, row, side};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::Features;

/// How it takes part.
pub const ROW: Grammar = row(Kind::TurnsAroundAPoint, propose);

/// Long level turns of moderate bank.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for turn in &features.turns {
        let window = features.window(turn.start_s, turn.end_s);
        if turn.turned_rad.abs() < deg(500.0) || window.unknown() > MOST_UNKNOWN {
            continue;
        }
        let agl = window.percentile(&features.agl, 0.5, |h| h);
        let evidence = Evidence::base(13.0)
            .within(turn.turned_rad.abs(), deg(620.0), deg(1500.0), deg(40.0))
            .within(window.mean_abs_bank(), deg(16.0), deg(39.0), deg(2.5))
            .within(window.height_range(), 0.0, ft(260.0), ft(80.0))
            .within(window.net_height().abs(), 0.0, ft(180.0), ft(70.0))
            .mostly(agl, ft(400.0), ft(1400.0), ft(250.0), 3.0)
            .lasting(turn.seconds(), 105.0, 0.5);
        out.push(Candidate::maneuver(
            Kind::TurnsAroundAPoint,
            side(turn.turned_rad),
            turn.start_s,
            turn.end_s,
            evidence.total(),
        ));
    }
}
