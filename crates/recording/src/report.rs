//! What was understood of a file, for a person to check.

use serde::Serialize;

use crate::Note;

/// Everything the reader found out about a file.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Report {
    /// File name as given.
    pub name: String,
    /// `plain`, `gzip`, `zip (member NAME)`.
    pub container: String,
    /// `UTF-8`, `UTF-8 with mark`, `UTF-16 little-endian` …
    pub encoding: String,
    /// `table` or `GPX 1.1`.
    pub format: String,
    /// `comma`, `semicolon`, `tab`, `bar`, `blanks`; empty for GPX.
    pub separator: String,
    /// `point` or `comma`.
    pub decimal: String,
    /// 1-based line of the names, 0 = there is none.
    pub header_line: u64,
    /// 1-based line of the units row, 0 = there is none.
    pub units_line: u64,
    /// Stable fingerprint of the header, to remember a map by.
    pub header_signature: String,
    /// `key, value` lines before the table.
    pub preamble: Vec<(String, String)>,
    /// How the time was understood.
    pub time: TimeReport,
    /// Every column of the table, in order.
    pub columns: Vec<ColumnReport>,
    /// Rows read and kept.
    pub rows_kept: usize,
    /// Rows that were left out, each with a note.
    pub rows_lost: usize,
    /// Starts of the recordings found in the file: line and seconds since the first sample.
    pub power_cycles: Vec<(u64, f64)>,
    /// Holes in time: seconds since the first sample, start and end.
    pub gaps: Vec<(f64, f64)>,
    /// Odd things in order of place.
    pub notes: Vec<Note>,
    /// Notes beyond the list's limit.
    pub notes_dropped: usize,
}

/// How the time was understood.
#[derive(Clone, Debug, Default, Serialize)]
pub struct TimeReport {
    /// Names of the columns that make the clock.
    pub columns: Vec<String>,
    /// In words.
    pub how: String,
    /// UTC of the first sample, ISO 8601; empty when the file does not tell.
    pub start_utc: String,
    /// Seconds from first to last sample.
    pub length_s: f64,
    /// Median interval, s.
    pub interval_s: f64,
    /// How sure, 0 to 1.
    pub confidence: f64,
}

/// One column.
#[derive(Clone, Debug, Default, Serialize)]
pub struct ColumnReport {
    /// 1-based number.
    pub number: u32,
    /// Name as in the file.
    pub name: String,
    /// What it was taken for: a quantity's id, `time`, `text`, `empty` or `other`.
    pub taken_for: String,
    /// Unit it was read in.
    pub unit: String,
    /// Where the unit comes from: `written`, `by the numbers`, `map`; empty when there is none.
    pub unit_origin: String,
    /// Whether this column is the one used for its quantity.
    pub chosen: bool,
    /// Why we think so.
    pub because: String,
    /// 0 to 1; below 0.6 a person should look.
    pub confidence: f64,
    /// New values a second, counting a value as new when it differs from the one before.
    pub rate_hz: f64,
    /// Smallest value, in the file's unit; absent when there is none.
    pub low: Option<f64>,
    /// Largest value, in the file's unit.
    pub high: Option<f64>,
    /// Cells without a value.
    pub blanks: usize,
    /// Cells whose value was taken for "no value".
    pub sentinels: usize,
}

/// Keeps the notes within bounds: a file of a million odd lines must not become a million notes.
#[derive(Debug, Default)]
pub struct Notes {
    /// The list.
    pub list: Vec<Note>,
    /// How many did not fit.
    pub dropped: usize,
}

/// Longest list of notes.
const NOTES_MAX: usize = 500;

impl Notes {
    /// Adds one, or counts it.
    pub fn add(
        &mut self,
        line: u64,
        column: u32,
        what: impl Into<String>,
        done: impl Into<String>,
    ) {
        if self.list.len() < NOTES_MAX {
            self.list.push(Note {
                line,
                column,
                what: what.into(),
                done: done.into(),
            });
        } else {
            self.dropped += 1;
        }
    }
}
