//! The truth of a simulated flight, as its JSON has it.

use serde::Deserialize;
use std::collections::BTreeMap;

/// One flight's truth.
#[derive(Debug, Deserialize)]
pub struct Truth {
    pub flight: String,
    pub fit: String,
    pub start_utc: String,
    pub duration_s: f64,
    pub aircraft: AircraftTruth,
    pub field: Field,
    pub maneuvers: Vec<TrueManeuver>,
}

/// What a user would find in the aircraft's manual.
#[derive(Debug, Deserialize)]
pub struct AircraftTruth {
    pub name: String,
    pub description: String,
    pub rated_power_hp: Option<f64>,
    pub vs0_kias: Option<f64>,
    pub vs1_kias: Option<f64>,
    pub vs0_kcas: Option<f64>,
    pub vs1_kcas: Option<f64>,
    pub vx_kias: Option<f64>,
    pub vy_kias: Option<f64>,
    pub va_kias: Option<f64>,
    pub vfe_kias: Option<f64>,
    pub vno_kias: Option<f64>,
    pub vne_kias: Option<f64>,
    pub best_glide_kias: Option<f64>,
    pub approach_kias: Option<f64>,
    pub rotate_kias: Option<f64>,
    #[serde(default)]
    pub flap_notches_deg: Vec<f64>,
    pub critical_aoa_deg: Option<f64>,
    #[serde(default)]
    pub stall_warning_aoa_deg: BTreeMap<String, f64>,
    pub weight_lb: Option<f64>,
}

/// The practice area.
#[derive(Debug, Deserialize)]
pub struct Field {
    pub terrain_elevation_ft: f64,
    pub magnetic_variation_deg_east: f64,
}

/// One maneuver that was flown.
#[derive(Debug, Deserialize)]
pub struct TrueManeuver {
    pub kind: String,
    pub t_start: f64,
    pub t_end: f64,
    #[serde(default)]
    pub optional: bool,
    #[serde(default)]
    pub params: BTreeMap<String, serde_json::Value>,
    #[serde(default)]
    pub injected_errors: Vec<String>,
    #[serde(default)]
    pub phases: BTreeMap<String, f64>,
    #[serde(default)]
    pub extremes: BTreeMap<String, serde_json::Value>,
    #[serde(default)]
    pub verdict: BTreeMap<String, BTreeMap<String, TrueVerdict>>,
}

impl TrueManeuver {
    /// A number among the extremes.
    pub fn extreme(&self, name: &str) -> Option<f64> {
        self.extremes.get(name).and_then(serde_json::Value::as_f64)
    }
}

/// Truth of one criterion.
#[derive(Debug, Deserialize)]
pub struct TrueVerdict {
    pub verdict: Option<String>,
    pub value: Option<f64>,
    pub limit: String,
    pub margin: Option<f64>,
}
