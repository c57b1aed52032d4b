//! One act of a person on a lesson. Entries are only ever added.

use super::people::PersonBrief;
use serde::{Deserialize, Serialize};
use standard::Verdict;
use utoipa::ToSchema;

/// Which maneuver is meant: the one of this kind with the greatest overlap in time.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ManeuverRef {
    /// Kind id.
    pub kind: String,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
}

/// What a person did.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Act {
    /// Who flew, in what, against which standard.
    Setting(Setting),
    /// The whole of what was asked for.
    Briefed {
        /// JSON of the briefing file.
        #[schema(value_type = Object)]
        briefed: standard::Briefed,
    },
    /// The whole list of corrections of recognition.
    Corrections {
        /// docs/corrections.md
        #[schema(value_type = Vec<Object>)]
        corrections: Vec<maneuver::Correction>,
    },
    /// A mark was changed, or an item that only a person can judge was given.
    Mark {
        /// Where.
        maneuver: ManeuverRef,
        /// Element code.
        element: String,
        /// Criterion id.
        criterion: String,
        /// The person's verdict.
        #[schema(value_type = String)]
        verdict: Verdict,
        /// Why; needed when it contradicts a decided mark.
        reason: String,
    },
    /// The program's mark is confirmed.
    Confirm {
        /// Where.
        maneuver: ManeuverRef,
        /// Element code; empty = every mark of the maneuver that is decided.
        element: String,
        /// Criterion id; empty with an empty element.
        criterion: String,
    },
    /// A changed mark or a confirmation is taken back.
    Unmark {
        /// Where.
        maneuver: ManeuverRef,
        /// Element code.
        element: String,
        /// Criterion id.
        criterion: String,
    },
    /// A note pinned to a moment.
    Note {
        /// Id, made by the writer (UUID).
        id: String,
        /// Moment, s.
        at_s: f64,
        /// Words.
        text: String,
    },
    /// A note is taken back.
    Unnote {
        /// Id.
        id: String,
    },
    /// The lesson in the instructor's words.
    Summary {
        /// What was done and how it went.
        text: String,
        /// What to do next time.
        next: String,
    },
    /// What the student said before the numbers were shown.
    Answer {
        /// Where.
        maneuver: ManeuverRef,
        /// Answers.
        said: Vec<Said>,
    },
    /// The student's reply.
    Reply {
        /// Words.
        text: String,
    },
    /// The student has read a signed version.
    Acknowledge {
        /// Version.
        version: i64,
        /// Its digest, so that it is clear what was read.
        sha256: String,
    },
}

/// A change of a lesson's header; what is absent stays.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct Setting {
    /// Student (person id).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub student_id: Option<String>,
    /// Instructor (person id).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instructor_id: Option<String>,
    /// Aircraft id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub aircraft_id: Option<String>,
    /// Pack id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub standard: Option<String>,
    /// Elevation below the practice area, ft above sea level; `null` = the school's again.
    #[serde(
        default,
        deserialize_with = "given",
        skip_serializing_if = "Option::is_none"
    )]
    #[schema(value_type = Option<f64>)]
    pub terrain_ft: Option<Option<f64>>,
    /// Title.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
    /// Instructor's demonstration.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub demonstration: Option<bool>,
}

/// Tells `null` from absent.
fn given<'de, D: serde::Deserializer<'de>>(value: D) -> Result<Option<Option<f64>>, D::Error> {
    Option::<f64>::deserialize(value).map(Some)
}

/// One thing that the student said.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Said {
    /// Question id: `height_lost`, `limit_broken`, `why`, ….
    pub question: String,
    /// A choice, e.g. a criterion id or `none`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub choice: Option<String>,
    /// A number.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<f64>,
    /// Its unit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub unit: Option<String>,
    /// Words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub text: Option<String>,
}

/// An act with who, when and its place in the row of acts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Entry {
    /// 1, 2, … within the lesson.
    pub seq: i64,
    /// Id.
    pub id: String,
    /// When.
    pub at_utc: String,
    /// Who.
    pub by: PersonBrief,
    /// What.
    pub act: Act,
}
