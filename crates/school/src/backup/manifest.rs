//! What a backup says of itself.

use serde::{Deserialize, Serialize};

/// The form's name.
pub const SCHEMA: &str = "proofwing/backup/1";
/// Name of the manifest within a backup.
pub const PART: &str = "manifest.json";

/// What a backup carries, with the digest of every part.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manifest {
    /// Name and version of this shape.
    pub schema: String,
    /// Version of the program that wrote it.
    pub program: String,
    /// Shape of the database: the number of its newest migration.
    pub shape: i64,
    /// When.
    pub made_utc: String,
    /// `sqlite` or `postgres`, for information: it restores into either.
    pub database: String,
    /// Rows of the audit trail.
    pub audit_rows: i64,
    /// Hash of its last row.
    pub audit_head: String,
    /// Every table, in the order in which they restore.
    pub tables: Vec<TablePart>,
    /// Every recording.
    pub recordings: Vec<RecordingPart>,
    /// Recordings that the record names and whose bytes were gone or damaged.
    pub missing: Vec<String>,
}

/// A table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct TablePart {
    /// Name.
    pub name: String,
    /// Where it lies in the backup.
    pub part: String,
    /// Its columns.
    pub columns: Vec<String>,
    /// Rows.
    pub rows: u64,
    /// Size of the part.
    pub bytes: u64,
    /// SHA-256 of the part, hex.
    pub sha256: String,
}

/// A recording.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct RecordingPart {
    /// Where it lies in the backup.
    pub part: String,
    /// SHA-256 of its bytes, hex.
    pub sha256: String,
    /// Size.
    pub bytes: u64,
}

/// Where a recording lies in a backup: as in the store.
pub fn recording_part(sha256: &str) -> String {
    let (head, tail) = sha256.split_at_checked(2).unwrap_or((sha256, ""));
    format!("recordings/{head}/{tail}")
}
