//! When the wing let go, from the path alone.
//!
//! Two moments. *The drop*: the path turns down for want of lift. *The greatest lift*: before the drop, where the load over
//! what the wing could carry at that speed, n (V<sub>S</sub>/V)², is greatest: that is where a wing begins to stall (J. D.
//! Anderson, *Aircraft Performance and Design*, 1999, ch. 2), whether in a turn or wings level, and no recorder can be
//! late with it by more than its own lag. The stall as it is told may be seconds off where it is held long, or where the
//! angle of attack passes its limit before the lift goes.

use crate::airplane::Airplane;
use crate::flown::{Flown, STEP_S, Sample};

/// A path that turns down for want of so much lift, in g, has dropped; with the second it still goes down.
const WANT_G: [f64; 2] = [0.15, 0.05];
/// A drop that begins so much after the stall as told, s, is still its own.
const AFTER_S: f64 = 1.5;
/// A pause of so long, s, is a bump.
const BUMP_S: f64 = 0.6;
/// The greatest lift is looked for so long before and after the drop, s.
const AROUND_S: [f64; 2] = [2.5, 1.0];
/// From the greatest lift to the full stall, s: about a second in flights whose angle of attack is known (judgment).
const TO_STALL_S: f64 = 0.65;
/// A stall as told that is further from that, s, is not believed.
const BELIEVED_S: f64 = 0.9;

/// Greatest lift and stall of a stall that was told.
pub(crate) fn moments(
    flown: &Flown,
    airplane: &Airplane,
    told_s: f64,
    release_s: f64,
) -> (f64, f64) {
    let drop_s = dropped(flown, told_s, release_s);
    let lift_s = 0.5 * (greatest_lift(flown, airplane, drop_s, release_s) + drop_s);
    let stall_s = lift_s + TO_STALL_S;
    if (told_s - stall_s).abs() <= BELIEVED_S {
        (lift_s, told_s)
    } else {
        (lift_s, stall_s.min(release_s))
    }
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
