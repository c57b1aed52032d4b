//! A mark as a value. Numbers are in the unit of the published standard (kt, ft, deg, …): a mark is
//! where the measured flight meets the printed page.

use serde::{Deserialize, Serialize};

/// The answer to one element.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Verdict {
    /// Within the limit, beyond doubt.
    Met,
    /// Outside, beyond doubt.
    NotMet,
    /// The measurement cannot decide.
    TooClose,
    /// The recorder did not carry what it takes.
    NotRecorded,
    /// Only a person can judge.
    ForInstructor,
}

/// How a mark is drawn along time: deviation in units of the tolerance.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Ribbon {
    /// First value's time, s.
    pub start_s: f64,
    /// Step, s.
    pub step_s: f64,
    /// Start of the graded part, s.
    pub graded_from_s: f64,
    /// End of the graded part, s.
    pub graded_to_s: f64,
    /// Deviation ÷ tolerance (±1 = the limits); NaN is written as null.
    pub deviation: Vec<Option<f32>>,
    /// 1-σ in the same scale.
    pub sigma: f32,
    /// `line`, `moments` (dots at `moments_s`) or `clock` (duration ÷ limit).
    pub style: RibbonStyle,
    /// Times of the dots for `moments`, s.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub moments_s: Vec<f64>,
}

/// How a ribbon is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum RibbonStyle {
    /// A line over time.
    Line,
    /// Dots.
    Moments,
    /// A bar: time taken against time allowed.
    Clock,
}

/// One element of the standard, marked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Mark {
    /// Element code as published, e.g. `PA.VII.B.S6`.
    pub element: String,
    /// Criterion id, e.g. `heading`.
    pub criterion: String,
    /// Quantity in words, e.g. `heading to the stall`.
    pub quantity: String,
    /// Unit of the numbers below, e.g. `deg`; empty when there is none.
    pub unit: String,
    /// Target, if there is one.
    pub target: Option<f64>,
    /// Lower limit (of the quantity itself, not of the deviation).
    pub low: Option<f64>,
    /// Upper limit.
    pub high: Option<f64>,
    /// The value that decides: the worst held for the policy's time.
    pub worst: Option<f64>,
    /// 1-σ of `worst`.
    pub sigma: Option<f64>,
    /// Seconds outside the limits.
    pub outside_s: Option<f64>,
    /// When the worst was, s.
    pub at_s: Option<f64>,
    /// P(met | data).
    pub probability: Option<f64>,
    /// The answer.
    pub mark: Verdict,
    /// Origin of target or limit: `published`, `briefed`, `aircraft_file`, `assumed`.
    pub limit_origin: String,
    /// Origin of the measurement: `measured`, `derived`, `assumed`.
    pub origin: String,
    /// Why, in one line, where a word helps: what is missing, a brief excursion corrected, ….
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub note: String,
    /// What to draw.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ribbon: Option<Ribbon>,
}
