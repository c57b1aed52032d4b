//! The file's own shape, before anything is checked.

use serde::Deserialize;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PackFile {
    pub id: String,
    pub title: String,
    pub document: String,
    pub edition: String,
    pub date: String,
    pub source: String,
    pub policy: PolicyFile,
    #[serde(default)]
    pub missing: Vec<MissingFile>,
    pub task: Vec<TaskFile>,
}

#[derive(Deserialize, Clone)]
#[serde(deny_unknown_fields)]
pub(super) struct MissingFile {
    pub task: String,
    pub why: String,
}

#[derive(Deserialize, Clone, Copy)]
#[serde(deny_unknown_fields)]
pub(super) struct PolicyFile {
    pub held_s: f64,
    pub prompt_s: f64,
    pub forgiven: usize,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TaskFile {
    pub kind: Spanned<String>,
    pub variant: Option<Spanned<String>>,
    pub code: Spanned<String>,
    pub title: String,
    pub element: Vec<ElementFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ElementFile {
    pub code: Spanned<String>,
    pub skill: String,
    #[serde(default)]
    pub criterion: Vec<CriterionFile>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CriterionFile {
    pub id: Spanned<String>,
    pub measure: Option<Spanned<String>>,
    pub quantity: String,
    #[serde(default)]
    pub unit: String,
    pub target: Option<Spanned<String>>,
    pub stated: Option<Spanned<f64>>,
    pub stated_origin: Option<Spanned<String>>,
    pub low: Option<Spanned<f64>>,
    pub high: Option<Spanned<f64>>,
    pub limit_from: Option<Spanned<String>>,
    pub speed: Option<Spanned<String>>,
    pub target_figure: Option<Spanned<String>>,
    pub figure: Option<Spanned<String>>,
    pub series: Option<Spanned<String>>,
    pub briefed: Option<Spanned<String>>,
    pub when: Option<Spanned<String>>,
    #[serde(default)]
    pub window: Vec<Spanned<String>>,
    pub held_s: Option<Spanned<f64>>,
    pub prompt_s: Option<Spanned<f64>>,
    pub forgiven: Option<usize>,
    pub origin: Spanned<String>,
    #[serde(default)]
    pub note: String,
}
