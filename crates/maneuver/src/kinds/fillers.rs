//! Ordinary flying that looks like a maneuver, named, so that it is explained away.

use super::{Grammar, fpm, row, stall_signature as signature};
use crate::Kind;
use crate::decode::{Candidate, Evidence};
use crate::features::Features;

/// How they take part: explained away, never worked out.
pub const ROW: Grammar = Grammar {
    kind: None,
    ..row(Kind::StraightAndLevel, propose)
};

/// Every look-alike.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    zoom_climbs(features, out);
}

/// Pull-up from speed that ends well above the stall.
fn zoom_climbs(features: &Features, out: &mut Vec<Candidate>) {
    for dip in &features.dips {
        let fastest = features
            .window(dip.at_s - 25.0, dip.at_s)
            .time_of_max(&features.ias);
        let start = pull_up(features, fastest, dip.at_s);
        let evidence = Evidence::base(3.0)
            .plus(signature::zoom(features, dip))
            .ramp(dip.ratio, 1.05, -2.0, 1.25, 1.0)
            .ramp(dip.recovery_rate, 0.02, 0.5, 0.05, -2.0)
            .ramp(dip.zoom_mps, fpm(700.0), -3.0, fpm(1200.0), 0.0);
        out.push(Candidate::filler(
            "zoom climb",
            start,
            dip.at_s + 8.0,
            evidence.total(),
        ));
    }
}

/// When the zoom begins: the last level moment before the greatest climb rate. What was flown fast and level
/// before it may belong to something else.
fn pull_up(features: &Features, from_s: f64, low_s: f64) -> f64 {
    let peak_s = features.window(from_s, low_s).time_of_max(&features.climb);
    let run = features.window(from_s, peak_s);
    let level = run
        .slice(&features.climb)
        .iter()
        .rposition(|climb| *climb < fpm(300.0));
    level.map_or(from_s, |i| features.time_s(run.from + i))
}
