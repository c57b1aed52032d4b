//! Steep turn: one level turn of 360° at 45° of bank (private) or 50° (commercial).
//!
//! FAA-S-ACS-6C PA.V.A and FAA-S-ACS-7B CA.V.A: 360° at 45° ± 5° or 50° ± 5°, altitude ± 100 ft. Each
//! circle of a pair is one steep turn. Bounded by wings level before roll-in and after roll-out. Circles
//! one way without a pause are cut where the bank was least between them, or at equal shares of the turn
//! when it was held throughout.

use super::{Grammar, MOST_UNKNOWN, deg, figure, ft, row, side};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, Turn};
use crate::phases;

/// How it takes part.
pub const ROW: Grammar = row(Kind::SteepTurn, propose).worked_out(
    |case| phases::steep_turn::detail(case.flight, case.span, case.others),
    &[
        "roll_in",
        "turned_30",
        "bank_established",
        "roll_out_start",
        "wings_level",
    ],
    &[
        figure(
            "rollout_error",
            "rad",
            "heading at roll-out against the entry",
        ),
        figure("bank_mean", "rad", "mean bank in the turn"),
        figure("lowest_agl", "m", "lowest height above ground"),
    ],
);

/// Long turns with much bank.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for turn in &features.turns {
        if turn.turned_rad.abs() < deg(230.0) || turn.held_bank_rad < deg(28.0) {
            continue;
        }
        let circles = ((turn.turned_rad.abs() / deg(360.0)).round() as usize).clamp(1, 4);
        for circle in 0..circles {
            out.extend(candidate(features, turn, circle, circles));
        }
    }
}

fn candidate(features: &Features, turn: &Turn, circle: usize, circles: usize) -> Option<Candidate> {
    let share = |n: usize| reached(features, turn, n as f64 / circles as f64);
    let (start_s, end_s) = (share(circle), share(circle + 1));
    let window = features.window(start_s, end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let turned = window.net_turn().abs();
    let bank = window.percentile(&features.bank, 0.75, f64::abs);
    let k = features.scale.k;
    let evidence = Evidence::base(8.0)
        .within(turned, deg(320.0), deg(392.0), deg(28.0))
        // 45 − 5 less what a student falls short and what a bank from GNSS turn rate smears.
        .within(bank, deg(38.5), deg(60.0), deg(3.0))
        // Level: a whole circle of 45° bank drops 1,000 ft in a spiral, under 300 ft when flown badly.
        .within(window.height_range(), 0.0, ft(220.0) * k, ft(90.0) * k)
        .within(window.net_height().abs(), 0.0, ft(180.0) * k, ft(80.0) * k)
        .within(window.mean_ias() / features.scale.vs1_mps, 1.35, 9.0, 0.08)
        .lasting(window.seconds(), 34.0, 0.5);
    // Circles in one go are rarer than a pair, and a ground reference figure is made of them.
    let score = evidence.total() - 1.5 * (circles - 1) as f64;
    Some(Candidate::maneuver(
        Kind::SteepTurn,
        side(turn.turned_rad),
        start_s,
        end_s,
        score,
    ))
}

/// When a share of a turn's heading change was done, s: where the bank was let go there, if it was.
fn reached(features: &Features, turn: &Turn, share: f64) -> f64 {
    if share <= 0.0 {
        return turn.start_s;
    }
    if share >= 1.0 {
        return turn.end_s;
    }
    let at = |share: f64| {
        let window = features.window(turn.start_s, turn.end_s);
        let headings = window.slice(&features.heading);
        let first = headings.first().copied().unwrap_or(f64::NAN);
        let at = headings
            .iter()
            .position(|h| (h - first).abs() >= share * turn.turned_rad.abs())
            .unwrap_or(headings.len().saturating_sub(1));
        features.time_s(window.from + at)
    };
    // A circle is rolled out of within some 40° of its heading.
    let margin = deg(40.0) / turn.turned_rad.abs();
    let near = features.window(at(share - margin), at(share + margin));
    let flattest = |bank: f64| bank * turn.turned_rad.signum();
    let least = near.percentile(&features.bank, 0.0, flattest);
    if least < 0.75 * turn.held_bank_rad {
        let place = near
            .slice(&features.bank)
            .iter()
            .position(|bank| flattest(*bank) <= least);
        return place.map_or_else(|| at(share), |i| features.time_s(near.from + i));
    }
    at(share)
}
