//! The word of a lesson: what people said, folded from the entries in order.

use super::entry::{ManeuverRef, Said};
use super::people::PersonBrief;
use serde::{Deserialize, Serialize};
use standard::Verdict;
use utoipa::ToSchema;

/// Everything people said of a lesson, as it stands now.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Word {
    /// Marks that a person confirmed, changed or gave.
    pub marks: Vec<GivenMark>,
    /// Notes in order of time.
    pub notes: Vec<PinnedNote>,
    /// The lesson in the instructor's words.
    pub summary: Option<Summary>,
    /// What the student said before seeing the numbers.
    pub answers: Vec<Answer>,
    /// The student's replies.
    pub replies: Vec<Reply>,
}

/// A mark by a person.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct GivenMark {
    /// Number of the maneuver in the debrief as it is now; none = no such maneuver now.
    pub number: Option<u32>,
    /// Which maneuver was meant.
    pub maneuver: ManeuverRef,
    /// Element code.
    pub element: String,
    /// Criterion id.
    pub criterion: String,
    /// The person's verdict (the program's own when only confirmed).
    #[schema(value_type = String)]
    pub verdict: Verdict,
    /// The program's verdict now; none = it no longer marks this.
    #[schema(value_type = Option<String>)]
    pub program: Option<Verdict>,
    /// The program's verdict when the person spoke, where it differs from now.
    #[schema(value_type = Option<String>)]
    pub program_then: Option<Verdict>,
    /// `confirmed`, `changed` or `given` (an item that only a person can judge).
    pub how: String,
    /// Why.
    pub reason: String,
    /// Who.
    pub by: PersonBrief,
    /// When.
    pub at_utc: String,
}

/// A note.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct PinnedNote {
    /// Id.
    pub id: String,
    /// Moment, s.
    pub at_s: f64,
    /// Words.
    pub text: String,
    /// Who.
    pub by: PersonBrief,
    /// When.
    pub at_utc: String,
}

/// The lesson's summary.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Summary {
    /// How it went.
    pub text: String,
    /// Next time.
    pub next: String,
    /// Who.
    pub by: PersonBrief,
    /// When.
    pub at_utc: String,
}

/// What the student said first.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Answer {
    /// Number of the maneuver now.
    pub number: Option<u32>,
    /// Which was meant.
    pub maneuver: ManeuverRef,
    /// Answers.
    pub said: Vec<Said>,
    /// Who.
    pub by: PersonBrief,
    /// When.
    pub at_utc: String,
}

/// The student's words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Reply {
    /// Words.
    pub text: String,
    /// Who.
    pub by: PersonBrief,
    /// When.
    pub at_utc: String,
}
