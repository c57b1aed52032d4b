//! Recovery from an unusual attitude: nose high (zooming, speed running out) or nose low (diving, speed
//! building up), back to level flight within seconds.
//!
//! FAA-S-ACS-6C PA.VIII.E. The upset itself is the other pilot's: the recovery starts at the greatest
//! climb or sink rate, and ends in level flight.

use super::{Grammar, MOST_UNKNOWN, fpm, row, stall_signature as signature};
use crate::decode::{Candidate, Evidence};
use crate::features::{Features, STEP_S};
use crate::{Direction, Kind};

/// How it takes part.
pub const ROW: Grammar = row(Kind::UnusualAttitudeRecovery, propose);

/// Both ways.
pub fn propose(features: &Features, out: &mut Vec<Candidate>) {
    for dip in &features.dips {
        out.extend(nose_high(features, dip));
    }
    for low in sink_peaks(features) {
        out.extend(nose_low(features, low));
    }
}

fn nose_high(features: &Features, dip: &crate::features::Dip) -> Option<Candidate> {
    let peak_s = features
        .window(dip.at_s - 14.0, dip.at_s)
        .time_of_max(&features.climb);
    let end_s = level_after(features, dip.at_s, 20.0) + 2.5;
    let window = features.window(peak_s, end_s);
    if !peak_s.is_finite() || window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let k = features.scale.k;
    let loss =
        (features.at(&features.ias, peak_s - 3.0) - features.at(&features.ias, peak_s + 3.0)) / 6.0;
    let evidence = Evidence::base(3.5)
        .plus(signature::zoom(features, dip).min(1.5))
        .within(dip.ratio, 0.0, 1.27, 0.08)
        // The nose is too high to hold speed: an ordinary zoom climb loses half as much.
        .within(loss / features.scale.cruise_mps, 0.036, 1.0, 0.004)
        .within(dip.zoom_mps, fpm(1200.0) * k, fpm(6000.0), fpm(200.0))
        .ramp(dip.bank_rad, 0.9, 0.0, 1.3, -2.0)
        .lasting(window.seconds(), 14.0, 0.5);
    let candidate = Candidate::maneuver(
        Kind::UnusualAttitudeRecovery,
        Direction::None,
        peak_s,
        end_s,
        evidence.total(),
    );
    Some(candidate.anchored(peak_s))
}

/// Deepest moments of short, fast sinking.
fn sink_peaks(features: &Features) -> Vec<usize> {
    let fast = -fpm(1300.0) * features.scale.k;
    let mut peaks = Vec::new();
    let mut index = 0;
    while index < features.len {
        if !(features.known[index] && features.climb[index] < fast) {
            index += 1;
            continue;
        }
        let mut low = index;
        while index < features.len && features.climb[index] < fast {
            if features.climb[index] < features.climb[low] {
                low = index;
            }
            index += 1;
        }
        peaks.push(low);
    }
    peaks
}

fn nose_low(features: &Features, low: usize) -> Option<Candidate> {
    let peak_s = features.time_s(low);
    let end_s = level_after(features, peak_s, 18.0) + 3.0;
    let window = features.window(peak_s, end_s);
    if window.unknown() > MOST_UNKNOWN {
        return None;
    }
    let k = features.scale.k;
    // It was level shortly before: an upset is sudden, an emergency descent is entered and stays.
    let entry = features
        .window(peak_s - 11.0, peak_s - 2.0)
        .max(&features.climb);
    let slow = features.window(peak_s - 12.0, peak_s).min(&features.ias) / features.scale.vs1_mps;
    let fastest = window.max(&features.ias) / features.scale.vs1_mps;
    let evidence = Evidence::base(4.5)
        .within(
            -features.climb[low],
            fpm(1700.0) * k,
            fpm(9000.0),
            fpm(200.0),
        )
        .within(entry, -fpm(450.0), fpm(9000.0), fpm(200.0))
        .within(window.seconds(), 3.0, 14.0, 2.0)
        // Out of a stall the same sink follows: there the speed was low.
        .ramp(slow, 1.25, -5.0, 1.5, 0.0)
        .ramp(fastest, 1.5, -2.0, 1.9, 0.5);
    let candidate = Candidate::maneuver(
        Kind::UnusualAttitudeRecovery,
        Direction::None,
        peak_s,
        end_s,
        evidence.total(),
    );
    Some(candidate.anchored(peak_s))
}

/// First moment of level flight (climb rate within 250 ft/min for 2 s) after a time.
fn level_after(features: &Features, from_s: f64, within_s: f64) -> f64 {
    let mut t = from_s + 2.0;
    while t < from_s + within_s && t < features.end_s() {
        if features.window(t - 1.0, t + 1.0).mean_climb().abs() < fpm(250.0) {
            return t;
        }
        t += STEP_S;
    }
    t.min(features.end_s())
}
