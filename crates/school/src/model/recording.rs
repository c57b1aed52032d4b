//! Recordings as received.

use super::people::PersonBrief;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A recording in a list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct RecordingBrief {
    /// SHA-256 of the bytes, hex: its name in the record.
    pub sha256: String,
    /// File name as received.
    pub name: String,
    /// Size.
    pub bytes: i64,
    /// When it came.
    pub received_utc: String,
    /// Who brought it.
    pub by: PersonBrief,
    /// `page`, `command` or `folder`.
    pub via: String,
    /// Lessons made of it.
    pub lessons: Vec<String>,
    /// A person should look at how it was read.
    pub unsure: bool,
}

/// A recording with how it was read.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct RecordingView {
    /// In short.
    #[serde(flatten)]
    pub brief: RecordingBrief,
    /// How it was read.
    pub reading: Reading,
}

/// How a recording was read, for a person to check.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Reading {
    /// `plain`, `gzip`, `zip (member NAME)`.
    pub container: String,
    /// `table` or `GPX 1.1`.
    pub format: String,
    /// Fingerprint of the header, by which a map is remembered.
    pub header_signature: String,
    /// How the time was understood.
    pub time: ReadTime,
    /// Every column.
    pub columns: Vec<ReadColumn>,
    /// Rows kept.
    pub rows_kept: u64,
    /// Rows left out.
    pub rows_lost: u64,
    /// Holes, s.
    pub gaps: Vec<(f64, f64)>,
    /// Odd things: line, column, what, what was done.
    pub notes: Vec<ReadNote>,
    /// Notes beyond the list's limit.
    pub notes_dropped: u64,
    /// Name of the map that was used, if one was.
    pub map: Option<String>,
    /// Flights found.
    pub flights: u64,
    /// A column or the time is unsure: a person should confirm.
    pub unsure: bool,
}

/// How the time was understood.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ReadTime {
    /// In words.
    pub how: String,
    /// UTC of the first sample; empty when the file does not tell.
    pub start_utc: String,
    /// Length, s.
    pub length_s: f64,
    /// Median interval, s.
    pub interval_s: f64,
    /// 0 to 1.
    pub confidence: f64,
}

/// How a column was understood.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct ReadColumn {
    /// 1-based number.
    pub number: u32,
    /// Name in the file.
    pub name: String,
    /// Channel id, `time`, `text`, `empty` or `other`.
    pub taken_for: String,
    /// Unit.
    pub unit: String,
    /// `written`, `by the numbers`, `map` or empty.
    pub unit_origin: String,
    /// Used for its channel.
    pub chosen: bool,
    /// Why we think so.
    pub because: String,
    /// 0 to 1.
    pub confidence: f64,
    /// Smallest value, in the file's unit.
    pub low: Option<f64>,
    /// Largest value.
    pub high: Option<f64>,
}

/// Something odd in a file.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ReadNote {
    /// 1-based line, 0 = the file.
    pub line: u64,
    /// 1-based column, 0 = the line.
    pub column: u32,
    /// What.
    pub what: String,
    /// What was done about it.
    pub done: String,
}

/// A file of the watched folder that was not brought in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Refused {
    /// File name.
    pub name: String,
    /// Size.
    pub bytes: i64,
    /// Why, in words.
    pub why: String,
    /// It is tried again by itself.
    pub tried_again: bool,
    /// When it was told.
    pub at_utc: String,
    /// In whose name the folder is watched.
    pub by_name: String,
}

/// One correction of how a column is read.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct MapColumn {
    /// Channel id, `time` or `ignore`.
    pub channel: String,
    /// Column name, or `#3` for the third.
    pub column: String,
    /// Unit, where the file does not say.
    pub unit: Option<String>,
}

/// What bringing a file in gave.
#[derive(Clone, Debug, Serialize, Deserialize, ToSchema)]
pub struct Imported {
    /// The recording.
    pub recording: RecordingView,
    /// The same bytes were here before; nothing was made twice.
    pub known: bool,
    /// Lessons made of it (or found, when known).
    pub lessons: Vec<super::lesson::LessonBrief>,
}
