//! Landing: from abeam the touchdown point on downwind to the slowing roll.
//!
//! FAA-S-ACS-6C PA.IV.B. Without a downwind (straight-in) it starts at the descent through 800 ft.

use super::{Grammar, deg, ft, row};
use crate::decode::Candidate;
use crate::features::{Contact, ContactKind, Features, STEP_S};
use crate::{Direction, Kind};

/// How it takes part.
pub const ROW: Grammar = row(Kind::Landing, propose);

/// One for each touchdown.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::Touchdown)
    {
        let start_s = start(features, contact);
        let candidate = Candidate::maneuver(
            Kind::Landing,
            pattern_side(features, start_s, contact.at_s),
            start_s,
            (contact.at_s + 9.0).min(features.end_s()),
            12.0,
        );
        out.push(candidate.anchored(contact.at_s));
    }
}

/// Left or right traffic by the turns to final, straight in without any.
#[must_use]
pub fn pattern_side(features: &Features, start_s: f64, touchdown_s: f64) -> Direction {
    let net = features.window(start_s, touchdown_s).net_turn();
    if net.abs() > deg(60.0) {
        super::side(net)
    } else {
        Direction::Straight
    }
}

/// Abeam the touchdown point on downwind, else where the approach passes 800 ft above it.
#[must_use]
pub fn start(features: &Features, contact: &Contact) -> f64 {
    let final_heading = features.at(&features.heading, contact.at_s - 4.0);
    let (east, north) = (
        features.at(&features.east, contact.at_s),
        features.at(&features.north, contact.at_s),
    );
    let mut t = contact.at_s - 20.0;
    let first = (contact.at_s - 260.0).max(0.0);
    let mut high = f64::NAN;
    while t > first {
        let back = air::units::wrap_pi(features.at(&features.heading, t) - final_heading).abs();
        let along = (features.at(&features.east, t) - east) * final_heading.sin()
            + (features.at(&features.north, t) - north) * final_heading.cos();
        // Downwind, going the other way, and passing the touchdown point: `along` was behind it later on.
        if back > deg(140.0) && along >= 0.0 {
            return t;
        }
        let height = features.at(&features.altitude, t) - contact.altitude_m;
        if high.is_nan() && height > ft(800.0) {
            high = t;
        }
        t -= STEP_S;
    }
    if high.is_nan() {
        (contact.at_s - 120.0).max(0.0)
    } else {
        high
    }
}
