//! Pulls: moments at which a banked wing was brought to its greatest lift and let go again.
//!
//! An accelerated stall is no minimum of airspeed: the wing lets go at √n stall speeds, and the speed falls on through the
//! roll-out, or comes back at once. What marks it is the wing's own share of its greatest lift, n (V<sub>S1</sub> / V)²,
//! that rises to 1 in a bank that is held and falls off within seconds (lift equation; FAA-H-8083-3C chapter 5,
//! accelerated stalls).

use super::dips::{Dip, dip, grounded, held, high_extremes};
use super::{Features, STEP_S};

/// Least share of the greatest lift: the first cue of a stall comes at 0.83 (former 14 CFR 23.207), less the error of a
/// share out of speed and load.
const LEAST_LIFT: f64 = 0.80;
/// Least bank that is held before it, rad: turning stalls are flown at up to 20° and wander (FAA-S-ACS-6C PA.VII.B, C).
const LEAST_BANK_RAD: f64 = 28.0 * std::f64::consts::PI / 180.0;
const HELD_S: f64 = 2.0;
/// The share falls by so much within so many seconds, or the wing is rolled out by so much, rad: the wing let go, or the
/// hand did.
const LET_GO: f64 = 0.15;
const ROLLED_OUT_RAD: f64 = 20.0 * std::f64::consts::PI / 180.0;
const WITHIN_S: f64 = 4.0;
/// No larger share so long before, s, nor so soon after: what is pulled again after it let go is another stall.
const BEFORE_S: f64 = 3.0;
const AFTER_S: f64 = 1.0;
/// With the bank never below this in between, rad, a second one is the same pull.
const LEVEL_RAD: f64 = 15.0 * std::f64::consts::PI / 180.0;
/// Unless its share is greater by this: then the first was a gust in the turn.
const GREATER: f64 = 0.08;

/// Every pull in the air, in order, described as a minimum of airspeed is.
pub fn find(features: &Features) -> Vec<Dip> {
    let aoa_greatest = super::smooth::percentile(&features.aoa, 0.999);
    let fastest = high_extremes(features);
    let mut found: Vec<Dip> = Vec::new();
    for index in 0..features.len {
        if !is_pull(features, index) || grounded(features, index) {
            continue;
        }
        let at_s = features.time_s(index);
        if let Some(last) = found
            .last()
            .filter(|last| same_turn(features, last.at_s, at_s))
        {
            let more = features.lift_ratio[index] - features.at(&features.lift_ratio, last.at_s);
            if more < GREATER {
                continue;
            }
            found.pop();
        }
        let next = fastest.partition_point(|high| *high < index);
        let before = next.checked_sub(1).and_then(|k| fastest.get(k));
        let after = fastest.get(next);
        found.push(dip(
            features,
            index,
            before.copied().unwrap_or(0),
            after.copied().unwrap_or(features.len.saturating_sub(1)),
            aoa_greatest,
        ));
    }
    found
}

fn is_pull(features: &Features, index: usize) -> bool {
    let share = |i: usize| features.lift_ratio.get(i).copied().unwrap_or(f64::NAN);
    let here = share(index);
    if here.is_nan() || here < LEAST_LIFT || !features.known[index] {
        return false;
    }
    let at_s = features.time_s(index);
    let around = features.window(at_s - BEFORE_S, at_s + AFTER_S);
    // The first of equals.
    let first = index == 0 || share(index - 1) < here || share(index - 1).is_nan();
    if !first || around.max(&features.lift_ratio) > here {
        return false;
    }
    let bank = held(&features.window(at_s - HELD_S, at_s), &features.bank);
    let after = features.window(at_s + STEP_S, at_s + WITHIN_S);
    let let_go = here - after.min(&features.lift_ratio) > LET_GO
        || bank - after.percentile(&features.bank, 0.0, f64::abs) > ROLLED_OUT_RAD;
    bank > LEAST_BANK_RAD && let_go
}

fn same_turn(features: &Features, first_s: f64, second_s: f64) -> bool {
    let between = features.window(first_s, second_s);
    between.percentile(&features.bank, 0.0, f64::abs) > LEVEL_RAD
}
