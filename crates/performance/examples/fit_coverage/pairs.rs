//! The flights of `recovery_pairs`: lessons about stalls, with what a school knows of the airplane.

use crate::Case;
use crate::airplane;
use aircraft::Aircraft;
use dynamics::Airframe;
use practice::recorder::Fit;
use serde_json::Value;
use std::path::Path;

/// The first of every pair, so many of each.
pub fn cases(base: &Airframe, folder: &Path, each: u64) -> Vec<Case> {
    let text = std::fs::read_to_string(folder.join("truth.json")).unwrap_or_default();
    let truth: Value = serde_json::from_str(&text).unwrap_or_default();
    let pairs = truth["pairs"].as_array().cloned().unwrap_or_default();
    pairs
        .iter()
        .flat_map(|pair| of_pair(base, folder, pair, each))
        .collect()
}

fn of_pair(base: &Airframe, folder: &Path, pair: &Value, each: u64) -> Vec<Case> {
    let own = &pair["airplane"];
    let number = |key: &str| own[key].as_f64();
    let mut airframe = base.clone();
    let (Some(mass), Some(power), Some(zero), Some(lift), Some(sharp)) = (
        number("mass_kg"),
        number("rated_power_w"),
        number("drag_zero"),
        number("drag_lift"),
        number("sharpness_per_rad"),
    ) else {
        return Vec::new();
    };
    let by = mass / airframe.inertia.mass_kg;
    airplane::load(&mut airframe, by);
    airframe.engine.rated_w = power;
    airframe.wing.drag_zero = zero;
    airframe.wing.drag_lift = lift;
    airframe.separation.sharpness_per_rad = sharp;
    airframe.settle_critical();
    let read = |name: &str| std::fs::read_to_string(folder.join(name)).ok();
    let Some((aircraft, _)) = pair["aircraft"]
        .as_str()
        .and_then(read)
        .and_then(|text| aircraft::parse(&text, "pair").ok())
    else {
        return Vec::new();
    };
    let bare = without_best(&aircraft);
    let kind = pair["fit"].as_str().and_then(Fit::from_id);
    let flights = pair["flights"].as_array().cloned().unwrap_or_default();
    let names = std::iter::once(&pair["clean"])
        .chain(&flights)
        .filter_map(|flight| flight["file"].as_str());
    names
        .take(usize::try_from(each).unwrap_or(1))
        .filter_map(|name| {
            Some(Case {
                airframe: airframe.clone(),
                text: read(name)?,
                kind: kind?,
                files: vec![("bare", bare.clone()), ("usual", aircraft.clone())],
                elevation_m: pair["elevation_ft"].as_f64().unwrap_or(0.0) * 0.3048,
                name: name.to_owned(),
            })
        })
        .collect()
}

fn without_best(aircraft: &Aircraft) -> Aircraft {
    let mut bare = aircraft.clone();
    let speeds = &mut bare.speeds;
    (speeds.vx_mps, speeds.vy_mps, speeds.best_glide_mps) = (None, None, None);
    bare
}
