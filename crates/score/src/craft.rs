//! The aircraft of a truth file as an aircraft file would have it: what a user finds in the manual.

use crate::truth::AircraftTruth;
use std::fmt::Write as _;
use std::path::Path;

/// Text of the aircraft file: the school's own if it has one for this name, else made from truth.
pub fn text(truth: &AircraftTruth, folder: &Path) -> String {
    std::fs::read_to_string(folder.join(format!("{}.toml", truth.name)))
        .unwrap_or_else(|_| made(truth))
}

fn made(truth: &AircraftTruth) -> String {
    let mut out = format!(
        "name = {:?}\ndescription = {:?}\n",
        truth.name, truth.description
    );
    let _ = writeln!(out, "[speeds]");
    let speeds = [
        ("vs0", truth.vs0_kias),
        ("vs1", truth.vs1_kias),
        ("vx", truth.vx_kias),
        ("vy", truth.vy_kias),
        ("va", truth.va_kias),
        ("vfe", truth.vfe_kias),
        ("vno", truth.vno_kias),
        ("vne", truth.vne_kias),
        ("best_glide", truth.best_glide_kias),
        ("approach", truth.approach_kias),
        ("rotate", truth.rotate_kias),
    ];
    for (name, speed) in speeds {
        if let Some(speed) = speed {
            let _ = writeln!(out, "{name}_kias = {speed}");
        }
    }
    let last = truth.flap_notches_deg.len().saturating_sub(1);
    for (index, angle) in truth.flap_notches_deg.iter().enumerate() {
        let _ = writeln!(out, "[[flaps]]\nangle_deg = {angle}");
        if index > 0
            && let Some(limit) = truth.vfe_kias
        {
            let _ = writeln!(out, "limit_kias = {limit}");
        }
        let stall = if index == 0 {
            truth.vs1_kias
        } else if index == last {
            truth.vs0_kias
        } else {
            None
        };
        if let Some(stall) = stall {
            let _ = writeln!(out, "stall_kias = {stall}");
        }
        if let Some(warning) = truth.stall_warning_aoa_deg.get(&format!("{angle}")) {
            let _ = writeln!(out, "warning_aoa_deg = {warning}");
        }
    }
    if let Some(weight) = truth.weight_lb {
        let _ = writeln!(out, "[mass]\nreference_lb = {weight}");
    }
    if let Some(power) = truth.rated_power_hp {
        let _ = writeln!(out, "[engine]\nrated_power_hp = {power}");
        if truth.description.contains("fixed-pitch") {
            let _ = writeln!(out, "propeller = \"fixed_pitch\"");
        }
    }
    if let Some(aoa) = truth.critical_aoa_deg {
        let _ = writeln!(out, "[wing]\ncritical_aoa_deg = {aoa}");
    }
    let full = truth.flap_notches_deg.last().copied().unwrap_or(0.0);
    let pairs = [
        (0.0, truth.vs1_kias, truth.vs1_kcas),
        (full, truth.vs0_kias, truth.vs0_kcas),
    ];
    for (flap, indicated, calibrated) in pairs.into_iter().take(if full > 0.0 { 2 } else { 1 }) {
        if let (Some(indicated), Some(calibrated)) = (indicated, calibrated) {
            let _ = writeln!(
                out,
                "[[calibration]]\nflap_deg = {flap}\nindicated_kias = {indicated}\ncalibrated_kcas = {calibrated}"
            );
        }
    }
    out
}
