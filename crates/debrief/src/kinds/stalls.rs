//! What is told of the stalls beyond the first two: findings and story are theirs, as the stage that works them out
//! is theirs.

use super::Words;
use crate::words::with_unit;
use air::units::M_PER_FT;
use maneuver::{Kind, Maneuver};
use standard::TaskMarks;

pub(crate) const WORDS: Words = Words {
    kinds: &[Kind::AcceleratedStall],
    opening,
    evidence: |_, _, _| None,
    events: &[],
    findings: &[],
    telling: &["entry_airspeed"],
};

fn opening(maneuver: &Maneuver, _: &TaskMarks) -> String {
    let full = maneuver.fact("full_stall_probability");
    let what = match full {
        full if full >= 0.95 => "you took the turn on to a full stall",
        full if full <= 0.05 => "you recovered at the first sign of the stall",
        _ => "you brought the turn to the stall (whether fully, the recording cannot tell)",
    };
    let lost = maneuver.fact("altitude_lost") / M_PER_FT;
    if lost.is_finite() && lost >= 10.0 {
        format!("{what} and lost {}", with_unit(lost, 1.0, "ft"))
    } else {
        what.to_owned()
    }
}
