//! Traffic pattern: a circuit that a person says was the task.
//!
//! FAA-S-ACS-6C PA.III.B. The program does not propose one: what is flown in a pattern is a takeoff, legs and a
//! landing, and each is listed by itself. Where a person sets one, its level part is what the standard speaks of.

use super::{Case, Grammar, figure, fpm, row};
use crate::phases::entry;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::{Kind, Maneuver};

/// How it takes part.
pub const ROW: Grammar = row(Kind::TrafficPattern, |_, _| {}).worked_out(
    detail,
    &["level_start", "level_end"],
    &[
        figure(
            "pattern_altitude",
            "m",
            "altitude of the level part, the median",
        ),
        figure("ias_held", "m/s", "airspeed of the level part, the median"),
        figure("seconds_level", "s", "length of the level part"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Slower than this up or down is level, m/s.
const LEVEL_MPS: f64 = fpm(250.0);

/// The longest level part within the bounds.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    entry::write(&motion, span.start_s, span.end_s, &mut sheet);
    let climb = motion.climb.map(f64::abs).smooth(6.0);
    let mut longest = (f64::NAN, f64::NAN);
    let mut at_s = span.start_s;
    while let Some(from_s) = climb.first_beyond(at_s, span.end_s, LEVEL_MPS, false) {
        let to_s = climb
            .first_beyond(from_s + 1e-3, span.end_s, LEVEL_MPS, true)
            .unwrap_or(span.end_s);
        let so_far = longest.1 - longest.0;
        if so_far.is_nan() || so_far < to_s - from_s {
            longest = (from_s, to_s);
        }
        if to_s >= span.end_s {
            break;
        }
        at_s = to_s + 1e-3;
    }
    let (from_s, to_s) = longest;
    let (sigma, origin) = motion.altitude_quality(from_s);
    sheet.event("level_start", from_s, 2.0, origin);
    sheet.event("level_end", to_s, 2.0, origin);
    let altitude = motion.altitude.median(from_s, to_s);
    sheet.fact("pattern_altitude", altitude, "m", sigma, origin);
    sheet.fact("seconds_level", to_s - from_s, "s", 3.0, origin);
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), from_s);
    let ias = motion.ias.median(from_s, to_s);
    sheet.fact("ias_held", ias, "m/s", sigma.max(0.6), origin);
    sheet.phase("level", from_s, to_s);
    sheet.finish()
}
