//! The school's aircraft.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// An aircraft in a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct AircraftBrief {
    /// Id.
    pub id: String,
    /// The school's name for it.
    pub name: String,
    /// One line of its file.
    pub description: String,
    /// In use.
    pub active: bool,
    /// SHA-256 of the file in force.
    pub file_sha256: String,
    /// When the file last changed.
    pub changed_utc: String,
}

/// An aircraft with its file.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct AircraftView {
    /// In short.
    #[serde(flatten)]
    pub brief: AircraftBrief,
    /// The file in force (docs/aircraft-file.md).
    pub toml: String,
    /// What the file lacks or what looks odd, in words.
    pub notices: Vec<String>,
    /// Every file it ever had, newest first.
    pub history: Vec<FileVersion>,
}

/// One text that was in force.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct FileVersion {
    /// SHA-256 of the text.
    pub sha256: String,
    /// Who put it there.
    pub by: String,
    /// When.
    pub at_utc: String,
}

/// Something wrong in a file that a person wrote.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct FileProblem {
    /// 1-based line, 0 = the whole file.
    pub line: usize,
    /// 1-based column.
    pub column: usize,
    /// What, and how to mend it.
    pub message: String,
}
