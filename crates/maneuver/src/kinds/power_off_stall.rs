//! Power-off stall: slow down (usually with flaps), a stabilized descent, idle, nose up until the stall
//! or its first cue, recovery, climb.
//!
//! FAA-S-ACS-6C PA.VII.B. The descent may be absent and the flaps may stay up. Bounded by the power
//! reduction that starts the setup (after the clearing turns) and a few seconds of the climb.

use super::{Grammar, MOST_UNKNOWN, row, setup, stall_signature as signature};
use crate::Kind;
use crate::decode::Candidate;
use crate::features::{Dip, Features};
use crate::stall;

/// How it takes part.
pub const ROW: Grammar = row(Kind::PowerOffStall, propose).worked_out(
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
    let off = -signature::power_on(features, dip);
    let evidence = signature::evidence(features, dip)
        .plus(start.odds)
        .plus(off.min(1.5))
        .plus(-signature::accelerated(features, dip).max(0.0))
        .plus(signature::after_a_pull(features, dip))
        .plus(-2.0 * signature::zoom(features, dip).max(0.0))
        .plus(signature::reversal(features, start_s, dip))
        .lasting(dip.at_s - start_s, start.lasts(45.0), 0.6);
    Some(
        Candidate::maneuver(
            Kind::PowerOffStall,
            signature::direction(features, dip),
            start_s,
            end_s,
            evidence.total(),
        )
        .anchored(dip.at_s),
    )
}
