//! What really happened, as JSON beside the recording.

pub mod extremes;
pub mod verdict;

use crate::log::Log;
use crate::recorder::{Field, Fit};
use crate::speeds::Speeds;
use air::units::{KG_PER_LB, M_PER_FT, MPS_PER_KT, W_PER_HP};
use dynamics::Airframe;
use serde_json::{Value, json};
use std::collections::BTreeSet;

/// Decimals that carry meaning.
fn tidy(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// The truth of a flight.
#[must_use]
pub fn write(
    log: &Log,
    airframe: &Airframe,
    speeds: &Speeds,
    field: &Field,
    fit: Fit,
    name: &str,
) -> Value {
    let kt = |v: f64| tidy(v / MPS_PER_KT);
    let flaps: Vec<f64> = airframe
        .flaps
        .iter()
        .map(|flap| tidy(flap.angle_rad.to_degrees()))
        .collect();
    let warning: serde_json::Map<String, Value> = airframe
        .flaps
        .iter()
        .zip(&airframe.critical_rad)
        .map(|(flap, critical)| {
            let at = (critical - airframe.warning_before_rad).to_degrees();
            (
                format!("{}", tidy(flap.angle_rad.to_degrees())),
                json!(tidy(at)),
            )
        })
        .collect();
    let flown: Vec<Value> = log
        .flown
        .iter()
        .enumerate()
        .map(|(index, one)| {
            let moments: serde_json::Map<String, Value> = one
                .moments
                .iter()
                .map(|(k, v)| (k.clone(), json!(tidy(*v))))
                .collect();
            let mut params = serde_json::Map::new();
            for (key, value) in &one.asked {
                params.insert((*key).to_owned(), json!(kt(*value)));
            }
            for (key, value) in &one.numbers {
                // Places need their digits.
                let place = key.ends_with("_lat") || key.ends_with("_lon");
                let value = if place { *value } else { tidy(*value) };
                params.insert((*key).to_owned(), json!(value));
            }
            for (key, value) in &one.words {
                params.insert((*key).to_owned(), json!(value));
            }
            let span = extremes::Span::of(one, &log.samples);
            let (extremes, verdict) = span.map_or_else(
                || (json!({}), json!({})),
                |span| (extremes::of(&span), verdict::of(&span)),
            );
            json!({
                "id": index + 1, "kind": one.kind, "direction": one.direction,
                "t_start": tidy(one.start_s), "t_end": tidy(one.end_s), "optional": one.optional,
                "params": params, "injected_errors": one.faults, "phases": moments,
                "extremes": extremes, "verdict": verdict,
            })
        })
        .collect();
    let fillers: Vec<Value> = log
        .fillers
        .iter()
        .map(|leg| {
            let (start, end) = (tidy(leg.start_s), tidy(leg.end_s));
            json!({ "kind": leg.kind, "t_start": start, "t_end": end })
        })
        .collect();
    let wrong: BTreeSet<&str> = log
        .flown
        .iter()
        .flat_map(|one| one.faults.iter().copied())
        .collect();
    json!({
        "flight": name, "fit": fit.id(), "start_utc": field.start.to_string(),
        "duration_s": log.samples.last().map_or(0.0, |sample| tidy(sample.seen.t)),
        "aircraft": {
            "name": airframe.name, "description": "flown by the flight model: no real aircraft; fixed-pitch propeller",
            "rated_power_hp": tidy(airframe.engine.rated_w / W_PER_HP),
            "vs0_kias": kt(speeds.vs0), "vs1_kias": kt(speeds.vs1), "vx_kias": kt(speeds.vx), "vy_kias": kt(speeds.vy),
            "va_kias": kt(speeds.va), "vfe_kias": kt(speeds.vfe), "best_glide_kias": kt(speeds.glide),
            "approach_kias": kt(speeds.approach), "rotate_kias": kt(speeds.rotate),
            "flap_notches_deg": flaps,
            "critical_aoa_deg": airframe.critical_rad.first().map(|a| tidy(a.to_degrees())),
            "stall_warning_aoa_deg": warning,
            "weight_lb": tidy(airframe.inertia.mass_kg / KG_PER_LB),
        },
        "field": {
            "terrain_elevation_ft": tidy(field.elevation_m / M_PER_FT),
            "magnetic_variation_deg_east": tidy(field.variation_rad.to_degrees()),
        },
        "time_base": "seconds after start_utc", "injected_errors": wrong,
        "recording": { "sample_hz": fit.hertz() },
        "maneuvers": flown, "fillers": fillers,
    })
}
