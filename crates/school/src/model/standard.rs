//! Standards as pages show them.

use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

/// A pack in a list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct StandardBrief {
    /// Pack id.
    pub id: String,
    /// Title.
    pub title: String,
    /// Edition.
    pub edition: String,
    /// Date of the edition, in words.
    pub date: String,
    /// Comes with the program, or the school's own.
    pub school_pack: bool,
    /// SHA-256 of the text in force.
    pub sha256: String,
}

/// A pack with its tasks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct StandardView {
    /// In short.
    #[serde(flatten)]
    pub brief: StandardBrief,
    /// Full title of the published document.
    pub document: String,
    /// Where the numbers stand.
    pub source: String,
    /// Tasks of the document that the pack leaves out, with the reason.
    pub missing: Vec<String>,
    /// Tasks.
    pub tasks: Vec<TaskView>,
    /// The pack's text.
    pub toml: String,
}

/// A task.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct TaskView {
    /// Code.
    pub code: String,
    /// Kind id.
    pub kind: String,
    /// Form that the task is for (`short_field`); absent = no particular one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub variant: Option<String>,
    /// Title.
    pub title: String,
    /// Elements.
    pub elements: Vec<ElementView>,
}

/// An element.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct ElementView {
    /// Full code, e.g. `PA.VII.B.S6`.
    pub code: String,
    /// What it asks for.
    pub skill: String,
    /// Criteria in words: id, quantity, limit with unit, origin, and whether only a person can judge.
    pub criteria: Vec<CriterionView>,
}

/// A criterion.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, ToSchema)]
pub struct CriterionView {
    /// Id.
    pub id: String,
    /// Quantity in words.
    pub quantity: String,
    /// Limit in words with its unit, e.g. `± 10 deg`; empty = none.
    pub limit: String,
    /// `published`, `assumed`, ….
    pub origin: String,
    /// Only a person can judge.
    pub for_instructor: bool,
    /// Remark.
    pub note: String,
}
