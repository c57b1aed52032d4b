//! The document `proofwing/debrief/1`. Display units (ft, kt, deg, s), each number beside its unit.
//! Times `_s` count from the recording's first sample.

use serde::{Deserialize, Serialize};
use standard::Mark;
use std::collections::BTreeMap;

/// The schema id that every document carries.
pub const SCHEMA: &str = "proofwing/debrief/1";

/// A whole debrief.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Debrief {
    /// `proofwing/debrief/1`.
    pub schema: String,
    /// Program version.
    pub program: String,
    /// Safety words.
    pub caution: String,
    /// The recording.
    pub recording: RecordingSummary,
    /// The aircraft.
    pub aircraft: AircraftSummary,
    /// The standard.
    pub standard: StandardSummary,
    /// The flight.
    pub flight: FlightSummary,
    /// Limits that the flight went beyond, maneuver or not; the gravest kind first.
    #[serde(default)]
    pub safety: Vec<SafetyDebrief>,
    /// Kinds of safety event that this recording cannot show.
    #[serde(default)]
    pub safety_not_watched: Vec<NotWatchedDebrief>,
    /// Maneuvers in order of time; after them those of the school's own, so that the numbers of the others stay.
    pub maneuvers: Vec<ManeuverDebrief>,
    /// Every second of the flight, and how the time was spent.
    #[serde(default)]
    pub lesson: Lesson,
    /// What the flight itself says of its aircraft; absent in documents written before it was asked.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub fit_of_the_day: Option<FitOfTheDay>,
}

/// What the flight itself says of its aircraft: stall speeds, best speeds, drag and thrust. Not the manual's figures.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FitOfTheDay {
    /// Safety words.
    pub caution: String,
    /// What it rests on, in sentences.
    pub words: Vec<String>,
    /// Figures, those without a value with the reason.
    pub rows: Vec<FitRow>,
    /// Drag and thrust at named points; empty where the data do not support a fit.
    #[serde(default)]
    pub points: Vec<FitPoint>,
    /// Earlier flights of this aircraft that the figures are drawn to.
    #[serde(default)]
    pub earlier: usize,
    /// What this flight alone says, for later flights of the aircraft; absent where it says nothing. For machines.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub carried: Option<performance::Carried>,
}

/// One figure of the fit, as flown beside the aircraft file's.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FitRow {
    /// Id: `stall_0` (degrees of flap), `stall_power_on`, `vy`, `climb_rate`, `vx`, `best_glide`, `glide_ratio`.
    pub id: String,
    /// For people.
    pub name: String,
    /// `kt` indicated, `ft/min`, or empty for a ratio.
    pub unit: String,
    /// As flown; derived. None where the flight does not show it.
    pub flown: Option<f64>,
    /// 1-σ of it.
    pub sigma: Option<f64>,
    /// What this flight shows without the earlier ones; absent where there are none, or it shows nothing without them.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub alone: Option<f64>,
    /// 1-σ of that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub alone_sigma: Option<f64>,
    /// What the aircraft file has, brought to the mass of the day.
    pub file: Option<f64>,
    /// Why there is no value.
    pub reason: Option<String>,
}

/// Drag and thrust at a named point of straight flight, flaps up, in parts of the weight.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FitPoint {
    /// For people.
    pub name: String,
    /// Indicated airspeed, kt.
    pub speed_kt: f64,
    /// Thrust over weight; below zero where the air turns the propeller.
    pub thrust: f64,
    /// 1-σ.
    pub thrust_sigma: f64,
    /// Drag over weight.
    pub drag: f64,
    /// 1-σ.
    pub drag_sigma: f64,
    /// Steady climb that follows, ft/min.
    pub climb_fpm: f64,
    /// 1-σ.
    pub climb_sigma_fpm: f64,
}

/// A limit that the flight went beyond.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct SafetyDebrief {
    /// Kind, e.g. `above_vne`; all of them: `docs/safety-events.md`.
    pub id: String,
    /// Short headline.
    pub headline: String,
    /// What happened, with the numbers.
    pub words: String,
    /// Two standard deviations beyond the limit; otherwise one: probably beyond.
    pub sure: bool,
    /// From, s.
    pub start_s: f64,
    /// Until, s.
    pub end_s: f64,
    /// When it was worst, s.
    pub at_s: f64,
    /// The worst that was kept up.
    pub value: FactDebrief,
    /// Limit at that moment, in the unit of the value.
    pub limit: f64,
    /// `published`, `aircraft` (its file) or `assumed`.
    pub limit_origin: String,
    /// Where the limit stands.
    pub source: String,
    /// Number of the maneuver that it happened in.
    pub maneuver: Option<usize>,
}

/// A kind of safety event that this recording cannot show.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct NotWatchedDebrief {
    /// Kind.
    pub id: String,
    /// Its headline.
    pub headline: String,
    /// Why.
    pub why: String,
}

/// The whole flight in pieces that meet.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Lesson {
    /// In order of time, from the first sample to the last, each beginning where the one before ends.
    pub pieces: Vec<LessonPiece>,
    /// How the time was spent, most first; together the flight.
    pub times: Vec<LessonTime>,
}

/// A piece of the flight.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LessonPiece {
    /// s.
    pub start_s: f64,
    /// s.
    pub end_s: f64,
    /// What its time is summed under: `stalls`, `turns`, `on the ground`, ….
    pub group: String,
    /// A maneuver's title, or a leg: `turn`, `climb`, `descent`, `level`, `on the ground`, `not recorded`, ….
    pub name: String,
    /// Direction id.
    pub direction: String,
    /// Number of the maneuver; none = a leg.
    pub maneuver: Option<usize>,
}

/// Time spent on one thing.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LessonTime {
    /// `stalls`, `turns`, `on the ground`, ….
    pub group: String,
    /// s.
    pub seconds: f64,
    /// Number of pieces.
    pub pieces: usize,
}

/// What was read.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct RecordingSummary {
    /// File name.
    pub name: String,
    /// UTC of the first sample, ISO 8601, if known.
    pub start_utc: Option<String>,
    /// Seconds from first to last sample.
    pub duration_s: f64,
    /// Median interval, s.
    pub interval_s: f64,
    /// Rows kept.
    pub rows: usize,
    /// `rich`, `panel`, `gnss_attitude`, `gnss`, `sparse`.
    pub fit: String,
    /// Channel ids understood.
    pub channels: Vec<String>,
    /// Gaps, s.
    pub gaps: Vec<(f64, f64)>,
    /// Odd things, in words.
    pub notes: Vec<String>,
}

/// The aircraft used.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct AircraftSummary {
    /// Name.
    pub name: String,
    /// One line.
    pub description: String,
    /// Speeds used, kt indicated.
    pub speeds_kt: BTreeMap<String, f64>,
}

/// The standard used.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StandardSummary {
    /// Id, e.g. `faa-private`.
    pub id: String,
    /// Title.
    pub title: String,
    /// Edition, with date.
    pub edition: String,
    /// Tasks of the document that the pack leaves out, with the reason: `AI.X.I Spin awareness: …`.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub missing: Vec<String>,
}

/// The flight in short.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FlightSummary {
    /// `calm`, `light`, `rough`.
    pub air: String,
    /// Wind at the practice height, from, degrees true.
    pub wind_from_deg: Option<f64>,
    /// Wind speed, kt.
    pub wind_kt: Option<f64>,
    /// 1-σ of the wind vector, kt.
    pub wind_sigma_kt: Option<f64>,
    /// Highest altitude, ft.
    pub altitude_max_ft: Option<f64>,
    /// Terrain elevation used, ft.
    pub terrain_ft: Option<f64>,
    /// Faults of channels and other remarks.
    pub remarks: Vec<String>,
    /// Altitude over the whole flight for the strip: step s, ft (null = unknown).
    pub strip_step_s: f64,
    /// ft.
    pub strip_altitude_ft: Vec<Option<f32>>,
}

/// One maneuver.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct ManeuverDebrief {
    /// 1-based number in order of time.
    pub number: usize,
    /// Kind id.
    pub kind: String,
    /// Title for people, e.g. `Power-off stall, straight ahead`.
    pub title: String,
    /// Direction id.
    pub direction: String,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
    /// 0 to 1.
    pub confidence: f64,
    /// `certain`, `likely`, `possible`.
    pub confidence_word: String,
    /// Whose word kind and bounds are: `program` or `person`.
    #[serde(default = "by_program")]
    pub set_by: String,
    /// Whether the pack has a task for it.
    pub marked: bool,
    /// Task code, e.g. `PA.VII.B`.
    pub task: Option<String>,
    /// Form that the task is for (`short_field`); absent = no particular one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub task_variant: Option<String>,
    /// Recovery that was asked for: `full_stall`, `first_indication`; with origin.
    pub specified_recovery: Option<String>,
    /// `briefed` or `assumed`.
    pub targets_origin: String,
    /// Forms in which it was flown: `no_flap`, `cross_controlled`, ….
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub variants: Vec<VariantDebrief>,
    /// Phases.
    pub phases: Vec<PhaseDebrief>,
    /// Events.
    pub events: Vec<EventDebrief>,
    /// Facts by name with unit suffix (`altitude_lost_ft`).
    pub facts: BTreeMap<String, FactDebrief>,
    /// Marks.
    pub marks: Vec<Mark>,
    /// Findings, worst first.
    pub findings: Vec<Finding>,
    /// Strengths.
    pub strengths: Vec<Finding>,
    /// One sentence: what happened.
    pub verdict_line: String,
    /// One sentence: what to change.
    pub change_line: String,
    /// The story, in order.
    pub story: Vec<StoryLine>,
    /// Where the height went: of stalls, go-arounds and power-off 180s.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub height_ledger: Option<HeightLedger>,
    /// The recovery flown otherwise: of stalls and go-arounds.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub what_if: Option<WhatIf>,
}

/// Every foot of a loss shared among causes. Lines and `any_recovery` of a reading add up to its `lost`.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct HeightLedger {
    /// Safety words.
    pub caution: String,
    /// What the flight is held against, in words.
    pub reference: String,
    /// Why there are no readings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub why_not: Option<String>,
    /// `lowest_point` and `after_30_s`; of a power-off 180 `glide` alone.
    pub readings: Vec<LedgerReading>,
    /// What must be known with it, in words.
    pub words: Vec<String>,
    /// How far the model's replay of the flight is off at both readings, ft.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replay_off_ft: Option<[f64; 2]>,
}

impl HeightLedger {
    /// None, with the reason.
    #[must_use]
    pub fn missing(why: &str) -> Self {
        Self {
            caution: String::new(),
            reference: String::new(),
            why_not: Some(why.to_owned()),
            readings: Vec::new(),
            words: Vec::new(),
            replay_off_ft: None,
        }
    }
}

/// One reading of the ledger.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LedgerReading {
    /// `lowest_point`, `after_30_s`, `glide`.
    pub name: String,
    /// In words.
    pub title: String,
    /// s after the stall (the decision, the closing of the throttle).
    pub seconds: f64,
    /// Height lost, ft; negative where it ended higher.
    pub lost: FactDebrief,
    /// What any recovery costs today, ft: the loss less the lines.
    pub any_recovery: FactDebrief,
    /// What that is called: `any recovery`, `any go-around`, `the way at best glide`.
    pub any_title: String,
    /// Causes in the order in which they were put right.
    pub lines: Vec<LedgerLine>,
}

/// What a cause cost.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct LedgerLine {
    /// Id, the finding's where there is one: `stall_held`, `late_full_power`, ….
    pub cause: String,
    /// In words.
    pub title: String,
    /// Feet, with 1-σ; negative: it helped.
    pub cost: FactDebrief,
    /// From and to, ft: the true cost is between them in 95 of 100 (1.96 σ).
    pub interval_ft: [f64; 2],
    /// Its mean over every order of causes (Shapley), ft.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub orderless_ft: Option<f64>,
}

impl LedgerLine {
    /// A line with its interval.
    #[must_use]
    pub fn new(cause: &str, title: &str, cost: FactDebrief, orderless_ft: Option<f64>) -> Self {
        let reach = 1.96 * cost.sigma.unwrap_or(0.0);
        let tidy = |value: f64| (value * 10.0).round() / 10.0;
        Self {
            cause: cause.to_owned(),
            title: title.to_owned(),
            interval_ft: [tidy(cost.value - reach), tidy(cost.value + reach)],
            orderless_ft,
            cost,
        }
    }
}

/// A recovery and how it could have been flown.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WhatIf {
    /// Safety words.
    pub caution: String,
    /// The stall (the decision), s: the traces begin there.
    pub start_s: f64,
    /// Step of the traces, s.
    pub step_s: f64,
    /// As flown, ft against the height at the start.
    pub flown_height_ft: Vec<f64>,
    /// As flown, kt.
    pub flown_ias_kt: Vec<f64>,
    /// Unloaded so long after the stall, s.
    pub flown_unload_s: f64,
    /// Half of the power so long after the unloading, s; none = it did not change.
    pub flown_power_s: Option<f64>,
    /// Share of the thrust that was set, 0 to 1.
    pub flown_power_share: f64,
    /// What the ledger holds it against, s.
    pub right_unload_s: f64,
    /// What the ledger holds it against, s.
    pub right_power_s: f64,
    /// Speed of climb that it is held against, kt indicated.
    pub climb_kias: f64,
    /// Whether flaps were out.
    pub flaps_were_out: bool,
    /// With all of it done right.
    pub right: WhatIfTrace,
}

/// A computed recovery.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct WhatIfTrace {
    /// ft against the height at the start.
    pub height_ft: Vec<f64>,
    /// 1-σ, ft.
    pub height_sigma_ft: Vec<f64>,
    /// kt.
    pub ias_kt: Vec<f64>,
    /// 1-σ, kt.
    pub ias_sigma_kt: Vec<f64>,
    /// Lost to the lowest point, ft.
    pub lost_ft: f64,
    /// At the end against the start, ft.
    pub at_end_ft: f64,
}

/// Documents written before a person could correct them say nothing.
fn by_program() -> String {
    "program".to_owned()
}

/// A form in which a maneuver was flown.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct VariantDebrief {
    /// Id.
    pub name: String,
    /// Chance that it was flown so, 0 to 1.
    pub probability: f64,
    /// What shows it.
    pub why: String,
}

/// A phase.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct PhaseDebrief {
    /// Id.
    pub name: String,
    /// s.
    pub start_s: f64,
    /// s.
    pub end_s: f64,
}

/// An event.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct EventDebrief {
    /// Id.
    pub name: String,
    /// s.
    pub at_s: f64,
    /// 1-σ, s.
    pub sigma_s: f64,
    /// Figure.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub value: Option<FactDebrief>,
    /// Origin.
    pub origin: String,
    /// Chance that it happened.
    pub probability: f64,
}

/// A number.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct FactDebrief {
    /// Value.
    pub value: f64,
    /// Unit.
    pub unit: String,
    /// 1-σ.
    pub sigma: Option<f64>,
    /// Origin.
    pub origin: String,
}

/// A fault or a strength.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Finding {
    /// Id as in the design.
    pub id: String,
    /// Short headline, a sentence without a full stop.
    pub headline: String,
    /// Evidence in words with numbers.
    pub evidence: String,
    /// When, s.
    pub at_s: f64,
    /// Until, s.
    pub until_s: Option<f64>,
    /// Size of the fault.
    pub size: Option<f64>,
    /// Unit of the size.
    pub unit: String,
    /// 1-σ of the size.
    pub sigma: Option<f64>,
    /// What it cost, ft, where known.
    pub cost_ft: Option<f64>,
    /// One thing to try.
    pub advice: String,
    /// Handbook chapter, or `common practice`.
    pub source: String,
    /// Criteria it explains.
    pub criteria: Vec<String>,
    /// 0 to 1: how sure.
    pub probability: f64,
}

/// One line of the story.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct StoryLine {
    /// s.
    pub at_s: f64,
    /// Event id it tells of.
    pub event: String,
    /// Words with numbers.
    pub text: String,
}
