//! Slow flight: power back and flaps down, then straight, turning, climbing and descending parts at one
//! low speed, then the recovery (FAA-S-ACS-6 and -7, task VII.A).

use super::flaps;
use super::motion::{Motion, REACH_S};
use super::power::Lever;
use super::sheet::Sheet;
use crate::{Maneuver, Span};
use flight::{Flight, Origin};

mod segments;
pub use segments::Segment;

/// Time an excursion must last, s.
const HOLD_S: f64 = 1.0;

/// Works out slow flight.
pub fn detail(flight: &Flight, span: &Span, others: &[Span]) -> Maneuver {
    let motion = Motion::new(flight, span, others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let lever = Lever::best(&motion);
    let reach = 0.8 * REACH_S;
    let start = lever
        .as_ref()
        .and_then(|lever| lever.cut_start(span.start_s - reach, span.start_s + reach))
        .unwrap_or(span.start_s)
        .max(motion.from_s);
    let steps = flaps::steps(&motion, start - 2.0, motion.to_s);
    let last_up = steps
        .iter()
        .filter(|step| !flaps::is_down(step))
        .map(|step| step.at_s)
        .next_back();
    let end = last_up.map_or(span.end_s, |at| at + 1.5).min(motion.to_s);
    sheet.bounds(start, end);
    let flown = flown_speed(&motion, start, end);
    let last_down = steps
        .iter()
        .filter(|step| flaps::is_down(step))
        .map(|step| step.at_s)
        .next_back();
    let established = established_at(&motion, flown, start, end, last_down);
    let recovery = recovery_at(&motion, lever.as_ref(), flown, established, end);
    let (sigma, origin) = lever.as_ref().map_or((2.0, Origin::Derived), |lever| {
        (2.0 * lever.sigma_s, lever.origin)
    });
    sheet.event("setup_start", start, sigma, origin);
    sheet.event("established", established, 4.0, Origin::Derived);
    sheet.event("recovery_input", recovery, 1.5 * sigma, origin);
    flaps::write(&motion, &steps, &mut sheet);
    facts(&motion, flown, start, established, recovery, &mut sheet);
    let segments = segments::find(&motion, established, recovery);
    let entry = segments::Entry {
        altitude_m: motion.altitude.mean(start - 1.5, start + 0.5),
        heading_rad: motion.heading.mean(start - 1.5, start + 0.5),
    };
    segments::write(&motion, &segments, entry, &mut sheet);
    sheet.phase("setup", start, established);
    // The whole of it, then its parts within it.
    sheet.phase("established", established, recovery);
    for segment in &segments {
        sheet.phase(segment.kind, segment.start_s, segment.end_s);
    }
    sheet.phase("recovery", recovery, end);
    sheet.finish()
}

/// The speed that was flown: median of the middle of the maneuver.
fn flown_speed(motion: &Motion, start: f64, end: f64) -> f64 {
    let length = end - start;
    motion
        .ias
        .median(start + 0.35 * length, end - 0.15 * length)
}

/// Established: all flaps set, speed within 3 kt of what was then flown, climbing or sinking less than
/// 200 ft/min, all at once for 4 s.
fn established_at(
    motion: &Motion,
    flown: f64,
    start: f64,
    end: f64,
    last_down: Option<f64>,
) -> f64 {
    let half = 0.5 * (start + end);
    let from = last_down.filter(|at| *at < half).unwrap_or(start);
    let near = 3.0 * air::units::MPS_PER_KT;
    let level = 200.0 * air::units::MPS_PER_FPM;
    let ias = motion.ias.smooth(2.0).map(|ias| (ias - flown).abs() / near);
    let climb = motion.climb.smooth(3.0).map(|climb| climb.abs() / level);
    let off = if climb.is_known() {
        ias.worse(&climb)
    } else {
        ias
    };
    off.first_held(from, half, 1.0, false, 4.0)
        .or_else(|| motion.ias.first_beyond(from, half, flown + near, false))
        .unwrap_or(from)
}

/// The recovery begins with power; where nothing shows power, with the speed rising for good.
fn recovery_at(
    motion: &Motion,
    lever: Option<&Lever>,
    flown: f64,
    established: f64,
    end: f64,
) -> f64 {
    let from = established.max(end - 45.0);
    let rising = motion
        .ias
        .last_beyond(
            established,
            end,
            flown + 2.5 * air::units::MPS_PER_KT,
            false,
        )
        .unwrap_or(end);
    let by_power = lever.and_then(|lever| {
        let low = lever.wave.median(from - 10.0, from);
        let (_, top) = lever.wave.highest(from, end)?;
        if top - low < 0.05 {
            return None;
        }
        let last_low =
            lever
                .wave
                .last_beyond(from, rising + 8.0, top - 0.5 * (top - low), false)?;
        Some(last_low - lever.sigma_s)
    });
    by_power.unwrap_or(rising - 4.0).min(end).max(established)
}

fn facts(
    motion: &Motion,
    flown: f64,
    start: f64,
    established: f64,
    recovery: f64,
    sheet: &mut Sheet,
) {
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), established);
    // Nobody said the target: the median that was flown stands for it, give or take what the standard
    // lets a pilot be off on one side.
    let spread = sigma.hypot(4.0 * air::units::MPS_PER_KT);
    sheet.fact("target_ias", flown, "m/s", spread, Origin::Assumed);
    if let Some((low, high)) = motion.ias.held(established, recovery, HOLD_S) {
        sheet.fact("ias_low", low, "m/s", sigma, origin);
        sheet.fact("ias_high", high, "m/s", sigma, origin);
    }
    let (sigma, origin) = motion.altitude_quality(start);
    let entry = motion.altitude.mean(start - 1.5, start + 0.5);
    sheet.fact("entry_altitude", entry, "m", sigma, origin);
    let level = motion.altitude.mean(established, established + 3.0);
    sheet.fact("established_altitude", level, "m", sigma, origin);
    let (sigma, origin) = motion.quality(motion.flight.agl.as_ref(), start);
    if let Some((_, lowest)) = motion.agl.lowest(start, recovery) {
        sheet.fact("lowest_agl", lowest, "m", sigma, origin);
    }
    let (sigma, origin) = motion.quality(motion.flight.bank.as_ref(), start);
    if let Some((_, bank)) = motion
        .bank
        .map(f64::abs)
        .held(established, recovery, HOLD_S)
    {
        sheet.fact("bank_max", bank, "rad", sigma, origin);
    }
    let (_, origin) = motion.quality(motion.flight.stall_warning.as_ref(), start);
    if motion.warning.is_known() {
        let seconds = motion
            .warning
            .seconds_beyond(established, recovery, 0.5, true);
        sheet.fact("stall_warning", seconds, "s", 0.2, origin);
    }
    let (angle, origin) = flaps::angle_at(motion, 0.5 * (established + recovery));
    sheet.fact("flap_at_entry", angle, "rad", 2f64.to_radians(), origin);
}
