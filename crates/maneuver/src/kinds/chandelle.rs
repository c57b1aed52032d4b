//! Chandelle: a climbing turn of 180°, bank set at once and taken out over the second half, ending just
//! above the stall.
//!
//! FAA-S-ACS-7B CA.V.C; FAA-H-8083-3C, chapter 10 (from memory). Bounded by wings level before and after.

use super::{Grammar, MOST_UNKNOWN, deg, fpm, ft, row, side, stall_signature};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S, Turn};

/// Log-odds of a stall at the end from which it was one: the end of a good chandelle is an approach to the
/// stall as well, without the break.
const SURE_STALL: f64 = 5.5;

/// How it takes part.
pub const ROW: Grammar = row(Kind::Chandelle, propose);

/// Turns of about 180° that climb and slow down.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    out.extend(
        features
            .turns
            .iter()
            .filter_map(|turn| candidate(features, turn)),
    );
}

fn candidate(features: &Features, turn: &Turn) -> Option<Candidate> {
    let window = features.window(turn.start_s, turn.end_s);
    if turn.gained_m < ft(150.0) || window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let (vs, k) = (features.scale.vs1_mps, features.scale.k);
    let first = features.at(&features.ias, turn.start_s);
    let last = features
        .window(turn.end_s - 6.0, turn.end_s + 2.0)
        .min(&features.ias);
    let middle = 0.5 * (turn.start_s + turn.end_s);
    let early = features.window(turn.start_s, middle).mean_abs_bank();
    let late = features.window(middle, turn.end_s).mean_abs_bank();
    let stalled = features
        .dips_in(middle, turn.end_s + 6.0)
        .iter()
        .map(|dip| stall_signature::evidence(features, dip).total())
        .fold(0.0, f64::max);
    let evidence = Evidence::base(8.0)
        .within(turn.turned_rad.abs(), deg(160.0), deg(200.0), deg(12.0))
        // Ends within about ten knots of the stall, having started at or under maneuvering speed.
        .within(last / vs, 0.85, 1.34, 0.06)
        .ramp(first / last, 1.15, -4.0, 1.45, 0.5)
        // A turn entered slow from a setup is a turning stall.
        .within(first / vs, 1.45, 9.0, 0.1)
        // And so is one that ends in a stall beyond doubt: a chandelle is flown to just above it.
        .plus(-(stalled - SURE_STALL).max(0.0))
        .within(turn.gained_m, ft(280.0) * k, ft(1800.0), ft(70.0))
        .within(
            turn.gained_m / turn.seconds(),
            fpm(380.0) * k,
            fpm(3000.0),
            fpm(80.0),
        )
        // Never gives height back on the way.
        .within(sag(&window, &features.altitude), 0.0, ft(45.0), ft(30.0))
        .mostly(early / late, 1.1, 20.0, 0.25, 3.0)
        .within(turn.greatest_bank_rad, deg(20.0), deg(48.0), deg(6.0))
        .lasting(turn.seconds(), 46.0, 0.5);
    let end_s = last_degrees(features, turn);
    Some(Candidate::maneuver(
        Kind::Chandelle,
        side(turn.turned_rad),
        turn.start_s,
        end_s,
        evidence.total(),
    ))
}

/// The last degrees come slowly, with the wings nearly level: up to 180° turned, at most 25 s, as long as
/// it still turns the same way and the speed has not been let go.
fn last_degrees(features: &Features, turn: &Turn) -> f64 {
    let start = features.at(&features.heading, turn.start_s);
    let slowest = features.at(&features.ias, turn.end_s);
    let mut t = turn.end_s;
    while t < turn.end_s + 25.0 && t < features.end_s() {
        let turned = (features.at(&features.heading, t) - start) * turn.turned_rad.signum();
        let same = features.at(&features.bank, t) * turn.turned_rad.signum() > deg(0.8);
        if turned >= deg(179.0) || !same || features.at(&features.ias, t) > 1.05 * slowest {
            break;
        }
        t += STEP_S;
    }
    t
}

/// Deepest fall below the highest altitude so far.
fn sag(window: &crate::features::Window<'_>, altitude: &[f64]) -> f64 {
    let (mut top, mut deepest) = (f64::NEG_INFINITY, 0.0_f64);
    for h in window.slice(altitude).iter().filter(|h| h.is_finite()) {
        top = top.max(*h);
        deepest = deepest.max(top - h);
    }
    deepest
}
