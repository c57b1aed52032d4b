//! Emergency descent: power off, nose well down, usually in a 30 to 45° bank, until a level-off.
//!
//! FAA-S-ACS-6C PA.IX.A. What makes it one is the sink, faster than any ordinary descent of the type
//! (idle glides of light trainers sink 600 to 1,000 ft/min; common practice, no source). Bounded by the
//! sink passing 150 ft/min at the start and a few seconds after it is back under 500 ft/min.
//!
//! The power is closed first of all (FAA-H-8083-3C, chapter 18, from memory), so the height is lost for good:
//! the specific energy falls by most of the sink. The back of a lazy eight sinks as fast for half a minute,
//! but out of a climb, and turns the height into speed under power.

use super::{Grammar, MOST_UNKNOWN, deg, fpm, row, side};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S};
use crate::{Direction, Kind};

/// How it takes part.
pub const ROW: Grammar = row(Kind::EmergencyDescent, propose);

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
