//! What a good recovery out of the same stall would have lost: flown in the model from the full stall, with
//! nothing of the recovery that was flown but the pilot's usual hand.
//!
//! It is a second opinion on what is *not* to be charged. The ledger's own comes out of the faulty recovery with its
//! causes put right one after the other and keeps all that was not faulty; this one does not care how well the faulty
//! part could be read. Each errs for other reasons, so both together are worth more than either ([`crate::ledger`]).

use crate::actions::Climb;
use crate::causes::{Reference, in_steps, left_down, opening, rolled_out, together};
use crate::recovery::Recovery;

/// From idle to full as the engine answers, s.
const OPENING_S: f64 = 1.6;
/// The speed of climb is met from above, by so much, m/s (judgment): within that it is held as this pilot ended up.
const FASTER_MPS: [f64; 2] = [1.2, 2.5];
/// Over so long before the reading, s, a recovery leaves time for something else.
const ALREADY_S: f64 = 2.0;
/// A good recovery has its lowest point about so long after the unloading, s (for the flaps alone).
const LOW_S: f64 = 6.5;

/// Height lost at both readings, m; `None` where there was no stall to recover from.
#[must_use]
pub fn good(recovery: &Recovery, reference: &Reference) -> Option<[f64; 2]> {
    let times = &recovery.times;
    // What began at the cue, or at a decision, has no stall to time the unloading from.
    if !recovery.stalled() {
        return None;
    }
    let from_s = times.stall_s + reference.unload_s[0];
    let (before, _, _) = opening(recovery);
    let mut actions = recovery.actions.clone();
    // How hard the hand pulls is seen in this very recovery too.
    let own = recovery.actions.style.pull_load;
    actions.style = reference.style;
    if times.second_s.is_none() {
        actions.style.pull_load = 0.5 * (own + reference.style.pull_load);
    }
    let half_s = from_s + reference.half(before);
    actions.power = actions.power.map(|t, v| {
        if t < times.stall_s - 1.0 {
            return v;
        }
        let open = ((t - half_s) / OPENING_S + 0.5).clamp(0.0, 1.0);
        before + (reference.comes_to - before).max(0.0) * open
    });
    if actions.flaps.at(times.stall_s) > 0.02 {
        let low_s = times.low_s.min(from_s + LOW_S);
        actions.flaps = if together(recovery).is_some() || left_down(recovery, reference) {
            in_steps(recovery, reference, from_s, low_s, &actions.flaps)
        } else {
            // Taken up as they should be: as this pilot does, from the unloading on.
            let (flown, earlier) = (&recovery.actions.flaps, recovery.last_release_s() - from_s);
            actions
                .flaps
                .map(|t, v| if t < from_s { v } else { flown.at(t + earlier) })
        };
    }
    actions.bank = rolled_out(recovery, from_s);
    let end = recovery.flown.at(times.end_s).tas * recovery.flown.about.density_root;
    let vy = recovery.airplane.climb_mps;
    // Where the next task had begun before the reading, its speed is no fault.
    let most = if recovery.over_s() < times.end_s - ALREADY_S {
        f64::INFINITY
    } else {
        vy + FASTER_MPS[1]
    };
    actions.climb = Climb::Hold(end.max(vy + FASTER_MPS[0]).min(most));
    let run = recovery.fly(&recovery.airplane, &actions, from_s, &reference.coming_back);
    let stall = recovery.flown.at(times.stall_s).height;
    let before = recovery
        .flown
        .span(times.stall_s.min(from_s), from_s)
        .map(|s| s.height)
        .fold(f64::INFINITY, f64::min);
    let lowest = run.lowest()?.height.min(before);
    Some([stall - lowest, stall - run.steps.last()?.height])
}
