//! The second opinion: rules and state machines with plain limits, independent of the decoder's scores.
//!
//! They see the same features but share no limit, no score and no boundary search with the kinds. Where
//! both report the same, the chance that they are wrong together is small; where only the decoder does,
//! the confidence says so.

mod contacts;
mod figures;
mod slow;

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
pub fn opinions(features: &Features) -> Vec<Opinion> {
    let mut all = figures::opinions(features);
    all.extend(slow::opinions(features));
    all.extend(contacts::opinions(features));
    all
}

/// Whether the rules say the same: the same kind over at least half of the shorter span.
#[must_use]
pub fn agreement(opinions: &[Opinion], candidate: &Candidate, kind: Kind) -> Agreement {
    let same = opinions.iter().any(|opinion| {
        let overlap = opinion.end_s.min(candidate.end_s) - opinion.start_s.max(candidate.start_s);
        let shorter = (opinion.end_s - opinion.start_s).min(candidate.end_s - candidate.start_s);
        opinion.kind == kind && overlap >= 0.5 * shorter
    });
    if same {
        Agreement::Both
    } else {
        Agreement::DecoderOnly
    }
}
