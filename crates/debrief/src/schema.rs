//! The JSON Schema of the document, made from its types.

use crate::document::{Debrief, SCHEMA};
use schemars::generate::SchemaSettings;

/// JSON Schema (draft 2020-12) of `proofwing/debrief/1`, pretty-printed, with a newline at the end.
#[must_use]
pub fn json_schema() -> String {
    let mut schema = SchemaSettings::draft2020_12()
        .into_generator()
        .into_root_schema_for::<Debrief>();
    schema.insert(
        "title".to_owned(),
        format!("Debrief document {SCHEMA}").into(),
    );
    let text = serde_json::to_string_pretty(&schema).unwrap_or_default();
    text + "\n"
}
