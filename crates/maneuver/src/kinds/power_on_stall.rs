//! Power-on stall: slow down level with power back, power up (at least 65 %), nose up, climbing while
//! slowing until the stall or its first cue, recovery, climb.
//!
//! FAA-S-ACS-6C PA.VII.C. Bounded as the power-off stall.

use super::{Grammar, MOST_UNKNOWN, row, setup, stall_signature as signature};
use crate::Kind;
use crate::decode::Candidate;
use crate::features::{Dip, Features};
use crate::stall;

/// How it takes part.
pub const ROW: Grammar = row(Kind::PowerOnStall, propose).worked_out(
    |case| stall::detail(case.flight, case.aircraft, case.span, case.others),
    stall::MOMENTS,
    stall::FIGURES,
);

/// One for each minimum of airspeed.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for dip in &features.dips {
        for start in setup::starts_before(features, dip.at_s) {
            out.extend(candidate(features, dip, &start));
        }
    }
}

fn candidate(features: &Features, dip: &Dip, start: &setup::Start) -> Option<Candidate> {
    let start_s = start.at_s;
    let end_s = signature::end_after(features, dip);
    let window = features.window(start_s, end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let on = signature::power_on(features, dip);
    let evidence = signature::evidence(features, dip)
        .plus(start.odds)
        .plus(on.min(1.5))
        .plus(signature::power_never_back(features, dip))
        .plus(-signature::accelerated(features, dip).max(0.0))
        .plus(signature::after_a_pull(features, dip))
        .plus(-2.0 * signature::zoom(features, dip).max(0.0))
        .plus(signature::reversal(features, start_s, dip))
        .lasting(dip.at_s - start_s, start.lasts(36.0), 0.6);
    Some(
        Candidate::maneuver(
            Kind::PowerOnStall,
            signature::direction(features, dip),
            start_s,
            end_s,
            evidence.total(),
        )
        .anchored(dip.at_s),
    )
}
