//! Recovery from an unusual attitude: nose high (zooming, speed running out) or nose low (diving, speed
//! building up), back to level flight within seconds.
//!
//! FAA-S-ACS-6C PA.VIII.E. The upset itself is the other pilot's: the recovery starts at the greatest
//! climb or sink rate, and ends in level flight.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, fpm, row, stall_signature as signature};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S};
use crate::phases::entry;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::{Direction, Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::UnusualAttitudeRecovery, propose).worked_out(
    detail,
    &[
        "recovery_start",
        "wings_level",
        "pull",
        "power_changed",
        "level",
    ],
    &[
        figure(
            "roll_before_pull",
            "s",
            "from wings level to the pull; negative when the pull came first",
        ),
        figure(
            "power_before_pull",
            "s",
            "from the power coming off to the pull; negative when the pull came first",
        ),
        figure(
            "seconds_to_level",
            "s",
            "from the greatest climb or descent to level flight",
        ),
        figure("fastest", "m/s", "highest airspeed"),
        figure("slowest", "m/s", "lowest airspeed"),
        figure("load_max", "g", "greatest load factor"),
        figure("bank_at_start", "rad", "bank at the start"),
        figure("pitch_at_start", "rad", "pitch at the start"),
        figure(
            "altitude_change",
            "m",
            "height gained or lost in the recovery",
        ),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Both ways.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for dip in &features.dips {
        out.extend(nose_high(features, dip));
    }
    for low in sink_peaks(features) {
        out.extend(nose_low(features, low));
    }
}

fn nose_high(features: &Features, dip: &crate::features::Dip) -> Option<Candidate> {
    let peak_s = features
        .window(dip.at_s - 14.0, dip.at_s)
        .time_of_max(&features.climb);
    let end_s = level_after(features, dip.at_s, 20.0) + 2.5;
    let window = features.window(peak_s, end_s);
    if !peak_s.is_finite() || window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let k = features.scale.k;
    let loss =
        (features.at(&features.ias, peak_s - 3.0) - features.at(&features.ias, peak_s + 3.0)) / 6.0;
    let evidence = Evidence::base(3.5)
        .plus(signature::zoom(features, dip).min(1.5))
        .within(dip.ratio, 0.0, 1.27, 0.08)
        // The nose is too high to hold speed: an ordinary zoom climb loses half as much.
        .within(loss / features.scale.cruise_mps, 0.036, 1.0, 0.004)
        .within(dip.zoom_mps, fpm(1200.0) * k, fpm(6000.0), fpm(200.0))
        .ramp(dip.bank_rad, 0.9, 0.0, 1.3, -2.0)
        .lasting(window.seconds(), 14.0, 0.5);
    let candidate = Candidate::maneuver(
        Kind::UnusualAttitudeRecovery,
        Direction::None,
        peak_s,
        end_s,
        evidence.total(),
    );
    Some(candidate.anchored(peak_s))
}

/// Deepest moments of short, fast sinking.
fn sink_peaks(features: &Features) -> Vec<usize> {
    let fast = -fpm(1300.0) * features.scale.k;
    let mut peaks = Vec::new();
    let mut index = 0;
    while index < features.len {
        if !(features.known[index] && features.climb[index] < fast) {
            index += 1;
            continue;
        }
        let mut low = index;
        while index < features.len && features.climb[index] < fast {
            if features.climb[index] < features.climb[low] {
                low = index;
            }
            index += 1;
        }
        peaks.push(low);
    }
    peaks
}

fn nose_low(features: &Features, low: usize) -> Option<Candidate> {
    let peak_s = features.time_s(low);
    let end_s = level_after(features, peak_s, 18.0) + 3.0;
    let window = features.window(peak_s, end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let k = features.scale.k;
    // It was level shortly before: an upset is sudden, an emergency descent is entered and stays.
    let entry = features
        .window(peak_s - 11.0, peak_s - 2.0)
        .max(&features.climb);
    let slow = features.window(peak_s - 12.0, peak_s).min(&features.ias) / features.scale.vs1_mps;
    let fastest = window.max(&features.ias) / features.scale.vs1_mps;
    let evidence = Evidence::base(4.5)
        .within(
            -features.climb[low],
            fpm(1700.0) * k,
            fpm(9000.0),
            fpm(200.0),
        )
        .within(entry, -fpm(450.0), fpm(9000.0), fpm(200.0))
        .within(window.seconds(), 3.0, 14.0, 2.0)
        // Out of a stall the same sink follows: there the speed was low.
        .ramp(slow, 1.25, -5.0, 1.5, 0.0)
        .ramp(fastest, 1.5, -2.0, 1.9, 0.5);
    let candidate = Candidate::maneuver(
        Kind::UnusualAttitudeRecovery,
        Direction::None,
        peak_s,
        end_s,
        evidence.total(),
    );
    Some(candidate.anchored(peak_s))
}

/// First moment of level flight (climb rate within 250 ft/min for 2 s) after a time.
fn level_after(features: &Features, from_s: f64, within_s: f64) -> f64 {
    let mut t = from_s + 2.0;
    while t < from_s + within_s && t < features.end_s() {
        if features.window(t - 1.0, t + 1.0).mean_climb().abs() < fpm(250.0) {
            return t;
        }
        t += STEP_S;
    }
    t.min(features.end_s())
}

/// Bank at which the wings are level enough to pull, rad (common practice, no source).
const LEVEL_RAD: f64 = deg(12.0);
/// Load above what the bank needs that is a pull, g.
const PULL_G: f64 = 0.15;

/// The order of the recovery: wings, pull, power, and how far speed and load went.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let start_s = span.anchor_s.unwrap_or(span.start_s);
    let end_s = span.end_s;
    let high = motion.climb.mean(start_s - 0.5, start_s + 0.5) > 0.0;
    let (_, origin) = motion.bank_quality(start_s);
    let sigma = if origin == Origin::Measured { 0.3 } else { 0.8 };
    sheet.event("recovery_start", start_s, 2.0 * sigma, Origin::Derived);
    let bank = motion.bank.map(f64::abs);
    // The wings may come level before the sink is greatest, or only after the pull.
    let (before_s, after_s) = (start_s - 6.0, end_s + 4.0);
    let level = bank
        .last_beyond(before_s, after_s, LEVEL_RAD, true)
        .filter(|at| *at < after_s - 0.5);
    if let Some(at_s) = level {
        sheet.event("wings_level", at_s, sigma, origin);
    }
    let pull = pull(&motion, start_s - 1.5, end_s);
    if let Some((at_s, origin)) = pull {
        sheet.event(
            "pull",
            at_s,
            if origin == Origin::Measured { 0.4 } else { 0.9 },
            origin,
        );
    }
    order(&motion, high, (start_s, end_s), level, pull, &mut sheet);
    extremes(&motion, start_s, end_s, &mut sheet);
    sheet.event("level", end_s - 2.5, 1.0, Origin::Derived);
    let seconds = end_s - 2.5 - start_s;
    sheet.fact("seconds_to_level", seconds, "s", 1.2, Origin::Derived);
    entry::lowest(&motion, start_s, end_s, &mut sheet);
    sheet.phase("recovery", start_s, end_s);
    sheet.finish()
}

/// When the load rose above what the bank needs. A path tells it only afterwards, and rolling level alone bends
/// the path up: without a recorded load there is no saying.
fn pull(motion: &Motion, start_s: f64, end_s: f64) -> Option<(f64, Origin)> {
    let (_, origin) = motion.quality(motion.flight.load.as_ref(), start_s);
    if origin != Origin::Measured {
        return None;
    }
    let needed = motion
        .bank
        .map(|bank| 1.0 / bank.abs().min(deg(60.0)).cos());
    let extra = motion.load.minus(&needed).smooth(0.6);
    let at_s = extra.first_held(start_s, end_s, PULL_G, true, 0.4)?;
    Some((at_s, origin))
}

/// Nose low: power off, wings level, then the pull. Nose high: the nose goes down by itself or by hand, power on.
fn order(
    motion: &Motion,
    high: bool,
    (start_s, end_s): (f64, f64),
    level: Option<f64>,
    pull: Option<(f64, Origin)>,
    sheet: &mut Sheet,
) {
    if high {
        sheet.does_not_apply("roll_before_pull");
        sheet.does_not_apply("power_before_pull");
        return;
    }
    let Some((pull_s, origin)) = pull else {
        sheet.missing(
            "roll_before_pull",
            "no load factor was recorded, so the pull cannot be told from the roll",
        );
        sheet.missing(
            "power_before_pull",
            "no load factor was recorded, so the pull cannot be told from the roll",
        );
        return;
    };
    match level {
        Some(level_s) => {
            let sigma = if origin == Origin::Measured { 0.5 } else { 1.2 };
            sheet.fact("roll_before_pull", pull_s - level_s, "s", sigma, origin);
        }
        // The wings were level all the time.
        None if motion.bank.is_known() => sheet.does_not_apply("roll_before_pull"),
        None => sheet.missing("roll_before_pull", "no bank was recorded"),
    }
    let off = (motion.power.is_known()).then(|| {
        let before = motion.power.mean(start_s - 6.0, start_s - 3.0);
        motion
            .power
            .first_held(start_s - 3.0, end_s, 0.6 * before, false, 1.0)
    });
    match off {
        Some(Some(off_s)) => {
            sheet.event("power_changed", off_s, 0.6, Origin::Derived);
            sheet.fact(
                "power_before_pull",
                pull_s - off_s,
                "s",
                0.8,
                Origin::Derived,
            );
        }
        Some(None) => sheet.missing("power_before_pull", "the power was not seen to come off"),
        None => sheet.missing("power_before_pull", "no engine figures were recorded"),
    }
}

fn extremes(motion: &Motion, start_s: f64, end_s: f64, sheet: &mut Sheet) {
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), start_s);
    if let Some((low, high)) = motion.ias.held(start_s - 1.0, end_s, 0.4) {
        sheet.fact("fastest", high, "m/s", sigma.max(0.6), origin);
        sheet.fact("slowest", low, "m/s", sigma.max(0.6), origin);
    }
    let (sigma, origin) = motion.quality(motion.flight.load.as_ref(), start_s);
    if let Some((_, high)) = motion.load.held(start_s, end_s, 0.4) {
        sheet.fact("load_max", high, "g", sigma, origin);
    }
    let (sigma, origin) = motion.bank_quality(start_s);
    sheet.fact(
        "bank_at_start",
        motion.bank.at(start_s),
        "rad",
        sigma,
        origin,
    );
    let (sigma, origin) = motion.quality(motion.flight.pitch.as_ref(), start_s);
    sheet.fact(
        "pitch_at_start",
        motion.pitch.at(start_s),
        "rad",
        sigma,
        origin,
    );
    let (_, origin) = motion.altitude_quality(start_s);
    let change = motion.altitude.at(end_s) - motion.altitude.at(start_s);
    let sigma = motion.altitude_change_sigma_m(8.0);
    sheet.fact("altitude_change", change, "m", sigma, origin);
}
