//! Engine-out approach (the emergency approach and landing, simulated): the power closed at height, the best glide
//! speed, a glide toward a place, and low down the power again or a landing.
//!
//! FAA-S-ACS-6C PA.IX.B, FAA-S-ACS-7B CA.IX.B: best glide speed ±10 kt; no least height and no touchdown distance is
//! published. The airspeed is held to from where it first was near the glide until the aircraft is made ready to land:
//! the standard lets configuration and speed change then.
//!
//! A glide is told from the others by both its ends. It begins above any traffic pattern (1,500 ft is the highest that
//! FAA AC 90-66C names, for large and turbine aircraft), which a power-off 180 does not, and it ends low, which a
//! steep spiral (1,500 ft above the ground, FAA-S-ACS-7B CA.V.B), the set-up of a stall and the descent to a pattern
//! do not. An emergency descent is faster. Where nothing shows the power, or the height above the ground, none is
//! proposed: a person may say that one was set.

use super::{Case, Grammar, MOST_UNKNOWN, deg, figure, fpm, ft, row};
use crate::decode::{Candidate, Evidence};
use crate::features::{Contact, ContactKind, Features, STEP_S};
use crate::phases::motion::{Motion, REACH_S};
use crate::phases::power::Lever;
use crate::phases::runway::contact;
use crate::phases::runway::ground::Ground;
use crate::phases::runway::strip::{self, Strip};
use crate::phases::sheet::Sheet;
use crate::phases::wave::Wave;
use crate::phases::{entry, flaps};
use crate::{Direction, Kind, Maneuver};
use air::units::MPS_PER_KT;
use flight::Origin;

/// How it takes part.
pub const ROW: Grammar = row(Kind::EngineOutApproach, propose).worked_out(
    detail,
    &[
        "idle",
        "glide_established",
        "glide_end",
        "recovery",
        "lowest",
        "positive_climb",
        "touchdown",
    ],
    &[
        figure(
            "seconds_to_glide",
            "s",
            "from the power closed to the glide speed",
        ),
        figure("glide_ias", "m/s", "airspeed in the glide, the median"),
        figure("glide_ias_low", "m/s", "lowest airspeed held in the glide"),
        figure(
            "glide_ias_high",
            "m/s",
            "highest airspeed held in the glide",
        ),
        figure(
            "glide_sink",
            "m/s",
            "rate of descent in the glide, the mean",
        ),
        figure(
            "glide_ratio",
            "1",
            "distance through the air over height lost in the glide",
        ),
        figure("turned", "rad", "turned in all, both ways, in the glide"),
        figure(
            "power_used",
            "1",
            "most power kept up for more than a short burst, before it came back",
        ),
        figure(
            "entry_agl",
            "m",
            "height above ground where the power was closed",
        ),
        figure(
            "recovery_agl",
            "m",
            "height above ground when the power came back",
        ),
        figure("height_lost", "m", "height lost after the power came back"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// A share of power that is closed: idle and what a propeller turned by the wind adds.
const CLOSED: f64 = 0.2;
/// A burst to clear the engine is no longer than this, s (common practice, no source).
const BURST_S: f64 = 8.0;
/// The shortest glide from above a pattern to below one, s: 800 ft at 1,200 ft/min.
const LEAST_S: f64 = 40.0;

/// Stretches with the power closed that begin high and end low.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let level = features.contacts.iter().map(|c| c.altitude_m);
    let level = level.into_iter().find(|level| level.is_finite());
    let mut index = 0;
    while index < features.len {
        if !closed(features, index) {
            index += 1;
            continue;
        }
        let from = index;
        let to = run_end(features, from);
        out.extend(candidate(features, (from, to), level));
        index = to + 1;
    }
}

fn closed(features: &Features, index: usize) -> bool {
    let power = features.power.get(index).copied().unwrap_or(f64::NAN);
    power < CLOSED && features.known[index] && !features.on_ground[index]
}

/// The last sample of a stretch of closed power, bursts and all.
fn run_end(features: &Features, from: usize) -> usize {
    let gap = (BURST_S / STEP_S) as usize;
    let (mut last, mut index) = (from, from);
    while index < features.len && index - last <= gap && !features.on_ground[index] {
        if closed(features, index) {
            last = index;
        }
        index += 1;
    }
    last
}

/// Height above the ground at a time; above the first runway of the flight where no terrain is known.
fn height(features: &Features, level: Option<f64>, at_s: f64) -> f64 {
    let agl = features.at(&features.agl, at_s);
    if agl.is_finite() {
        return agl;
    }
    level.map_or(f64::NAN, |level| {
        features.at(&features.altitude, at_s) - level
    })
}

fn candidate(
    features: &Features,
    (from, to): (usize, usize),
    level: Option<f64>,
) -> Option<Candidate> {
    let (start_s, last_s) = (features.time_s(from), features.time_s(to));
    let touches = |c: &&Contact| {
        c.kind == ContactKind::Touchdown && c.at_s > start_s && c.at_s < last_s + 3.0
    };
    let touchdown = features.contacts.iter().find(touches);
    let end_s = touchdown.map_or(last_s, |contact| contact.at_s);
    let (high, low) = (
        height(features, level, start_s),
        height(features, level, end_s),
    );
    let window = features.window(start_s, end_s);
    if !(high.is_finite() && low.is_finite())
        || end_s - start_s < LEAST_S
        || window.unknown() > MOST_UNKNOWN
    {
        return None;
    }
    let k = features.scale.k;
    // From cruise to the glide the speed takes up to a third of a minute to go.
    let glide = features.window(start_s + 20.0, end_s - 10.0);
    let ias = |share: f64| glide.percentile(&features.ias, share, |v| v);
    let before = features.window(start_s - 25.0, start_s - 3.0);
    let after = features.window(end_s + 5.0, end_s + 20.0);
    let evidence = Evidence::base(10.0)
        // Its two ends make it one: above any pattern, and lower than one is flown.
        .within(high, ft(1500.0), ft(15_000.0), ft(90.0))
        .within(low, -ft(200.0), ft(600.0), ft(70.0))
        .ramp(
            glide.share(&features.power, |p| p < CLOSED),
            0.7,
            -6.0,
            0.92,
            1.0,
        )
        // Best glide is 1.3 to 1.5 clean stall speeds in light trainers (common practice, no source).
        .within(ias(0.5) / features.scale.vs1_mps, 1.15, 1.8, 0.06)
        .mostly((ias(0.9) - ias(0.1)) / ias(0.5), 0.0, 0.22, 0.06, 5.0)
        .within(
            -glide.mean_climb(),
            fpm(350.0) * k,
            fpm(1250.0) * k,
            fpm(100.0),
        )
        // Nothing drives it: the height is lost for good.
        .ramp(
            -glide.mean_energy_rate() / k,
            fpm(300.0),
            -5.0,
            fpm(500.0),
            1.0,
        )
        // Out of level flight, with power: who comes down already goes on coming down.
        .ramp(before.mean_climb(), -fpm(500.0), -3.0, -fpm(250.0), 1.0)
        .ramp(before.mean_power(), 0.15, -3.0, 0.3, 0.0);
    let side = Direction::None;
    Some(match touchdown {
        Some(contact) => {
            let end_s = (contact.at_s + 9.0).min(features.end_s());
            // It has the landing in it, and that alone would explain a part.
            let evidence = evidence.plus(4.0);
            let one = Candidate::maneuver(
                Kind::EngineOutApproach,
                side,
                start_s,
                end_s,
                evidence.total(),
            );
            one.anchored(contact.at_s)
        }
        None => {
            let evidence = evidence.ramp(after.mean_climb(), -fpm(100.0), -6.0, fpm(200.0), 1.0);
            Candidate::maneuver(
                Kind::EngineOutApproach,
                side,
                start_s,
                end_s + 2.0,
                evidence.total(),
            )
        }
    })
}

/// An excursion shorter than this is a reading, not a fault, s.
const HOLD_S: f64 = 1.0;
/// Within so much of the glide speed it was reached, m/s: 5 kt, half the tolerance that is published.
const NEAR_MPS: f64 = 5.0 * MPS_PER_KT;
/// Below this it is made ready to land if flaps did not say so before, m above the ground.
const READY_M: f64 = ft(500.0);

/// The moments of a glide.
struct Glide {
    idle_s: f64,
    there_s: f64,
    end_s: f64,
    /// Power again, or the touchdown.
    over_s: f64,
}

/// When the power was closed, when the glide speed was there, how it ended, and what was held between.
fn detail(case: &Case) -> Maneuver {
    let span = case.span;
    let motion = Motion::new(case.flight, span, case.others, REACH_S, 25.0);
    let mut sheet = Sheet::new(span);
    let height = above_ground(case, &motion);
    let lever = Lever::best(&motion);
    let middle = 0.5 * (span.start_s + span.end_s);
    let touched = span.anchor_s.filter(|_| span.end_s > middle);
    let (cut_s, sigma, origin) = lever
        .as_ref()
        .and_then(|lever| {
            let until = (span.start_s + 20.0).min(middle);
            let at_s = lever.idle_at(motion.from_s, until)?;
            Some((at_s, 1.5 * lever.sigma_s, lever.origin))
        })
        .unwrap_or((span.start_s, 3.0, Origin::Derived));
    let power_back = lever.as_ref().and_then(|lever| {
        // A burst on the way is no recovery: the last rise that stays.
        let rise = lever
            .wave
            .first_held(span.end_s - 15.0, motion.to_s, 0.4, true, 3.0)?;
        Some((rise - lever.delay_s(), 2.0 * lever.sigma_s, lever.origin))
    });
    let over_s = touched.unwrap_or_else(|| power_back.map_or(span.end_s, |(at_s, _, _)| at_s));
    let over_s = over_s.max(cut_s + 5.0);
    let (there_s, end_s) = held_from_to(case, &motion, &height, (cut_s, over_s));
    let glide = Glide {
        idle_s: cut_s,
        there_s,
        end_s,
        over_s,
    };
    sheet.event("idle", cut_s, sigma, origin);
    let (_, speed_origin) = motion.quality(motion.flight.ias.as_ref(), middle);
    sheet.event("glide_established", there_s, 1.0, speed_origin);
    sheet.event("glide_end", end_s, 2.0, Origin::Derived);
    sheet.fact(
        "seconds_to_glide",
        there_s - cut_s,
        "s",
        sigma.hypot(1.0),
        origin,
    );
    entry::write(&motion, cut_s, over_s, &mut sheet);
    entry::height_above_ground(&motion, cut_s, &mut sheet);
    held(&motion, &glide, &mut sheet);
    used(lever.as_ref(), &glide, &mut sheet);
    let last_s = match touched {
        Some(at_s) => {
            let (at_s, sigma, origin) = touchdown(&motion, at_s);
            sheet.event("touchdown", at_s, sigma, origin);
            let why = "it ended in a landing";
            sheet.missing("recovery_agl", why);
            sheet.missing("height_lost", why);
            span.end_s
        }
        None => recovered(&motion, power_back, &glide, &mut sheet),
    };
    let steps = flaps::steps(&motion, cut_s, last_s);
    flaps::write(&motion, &steps, &mut sheet);
    sheet.bounds(cut_s, last_s);
    sheet.phases_in_order(
        &[
            ("entry", cut_s),
            ("glide", there_s),
            ("approach", end_s),
            (
                if touched.is_some() {
                    "roll_out"
                } else {
                    "recovery"
                },
                over_s,
            ),
        ],
        last_s,
    );
    sheet.finish()
}

/// When it touched, as well as the recording shows it.
fn touchdown(motion: &Motion, about_s: f64) -> (f64, f64, Origin) {
    let slow_s = (about_s + 12.0).min(motion.to_s);
    let ground = Ground::new(motion, about_s - 20.0, slow_s);
    Strip::of_roll(motion, &ground, about_s + 1.5, slow_s)
        .and_then(|strip| contact::touchdown(motion, &strip, about_s, slow_s))
        .map_or((about_s, 4.0, Origin::Derived), |found| {
            (found.at_s, found.sigma_s, found.origin)
        })
}

/// Height above the ground; above the field's runway where no terrain is known.
fn above_ground(case: &Case, motion: &Motion) -> Wave {
    if motion.agl.is_known() {
        return motion.agl.clone();
    }
    match strip::field_level(case.flight, case.others) {
        Some((level, _)) => motion.altitude.map(|altitude| altitude - level),
        None => Wave::default(),
    }
}

/// From where to where the glide speed was to be held: from the first time near it, to the first flap, low height or
/// the end.
fn held_from_to(
    case: &Case,
    motion: &Motion,
    height: &Wave,
    (cut_s, over_s): (f64, f64),
) -> (f64, f64) {
    let ready_s = height
        .last_beyond(cut_s, over_s, READY_M, true)
        .filter(|at_s| *at_s > cut_s)
        .unwrap_or(over_s);
    let first_flap = flaps::steps(motion, cut_s + 3.0, over_s)
        .into_iter()
        .find(flaps::is_down)
        .map_or(over_s, |step| step.at_s);
    // The nose comes up, or the round-out begins, a moment before.
    let end_s = ready_s.min(first_flap).min(over_s - 2.0).max(cut_s + 3.0);
    let aim = case
        .aircraft
        .speeds
        .best_glide_mps
        .unwrap_or_else(|| motion.ias.median(0.5 * (cut_s + end_s), end_s));
    let off = motion.ias.smooth(1.0).map(|ias| (ias - aim).abs());
    let there_s = off.first_held(cut_s, end_s, NEAR_MPS, false, 3.0);
    // Where it never was, a third of a minute must do: cruise speed is gone by then with the power off.
    (
        there_s.unwrap_or((cut_s + 20.0).min(0.5 * (cut_s + end_s))),
        end_s,
    )
}

fn held(motion: &Motion, glide: &Glide, sheet: &mut Sheet) {
    let (from_s, to_s) = (glide.there_s, glide.end_s);
    let (sigma, origin) = motion.quality(motion.flight.ias.as_ref(), from_s);
    let sigma = sigma.max(0.6);
    if let Some((low, high)) = motion.ias.held(from_s, to_s, HOLD_S) {
        let median = motion.ias.median(from_s, to_s);
        sheet.fact("glide_ias", median, "m/s", sigma, origin);
        sheet.fact("glide_ias_low", low, "m/s", sigma, origin);
        sheet.fact("glide_ias_high", high, "m/s", sigma, origin);
    }
    let (_, origin) = motion.quality(motion.flight.climb.as_ref(), from_s);
    let sink = -motion.climb.mean(from_s, to_s);
    sheet.fact("glide_sink", sink, "m/s", 0.3, origin);
    let lost = motion.altitude.at(from_s) - motion.altitude.at(to_s);
    let tas = Wave::cut_option(motion.flight, motion.flight.tas.as_ref(), from_s, to_s);
    let through = tas.mean(from_s, to_s) * (to_s - from_s);
    if lost > 30.0 && through.is_finite() {
        let sigma = (motion.altitude_change_sigma_m(sink) / lost).hypot(0.02);
        let ratio = through / lost;
        sheet.fact("glide_ratio", ratio, "1", ratio * sigma, Origin::Derived);
    } else {
        sheet.missing("glide_ratio", "no airspeed, or too little height lost");
    }
    let turned: Vec<(f64, f64)> = motion.heading.smooth(2.0).samples(from_s, to_s);
    let turned: f64 = turned
        .windows(2)
        .filter_map(|pair| Some((pair.last()?.1 - pair.first()?.1).abs()))
        .sum();
    sheet.fact("turned", turned, "rad", deg(10.0), Origin::Derived);
}

fn used(lever: Option<&Lever>, glide: &Glide, sheet: &mut Sheet) {
    let from_s = glide.idle_s + 3.0;
    let kept = lever.and_then(|lever| {
        let (_, most) = lever.wave.held(from_s, glide.over_s - 2.0, BURST_S)?;
        Some((most.max(0.0), lever.origin))
    });
    match kept {
        Some((most, origin)) => sheet.fact("power_used", most, "1", 0.05, origin),
        None => sheet.missing("power_used", "nothing recorded shows the power"),
    }
}

/// The power again: how low, and what was lost until it climbed. Returns where the maneuver ends.
fn recovered(
    motion: &Motion,
    power_back: Option<(f64, f64, Origin)>,
    glide: &Glide,
    sheet: &mut Sheet,
) -> f64 {
    let over_s = glide.over_s;
    let (at_s, sigma_s, origin) = power_back.unwrap_or((over_s, 3.0, Origin::Derived));
    sheet.event("recovery", at_s, sigma_s, origin);
    let sink = motion.climb.at(at_s).abs();
    let (sigma, origin) = motion.quality(motion.flight.agl.as_ref(), at_s);
    let low = motion.agl.at(at_s);
    if low.is_finite() {
        let sigma = sigma.hypot(sink * sigma_s);
        sheet.fact("recovery_agl", low, "m", sigma, origin);
    } else {
        sheet.missing(
            "recovery_agl",
            "the height above ground is not known: give the terrain",
        );
    }
    let climbs_s = motion
        .climb
        .first_held(over_s, motion.to_s, fpm(200.0), true, 2.0);
    let last_s = climbs_s.map_or(motion.to_s.min(over_s + 10.0), |at_s| at_s + 2.0);
    if let Some((low_s, lowest)) = motion.altitude.lowest(over_s, last_s) {
        let (_, origin) = motion.altitude_quality(low_s);
        sheet.event("lowest", low_s, 1.0, origin);
        let lost = (motion.altitude.at(over_s) - lowest).max(0.0);
        let sigma = motion.altitude_change_sigma_m(2.0).hypot(sink * sigma_s);
        sheet.fact("height_lost", lost, "m", sigma, origin);
    }
    if let Some(at_s) = climbs_s {
        sheet.event("positive_climb", at_s, 1.0, Origin::Derived);
    }
    last_s
}
