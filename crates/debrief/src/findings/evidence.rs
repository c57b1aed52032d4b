//! The evidence of a finding in words, with numbers and what they are known to.

use super::Case;
use crate::document::Finding;
use crate::kinds;
use crate::words::{exact, sentence, side, with_sigma, with_unit};
use air::units::MPS_PER_KT;
use standard::Mark;

/// Size of the fault: the deviation from the target, else the measured value.
pub(super) fn size(mark: &Mark) -> (Option<f64>, String) {
    let size = mark
        .worst
        .map(|worst| mark.target.map_or(worst, |target| worst - target));
    (size, mark.unit.clone())
}

/// How far beyond its limit a finding is, in tolerances of the usual size for its unit.
pub(super) fn beyond(finding: &Finding) -> f64 {
    let Some(size) = finding.size else { return 1.0 };
    let usual = match finding.unit.as_str() {
        "ft" if finding.id == "below_minimum_height" => return (1500.0 - size) / 150.0,
        "ft" => 100.0,
        "kt" => 10.0,
        "deg" => 10.0,
        "deg/s" => 5.0,
        "s" => 3.0,
        "g" => 0.05,
        "%" if finding.id == "weak_power" => return (65.0 - size) / 15.0,
        "%" => 30.0,
        _ => 1.0,
    };
    (size.abs() / usual - 1.0).max(0.0)
}

/// Evidence in one or two sentences.
pub(super) fn words(id: &str, mark: &Mark, case: &Case) -> String {
    let worst = mark.worst.unwrap_or(f64::NAN);
    let sigma = mark.sigma.unwrap_or(f64::NAN);
    let deviation = mark.target.map_or(worst, |target| worst - target);
    let value = || with_sigma(worst, sigma, &mark.unit);
    let off = || with_sigma(deviation.abs(), sigma, &mark.unit);
    let limit = mark.high.or(mark.low).unwrap_or(f64::NAN);
    let outside = outside(mark);
    let text = match id {
        "secondary_stall" => secondary(mark, case),
        "below_minimum_height" => format!(
            "the lowest point was {} above ground, {} is the least",
            value(),
            exact(limit, "ft")
        ),
        "stall_held" if mark.criterion == "recovery_as_specified" => {
            "recovery at the first indication was asked for, and the wing stalled fully".to_owned()
        }
        "stall_held" => format!(
            "{} passed from the full stall to the start of the recovery, {} is the limit (assumed)",
            value(),
            exact(limit, "s")
        ),
        "uncoordinated" => format!(
            "the side load was {} over five seconds, {} is the limit (assumed)",
            value(),
            exact(limit, "g")
        ),
        "flaps_above_vfe" => format!(
            "{} at {}, {} is the limit",
            mark.note,
            value(),
            exact(limit, "kt")
        ),
        "late_full_power" => format!(
            "full power was in {} after the recovery began, {} is the limit (assumed)",
            value(),
            exact(limit, "s")
        ),
        "recovered_before_full_stall" => {
            "the nose was lowered at the first cue, before the wing stalled fully".to_owned()
        }
        "flaps_retracted_together" => mark.note.clone(),
        "flaps_left_down" => match mark.worst {
            Some(angle) => format!(
                "{} of flap were still out when the maneuver ended",
                exact(angle.round(), "deg")
            ),
            None => "it climbed away as with flaps out".to_owned(),
        },
        "climbed_late" => format!(
            "you were {} above VY when the climb began; {} is the limit (assumed)",
            value(),
            exact(limit, "kt")
        ),
        "weak_power" => format!(
            "power at the stall was {} of what was available, {} is the least",
            value(),
            exact(limit, "%")
        ),
        "not_established" => format!(
            "{} of steady descent came before the pull, {} is the least (assumed)",
            value(),
            exact(limit, "s")
        ),
        "pitched_up_abruptly" => format!(
            "the nose rose at {}, {} is the limit (assumed)",
            value(),
            exact(limit, "deg/s")
        ),
        // Beside the mark's own name the note may be short; alone it has to say of what it speaks.
        "no_clearing_turns" => mark
            .note
            .replacen("the last ones", "the last clearing turns", 1),
        "heading_wander" => format!(
            "the heading went {} to the {}{outside}",
            off(),
            side(deviation)
        ),
        "rollout_off_heading" => rollout(mark, deviation, case),
        "altitude_drift" => format!(
            "you were {} {}{outside}",
            off(),
            if deviation < 0.0 { "low" } else { "high" }
        ),
        "airspeed_drift" => format!(
            "you were {} {}{outside}",
            off(),
            if deviation < 0.0 { "slow" } else { "fast" }
        ),
        "bank_out_of_limits" => bank(mark, &value(), limit, &outside),
        _ => kinds::words_of(case.maneuver.kind)
            .and_then(|words| (words.evidence)(id, mark, case))
            .unwrap_or_else(|| plainly(mark, &value(), &outside)),
    };
    sentence(&text)
}

/// What was measured and what was allowed.
fn plainly(mark: &Mark, value: &str, outside: &str) -> String {
    let assumed = if mark.limit_origin == "assumed" {
        " (assumed)"
    } else {
        ""
    };
    let limits = match (mark.low, mark.high) {
        (Some(low), Some(high)) => format!(
            "; {} to {} were the limits{assumed}",
            exact(low, &mark.unit),
            exact(high, &mark.unit)
        ),
        (Some(low), None) => format!(", {} is the least{assumed}", exact(low, &mark.unit)),
        (None, Some(high)) => format!(", {} is the most{assumed}", exact(high, &mark.unit)),
        (None, None) => String::new(),
    };
    format!("{}: {value}{limits}{outside}", mark.quantity)
}

fn outside(mark: &Mark) -> String {
    match mark.outside_s {
        Some(seconds) if seconds >= 1.0 => {
            format!(", outside the limit for {}", with_unit(seconds, 1.0, "s"))
        }
        _ => String::new(),
    }
}

fn bank(mark: &Mark, value: &str, limit: f64, outside: &str) -> String {
    let limits = match (mark.low, mark.high) {
        (Some(low), Some(high)) => {
            format!(
                "{} to {} were the limits",
                exact(low, "deg"),
                exact(high, "deg")
            )
        }
        _ => format!("{} was the limit", exact(limit, "deg")),
    };
    format!("the bank went to {value}; {limits}{outside}")
}

fn rollout(mark: &Mark, deviation: f64, case: &Case) -> String {
    let sigma = mark.sigma.unwrap_or(f64::NAN);
    let past = match case.maneuver.direction {
        maneuver::Direction::Left => deviation < 0.0,
        _ => deviation > 0.0,
    };
    let way = if past { "past" } else { "short of" };
    format!(
        "you rolled out {} {way} the entry heading",
        with_sigma(deviation.abs(), sigma, "deg")
    )
}

fn secondary(mark: &Mark, case: &Case) -> String {
    let Some(at_s) = mark.at_s else {
        return "the wing stalled again while the nose came up".to_owned();
    };
    let after = case
        .maneuver
        .event("recovery_start")
        .map(|event| at_s - event.at_s);
    let speed = case
        .flight
        .ias
        .as_ref()
        .map(|ias| ias.at(case.flight.clock.index(at_s)) / MPS_PER_KT);
    let mut text = "the wing stalled again".to_owned();
    if let Some(after) = after.filter(|after| *after > 0.0) {
        text += &format!(" {} after the recovery began", with_unit(after, 0.3, "s"));
    }
    if let Some(speed) = speed.filter(|speed| speed.is_finite()) {
        text += &format!(", at {}", with_unit(speed, 1.0, "kt"));
    }
    text
}
