//! High or low on final: the path from half a mile out to where the float began.
//!
//! What was aimed at is not in the recording. An approach that is held comes down where it was aimed, less the float: the
//! path from the gate to where it was 10 ft up is what was flown, and how steep that had to be says whether it was high or
//! low at the gate.

use super::arrival::Arrival;
use super::ground::PLACES_M;
use crate::phases::sheet::Sheet;
use crate::phases::wave::Wave;
use air::units::{M_PER_FT, M_PER_NM};
use flight::Origin;

/// How far out, m.
const OUT_M: f64 = 0.5 * M_PER_NM;
/// Where the path ends, m above the runway: 10 ft, the lower end of the round-out.
const END_M: f64 = 10.0 * M_PER_FT;
const NAMES: [&str; 2] = ["gate_height", "gate_path"];

/// Writes height and path at half a mile before the end of the approach's path.
pub fn write(arrival: &Arrival, height: &Wave, sheet: &mut Sheet) {
    let at_s = arrival.touchdown.at_s;
    let final_s = arrival.legs.final_s;
    let mut missing = |why: &'static str| {
        for name in NAMES {
            sheet.missing(name, why);
        }
    };
    let ground = &arrival.ground;
    let end = height
        .first_beyond(at_s - 40.0, at_s, END_M, false)
        .and_then(|low_s| Some((low_s, ground.place(low_s)?)));
    let Some((low_s, end)) = end else {
        missing(super::NO_POSITION);
        return;
    };
    let (sin, cos) = arrival.strip.course_rad.sin_cos();
    let out = |time_s: f64| {
        let place = ground.place(time_s)?;
        Some((end.0 - place.0) * sin + (end.1 - place.1) * cos)
    };
    let from_s = if final_s.is_finite() {
        final_s
    } else {
        arrival.motion.from_s
    };
    let gate_s = ground
        .east
        .samples(from_s, low_s)
        .into_iter()
        .rev()
        .find(|(time_s, _)| out(*time_s).is_some_and(|out| out >= OUT_M))
        .map(|(time_s, _)| time_s);
    let Some((gate_s, away)) = gate_s.and_then(|time_s| Some((time_s, out(time_s)?))) else {
        missing("the turn to final ended nearer than half a mile");
        return;
    };
    let up = height.at(gate_s);
    let strip = &arrival.strip;
    sheet.fact("gate_height", up, "m", strip.height_sigma_m, strip.origin);
    let path = (up - END_M).atan2(away);
    // Where it was 10 ft up is known to its height over the sink; a degree is 50 ft here.
    let sink = arrival.motion.climb.at(low_s).abs().max(0.5);
    let along = ground.speed.at(low_s) * strip.height_sigma_m / sink;
    let sigma = (strip.height_sigma_m / away).hypot(path * along.hypot(PLACES_M) / away);
    sheet.fact("gate_path", path, "rad", sigma, Origin::Derived);
}
