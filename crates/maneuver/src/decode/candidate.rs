//! A proposed segment.

use crate::{Direction, Kind};

/// What a segment is said to be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Label {
    /// A maneuver.
    Maneuver(Kind),
    /// Ordinary flying that looks like one; the word is for people.
    Filler(&'static str),
}

/// A proposed segment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// What it is.
    pub label: Label,
    /// Which way.
    pub direction: Direction,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Log-odds against ordinary flying.
    pub score: f64,
    /// The defining moment, if the kind has one, s.
    pub anchor_s: Option<f64>,
}

impl Candidate {
    /// A maneuver without a defining moment.
    #[must_use]
    pub fn maneuver(
        kind: Kind,
        direction: Direction,
        start_s: f64,
        end_s: f64,
        score: f64,
    ) -> Candidate {
        Candidate {
            label: Label::Maneuver(kind),
            direction,
            start_s,
            end_s,
            score,
            anchor_s: None,
        }
    }
    /// Ordinary flying by name.
    #[must_use]
    pub fn filler(name: &'static str, start_s: f64, end_s: f64, score: f64) -> Candidate {
        Candidate {
            label: Label::Filler(name),
            direction: Direction::None,
            start_s,
            end_s,
            score,
            anchor_s: None,
        }
    }
    /// The same with its defining moment.
    #[must_use]
    pub fn anchored(self, at_s: f64) -> Candidate {
        Candidate {
            anchor_s: Some(at_s),
            ..self
        }
    }
    /// Its kind when it is a maneuver.
    #[must_use]
    pub fn kind(&self) -> Option<Kind> {
        match self.label {
            Label::Maneuver(kind) => Some(kind),
            Label::Filler(_) => None,
        }
    }
}
