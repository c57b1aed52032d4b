//! A lesson: one training flight as the school keeps it.

use super::people::PersonBrief;
use super::word::Word;
use debrief::Difference;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// How far a lesson's debrief is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, ToSchema)]
#[serde(rename_all = "snake_case")]
pub enum LessonState {
    /// How the recording is read, who flew or in what is a guess: a person should confirm.
    ToConfirm,
    /// Not signed yet.
    Open,
    /// Signed, not yet acknowledged by the student.
    Signed,
    /// Signed, and something was changed since.
    ChangedSinceSigned,
    /// Signed and acknowledged.
    Acknowledged,
    /// Set aside by the chief instructor with a reason; nothing is deleted.
    SetAside,
}

/// A lesson in a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct LessonBrief {
    /// Id.
    pub id: String,
    /// Title, e.g. `Stalls, straight and turning`; the program proposes one from what was flown.
    pub title: String,
    /// UTC of the first sample, if the recording tells; else when it was received.
    pub start_utc: String,
    /// Whether `start_utc` is from the recording.
    pub start_known: bool,
    /// Length, s.
    pub duration_s: f64,
    /// Student.
    pub student: Option<PersonBrief>,
    /// Instructor.
    pub instructor: Option<PersonBrief>,
    /// Aircraft id.
    pub aircraft_id: Option<String>,
    /// Aircraft name.
    pub aircraft: Option<String>,
    /// Standard (pack id).
    pub standard: String,
    /// Flown by the instructor to show it.
    pub demonstration: bool,
    /// Which of `student`, `instructor`, `aircraft` are guesses that nobody confirmed.
    pub guessed: Vec<String>,
    /// State.
    pub state: LessonState,
    /// What was flown: kind id and how many, in order of first appearance.
    pub flown: Vec<Flown>,
    /// The recording.
    pub recording_sha256: String,
    /// Which flight of the recording, 0 = the first.
    pub part: u32,
}

/// A kind of maneuver in a lesson.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Flown {
    /// Kind id.
    pub kind: String,
    /// Name for people.
    pub title: String,
    /// How many.
    pub count: u32,
}

/// Everything that the debrief room shows of a lesson (the series come apart, as a binary).
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct LessonView {
    /// In short.
    pub lesson: LessonBrief,
    /// Elevation used below the practice area, ft.
    pub terrain_ft: Option<f64>,
    /// The document `proofwing/debrief/1` as the program computes it now.
    #[schema(value_type = Object)]
    pub debrief: debrief::Debrief,
    /// What people said.
    pub word: Word,
    /// What was asked for, as JSON of the briefing file.
    #[schema(value_type = Object)]
    pub briefed: standard::Briefed,
    /// Corrections of recognition in force (docs/corrections.md).
    #[schema(value_type = Vec<Object>)]
    pub corrections: Vec<maneuver::Correction>,
    /// Signed versions, oldest first.
    pub signed: Vec<SignedBrief>,
    /// What is different now from the last signed version.
    #[schema(value_type = Vec<Object>)]
    pub changes_since_signing: Vec<Difference>,
    /// What the person who asks may do here.
    pub can: Can,
    /// Number of the last entry: sent back when signing, so that nobody signs what they have not seen.
    pub entry_seq: i64,
    /// SHA-256 of everything the debrief was computed from.
    pub inputs_sha256: String,
}

/// What a person may do with a lesson.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Can {
    /// Give the instructor's word: marks, corrections, notes, briefing, summary.
    pub judge: bool,
    /// Sign.
    pub sign: bool,
    /// Answer first, reply, acknowledge: it is their lesson.
    pub reply: bool,
}

/// A signed version in short.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct SignedBrief {
    /// 1, 2, …
    pub version: i64,
    /// SHA-256 of the signed bytes, hex.
    pub sha256: String,
    /// Digest of the version before.
    pub previous_sha256: Option<String>,
    /// Who signed.
    pub by: PersonBrief,
    /// When.
    pub at_utc: String,
    /// When the student acknowledged this version.
    pub acknowledged_utc: Option<String>,
}

/// A maneuver in a list over lessons, for comparing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ManeuverBrief {
    /// Lesson.
    pub lesson_id: String,
    /// Number in the debrief.
    pub number: u32,
    /// Kind id.
    pub kind: String,
    /// Title.
    pub title: String,
    /// UTC of its start.
    pub start_utc: String,
    /// Start, s from the first sample.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// Student.
    pub student: Option<PersonBrief>,
    /// Instructor's demonstration.
    pub demonstration: bool,
    /// Form whose task marked it (`short_field`); absent = no particular one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub variant: Option<String>,
    /// Marks by verdict id.
    pub marks: std::collections::BTreeMap<String, u32>,
}
