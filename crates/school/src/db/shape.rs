//! The tables with their columns, in an order in which each may refer to those before it: what a backup writes, what
//! a seal covers.

use super::row::Row;
use super::value::Value;
use crate::error::{Result, SchoolError};

/// What a column holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// Text.
    Text,
    /// Whole number.
    Int,
    /// Number.
    Real,
    /// Yes or no.
    Flag,
    /// Bytes.
    Bytes,
}

/// A table of the record.
#[derive(Debug)]
pub struct Table {
    /// Name.
    pub name: &'static str,
    /// Every column with its kind.
    pub columns: &'static [(&'static str, Kind)],
    /// Columns of the primary key.
    pub key: &'static [&'static str],
    /// Columns that the audit trail seals (see [`crate::seal`]); empty = the table is not sealed.
    pub sealed: &'static [&'static str],
    /// Whether a backup carries it.
    pub kept: bool,
}

use Kind::{Bytes, Flag, Int, Real, Text};

/// Every table.
pub const TABLES: &[Table] = &[
    Table {
        name: "school",
        columns: &[
            ("id", Int),
            ("name", Text),
            ("standard", Text),
            ("terrain_ft", Real),
            ("created_utc", Text),
        ],
        key: &["id"],
        sealed: &["id", "name", "standard", "terrain_ft", "created_utc"],
        kept: true,
    },
    Table {
        name: "people",
        columns: &[
            ("id", Text),
            ("name", Text),
            ("login", Text),
            ("role", Text),
            ("password", Text),
            ("active", Flag),
            ("created_utc", Text),
            ("changed_utc", Text),
            ("seen_utc", Text),
        ],
        key: &["id"],
        sealed: &[
            "id",
            "name",
            "login",
            "role",
            "password",
            "active",
            "created_utc",
            "changed_utc",
        ],
        kept: true,
    },
    // Who restores a backup signs in anew.
    Table {
        name: "sessions",
        columns: &[
            ("token_sha256", Text),
            ("person_id", Text),
            ("created_utc", Text),
            ("seen_utc", Text),
            ("expires_utc", Text),
            ("device", Text),
        ],
        key: &["token_sha256"],
        sealed: &[],
        kept: false,
    },
    Table {
        name: "tokens",
        columns: &[
            ("id", Text),
            ("token_sha256", Text),
            ("person_id", Text),
            ("label", Text),
            ("created_utc", Text),
            ("expires_utc", Text),
            ("used_utc", Text),
            ("revoked_utc", Text),
        ],
        key: &["id"],
        sealed: &[
            "id",
            "token_sha256",
            "person_id",
            "label",
            "created_utc",
            "expires_utc",
            "revoked_utc",
        ],
        kept: true,
    },
    Table {
        name: "invites",
        columns: &[
            ("id", Text),
            ("token_sha256", Text),
            ("purpose", Text),
            ("role", Text),
            ("name", Text),
            ("person_id", Text),
            ("made_by", Text),
            ("made_utc", Text),
            ("expires_utc", Text),
            ("used_utc", Text),
        ],
        key: &["id"],
        sealed: &[
            "id",
            "token_sha256",
            "purpose",
            "role",
            "name",
            "person_id",
            "made_by",
            "made_utc",
            "expires_utc",
            "used_utc",
        ],
        kept: true,
    },
    Table {
        name: "aircraft",
        columns: &[
            ("id", Text),
            ("name", Text),
            ("file_sha256", Text),
            ("active", Flag),
            ("changed_utc", Text),
        ],
        key: &["id"],
        sealed: &["id", "name", "file_sha256", "active", "changed_utc"],
        kept: true,
    },
    Table {
        name: "aircraft_files",
        columns: &[
            ("aircraft_id", Text),
            ("version", Int),
            ("sha256", Text),
            ("toml", Text),
            ("by_id", Text),
            ("at_utc", Text),
        ],
        key: &["aircraft_id", "version"],
        sealed: &[
            "aircraft_id",
            "version",
            "sha256",
            "toml",
            "by_id",
            "at_utc",
        ],
        kept: true,
    },
    Table {
        name: "packs",
        columns: &[
            ("id", Text),
            ("sha256", Text),
            ("toml", Text),
            ("active", Flag),
            ("by_id", Text),
            ("at_utc", Text),
        ],
        key: &["id", "sha256"],
        sealed: &["id", "sha256", "toml", "active", "by_id", "at_utc"],
        kept: true,
    },
    Table {
        name: "maps",
        columns: &[
            ("header_signature", Text),
            ("name", Text),
            ("entries", Text),
            ("by_id", Text),
            ("at_utc", Text),
        ],
        key: &["header_signature"],
        sealed: &["header_signature", "name", "entries", "by_id", "at_utc"],
        kept: true,
    },
    Table {
        name: "recordings",
        columns: &[
            ("sha256", Text),
            ("name", Text),
            ("bytes", Int),
            ("received_utc", Text),
            ("by_id", Text),
            ("via", Text),
            ("header_signature", Text),
            ("reading", Text),
            ("identity", Text),
            ("unsure", Flag),
        ],
        key: &["sha256"],
        // How it is read may change (a map, a newer program): only what was received is sealed.
        sealed: &["sha256", "name", "bytes", "received_utc", "by_id", "via"],
        kept: true,
    },
    Table {
        name: "lessons",
        columns: &[
            ("id", Text),
            ("recording_sha256", Text),
            ("part", Int),
            ("start_utc", Text),
            ("start_known", Flag),
            ("duration_s", Real),
            ("title", Text),
            ("student_id", Text),
            ("instructor_id", Text),
            ("aircraft_id", Text),
            ("standard", Text),
            ("terrain_ft", Real),
            ("guessed", Text),
            ("flown", Text),
            ("demonstration", Flag),
            ("set_aside_utc", Text),
            ("entry_seq", Int),
            ("signed_version", Int),
            ("acknowledged_version", Int),
            ("created_utc", Text),
            ("title_given", Flag),
            ("changed_since_signed", Flag),
        ],
        key: &["id"],
        // The rest of the header follows from the entries and the signed versions, which are sealed.
        sealed: &["id", "recording_sha256", "part", "created_utc"],
        kept: true,
    },
    Table {
        name: "entries",
        columns: &[
            ("lesson_id", Text),
            ("seq", Int),
            ("id", Text),
            ("at_utc", Text),
            ("by_id", Text),
            ("kind", Text),
            ("body", Text),
        ],
        key: &["lesson_id", "seq"],
        sealed: &["lesson_id", "seq", "id", "at_utc", "by_id", "kind", "body"],
        kept: true,
    },
    Table {
        name: "debriefs",
        columns: &[
            ("lesson_id", Text),
            ("inputs_sha256", Text),
            ("document", Bytes),
            ("program", Text),
            ("made_utc", Text),
        ],
        key: &["lesson_id"],
        sealed: &[],
        kept: true,
    },
    Table {
        name: "maneuvers",
        columns: &[
            ("lesson_id", Text),
            ("number", Int),
            ("kind", Text),
            ("title", Text),
            ("start_s", Real),
            ("end_s", Real),
            ("marks", Text),
            ("variant", Text),
        ],
        key: &["lesson_id", "number"],
        sealed: &[],
        kept: true,
    },
    Table {
        name: "carried",
        columns: &[
            ("lesson_id", Text),
            ("version", Int),
            ("aircraft_id", Text),
            ("aircraft_sha256", Text),
            ("program", Text),
            ("sha256", Text),
            ("body", Text),
            ("at_utc", Text),
        ],
        key: &["lesson_id", "version"],
        // Follows from the recording as the document does; what was signed names it by its digest.
        sealed: &[],
        kept: true,
    },
    Table {
        name: "earlier_flights",
        columns: &[
            ("lesson_id", Text),
            ("chosen_for", Text),
            ("earlier", Text),
            ("at_utc", Text),
        ],
        key: &["lesson_id"],
        sealed: &[],
        kept: true,
    },
    Table {
        name: "signed",
        columns: &[
            ("lesson_id", Text),
            ("version", Int),
            ("sha256", Text),
            ("previous_sha256", Text),
            ("document", Bytes),
            ("by_id", Text),
            ("at_utc", Text),
        ],
        key: &["lesson_id", "version"],
        sealed: &[
            "lesson_id",
            "version",
            "sha256",
            "previous_sha256",
            "document",
            "by_id",
            "at_utc",
        ],
        kept: true,
    },
    Table {
        name: "audit",
        columns: &[
            ("seq", Int),
            ("at_utc", Text),
            ("by_id", Text),
            ("by_name", Text),
            ("action", Text),
            ("subject", Text),
            ("detail", Text),
            ("previous", Text),
            ("hash", Text),
        ],
        key: &["seq"],
        sealed: &[],
        kept: true,
    },
    Table {
        name: "jobs",
        columns: &[
            ("id", Text),
            ("kind", Text),
            ("state", Text),
            ("total", Int),
            ("done", Int),
            ("failed", Int),
            ("note", Text),
            ("made_utc", Text),
            ("changed_utc", Text),
        ],
        key: &["id"],
        sealed: &[],
        kept: true,
    },
];

impl Table {
    /// The table of that name.
    ///
    /// # Errors
    /// When there is none.
    pub fn named(name: &str) -> Result<&'static Table> {
        TABLES
            .iter()
            .find(|table| table.name == name)
            .ok_or_else(|| SchoolError::not_found(format!("a table called {name}")))
    }

    /// The columns, comma between them.
    #[must_use]
    pub fn column_list(&self) -> String {
        self.columns
            .iter()
            .map(|(name, _)| *name)
            .collect::<Vec<_>>()
            .join(", ")
    }

    /// The values of a row, in the order of the columns.
    ///
    /// # Errors
    /// When the row lacks a column.
    pub fn values(&self, row: &Row) -> Result<Vec<Value>> {
        self.columns
            .iter()
            .map(|(name, kind)| row.value(name, *kind))
            .collect()
    }
}

impl Row {
    /// A column's value, null included.
    ///
    /// # Errors
    /// As [`Row::text`].
    pub fn value(&self, name: &str, kind: Kind) -> Result<Value> {
        let null = self.is_null(name)?;
        Ok(match kind {
            Kind::Text => Value::Text(self.opt_text(name)?),
            Kind::Int => Value::Int(self.opt_int(name)?),
            Kind::Real => Value::Real(self.opt_real(name)?),
            Kind::Flag if null => Value::Flag(None),
            Kind::Flag => Value::Flag(Some(self.flag(name)?)),
            Kind::Bytes if null => Value::Bytes(None),
            Kind::Bytes => Value::Bytes(Some(self.bytes(name)?)),
        })
    }
}
