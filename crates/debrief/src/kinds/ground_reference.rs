//! What is told of turns around a point, S-turns, rectangular courses.

use super::{Words, with_article};
use maneuver::{Kind, Maneuver};
use standard::TaskMarks;

pub(crate) const WORDS: Words = Words {
    kinds: &[
        Kind::TurnsAroundAPoint,
        Kind::STurns,
        Kind::RectangularCourse,
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
