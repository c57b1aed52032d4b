//! Slow flight: slow down level, fly for a minute or more just above the stall with turns, climbs and
//! descents, then speed up.
//!
//! FAA-S-ACS-6C PA.VII.A: an airspeed at which any more angle of attack would sound the stall warning.
//! The plateau lies at 1.0 to 1.25 clean stall speeds; slow cruise and approaches above that. Bounded by the power
//! reduction and by the speed that is back.

use super::{
    Grammar, MOST_UNKNOWN, deg, figure, fpm, ft, row, setup, stall_signature as signature,
};
use crate::decode::{Candidate, Evidence};
use crate::features::{Dip, Features, STEP_S, Turn};
use crate::phases;
use crate::{Direction, Kind};
use flight::Fit;

/// Shortest plateau proposed, s: shorter is the approach to a stall.
const LEAST_S: f64 = 35.0;

/// How it takes part.
pub const ROW: Grammar = row(Kind::SlowFlight, propose).worked_out(
    |case| phases::slow_flight::detail(case.flight, case.span, case.others),
    &["setup_start", "established", "recovery_input"],
    &[
        figure("bank_max", "rad", "greatest bank in the turns"),
        figure("stall_warning", "s", "seconds with the stall warning on"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Every stretch of slow flying, whole and up to each minimum that could be a stall out of it.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for limit in [1.28, 1.40, 1.55] {
        for (from_s, to_s) in plateaus(features, limit * features.scale.vs1_mps) {
            let start_s = setup::last_start_before(features, from_s + 2.0);
            let end_s = recovered(features, from_s, to_s);
            out.extend(candidate(features, start_s, from_s, to_s, end_s));
            // Straight into a stall: the plateau ends where its setup begins.
            for dip in stalls(features, from_s, to_s + 20.0) {
                for start in setup::starts_before(features, dip.at_s) {
                    let cut = start.at_s.min(to_s);
                    out.extend(candidate(features, start_s, from_s, cut, cut));
                }
                let after = signature::end_after(features, dip);
                out.extend(candidate(features, after, after, to_s, end_s));
            }
        }
    }
}

fn candidate(
    features: &Features,
    start_s: f64,
    from_s: f64,
    to_s: f64,
    end_s: f64,
) -> Option<Candidate> {
    if to_s - from_s < LEAST_S || start_s.is_nan() {
        return None;
    }
    let plateau = features.window(from_s + 2.0, to_s - 2.0);
    let whole = features.window(start_s, end_s);
    if whole.unknown() > MOST_UNKNOWN {
        return None;
    }
    let middle = plateau.percentile(&features.ias, 0.5, |v| v);
    // A gust makes a minimum too; a stall is flown out of, and the plateau with it.
    let stalled = stalls(features, from_s, to_s)
        .filter(|d| d.after_mps > 1.15 * middle || d.climb_drop_mps > fpm(1100.0))
        .map(|d| signature::evidence(features, d).total())
        .fold(0.0, f64::max);
    let pulled = features
        .pulls_in(from_s, to_s)
        .iter()
        .filter(|pull| signature::accelerated(features, pull) > 0.0)
        .map(|pull| signature::evidence_pulled(features, pull).total())
        .fold(0.0, f64::max);
    // An airspeed out of GNSS and wind, and so its ratio to the stall speed, is off by 2 or 3 kt and passes
    // on the gusts of the wind as its own.
    let derived = if matches!(features.fit, Fit::Gnss | Fit::GnssAttitude) {
        1.3 / features.scale.vs1_mps
    } else {
        0.0
    };
    let width = 0.09_f64.hypot(1.5 * derived);
    let steady_s =
        plateau.share(&features.ias, |v| (v / middle - 1.0).abs() < width) * plateau.seconds();
    let slowed = features.at(&features.ias, start_s) / plateau.mean_ias();
    let agl = plateau.percentile(&features.agl, 0.5, |h| h);
    // A stall speed guessed from the slowest moments is rather too high, and the ratio to it too low.
    let slowest_cruise = if features.scale.told { 1.23 } else { 1.16 };
    let evidence = Evidence::base(1.0)
        // The longer it is held, the less it can be anything else.
        .plus(steady_s.min(250.0) / 25.0)
        .ramp(steady_s, 22.0, -4.0, 42.0, 0.0)
        // Of the clean stall speed, whatever the flaps: with flaps the same margin is flown slower.
        .within(
            middle / features.scale.vs1_mps,
            0.90,
            slowest_cruise,
            0.045_f64.hypot(derived),
        )
        .mostly(plateau.height_range(), 0.0, ft(700.0), ft(250.0), 4.0)
        .within(plateau.net_height().abs(), 0.0, ft(350.0), ft(150.0))
        .within(
            plateau.percentile(&features.climb, 0.5, |c| c).abs(),
            0.0,
            fpm(250.0),
            fpm(100.0),
        )
        // An approach with its go-around, or a climb at the best rate, is slow too, but not level.
        .ramp(
            plateau.share(&features.climb, |c| c.abs() > fpm(380.0)),
            0.3,
            0.0,
            0.6,
            -4.0,
        )
        .within(
            plateau.percentile(&features.bank, 0.9, f64::abs),
            0.0,
            deg(27.0),
            deg(5.0),
        )
        // It is slowed down to, from something faster.
        .ramp(slowed, 1.08, -5.0, 1.22, 0.3)
        // Turns are part of it (ACS: straight-and-level flight, turns, climbs and descents), and of nothing else
        // flown so slowly for so long.
        .plus(0.8 * gentle_turns(features, from_s, to_s).min(2.0))
        .plus(-stalled.max(pulled))
        .ramp(agl, ft(700.0), -5.0, ft(1200.0), 0.0);
    Some(Candidate::maneuver(
        Kind::SlowFlight,
        Direction::None,
        start_s,
        end_s,
        evidence.total(),
    ))
}

/// Number of turns of some size at little bank.
fn gentle_turns(features: &Features, from_s: f64, to_s: f64) -> f64 {
    let inside = features.turns_in(from_s, to_s).iter();
    let gentle = |turn: &&Turn| {
        turn.end_s < to_s && turn.turned_rad.abs() > deg(40.0) && turn.held_bank_rad < deg(24.0)
    };
    inside.filter(gentle).count() as f64
}

/// Minima between two times that could be stalls.
fn stalls(features: &Features, from_s: f64, to_s: f64) -> impl Iterator<Item = &Dip> {
    let inside = features.dips_in(from_s, to_s).iter();
    inside.filter(|d| signature::evidence(features, d).total() > 0.0)
}

/// Stretches slower than a limit; interruptions of up to 8 s by less than a tenth are gusts.
fn plateaus(features: &Features, limit: f64) -> Vec<(f64, f64)> {
    let mut out: Vec<(f64, f64)> = Vec::new();
    let slow = |i: usize| {
        features.known[i]
            && features.ias[i] < limit
            && !features.on_ground[i]
            && features.ias[i] > 0.3 * limit
    };
    let mut index = 0;
    while index < features.len {
        if !slow(index) {
            index += 1;
            continue;
        }
        let from = index;
        while index + 1 < features.len && slow(index + 1) {
            index += 1;
        }
        let (start, end) = (features.time_s(from), features.time_s(index));
        match out.last_mut() {
            Some(last)
                if start - last.1 < 8.0
                    && features.window(last.1, start).max(&features.ias) < 1.1 * limit =>
            {
                last.1 = end;
            }
            _ => out.push((start, end)),
        }
        index += 1;
    }
    out.retain(|(a, b)| b - a >= LEAST_S);
    out
}

/// When the speed is back after the plateau: normal again, or the acceleration has died down, or half a
/// minute has passed.
fn recovered(features: &Features, from_s: f64, to_s: f64) -> f64 {
    let plateau = features.window(from_s + 2.0, to_s - 2.0);
    let middle = plateau.percentile(&features.ias, 0.5, |v| v);
    let steady = plateau
        .slice(&features.ias)
        .iter()
        .rposition(|v| *v < 1.09 * middle);
    let last_s = steady.map_or(to_s, |i| features.time_s(plateau.from + i));
    let mut t = last_s + 2.0;
    while t < last_s + 30.0 && t < features.end_s() {
        let v = features.at(&features.ias, t) / features.scale.vs1_mps;
        if v > 1.46 || (v > 1.3 && features.at(&features.ias_rate, t) < 0.1) {
            break;
        }
        t += STEP_S;
    }
    t.min(features.end_s())
}
