//! The document as JSON text.

use crate::document::{Debrief, SCHEMA};

/// Why a text is not a debrief of this version.
#[derive(Debug, thiserror::Error)]
pub enum JsonError {
    /// Not JSON, or not of this shape.
    #[error("this is not a debrief document: {0}; export it again")]
    Shape(#[from] serde_json::Error),
    /// Another version.
    #[error(
        "the document says `{0}`, this program reads `{SCHEMA}`; export it again with this program"
    )]
    Schema(String),
}

/// Pretty-printed JSON, with a newline at the end.
///
/// # Errors
/// When a number cannot be written; [`crate::debrief()`] makes none such.
pub fn to_json(debrief: &Debrief) -> Result<String, JsonError> {
    let mut text = serde_json::to_string_pretty(debrief)?;
    text.push('\n');
    Ok(text)
}

/// Reads a document of this version.
///
/// # Errors
/// [`JsonError`] when it is none.
pub fn from_json(text: &str) -> Result<Debrief, JsonError> {
    let debrief: Debrief = serde_json::from_str(text)?;
    if debrief.schema == SCHEMA {
        Ok(debrief)
    } else {
        Err(JsonError::Schema(debrief.schema))
    }
}
