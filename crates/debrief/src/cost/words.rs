//! Words of the ledger.

use ledger::Cause;
use ledger::causes::held_s;
use ledger::{Ledger, Recovery, Reference};

/// The words that stand beside every ledger and what-if.
pub(super) const CAUTION: &str = "A computed answer from this recording, to learn from on the ground. It is no technique: the aircraft's \
    approved flight manual, the published standard and a licensed instructor come first.";

/// What a cause is called on the sheet.
pub(super) fn title(cause: Cause) -> &'static str {
    match cause {
        Cause::StallHeld => "kept stalled",
        Cause::UnloadedTooFar => "nose too far down",
        Cause::SecondaryStall => "pulled into another stall",
        Cause::LateFullPower => "power late",
        Cause::WeakPower => "less than full power",
        Cause::FlapsTogether => "flaps up in one go",
        Cause::FlapsLeftDown => "flaps left down",
        Cause::ClimbedLate => "accelerated past the climb speed",
    }
}

/// What the ledger holds the flight against, in words.
pub(super) fn reference(reference: &Reference, others: bool) -> String {
    let basis = if others {
        "the flight's other recoveries and what is usual"
    } else {
        "what is usual (assumed)"
    };
    format!(
        "Held against a recovery with the wing unloaded {:.1} s after the stall, power {:.1} s later, a path down to {:.0}°, the pull at \
         {:.2} times the stall speed, flaps one detent at a time and the climb at VY: from {basis}.",
        reference.unload_s[0],
        reference.power_s[0],
        -reference.style.steepest_rad.to_degrees(),
        reference.style.pull_at,
    )
}

/// Causes that are one, and what the recording cannot show.
pub(super) fn remarks(recovery: &Recovery, reference: &Reference, ledger: &Ledger) -> Vec<String> {
    let mut out = Vec::new();
    if held_s(recovery, reference) > 0.0 {
        out.push(
            "Power and flaps hang on the unloading: what came late only because the wing was kept stalled is counted with it."
                .to_owned(),
        );
    }
    if !recovery.flown.about.flaps_known {
        out.push(
            "The flaps were not recorded and cannot be inferred here: what they cost is in the other lines.".to_owned(),
        );
    }
    if !ledger.untold.is_empty() {
        let names: Vec<&str> = ledger.untold.iter().map(|cause| title(*cause)).collect();
        out.push(format!(
            "Seen, but it cost less than can be told from how good recoveries differ: {}.",
            names.join(", ")
        ));
    }
    let seconds = recovery.times.end_s - recovery.times.stall_s;
    if seconds < ledger::recovery::READING_S - 0.5 {
        out.push(format!(
            "The recording ends {seconds:.0} s after the stall: the later reading is taken there."
        ));
    }
    out
}
