//! The same recovery flown otherwise, and the recovery to brief.

use crate::actions::{Actions, Climb};
use crate::airplane::Airplane;
use crate::causes::{DIVE_S, Reference, in_steps, opening, rolled_out};
use crate::recovery::{ComingBack, Recovery};
use crate::run::Run;

/// What is changed; `None` leaves it as it was flown.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Change {
    /// Unloaded so long after the stall, s.
    pub unload_s: Option<f64>,
    /// Power half open so long after the unloading, s.
    pub power_s: Option<f64>,
    /// Full power, whatever was set.
    pub full_power: bool,
    /// Flaps one detent at a time, at the right moments.
    pub flaps_in_steps: bool,
    /// Climb at this speed, equivalent, m/s.
    pub climb_mps: Option<f64>,
}

impl Change {
    /// Everything as the reference has it.
    #[must_use]
    pub fn all(recovery: &Recovery, reference: &Reference) -> Change {
        Change {
            unload_s: Some(reference.unload_s[0]),
            power_s: Some(reference.power_s[0]),
            full_power: true,
            flaps_in_steps: true,
            climb_mps: Some(recovery.airplane.climb_mps),
        }
    }
}

/// One moment of a what-if.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point {
    /// After the stall, s.
    pub t: f64,
    /// Height against that of the stall, m.
    pub height_m: f64,
    /// Its 1-σ, m.
    pub height_sigma_m: f64,
    /// Equivalent airspeed, m/s.
    pub eas_mps: f64,
    /// Its 1-σ, m/s.
    pub eas_sigma_mps: f64,
}

/// The recovery with a change, every half second from the stall on, with its band.
#[must_use]
pub fn what_if(
    recovery: &Recovery,
    reference: &Reference,
    change: &Change,
    airplanes: &[Airplane],
) -> Vec<Point> {
    let stall = recovery.flown.at(recovery.times.stall_s);
    let back = &reference.coming_back;
    let (actions, from_s) = changed(recovery, reference, change);
    let mut best = path(recovery, &recovery.airplane, &actions, from_s, back);
    // What the model gets wrong of the flight stays in, so that nothing changed is the flight; but a recovery that begins
    // elsewhere has nothing to do with how well the dive that was flown is replayed.
    let release = recovery.last_release_s();
    if from_s > release - 0.2 {
        let replayed = path(
            recovery,
            &recovery.airplane,
            &recovery.actions,
            release,
            back,
        );
        for (k, (one, again)) in best.iter_mut().zip(&replayed).enumerate() {
            let flown = recovery.flown.at(recovery.times.stall_s + k as f64 * 0.5);
            one.0 += flown.height - again.0;
            one.1 = (one.1 + flown.tas - again.1).max(8.0);
        }
    }
    let others: Vec<Vec<(f64, f64)>> = airplanes
        .iter()
        .take(12)
        .map(|airplane| path(recovery, airplane, &actions, from_s, back))
        .collect();
    let root = recovery.flown.about.density_root;
    best.iter()
        .enumerate()
        .map(|(k, (height, tas))| {
            let t = k as f64 * 0.5;
            let off = |value: &dyn Fn(&(f64, f64)) -> f64, best: f64| {
                let squares: Vec<f64> = others
                    .iter()
                    .filter_map(|o| o.get(k))
                    .map(|o| (value(o) - best).powi(2))
                    .collect();
                (squares.iter().sum::<f64>() / squares.len().max(1) as f64).sqrt()
            };
            // What the model's form is wrong by grows with the time flown in it.
            let flown_s = (recovery.times.stall_s + t - from_s).max(0.0);
            Point {
                t,
                height_m: height - stall.height,
                height_sigma_m: off(&|o| o.0, *height).hypot(0.4 * flown_s.min(15.0)),
                eas_mps: tas * root,
                eas_sigma_mps: off(&|o| o.1 * root, tas * root).hypot(0.1 * flown_s.min(10.0)),
            }
        })
        .collect()
}

/// Height and airspeed every half second from the stall on: as flown until the run begins.
fn path(
    recovery: &Recovery,
    airplane: &Airplane,
    actions: &Actions,
    from_s: f64,
    coming_back: &ComingBack,
) -> Vec<(f64, f64)> {
    let run: Run = recovery.fly(airplane, actions, from_s, coming_back);
    let times = &recovery.times;
    let count = ((times.end_s - times.stall_s) / 0.5).floor().max(0.0) as usize;
    (0..=count)
        .map(|k| {
            let t = times.stall_s + k as f64 * 0.5;
            if t < from_s {
                let s = recovery.flown.at(t);
                (s.height, s.tas)
            } else {
                let place = ((t - from_s) / 0.1).round() as usize;
                let step = run.steps.get(place).or(run.steps.last());
                step.map_or((f64::NAN, f64::NAN), |s| (s.height, s.tas))
            }
        })
        .filter(|p| p.0.is_finite())
        .collect()
}

fn changed(recovery: &Recovery, reference: &Reference, change: &Change) -> (Actions, f64) {
    let times = &recovery.times;
    let mut actions = recovery.actions.clone();
    let mut from_s = recovery.last_release_s();
    let mut earlier = 0.0;
    if let Some(unload) = change.unload_s {
        // No later than it was flown: what would have been flown then nobody saw.
        let wanted = times.stall_s + unload.max(0.3);
        if wanted < from_s - 0.2 {
            earlier = times.release_s - wanted;
            from_s = wanted;
            actions.style = reference.style;
        }
    }
    let (before, opened, came_to) = opening(recovery);
    if let Some(opened) = opened {
        let wanted = change
            .power_s
            .map_or(opened - earlier, |s| from_s + s.clamp(-1.0, 15.0));
        let ahead = opened - wanted;
        let flown = actions.power.clone();
        actions.power = flown.map(|t, v| {
            if t < times.stall_s - 1.0 {
                v
            } else {
                flown.at(t + ahead)
            }
        });
    }
    if change.full_power && came_to < 0.99 {
        let opening_at = opened.map_or(from_s, |_| from_s);
        actions.power = actions.power.map(|t, v| match opened {
            Some(_) => (before
                + (v - before) * (reference.comes_to - before) / (came_to - before).max(0.05))
            .clamp(0.0, 1.0),
            None if t > opening_at + change.power_s.unwrap_or(0.0) => reference.comes_to,
            None => v,
        });
    }
    if change.flaps_in_steps && actions.flaps.at(from_s) > 0.02 {
        let low = (times.low_s - earlier).min(from_s + DIVE_S);
        actions.flaps = in_steps(recovery, reference, from_s, low, &actions.flaps);
    } else if earlier > 0.0 {
        let flown = actions.flaps.clone();
        actions.flaps = flown.map(|t, v| {
            if t < times.stall_s {
                v
            } else {
                flown.at(t + earlier)
            }
        });
    }
    if recovery.elsewhere(from_s) {
        actions.bank = rolled_out(recovery, from_s);
    }
    let touched = *change != Change::default();
    if let Some(speed) = change.climb_mps {
        actions.climb = Climb::Hold(speed);
    } else if touched {
        let end = recovery.flown.at(times.end_s).tas * recovery.flown.about.density_root;
        actions.climb = Climb::Hold(end.max(recovery.airplane.climb_mps));
    }
    (actions, from_s)
}
