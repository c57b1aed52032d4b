//! What the debrief is told about a flight: what an examiner or instructor says aloud beforehand.

use crate::truth::{TrueManeuver, Truth};
use maneuver::Kind;
use standard::{Asked, Briefed, Recovery};

/// The briefing. The recovery is told for the commercial standard, where the evaluator chooses it
/// and nothing in a recording shows the choice; the other targets only when `told`.
pub fn briefed(truth: &Truth, offset_s: f64, standard: &str, told: bool) -> Briefed {
    let entries = truth
        .maneuvers
        .iter()
        .filter_map(|maneuver| asked(maneuver, offset_s, standard, told, truth))
        .collect();
    Briefed {
        entries,
        ..Briefed::default()
    }
}

fn asked(
    maneuver: &TrueManeuver,
    offset_s: f64,
    standard: &str,
    told: bool,
    truth: &Truth,
) -> Option<Asked> {
    let number = |name: &str| {
        maneuver
            .params
            .get(name)
            .and_then(serde_json::Value::as_f64)
    };
    let recovery = (standard == "commercial")
        .then(|| {
            maneuver
                .params
                .get("specified_recovery")
                .and_then(serde_json::Value::as_str)
        })
        .flatten()
        .and_then(Recovery::from_id);
    let mut asked = Asked {
        kind: Some(Kind::from_id(&maneuver.kind)?),
        at_s: Some((maneuver.t_start + maneuver.t_end) / 2.0 - offset_s),
        recovery,
        ..Asked::default()
    };
    if told {
        asked.bank_deg = number("specified_bank").filter(|bank| *bank > 0.0);
        asked.speed_kias = number("target_ias");
        // Truth headings are true; people brief magnetic ones.
        asked.heading_deg = number("heading")
            .map(|heading| (heading - truth.field.magnetic_variation_deg_east).rem_euclid(360.0));
    }
    (!asked.is_empty()).then_some(asked)
}
