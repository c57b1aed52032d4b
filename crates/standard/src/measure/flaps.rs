//! Flaps: speed at each step down, steps up, none left at the end.

use super::turn;
use crate::context::{Context, origin_id};
use crate::draft::{self, Number};
use crate::instrument;
use crate::model::{Mark, Ribbon, RibbonStyle};
use crate::pack::{Criterion, LimitOrigin};
use air::units::MPS_PER_KT;
use flight::{Air, FlapStep, Origin};

/// An inferred step counts from this chance on.
const SURE: f64 = 0.8;
/// Nearer to the limit than this, an inferred step decides nothing, kt.
const INFERRED_MARGIN_KT: f64 = 3.0;
/// Retractions this long after the maneuver still belong to it, s.
const AFTER_S: f64 = 5.0;

/// A hand that takes the flaps up notch by notch waits so long before the next notch, s (assumed). Where the flaps need
/// longer for a notch they never rest in between, and the recording is the same as of one movement.
const WAITS_S: f64 = 2.0;
/// The next notch waits for a climb (FAA-H-8083-3C, chapters 5 and 9): more than this of climb or sink is one, m/s, 100 ft/min.
const CLIMBS_MPS: f64 = 100.0 * air::units::MPS_PER_FPM;

/// Inferred flaps that are still out at these times after the end were left out, s.
const STILL_OUT_S: [f64; 3] = [10.0, 17.0, 24.0];

fn none(context: &Context) -> bool {
    context.aircraft.has_flaps() == Some(false)
}

fn steps<'a>(context: &'a Context, from_s: f64, to_s: f64) -> impl Iterator<Item = &'a FlapStep> {
    let all = context
        .flight
        .flaps
        .as_ref()
        .map_or(&[][..], |flaps| flaps.steps.as_slice());
    all.iter()
        .filter(move |step| (from_s..=to_s).contains(&step.at_s))
}

fn recorded(context: &Context) -> bool {
    context
        .flight
        .flaps
        .as_ref()
        .is_some_and(|flaps| flaps.angle.origin == Origin::Measured)
}

/// Airspeed at each step down against the limit of the setting it went to, kt; the nearest to its limit
/// decides. `None` when no flap was lowered.
pub(super) fn extension_speed(
    context: &Context,
    criterion: &Criterion,
    mut mark: Mark,
) -> Option<Mark> {
    if none(context) {
        return None;
    }
    let Some(ias) = &context.flight.ias else {
        return Some(draft::not_recorded(mark, "no airspeed was recorded"));
    };
    if context.flight.flaps.is_none() {
        return Some(draft::not_recorded(mark, "flaps were not recorded"));
    }
    let window = context.window(criterion);
    let from_s = context.maneuver.start_s - AFTER_S;
    let to_s = window.map_or(context.maneuver.end_s, |(_, to)| to);
    let down: Vec<&FlapStep> = steps(context, from_s, to_s)
        .filter(|step| step.to_rad > step.from_rad)
        .collect();
    let sure = recorded(context);
    if down
        .iter()
        .filter(|step| sure || step.probability >= SURE)
        .count()
        == 0
    {
        return if sure {
            None
        } else {
            Some(draft::not_recorded(
                mark,
                "flaps were not recorded, and no step shows clearly enough",
            ))
        };
    }
    if !sure && down.iter().any(|step| step.probability < SURE) {
        return Some(draft::not_recorded(
            mark,
            "flaps were not recorded, and not every step shows clearly enough",
        ));
    }
    let limit = |step: &FlapStep| {
        let detent = context.aircraft.nearest_detent(step.to_rad)?;
        context
            .aircraft
            .flap_limit_mps(detent)
            .or(context.aircraft.speeds.vfe_mps)
    };
    let speed = |step: &FlapStep| {
        context
            .mean(ias, step.at_s - 0.2, step.at_s + 0.2)
            .unwrap_or_else(|| ias.at(context.flight.clock.index(step.at_s)))
    };
    let judged: Vec<(&FlapStep, f64, f64)> = down
        .iter()
        .filter_map(|step| Some((*step, speed(step) / MPS_PER_KT, limit(step)? / MPS_PER_KT)))
        .collect();
    let Some((step, knots, limit_kt)) = judged
        .iter()
        .copied()
        .max_by(|a, b| (a.1 - a.2).total_cmp(&(b.1 - b.2)))
    else {
        return Some(draft::not_recorded(
            mark,
            "the aircraft file gives no flap limit speed",
        ));
    };
    mark.high = Some(limit_kt);
    LimitOrigin::AircraftFile
        .id()
        .clone_into(&mut mark.limit_origin);
    let sigma = speed_sigma(context, step);
    let number = Number {
        value: knots,
        sigma,
        at_s: step.at_s,
        note: words(step),
    };
    let mut mark = draft::number(mark, &number, step.origin);
    if !sure && (knots - limit_kt).abs() < INFERRED_MARGIN_KT {
        mark.mark = crate::model::Verdict::TooClose;
    }
    mark.ribbon = Some(moments(&judged, sigma));
    Some(mark)
}

fn words(step: &FlapStep) -> String {
    let (from, to) = (step.from_rad.to_degrees(), step.to_rad.to_degrees());
    let inferred = if step.origin == Origin::Measured {
        ""
    } else {
        ", inferred"
    };
    format!("flaps {from:.0} to {to:.0} degrees{inferred}")
}

/// Airspeed σ, and how far the speed moves in the uncertainty of the step's time, kt.
fn speed_sigma(context: &Context, step: &FlapStep) -> f64 {
    let Some(ias) = &context.flight.ias else {
        return f64::NAN;
    };
    let single = ias.sigma_at(context.flight.clock.index(step.at_s));
    let before = context.mean(ias, step.at_s - 1.5, step.at_s - 0.5);
    let after = context.mean(ias, step.at_s + 0.5, step.at_s + 1.5);
    let rate = match (before, after) {
        (Some(before), Some(after)) => (after - before).abs() / 2.0,
        _ => 0.5,
    };
    instrument::airspeed_kt(ias, single).hypot(rate * step.sigma_s.max(0.3) / MPS_PER_KT)
}

/// Every step as a dot: its speed against its own limit, the limit at 1, one tolerance = 10 kt.
fn moments(judged: &[(&FlapStep, f64, f64)], sigma_kt: f64) -> Ribbon {
    const SCALE_KT: f64 = 10.0;
    let dot =
        |(_, knots, limit): &(&FlapStep, f64, f64)| Some((1.0 + (knots - limit) / SCALE_KT) as f32);
    let times: Vec<f64> = judged.iter().map(|(step, _, _)| step.at_s).collect();
    let (first, last) = (
        times.first().copied().unwrap_or(0.0),
        times.last().copied().unwrap_or(0.0),
    );
    Ribbon {
        start_s: first,
        step_s: 1.0,
        graded_from_s: first,
        graded_to_s: last,
        deviation: judged.iter().map(dot).collect(),
        sigma: (sigma_kt / SCALE_KT) as f32,
        style: RibbonStyle::Moments,
        moments_s: times,
    }
}

/// Flaps up one step at a time. Only a recorded flap position can show it: the first step after a stall
/// cannot be inferred. `None` when not more than one step was out.
pub(super) fn in_steps(context: &Context, mark: Mark) -> Option<Mark> {
    if none(context) {
        return None;
    }
    if !recorded(context) {
        return Some(draft::not_recorded(mark, "flaps were not recorded"));
    }
    let recovery_s = context
        .stall()
        .map_or(context.maneuver.start_s, |moment| moment.at_s);
    let up: Vec<&FlapStep> = steps(context, recovery_s, context.maneuver.end_s + AFTER_S)
        .filter(|step| step.to_rad < step.from_rad)
        .collect();
    let first = up.first()?;
    // Detents that lay between: one movement past them is the fault.
    let from = context.aircraft.nearest_detent(first.from_rad).unwrap_or(0);
    let to = up
        .last()
        .and_then(|last| context.aircraft.nearest_detent(last.to_rad))
        .unwrap_or(0);
    if from.saturating_sub(to) < 2 {
        return None;
    }
    let skipped = up.iter().find(|step| {
        let detent = |angle| context.aircraft.nearest_detent(angle).unwrap_or(0);
        detent(step.from_rad).saturating_sub(detent(step.to_rad)) > 1
    });
    let hidden = up.len() < 2 && could_be_steps(context, first);
    let met = match up.len() {
        2.. => 0.99,
        _ if hidden => 0.5,
        _ => 0.01,
    };
    let note = match skipped {
        Some(step) if hidden => {
            words(step)
                + " without a rest: they travel so slowly that this may have been one movement or notch by notch"
        }
        Some(step) => words(step) + " in one movement",
        None => format!("{} steps", up.len()),
    };
    let mut mark = draft::chance(mark, met, Some(first.at_s), Origin::Measured, &note);
    mark.worst = Some(up.len() as f64);
    mark.ribbon = Some(turn::moment(
        first.at_s,
        if met > 0.5 { 0.0 } else { 2.0 },
        0.0,
    ));
    Some(mark)
}

/// Whether a movement past a detent may have been two that followed each other: it took long enough for a hand to wait,
/// and what the hand waits for, a climb, was there.
fn could_be_steps(context: &Context, step: &FlapStep) -> bool {
    let Some(flaps) = &context.flight.flaps else {
        return false;
    };
    let detents = context.aircraft.flaps.iter().rev();
    let next = detents
        .map(|detent| detent.angle_rad)
        .find(|angle| *angle < step.from_rad - 0.02);
    let clock = context.flight.clock;
    let to_s = step.at_s + 30.0;
    let range = clock.index(step.at_s)..clock.index(to_s).min(clock.len);
    let passed = next.and_then(|next| {
        let index = range.clone().find(|i| flaps.angle.at(*i) < next)?;
        Some(clock.time_s(index))
    });
    let Some(passed_s) = passed.filter(|at| at - step.at_s >= WAITS_S) else {
        return false;
    };
    let climb = context.flight.climb.as_ref();
    let climb = climb.and_then(|climb| context.mean(climb, passed_s - 0.5, passed_s + 0.5));
    climb.is_none_or(|climb| climb > -CLIMBS_MPS)
}

/// Flap angle left at the end, degrees. `None` when no flap was out in the maneuver.
pub(super) fn retracted(context: &Context, mut mark: Mark) -> Option<Mark> {
    if none(context) {
        return None;
    }
    let Some(flaps) = &context.flight.flaps else {
        return Some(draft::not_recorded(mark, "flaps were not recorded"));
    };
    let end_s = context.maneuver.end_s + AFTER_S;
    let index = context.flight.clock.index(end_s);
    if recorded(context) {
        let out = steps(context, context.maneuver.start_s - AFTER_S, end_s)
            .next()
            .is_some();
        let angle = context.known(&flaps.angle, index).to_degrees();
        if !out && angle < 1.0 {
            return None;
        }
        mark.high = Some(0.0);
        let met = if angle < 1.0 { 0.99 } else { 0.01 };
        let mut mark = draft::chance(mark, met, Some(end_s), Origin::Measured, "");
        (mark.worst, mark.sigma) = (Some(angle), Some(0.5));
        return Some(mark);
    }
    if context.flight.air == Air::Rough {
        // Gusts move the nose by more than a flap setting does: no claim.
        return Some(draft::not_recorded(
            mark,
            "flaps were not recorded, and the air was too rough to infer them",
        ));
    }
    origin_id(Origin::Derived).clone_into(&mut mark.origin);
    let chance_at = |at_s: f64| {
        let index = context.flight.clock.index(at_s);
        let chances: Vec<f64> = flaps
            .out
            .iter()
            .skip(index.saturating_sub(1))
            .take(3)
            .map(|chance| f64::from(*chance))
            .collect();
        crate::context::mean(&chances).unwrap_or(f64::NAN)
    };
    let out = chance_at(end_s);
    if out.is_nan() || (1.0 - SURE..SURE).contains(&out) {
        return Some(draft::not_recorded(
            mark,
            "flaps were not recorded, and do not show clearly enough",
        ));
    }
    // The time of an inferred step is known to some ten seconds: only flaps that are still out well after
    // the end were left out at it.
    let last_s = context
        .flight
        .clock
        .time_s(context.flight.clock.len.saturating_sub(1));
    let still = STILL_OUT_S.iter().all(|after_s| {
        let at_s = end_s + after_s;
        at_s <= last_s && chance_at(at_s) >= SURE
    });
    if out >= SURE && !still {
        return Some(draft::chance(
            mark,
            0.5,
            Some(end_s),
            Origin::Derived,
            "inferred from how it flew: they came up about the end or soon after",
        ));
    }
    Some(draft::chance(
        mark,
        1.0 - out,
        Some(end_s),
        Origin::Derived,
        "inferred from how it flew",
    ))
}
