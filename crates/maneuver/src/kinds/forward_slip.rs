//! Forward slip: bank one way with the path held straight by opposite rudder, descending.
//!
//! FAA-S-ACS-6C PA.IV.M. It can be told only where attitude is recorded: bank without turn. Coordinated
//! flight at the same bank would turn at g·tan φ / V.

use super::{Grammar, MOST_UNKNOWN, deg, fpm, row, side};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S};
use air::units::G0_MPS2;
use flight::Fit;

/// How it takes part.
pub const ROW: Grammar = row(Kind::ForwardSlip, propose);

/// Stretches of bank without turn.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    if features.fit == Fit::Gnss {
        return;
    }
    let mut index = 0;
    while index < features.len {
        if !slips(features, index) {
            index += 1;
            continue;
        }
        let from = index;
        while index + 1 < features.len && slips(features, index + 1) {
            index += 1;
        }
        out.extend(candidate(features, from, index));
        index += 1;
    }
}

fn slips(features: &Features, index: usize) -> bool {
    features.known[index]
        && features.bank[index].abs() > deg(7.0)
        && features.climb[index] < -fpm(300.0)
}

fn candidate(features: &Features, from: usize, to: usize) -> Option<Candidate> {
    let (start_s, end_s) = (features.time_s(from), features.time_s(to));
    let window = features.window(start_s, end_s);
    if window.seconds() < 7.0 || window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let expected: f64 = (from..=to)
        .map(|i| G0_MPS2 * features.bank[i].tan() / features.tas[i].max(15.0) * STEP_S)
        .sum();
    let share = window.net_turn() / expected;
    let agl = window.percentile(&features.agl, 0.5, |h| h);
    let evidence = Evidence::base(5.0)
        .within(share, -0.3, 0.25, 0.1)
        .within(-window.mean_climb(), fpm(600.0), fpm(3000.0), fpm(120.0))
        .within(expected.abs(), deg(40.0), deg(2000.0), deg(10.0))
        .mostly(agl, 0.0, ft_high(), 100.0, 2.0)
        .lasting(window.seconds(), 18.0, 0.6);
    Some(Candidate::maneuver(
        Kind::ForwardSlip,
        side(expected),
        start_s,
        end_s,
        evidence.total(),
    ))
}

/// Slips are for the approach: most are flown under 1,500 ft above the ground.
const fn ft_high() -> f64 {
    super::ft(1500.0)
}
