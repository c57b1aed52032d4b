//! Power-off 180° accuracy approach: power closed abeam the point on downwind, glide to a touchdown.
//!
//! FAA-S-ACS-7B CA.IV.M. The same ground as a landing; what differs is the energy: idle from abeam on.

use super::{Grammar, fpm, landing, row};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{ContactKind, Features};

/// How it takes part.
pub const ROW: Grammar = row(Kind::PowerOff180, propose);

/// One for each touchdown.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for contact in features
        .contacts
        .iter()
        .filter(|c| c.kind == ContactKind::Touchdown)
    {
        let start_s = landing::start(features, contact);
        let glide = features.window(start_s + 6.0, contact.at_s - 8.0);
        let evidence = Evidence::base(12.0)
            .ramp(
                glide.share(&features.power, |p| p < 0.15),
                0.6,
                -6.0,
                0.95,
                2.0,
            )
            .ramp(
                -glide.mean_energy_rate() / features.scale.k,
                fpm(520.0),
                -3.0,
                fpm(700.0),
                1.0,
            )
            .ramp(contact.at_s + 9.0 - start_s, 112.0, 0.5, 130.0, -3.0);
        let end_s = (contact.at_s + 9.0).min(features.end_s());
        let candidate = Candidate::maneuver(
            Kind::PowerOff180,
            landing::pattern_side(features, start_s, contact.at_s),
            start_s,
            end_s,
            evidence.total(),
        );
        out.push(candidate.anchored(contact.at_s));
    }
}
