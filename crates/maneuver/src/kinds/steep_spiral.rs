//! Steep spiral: three turns (at least 720° here, so that an interrupted one is found) one way with the
//! power off, losing height at a steady speed.
//!
//! FAA-S-ACS-7B CA.V.B: at least three 360° turns, bank not above 60°. Bounded by the turn itself.

use super::{Grammar, MOST_UNKNOWN, deg, fpm, ft, row, side};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::Features;

/// How it takes part.
pub const ROW: Grammar = row(Kind::SteepSpiral, propose);

/// Long descending turns; pieces one way with a short pause belong together.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for (place, first) in features.turns.iter().enumerate() {
        let (mut turned, mut last) = (first.turned_rad, first);
        out.extend(candidate(features, first.start_s, last.end_s, turned));
        for next in &features.turns[place + 1..] {
            if next.right() != first.right() || next.start_s - last.end_s > 12.0 {
                break;
            }
            turned += next.turned_rad;
            last = next;
            out.extend(candidate(features, first.start_s, last.end_s, turned));
        }
    }
}

fn candidate(features: &Features, start_s: f64, end_s: f64, turned: f64) -> Option<Candidate> {
    let window = features.window(start_s, end_s);
    let k = features.scale.k;
    if turned.abs() < deg(560.0)
        || window.net_height() > -ft(400.0)
        || window.unknown() > MOST_UNKNOWN
    {
        return None;
    }
    let evidence = Evidence::base(13.0)
        .within(turned.abs(), deg(700.0), deg(3000.0), deg(50.0))
        .within(-window.net_height(), ft(650.0) * k, ft(9000.0), ft(100.0))
        .within(-window.mean_climb(), fpm(450.0) * k, fpm(2600.0), fpm(80.0))
        .within(window.mean_abs_bank(), deg(18.0), deg(60.0), deg(4.0))
        .mostly(spread(&window, &features.ias), 0.0, 0.16, 0.06, 5.0);
    Some(Candidate::maneuver(
        Kind::SteepSpiral,
        side(turned),
        start_s,
        end_s,
        evidence.total(),
    ))
}

/// Middle half of the speeds over their median.
fn spread(window: &crate::features::Window<'_>, ias: &[f64]) -> f64 {
    let at = |share: f64| window.percentile(ias, share, |v| v);
    (at(0.9) - at(0.1)) / at(0.5)
}
