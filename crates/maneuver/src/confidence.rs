//! How sure a found maneuver is.

use crate::{Agreement, Span};

/// Confidence from 0 to 1, argued and not yet calibrated on real flights.
///
/// The score is a sum of log-odds of signs that are partly the same thing said twice, so it is halved
/// before it becomes a chance. The second opinion is worth 1.5 (odds of 4.5): two methods that were right
/// together 95 to 99 times in a hundred in simulation were right 80 to 85 times on real recordings, which
/// is why nothing is ever surer than 0.97.
#[must_use]
pub fn confidence(span: &Span) -> f64 {
    let second = match span.agreement {
        Agreement::Both => 1.5,
        Agreement::DecoderOnly => 0.0,
        Agreement::RulesOnly => -2.0,
        // A person's word is not argued with; see `corrections`.
        Agreement::Unasked => return 1.0,
    };
    let log_odds = 0.5 * (span.score - 3.0) + second;
    (1.0 / (1.0 + (-log_odds).exp())).clamp(0.02, 0.97)
}
