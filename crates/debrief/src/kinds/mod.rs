//! What is told of each group of kinds: its sentence, its events in words, its findings. One file a group.

mod engine_out;
mod ground_reference;
mod instruments;
mod landings;
mod performance;
mod stalls;

use crate::findings::Case;
use crate::findings::table::Row;
use maneuver::{Kind, Maneuver};
use standard::{Mark, TaskMarks};

/// A figure that is told with an event.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[allow(dead_code)] // each group names those that its events need
pub(crate) enum Shown {
    /// By the altimeter.
    Altitude,
    /// Above ground.
    Height,
    /// Indicated.
    Speed,
    Bank,
    /// Magnetic.
    Heading,
    /// Climb or descent.
    Sink,
}

/// The words of a group of kinds.
pub(crate) struct Words {
    /// The kinds.
    pub kinds: &'static [Kind],
    /// What happened, in one sentence without its full stop: `you turned 180° and gained 480 ft`.
    pub opening: fn(&Maneuver, &TaskMarks) -> String,
    /// Evidence of a finding, where measured value and limit alone do not say it.
    pub evidence: fn(&str, &Mark, &Case) -> Option<String>,
    /// Event, what it is called, and the figures told with it.
    pub events: &'static [(&'static str, &'static str, &'static [Shown])],
    /// Findings.
    pub findings: &'static [Row],
    /// Criteria worth praise when they were well inside, most telling first.
    pub telling: &'static [&'static str],
}

/// Every group.
pub(crate) const WORDS: [&Words; 6] = [
    &stalls::WORDS,
    &performance::WORDS,
    &ground_reference::WORDS,
    &landings::WORDS,
    &instruments::WORDS,
    &engine_out::WORDS,
];

/// The words of a kind.
pub(crate) fn words_of(kind: Kind) -> Option<&'static Words> {
    WORDS.into_iter().find(|words| words.kinds.contains(&kind))
}

/// Whether a criterion is worth praise for this kind.
pub(crate) fn is_telling(kind: Kind, criterion: &str) -> bool {
    words_of(kind).is_some_and(|words| words.telling.contains(&criterion))
}

/// `a chandelle`, `an emergency descent`, `S-turns`.
pub(crate) fn with_article(kind: Kind) -> String {
    let title = kind.title();
    let name = if title.starts_with("S-") {
        title.to_owned()
    } else {
        title.to_lowercase()
    };
    if matches!(
        kind,
        Kind::STurns | Kind::TurnsAroundAPoint | Kind::EightsOnPylons | Kind::ClearingTurns
    ) || kind == Kind::StraightAndLevel
    {
        return name;
    }
    let vowel = name.starts_with(['a', 'e', 'i', 'o']) || name.starts_with("un");
    format!("{} {name}", if vowel { "an" } else { "a" })
}
