//! Emergency descent: power off, nose well down, usually in a 30 to 45° bank, until a level-off.
//!
//! FAA-S-ACS-6C PA.IX.A. What makes it one is the sink, faster than any ordinary descent of the type
//! (idle glides of light trainers sink 600 to 1,000 ft/min; common practice, no source). Bounded by the
//! sink passing 150 ft/min at the start and a few seconds after it is back under 500 ft/min.
//!
//! The power is closed first of all (FAA-H-8083-3C, chapter 18, from memory), so the height is lost for good:
//! the specific energy falls by most of the sink. The back of a lazy eight sinks as fast for half a minute,
//! but out of a climb, and turns the height into speed under power.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, fpm, row, side};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S};
use crate::phases::entry;
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::sheet::Sheet;
use crate::{Direction, Kind, Maneuver};
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::EmergencyDescent, propose).worked_out(
    detail,
    &[
        "descent_start",
        "descent_established",
        "speed_established",
        "level_off_start",
        "level",
    ],
    &[
        figure("bank_max", "rad", "greatest bank in the descent"),
        figure("bank_held", "rad", "bank held in the descent, the median"),
        figure(
            "fastest_held",
            "m/s",
            "highest airspeed held in the descent",
        ),
        figure("slowest_held", "m/s", "lowest airspeed held in the descent"),
        figure("level_off_altitude", "m", "altitude levelled off at"),
        figure(
            "level_off_below",
            "m",
            "how far the level-off went below where it then stayed",
        ),
        figure(
            "seconds_to_descend",
            "s",
            "from the power coming off to the established descent",
        ),
        figure("load_min", "g", "least load factor at the push-over"),
        figure("load_max", "g", "greatest load factor"),
        figure("sink_mean", "m/s", "mean rate of descent"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Stretches of fast sinking.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let fast = fpm(1000.0) * features.scale.k;
    let mut index = 0;
    while index < features.len {
        if !sinks(features, index, fast) {
            index += 1;
            continue;
        }
        let from = index;
        // A shallower moment of up to 8 s does not end it.
        let gap = (8.0 / STEP_S) as usize;
        let mut to = index;
        while index < features.len && index - to <= gap {
            if sinks(features, index, fast) {
                to = index;
            }
            index += 1;
        }
        out.extend(candidate(features, from, to));
        index = to + 1;
    }
}

fn sinks(features: &Features, index: usize, fast: f64) -> bool {
    features.known[index] && features.climb.get(index).is_some_and(|c| *c < -fast)
}

fn candidate(features: &Features, from: usize, to: usize) -> Option<Candidate> {
    let core = features.window(features.time_s(from), features.time_s(to));
    if core.seconds() < 12.0 {
        return None;
    }
    let back = |i: &usize| features.climb[*i] > -fpm(150.0);
    let start = (0..from)
        .rev()
        .find(back)
        .unwrap_or(0)
        .max(from.saturating_sub((15.0 / STEP_S) as usize));
    let slack = |i: &usize| {
        features.climb[*i..(*i + 12).min(features.len)]
            .iter()
            .all(|c| *c > -fpm(500.0))
    };
    let level = (to..features.len).find(slack).unwrap_or(to);
    let start_s = (features.time_s(start) - 1.5).max(0.0);
    let end_s = (features.time_s(level) + 1.5).min(features.end_s());
    let window = features.window(start_s, end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let k = features.scale.k;
    let speed = core.mean_ias() / features.scale.vs1_mps;
    let turned = window.net_turn();
    let evidence = Evidence::base(8.0)
        .within(-core.mean_climb(), fpm(1350.0) * k, fpm(6000.0), fpm(120.0))
        .within(core.seconds(), 24.0, 400.0, 5.0)
        .within(speed, 1.35, 9.0, 0.1)
        // It is flown, at speed: a wing that has all the lift there is, and comes down like that, falls.
        .ramp(
            core.percentile(&features.lift_ratio, 0.8, |share| share),
            0.65,
            0.0,
            0.85,
            -6.0,
        )
        // Even while it speeds up by a third of cruise, half of the sink is energy lost; at cruise power
        // the energy stays.
        .within(
            -core.mean_energy_rate(),
            fpm(650.0) * k,
            fpm(9000.0),
            fpm(150.0),
        )
        .ramp(core.mean_power(), 0.30, 0.0, 0.60, -8.0)
        // Mostly out of level flight; what sinks right after its climb may be the other half of a figure.
        .mostly(
            climb_before(features, start_s),
            -fpm(9000.0),
            fpm(300.0),
            fpm(200.0),
            2.0,
        )
        // More turning than this is a spiral.
        .within(turned.abs(), 0.0, deg(500.0), deg(60.0));
    let direction = if turned.abs() < deg(45.0) {
        Direction::Straight
    } else {
        side(turned)
    };
    Some(Candidate::maneuver(
        Kind::EmergencyDescent,
        direction,
        start_s,
        end_s,
        evidence.total(),
    ))
}

/// Mean climb rate in the 10 s before the descent and the push-over into it, m/s.
fn climb_before(features: &Features, start_s: f64) -> f64 {
    if start_s < 6.0 {
        return f64::NAN;
    }
    features.window(start_s - 12.0, start_s - 2.0).mean_climb()
}

/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;
/// Within so much of the speed then held it was reached, m/s: 5 kt, half the tolerance that is published.
const NEARLY_MPS: f64 = 5.0 * air::units::MPS_PER_KT;
/// The descent is established at this share of its median sink.
const THERE: f64 = 0.7;

/// Where the descent was established, where it ended, and what was held between.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, REACH_S);
    let mut sheet = Sheet::new(span);
    let sink = motion.climb.map(|climb| -climb).smooth(1.5);
    let middle = 0.5 * (span.start_s + span.end_s);
    let (early, late) = quarters(span);
    let held = sink.median(early, late);
    if !(held.is_finite() && held > 0.0) {
        return sheet.finish();
    }
    // The push-over, a second after the hand went to the power: sink of a passing downdraft does not count.
    let start_s = sink
        .last_beyond(motion.from_s, middle, fpm(150.0), false)
        .map_or(span.start_s, |at| (at - 0.5).max(motion.from_s));
    let established_s = sink
        .first_beyond(start_s, middle, THERE * held, true)
        .unwrap_or(start_s);
    let level_off_s = sink
        .last_beyond(middle, motion.to_s, THERE * held, true)
        .unwrap_or(late);
    let level_s = sink
        .first_held(level_off_s, motion.to_s, fpm(200.0), false, 1.0)
        .unwrap_or(span.end_s);
    let (_, origin) = motion.quality(motion.flight.climb.as_ref(), middle);
    let sigma = if origin == Origin::Measured { 0.8 } else { 1.2 };
    sheet.bounds(start_s, (level_s + 3.0).min(motion.to_s));
    sheet.event("descent_start", start_s, sigma, origin);
    sheet.event("descent_established", established_s, 1.5 * sigma, origin);
    sheet.event("level_off_start", level_off_s, 1.5 * sigma, origin);
    sheet.event("level", level_s, 1.5 * sigma, origin);
    entry::write(&motion, start_s, level_s, &mut sheet);
    sheet.fact(
        "sink_mean",
        sink.mean(established_s, level_off_s),
        "m/s",
        0.3,
        origin,
    );
    sheet.fact(
        "seconds_to_descend",
        established_s - start_s,
        "s",
        2.0 * sigma,
        origin,
    );
    held_between(&motion, (established_s, level_off_s), &mut sheet);
    level_off(&motion, (level_off_s, level_s), &mut sheet);
    sheet.phases_in_order(
        &[
            ("entry", start_s),
            ("established", established_s),
            ("level_off", level_off_s),
        ],
        level_s,
    );
    sheet.finish()
}

fn quarters(span: &crate::Span) -> (f64, f64) {
    let quarter = 0.25 * (span.end_s - span.start_s);
    (span.start_s + quarter, span.end_s - quarter)
}

fn held_between(motion: &Motion, (from_s, to_s): (f64, f64), sheet: &mut Sheet) {
    let bank = motion.bank.map(f64::abs);
    let (sigma, origin) = motion.bank_quality(from_s);
    if let Some((_, high)) = bank.held(from_s, to_s, HOLD_S) {
        sheet.fact("bank_max", high, "rad", sigma, origin);
    }
    sheet.fact("bank_held", bank.median(from_s, to_s), "rad", sigma, origin);
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), from_s);
    if let Some((low, high)) = motion.ias.held(from_s, to_s, 2.0 * HOLD_S) {
        // The speed builds up after the nose is down: what is to be held begins near what then was held.
        let near = high - NEARLY_MPS;
        let there = motion.ias.first_beyond(from_s, to_s, near, true);
        sheet.event("speed_established", there.unwrap_or(from_s), 1.0, origin);
        sheet.fact(
            "fastest_held",
            high,
            "m/s",
            sigma.max(0.6),
            Origin::Assumed.max(origin),
        );
        sheet.fact("slowest_held", low, "m/s", sigma.max(0.6), origin);
    }
    let (sigma, origin) = motion.quality(motion.flight.load.as_ref(), from_s);
    let load = motion.load.held(from_s - 10.0, to_s + 10.0, 0.5);
    if let Some((low, high)) = load {
        sheet.fact("load_min", low, "g", sigma, origin);
        sheet.fact("load_max", high, "g", sigma, origin);
    }
}

/// What it levelled off at is what it then stayed at.
fn level_off(motion: &Motion, (from_s, level_s): (f64, f64), sheet: &mut Sheet) {
    let stayed = motion.altitude.median(level_s, level_s + 6.0);
    let (sigma, origin) = motion.altitude_quality(level_s);
    sheet.fact("level_off_altitude", stayed, "m", sigma, origin);
    let lowest = motion.altitude.lowest(from_s, level_s + 8.0);
    let below = lowest.map_or(f64::NAN, |(_, lowest)| (stayed - lowest).max(0.0));
    let sigma = motion.altitude_change_sigma_m(3.0);
    sheet.fact("level_off_below", below, "m", sigma, origin);
}
