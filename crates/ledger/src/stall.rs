//! When the wing let go, from the path alone.
//!
//! Two moments. *The drop*: the path turns down for want of lift. *The greatest lift*: before the drop, where the load over
//! what the wing could carry at that speed, n (V<sub>S</sub>/V)², is greatest: that is where a wing begins to stall (J. D.
//! Anderson, *Aircraft Performance and Design*, 1999, ch. 2), whether in a turn or wings level, and no recorder can be
//! late with it by more than its own lag. The stall as it is told may be seconds off where it is held long and no vane was
//! recorded.

use crate::airplane::Airplane;
use crate::flown::{Flown, STEP_S, Sample};
use crate::recovery::Told;

/// A path that turns down for want of so much lift, in g, has dropped; with the second it still goes down.
const WANT_G: [f64; 2] = [0.15, 0.05];
/// A drop that begins so much after the stall as told, s, is still its own.
const AFTER_S: f64 = 1.5;
/// A pause of so long, s, is a bump.
const BUMP_S: f64 = 0.6;
/// The greatest lift is looked for so long before and after the drop, s.
const AROUND_S: [f64; 2] = [2.5, 1.0];
/// Sinking this fast with the stick back the wing is stalled: 400 ft/min (the full stall as the sheet defines it, after
/// former 14 CFR 23.201).
const SINK_MPS: f64 = -2.03;
/// From the middle of greatest lift and drop to the full stall, s, and 1-σ of a stall found so (judgment, from flights whose
/// angle of attack is known).
const TO_STALL_S: (f64, f64) = (0.65, 0.4);
/// A stall as told that is further from that, s, is not believed, unless it is known better than the second.
const BELIEVED_S: [f64; 2] = [0.9, 0.35];

/// 1-σ of a told stall that came without one, s.
const UNKNOWN_S: f64 = 1.0;

/// The full stall: as it was told and as the path has it, weighed by their σ.
pub(crate) fn moment(flown: &Flown, airplane: &Airplane, told: &Told, release_s: f64) -> f64 {
    let drop_s = dropped(flown, told.stall_s, release_s);
    let lift_s = greatest_lift(flown, airplane, drop_s, release_s);
    // One that sinks already when the wing lets go is stalled by definition; else it takes the nose a moment.
    let sinks = |s: &&Sample| s.tas * s.path.sin() < SINK_MPS;
    let sinks_s = flown.span(lift_s, release_s).find(sinks).map(|s| s.t);
    let falls_s = 0.5 * (lift_s + drop_s) + TO_STALL_S.0;
    let path_s = sinks_s.unwrap_or(falls_s).min(falls_s);
    let sigma_s = if told.stall_sigma_s.is_finite() {
        told.stall_sigma_s.max(0.1)
    } else {
        UNKNOWN_S
    };
    let apart = (told.stall_s - path_s).abs() > BELIEVED_S[0];
    if apart && sigma_s > BELIEVED_S[1] {
        return path_s.min(release_s);
    }
    let (own, other) = (sigma_s * sigma_s, TO_STALL_S.1 * TO_STALL_S.1);
    ((other * told.stall_s + own * path_s) / (own + other)).min(release_s)
}

/// When the airplane began to drop, s; without a drop near it the stall as told.
fn dropped(flown: &Flown, told_s: f64, release_s: f64) -> f64 {
    let want = |s: &Sample| s.path.cos() - s.load * s.bank.cos();
    let mut samples: Vec<&Sample> = flown.span(told_s - 5.0, told_s).collect();
    samples.reverse();
    let (mut began, mut pause) = (None, 0.0);
    for s in samples {
        if want(s) > WANT_G[0] {
            began = Some(s.t);
        }
        pause = if want(s) > WANT_G[1] {
            0.0
        } else {
            pause + STEP_S
        };
        if pause > BUMP_S {
            break;
        }
    }
    let later = || {
        flown
            .span(told_s, release_s.min(told_s + AFTER_S))
            .find(|s| want(s) > WANT_G[0])
            .map(|s| s.t)
    };
    began.or_else(later).unwrap_or(told_s)
}

fn greatest_lift(flown: &Flown, airplane: &Airplane, drop_s: f64, release_s: f64) -> f64 {
    let share = |s: &Sample| {
        let most = airplane.greatest_load(s.tas * flown.about.density_root, s.flap);
        s.load / most.max(0.1)
    };
    let to_s = (drop_s + AROUND_S[1]).min(release_s);
    flown
        .span(drop_s - AROUND_S[0], to_s)
        .max_by(|a, b| share(a).total_cmp(&share(b)))
        .map_or(drop_s, |s| s.t)
}
