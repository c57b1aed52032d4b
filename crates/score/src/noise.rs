//! The noise band: how near the limit truth may be before a decided mark is no longer asked for.
//!
//! Set from the instruments, not from our results: rounding, bias and lag of the recorders as the
//! recordings' description gives them, two sigma, by instrument fit. Truth nearer the limit than
//! this is left out of the agreement (it is what `too_close` is for).

/// Half width of the band, in the unit of the criterion.
pub fn band(criterion: &str, fit: &str) -> f64 {
    let air_data = matches!(fit, "rich" | "panel");
    let fast = matches!(fit, "rich" | "gps_att");
    let attitude = fit != "gps";
    match criterion {
        "altitude" => {
            if air_data {
                15.0
            } else {
                25.0
            }
        }
        "min_altitude_agl" => 75.0,
        "airspeed" | "approach_airspeed" | "climb_airspeed" | "final_airspeed"
        | "airspeed_at_180" => {
            if air_data {
                2.5
            } else {
                6.0
            }
        }
        "climb_not_delayed" => {
            if air_data {
                3.0
            } else {
                6.0
            }
        }
        "heading" | "rollout_heading" => {
            if attitude {
                2.0
            } else {
                4.0
            }
        }
        "bank" | "bank_max_20" => {
            if attitude {
                1.5
            } else {
                5.0
            }
        }
        "recovery_prompt" | "power_prompt" => {
            if fast {
                0.5
            } else {
                0.8
            }
        }
        "no_stall_warning" => 1.0,
        "coordination" => 0.01,
        "pitch_up_smooth" => {
            if fast {
                0.8
            } else {
                1.5
            }
        }
        "power_percent" => 5.0,
        "flap_extension_speed" => {
            if fit == "rich" {
                2.0
            } else {
                3.0
            }
        }
        "descent_established" => 2.0,
        _ => 0.0,
    }
}

/// Which criterion an injected error breaks, and the id of the finding that tells of it.
pub const ERRORS: &[(&str, &str, &[&str])] = &[
    (
        "no_clearing_turns",
        "no_clearing_turns",
        &["clearing_turns"],
    ),
    (
        "below_min_height",
        "below_minimum_height",
        &["min_altitude_agl"],
    ),
    (
        "not_established",
        "not_established",
        &["descent_established"],
    ),
    ("altitude_drift", "altitude_drift", &["altitude"]),
    ("airspeed_drift", "airspeed_drift", &["airspeed"]),
    (
        "no_wind_correction",
        "no_wind_correction",
        &["radius_variation", "track_on_legs"],
    ),
    (
        "no_wind_correction",
        "radius_not_constant",
        &["radius_variation"],
    ),
    ("bank_over", "bank_out_of_limits", &["bank", "bank_max_20"]),
    ("bank_under", "bank_out_of_limits", &["bank"]),
    ("heading_wander", "heading_wander", &["heading"]),
    ("rollout_off", "rollout_off_heading", &["rollout_heading"]),
    (
        "flap_overspeed",
        "flaps_above_vfe",
        &["flap_extension_speed"],
    ),
    (
        "aggressive_pitch",
        "pitched_up_abruptly",
        &["pitch_up_smooth"],
    ),
    (
        "recover_at_cue",
        "recovered_before_full_stall",
        &["recovery_after_full_stall", "recovery_as_specified"],
    ),
    (
        "held_too_long",
        "stall_held",
        &["recovery_prompt", "recovery_as_specified"],
    ),
    ("late_power", "late_full_power", &["power_prompt"]),
    (
        "flaps_all_at_once",
        "flaps_retracted_together",
        &["flaps_in_steps"],
    ),
    ("flaps_left_down", "flaps_left_down", &["flaps_retracted"]),
    ("level_accelerate", "climbed_late", &["climb_not_delayed"]),
    (
        "secondary_stall",
        "secondary_stall",
        &["no_secondary_stall"],
    ),
    ("uncoordinated", "uncoordinated", &["coordination"]),
    ("wing_drop", "wing_drop", &[]),
    ("weak_power", "weak_power", &["power_percent"]),
    ("flat", "flown_flat", &["altitude_gain", "final_airspeed"]),
    ("fast_approach", "fast_approach", &["approach_airspeed"]),
    (
        "no_wind_correction",
        "no_wind_correction",
        &["radius_variation", "track_on_legs"],
    ),
    (
        "pull_before_roll",
        "pulled_before_rolling",
        &["roll_before_pull"],
    ),
];

/// Whether an injected error's motion broke a limit, so that a finding is owed.
pub fn broke_a_limit(
    error: &str,
    maneuver: &crate::truth::TrueManeuver,
    standard: &str,
    fit: &str,
) -> bool {
    if error == "wing_drop" {
        // No criterion: a roll past 20 degrees in the recovery of a straight stall is one by any eye.
        return maneuver
            .extremes
            .get("bank_in_recovery")
            .and_then(|range| {
                Some((
                    range.get("raw_low")?.as_f64()?,
                    range.get("raw_high")?.as_f64()?,
                ))
            })
            .is_some_and(|(low, high)| low.abs().max(high.abs()) > 20.0);
    }
    let Some((_, _, criteria)) = ERRORS.iter().find(|(id, _, _)| *id == error) else {
        return false;
    };
    criteria.iter().any(|criterion| {
        failed(maneuver, standard, criterion) && !near(maneuver, standard, criterion, fit)
    })
}

/// Whether truth lies so near the limit that no recorder of this fit could tell.
fn near(maneuver: &crate::truth::TrueManeuver, standard: &str, criterion: &str, fit: &str) -> bool {
    maneuver
        .verdict
        .get(standard)
        .and_then(|all| all.get(criterion))
        .and_then(|truth| truth.margin)
        .is_some_and(|margin| margin.abs() < band(criterion, fit))
}

/// Whether truth has no verdict on anything that a finding speaks of (a private recovery that was
/// briefed at the first cue, say): then the finding counts neither way.
pub fn not_applicable(id: &str, maneuver: &crate::truth::TrueManeuver, standard: &str) -> bool {
    let criteria = criteria(id);
    !criteria.is_empty()
        && criteria.iter().all(|criterion| {
            maneuver
                .verdict
                .get(standard)
                .and_then(|all| all.get(*criterion))
                .is_none_or(|truth| truth.verdict.is_none())
        })
}

/// Whether truth fails a criterion.
pub fn failed(maneuver: &crate::truth::TrueManeuver, standard: &str, criterion: &str) -> bool {
    maneuver
        .verdict
        .get(standard)
        .and_then(|all| all.get(criterion))
        .is_some_and(|truth| truth.verdict.as_deref() == Some("fail"))
}

/// The criteria that a finding speaks of.
pub fn criteria(id: &str) -> Vec<&'static str> {
    ERRORS
        .iter()
        .filter(|(_, finding, _)| *finding == id)
        .flat_map(|(_, _, criteria)| criteria.iter().copied())
        .collect()
}
