//! The audit trail.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// One act, chained to the one before.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct AuditRow {
    /// Number, 1 = the first.
    pub seq: i64,
    /// When.
    pub at_utc: String,
    /// Who (person id; empty = the program itself).
    pub by_id: String,
    /// Their name at the time.
    pub by_name: String,
    /// What was done, e.g. `lesson.signed`.
    pub action: String,
    /// To what: kind and id, e.g. `lesson 0193…`.
    pub subject: String,
    /// Particulars, JSON text.
    pub detail: String,
    /// SHA-256 of the row before, hex.
    pub previous: String,
    /// SHA-256 of this row, hex.
    pub hash: String,
}

/// What a check of the record found.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Verified {
    /// Rows of the audit trail that were checked.
    pub audit_rows: u64,
    /// Hash of the last row: written down elsewhere, it proves that nothing was cut off.
    pub audit_head: String,
    /// Signed versions whose bytes fit their digest and their predecessor.
    pub signed_versions: u64,
    /// Recordings whose bytes fit their name.
    pub recordings: u64,
    /// Everything that does not fit, in words, with where; empty = the record holds.
    pub problems: Vec<String>,
}

/// A long work in the background.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct Job {
    /// Id.
    pub id: String,
    /// `remark`.
    pub kind: String,
    /// `waiting`, `running`, `done`, `stopped`.
    pub state: String,
    /// Pieces in all.
    pub total: i64,
    /// Pieces done.
    pub done: i64,
    /// Pieces that could not be done.
    pub failed: i64,
    /// Why it runs, or what went wrong.
    pub note: String,
    /// When it was asked for.
    pub made_utc: String,
    /// Last step.
    pub changed_utc: String,
}
