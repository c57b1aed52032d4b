//! Go-around: an approach down to a few hundred feet or less, then full power and climb, no touchdown.
//!
//! FAA-S-ACS-6C PA.IV.N. At altitude the same figure is practice filler, no go-around: it hangs on the
//! height above ground. Bounded by the lowest point's approach and the climb through 540 ft above it.

use super::{Grammar, fpm, ft, row};
use crate::decode::{Candidate, Evidence};
use crate::features::{ContactKind, Features, STEP_S};
use crate::{Direction, Kind};

/// How it takes part.
pub const ROW: Grammar = row(Kind::GoAround, propose);

/// One for each low pass.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::LowPass)
    {
        let height = |t: f64| features.at(&features.altitude, t) - contact.altitude_m;
        let limit = (contact.at_s + 120.0).min(features.end_s());
        let mut end_s = contact.at_s;
        while end_s < limit && height(end_s) < ft(450.0) {
            end_s += STEP_S;
        }
        let mut start_s = contact.at_s;
        // The decision: the power comes, seen as the end of the descent at the latest.
        while start_s > contact.at_s - 20.0 && features.at(&features.climb, start_s) > -fpm(250.0) {
            start_s -= STEP_S;
        }
        let before = features
            .window(contact.at_s - 40.0, contact.at_s - 5.0)
            .mean_climb();
        let evidence = Evidence::base(10.0)
            .ramp(before, -fpm(150.0), -6.0, -fpm(350.0), 1.0)
            .ramp(height(end_s), ft(200.0), -5.0, ft(400.0), 0.0);
        let candidate = Candidate::maneuver(
            Kind::GoAround,
            Direction::None,
            start_s,
            end_s,
            evidence.total(),
        );
        out.push(candidate.anchored(contact.at_s));
    }
}
