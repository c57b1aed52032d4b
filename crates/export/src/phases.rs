//! Which maneuver and phase a moment belongs to.

use debrief::{Debrief, ManeuverDebrief};

/// The maneuver and the phase at a time; the later one where two overlap.
pub(crate) fn at(debrief: &Debrief, at_s: f64) -> Option<(&ManeuverDebrief, &str)> {
    let within = |start_s: f64, end_s: f64| at_s >= start_s && at_s < end_s;
    let maneuver = debrief
        .maneuvers
        .iter()
        .rev()
        .find(|maneuver| within(maneuver.start_s, maneuver.end_s))?;
    let phase = maneuver
        .phases
        .iter()
        .rev()
        .find(|phase| within(phase.start_s, phase.end_s));
    Some((maneuver, phase.map_or("", |phase| phase.name.as_str())))
}
