//! Takeoff: from the start of the roll to 500 ft above the runway and some.
//!
//! FAA-S-ACS-6C PA.IV.A. Bounded by the first movement and the climb through 600 ft, or the first turn
//! or level-off before that.

use super::{Grammar, ft, row};
use crate::decode::Candidate;
use crate::features::{ContactKind, Features, STEP_S};
use crate::{Direction, Kind};

/// How it takes part.
pub const ROW: Grammar = row(Kind::Takeoff, propose);

/// One for each lift-off.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::LiftOff)
    {
        let start_s = contact.roll_s;
        let mut t = contact.at_s;
        let limit = (contact.at_s + 150.0).min(features.end_s());
        while t < limit && features.at(&features.altitude, t) - contact.altitude_m < ft(597.0) {
            t += STEP_S;
        }
        let gained = features.at(&features.altitude, t) - contact.altitude_m;
        // A ground contact is sure by itself; what may be wrong is a hop.
        let score = if gained > ft(150.0) { 12.0 } else { 1.0 };
        let candidate = Candidate::maneuver(Kind::Takeoff, Direction::None, start_s, t, score);
        out.push(candidate.anchored(contact.at_s));
    }
}
