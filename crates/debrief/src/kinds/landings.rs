//! What is told of takeoffs, landings and what belongs to them.

use super::{Words, with_article};
use maneuver::{Kind, Maneuver};
use standard::TaskMarks;

pub(crate) const WORDS: Words = Words {
    kinds: &[
        Kind::Takeoff,
        Kind::Landing,
        Kind::GoAround,
        Kind::PowerOff180,
        Kind::ForwardSlip,
        Kind::TrafficPattern,
    ],
    opening,
    evidence: |_, _, _| None,
    events: &[],
    findings: &[],
    telling: &[],
};

fn opening(maneuver: &Maneuver, _: &TaskMarks) -> String {
    format!("you flew {}", with_article(maneuver.kind))
}
