//! Accelerated stall: slow down level with power back to about 1.3 stall speeds, roll to 45°, pull; the
//! stall comes at a higher speed (√n), the roll-out and recovery follow.
//!
//! FAA-S-ACS-7B CA.VII.D. The bank is held 4 to 8 s only. Bounded as the other stalls. Where load and speed show the
//! share of the greatest lift the pull itself is the moment; the least speed comes seconds later, in the roll-out.

use super::{Grammar, MOST_UNKNOWN, row, setup, side, stall_signature as signature};
use crate::Kind;
use crate::decode::Candidate;
use crate::features::{Dip, Features};
use crate::stall;

/// How it takes part.
pub const ROW: Grammar = row(Kind::AcceleratedStall, propose).worked_out(
    |case| stall::detail(case.flight, case.aircraft, case.span, case.others),
    stall::MOMENTS,
    stall::FIGURES,
);

/// One for each pull in a bank, and for each minimum of airspeed that has none.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let without = features.dips.iter().filter(|dip| {
        let (from_s, to_s) = (
            dip.at_s - signature::AFTER_PULL_S,
            dip.at_s + signature::BEFORE_PULL_S,
        );
        features.pulls_in(from_s, to_s).is_empty()
    });
    for dip in features.pulls.iter().chain(without) {
        for start in setup::starts_before(features, dip.at_s) {
            out.extend(candidate(features, dip, &start));
        }
    }
}

fn candidate(features: &Features, dip: &Dip, start: &setup::Start) -> Option<Candidate> {
    let start_s = start.at_s;
    // The recovery goes on from the least speed, where that comes after the pull.
    let slowest = features.dips_in(dip.at_s, dip.at_s + signature::AFTER_PULL_S);
    let end_s = slowest.last().map_or(f64::NEG_INFINITY, |slowest| {
        signature::end_after(features, slowest)
    });
    let end_s = end_s.max(signature::end_after(features, dip));
    let window = features.window(start_s, end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let banked = signature::accelerated(features, dip);
    let evidence = signature::evidence_pulled(features, dip)
        .plus(start.odds)
        .plus(banked.min(2.0))
        .plus(-2.0 * signature::zoom(features, dip).max(0.0))
        .plus(signature::reversal(features, start_s, dip))
        .lasting(dip.at_s - start_s, start.lasts(24.0), 0.6);
    let entry = features.window(dip.at_s - 7.0, dip.at_s - 1.0).mean_bank();
    Some(
        Candidate::maneuver(
            Kind::AcceleratedStall,
            side(entry),
            start_s,
            end_s,
            evidence.total(),
        )
        .anchored(dip.at_s),
    )
}
