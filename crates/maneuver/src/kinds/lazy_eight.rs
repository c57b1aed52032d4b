//! Lazy eight: two turns of 180° in opposite directions, each climbing to its 90° point and descending
//! back to the entry height and speed.
//!
//! FAA-S-ACS-7B CA.V.D. The unit is one half: halves are flown alone and with pauses in real lessons.
//! Bounded by wings level at the start of the first and the end of the second half.

use super::{Grammar, MOST_UNKNOWN, deg, ft, pair, row, side};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};

/// How it takes part.
pub const ROW: Grammar = row(Kind::LazyEight, propose);

/// Halves, alone and in pairs.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    let halves: Vec<(Turn, f64)> = features
        .turns
        .iter()
        .filter_map(|turn| half(features, turn).map(|score| (*turn, score)))
        .collect();
    for (turn, score) in &halves {
        let alone = Candidate::maneuver(
            Kind::LazyEight,
            side(turn.turned_rad),
            turn.start_s,
            turn.end_s,
            *score,
        );
        out.push(alone);
    }
    for two in halves.windows(2) {
        let ((a, first), (b, second)) = (&two[0], &two[1]);
        let pause = b.start_s - a.end_s;
        if a.right() != b.right() && pause < 30.0 {
            let score = first + second + 2.0 - 0.5 * ((pause - 12.0).max(0.0) / 8.0).powi(2);
            let whole = Candidate::maneuver(
                Kind::LazyEight,
                pair(a.turned_rad),
                a.start_s,
                b.end_s,
                score,
            );
            out.push(whole);
        }
    }
}

/// Log-odds of one half.
fn half(features: &Features, turn: &Turn) -> Option<f64> {
    let window = features.window(turn.start_s, turn.end_s);
    if window.unknown() > MOST_UNKNOWN || turn.range_m < ft(70.0) {
        return None;
    }
    let start = features.at(&features.altitude, turn.start_s);
    let top = window.max(&features.altitude) - start;
    let low = start - window.min(&features.altitude);
    let (v0, v1) = (
        features.at(&features.ias, turn.start_s),
        features.at(&features.ias, turn.end_s),
    );
    let lost = 1.0 - window.min(&features.ias) / v0;
    let top_at = (window.time_of_max(&features.altitude) - turn.start_s) / turn.seconds();
    let cruise = features.scale.cruise_mps;
    let evidence = Evidence::base(6.0)
        .within(turn.turned_rad.abs(), deg(155.0), deg(205.0), deg(12.0))
        .within(top, ft(110.0), ft(700.0), ft(35.0))
        .mostly(
            turn.gained_m.abs(),
            0.0,
            0.45 * top + ft(50.0),
            ft(60.0),
            5.0,
        )
        .mostly(low, 0.0, ft(120.0), ft(60.0), 4.0)
        // The speed dips at the top and comes back.
        .within(lost, 0.12, 0.50, 0.04)
        .within((v1 - v0).abs() / cruise, 0.0, 0.13, 0.05)
        .mostly(top_at, 0.3, 0.72, 0.08, 5.0)
        .within(turn.greatest_bank_rad, deg(15.0), deg(48.0), deg(6.0))
        .lasting(turn.seconds(), 52.0, 0.5);
    Some(evidence.total())
}
