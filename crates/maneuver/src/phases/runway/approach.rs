//! The last 500 ft before the flare: how steady they were.

use super::ground::Ground;
use super::strip::Strip;
use super::{NO_AIRSPEED, NO_POSITION};
use crate::phases::motion::Motion;
use crate::phases::sheet::Sheet;
use air::units::{G0_MPS2, M_PER_FT};
use flight::{Fit, Origin};

/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;
/// From here the approach is to be steady, m above the runway: 500 ft (common practice, no source).
pub const GATE_M: f64 = 500.0 * M_PER_FT;
/// A piece shorter than this says nothing of steadiness, s.
const LEAST_S: f64 = 6.0;

/// Writes what was held between the gate (or the turn to final, whichever is later) and the flare.
pub fn write(
    motion: &Motion,
    ground: &Ground,
    strip: &Strip,
    (final_s, flare_s): (f64, f64),
    sheet: &mut Sheet,
) {
    let height = motion.altitude.map(|altitude| altitude - strip.level_m);
    let gate_s = height
        .last_beyond(final_s - 120.0, flare_s, GATE_M, true)
        .unwrap_or(final_s);
    let from_s = gate_s.max(final_s);
    let seconds = flare_s - from_s;
    if seconds.is_nan() || seconds < LEAST_S {
        return;
    }
    let middle_s = 0.5 * (from_s + flare_s);
    speed(motion, from_s, flare_s, sheet);
    let (_, origin) = motion.quality(motion.flight.climb.as_ref(), middle_s);
    let sink = motion.climb.map(|climb| -climb).smooth(2.0);
    let mean = sink.mean(from_s, flare_s);
    sheet.fact("approach_sink", mean, "m/s", 0.3, origin);
    if let Some((_, most)) = sink.held(from_s, flare_s, 3.0) {
        let sigma = match motion.flight.fit {
            Fit::Rich | Fit::Panel | Fit::Sparse => 0.4,
            Fit::GnssAttitude | Fit::Gnss => 0.7,
        };
        sheet.fact("approach_sink_max", most, "m/s", sigma, origin);
    }
    let over_ground = ground.speed.mean(from_s, flare_s);
    if over_ground.is_finite() && over_ground > 5.0 {
        let path = mean.atan2(over_ground);
        sheet.fact("approach_path", path, "rad", 0.3 / over_ground, origin);
    }
    sideways(motion, ground, strip, (from_s, flare_s), sheet);
}

fn speed(motion: &Motion, from_s: f64, to_s: f64, sheet: &mut Sheet) {
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), from_s);
    let Some((low, high)) = motion.ias.held(from_s, to_s, HOLD_S) else {
        sheet.missing("approach_ias", NO_AIRSPEED);
        return;
    };
    let sigma = sigma.max(0.6);
    let median = motion.ias.median(from_s, to_s);
    sheet.fact("approach_ias", median, "m/s", sigma, origin);
    sheet.fact("approach_ias_low", low, "m/s", sigma, origin);
    sheet.fact("approach_ias_high", high, "m/s", sigma, origin);
    let spread = motion.ias_change_sigma_mps();
    sheet.fact("approach_ias_spread", high - low, "m/s", spread, origin);
}

/// The greatest distance beside the line of the roll, and where the line itself is not known why.
fn sideways(
    motion: &Motion,
    ground: &Ground,
    strip: &Strip,
    (from_s, to_s): (f64, f64),
    sheet: &mut Sheet,
) {
    if strip.point.is_none() {
        sheet.missing("approach_offset", NO_POSITION);
        return;
    }
    let offsets = ground.east.samples(from_s, to_s).into_iter();
    let most = offsets
        .filter_map(|(at_s, _)| strip.along_across(ground.place(at_s)?))
        .map(|(_, across)| across)
        .max_by(|a, b| a.abs().total_cmp(&b.abs()));
    // The line is drawn on from the roll: what is not known of its direction grows with the distance.
    let away = ground.between(from_s, to_s).unwrap_or(f64::NAN);
    let sigma = (away * strip.course_sigma_rad).hypot(super::ground::PLACES_M);
    let (_, origin) = motion.quality(motion.flight.east.as_ref(), from_s);
    if let Some(most) = most {
        sheet.fact(
            "approach_offset",
            most,
            "m",
            sigma,
            Origin::Derived.max(origin),
        );
    }
}

/// A slip shorter than this is a correction, s.
const SLIP_S: f64 = 5.0;
/// Bank that a slip holds at least, rad.
const SLIP_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;

/// Says that it was slipped: bank held while the heading stayed, which coordinated flight cannot do. Only a
/// recorded bank can show it.
pub fn slipped(motion: &Motion, from_s: f64, to_s: f64, sheet: &mut Sheet) {
    let (_, origin) = motion.bank_quality(from_s);
    if origin != Origin::Measured || !motion.heading.is_known() {
        return;
    }
    let bank = motion.bank.smooth(2.0);
    let mut began: Option<(f64, f64)> = None;
    let mut seconds = 0.0_f64;
    for (at_s, phi) in bank.samples(from_s, to_s) {
        let side = phi.signum();
        if phi.abs() < SLIP_RAD || began.is_some_and(|(_, was)| was != side) {
            began = None;
            continue;
        }
        let (since_s, _) = *began.get_or_insert((at_s, side));
        let turned = motion.heading.at(at_s) - motion.heading.at(since_s);
        // g·tan φ / V of a coordinated turn, added up with the mean bank.
        let speed = motion.ias.median(since_s, at_s).max(15.0);
        let owed = G0_MPS2 * bank.mean(since_s, at_s).tan() / speed * (at_s - since_s);
        if owed.abs() > 0.1 && (turned / owed) < 0.4 {
            seconds = seconds.max(at_s - since_s);
        }
    }
    if seconds >= SLIP_S {
        sheet.variant(
            "forward_slip",
            0.8,
            "the bank was held for seconds and the heading did not follow it",
        );
    }
}
