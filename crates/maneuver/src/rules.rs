//! The second opinion: rules and state machines with plain limits, independent of the decoder's scores.

use crate::decode::Candidate;
use crate::features::Features;
use crate::{Agreement, Kind};

/// What the rules say.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Opinion {
    /// Kind.
    pub kind: Kind,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
}

/// Every opinion of the rules, in no order.
#[must_use]
pub fn opinions(_features: &Features) -> Vec<Opinion> {
    Vec::new()
}

/// Whether the rules say the same: the same kind over at least half of the shorter span.
#[must_use]
pub fn agreement(opinions: &[Opinion], candidate: &Candidate, kind: Kind) -> Agreement {
    let same = opinions.iter().any(|opinion| {
        let overlap = opinion.end_s.min(candidate.end_s) - opinion.start_s.max(candidate.start_s);
        let shorter = (opinion.end_s - opinion.start_s).min(candidate.end_s - candidate.start_s);
        opinion.kind == kind && overlap >= 0.5 * shorter
    });
    if same { Agreement::Both } else { Agreement::DecoderOnly }
}
