//! The file's own shape, before anything is checked.

use serde::Deserialize;
use toml::Spanned;

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PackFile {
    pub id: String,
    pub title: String,
    /// The pack that comes with the program and that this one changes; what is left out below is its.
    pub extends: Option<Spanned<String>>,
    pub document: Option<String>,
    pub edition: Option<String>,
    pub date: Option<String>,
    pub source: Option<String>,
    pub policy: Option<Spanned<PolicyFile>>,
    #[serde(default)]
    pub missing: Vec<MissingFile>,
    #[serde(default)]
    pub limit: Vec<LimitFile>,
    #[serde(default)]
    pub task: Vec<TaskFile>,
    #[serde(default)]
    pub maneuver: Vec<OwnFile>,
}

/// A limit of the extended pack, changed.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LimitFile {
    pub element: Spanned<String>,
    pub criterion: Spanned<String>,
    pub kind: Option<Spanned<String>>,
    pub low: Option<Spanned<f64>>,
    pub high: Option<Spanned<f64>>,
    pub loosened: Option<String>,
}

/// A maneuver of the school's own.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OwnFile {
    pub id: Spanned<String>,
    pub title: String,
    pub steps: Vec<Spanned<StepFile>>,
    #[serde(default)]
    pub element: Vec<ElementFile>,
}

/// A step of it.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct StepFile {
    pub primitive: Spanned<String>,
    pub name: Option<Spanned<String>>,
    pub min_s: Option<Spanned<f64>>,
    pub max_s: Option<Spanned<f64>>,
    pub degrees: Option<Spanned<[f64; 2]>>,
    pub bank_deg: Option<Spanned<[f64; 2]>>,
    pub feet: Option<Spanned<[f64; 2]>>,
    pub power: Option<Spanned<String>>,
}

#[derive(Deserialize, Clone)]
#[serde(deny_unknown_fields)]
pub(super) struct MissingFile {
    pub task: String,
    pub why: String,
}

#[derive(Deserialize, Clone)]
#[serde(deny_unknown_fields)]
pub(super) struct PolicyFile {
    pub held_s: f64,
    pub prompt_s: f64,
    pub forgiven: usize,
    /// Why it forgives more than the extended pack.
    pub loosened: Option<String>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct TaskFile {
    pub kind: Spanned<String>,
    pub variant: Option<Spanned<String>>,
    pub code: Spanned<String>,
    pub title: String,
    /// Why it asks for less than the task of the extended pack that it takes the place of.
    pub loosened: Option<String>,
    pub element: Vec<ElementFile>,
}

#[derive(Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ElementFile {
    pub code: Spanned<String>,
    pub skill: String,
    #[serde(default)]
    pub criterion: Vec<CriterionFile>,
}

#[derive(Clone, Deserialize)]
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
    /// Of a maneuver of the school's own: the step that the figure is of.
    pub step: Option<Spanned<String>>,
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
