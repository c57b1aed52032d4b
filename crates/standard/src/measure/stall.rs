//! Stalls: where the recovery began, how soon, the pull, the descent before, the climb after.

use super::power::{recovery_sigma, seconds_sigma};
use crate::briefed::Recovery;
use crate::context::Context;
use crate::draft::{self, Number};
use crate::instrument;
use crate::model::Mark;
use crate::pack::LimitOrigin;
use air::units::MPS_PER_KT;
use flight::{Air, Fit, Origin};

/// Chance that the wing stalled fully: the maneuver's own figure, else that of the event.
pub(super) fn full_stall(context: &Context) -> f64 {
    let fact = context.maneuver.fact("full_stall_probability");
    if fact.is_finite() {
        return fact;
    }
    context
        .maneuver
        .event("full_stall")
        .map_or(f64::NAN, |event| event.probability)
}

/// Recovery after a full stall: private pilots always.
pub(super) fn after_full_stall(context: &Context, mark: Mark) -> Mark {
    let chance = full_stall(context);
    let at_s = context.stall().map(|moment| moment.at_s);
    draft::chance(mark, chance, at_s, Origin::Derived, full_words(chance))
}

fn full_words(chance: f64) -> &'static str {
    match chance {
        c if c.is_nan() => "the stall itself was not found",
        c if c >= 0.95 => "the wing stalled fully",
        c if c <= 0.05 => "the recovery began before the full stall",
        _ => "the recording cannot tell a full stall from its first cue here",
    }
}

/// Recovery at the point that was specified.
pub(super) fn as_specified(context: &Context, mut mark: Mark) -> Mark {
    let full = full_stall(context);
    let (recovery, origin) = context.recovery;
    origin.id().clone_into(&mut mark.limit_origin);
    // The accelerated stall stops at the impending stall (FAA-S-ACS-7B, CA.VII.D.S5); instructors ask for more.
    let accelerated = context.maneuver.kind == maneuver::Kind::AcceleratedStall;
    if accelerated && origin == LimitOrigin::Assumed && full >= 0.5 {
        return draft::for_instructor(
            mark,
            "the standard stops at the impending stall, and the wing stalled: was a full stall asked for?",
        );
    }
    let (met, asked) = match recovery {
        Recovery::FullStall => (full, "asked for: full stall"),
        Recovery::FirstIndication => (1.0 - full, "asked for: first indication"),
    };
    let by = if origin == LimitOrigin::Briefed {
        "briefed"
    } else {
        "assumed"
    };
    let note = format!("{asked} ({by}); {}", full_words(full));
    let at_s = context.stall().map(|moment| moment.at_s);
    draft::chance(mark, met, at_s, Origin::Derived, &note)
}

/// Time from the full stall to the start of the recovery, s. Without a full stall there is none.
pub(super) fn prompt(context: &Context, mark: Mark) -> Option<Mark> {
    let full = full_stall(context);
    if full <= 0.05 {
        return None;
    }
    if full.is_nan() || full < 0.5 {
        return Some(draft::chance(
            mark,
            if full.is_nan() { full } else { 0.5 },
            None,
            Origin::Derived,
            full_words(full),
        ));
    }
    let (Some(stall), Some(recovery)) =
        (context.event("full_stall"), context.event("recovery_start"))
    else {
        return Some(draft::not_recorded(
            mark,
            "the start of the recovery was not found",
        ));
    };
    let taken = Number {
        value: recovery.at_s - stall.at_s,
        sigma: recovery_sigma(context, stall.sigma_s.hypot(recovery.sigma_s)),
        at_s: stall.at_s,
        note: String::new(),
    };
    Some(draft::clock(mark, &taken, Origin::Derived))
}

/// No second stall in the recovery.
pub(super) fn no_secondary(context: &Context, mark: Mark) -> Mark {
    let event = context.maneuver.event("secondary_stall");
    let at_s = event.map(|event| event.at_s);
    let fact = context.maneuver.fact("secondary_stall_probability");
    let second = if fact.is_finite() {
        fact
    } else {
        event.map_or(f64::NAN, |event| event.probability)
    };
    if second.is_finite() {
        let note = if second >= 0.5 {
            "the wing stalled again"
        } else {
            ""
        };
        return draft::chance(mark, 1.0 - second, at_s, Origin::Derived, note);
    }
    if context.flight.aoa.is_none() && context.flight.lift_ratio.is_none() {
        return draft::not_recorded(mark, "neither angle of attack nor lift ratio is known");
    }
    // Nothing was found by what was looked at; how well that looks depends on what was recorded.
    let overlooked = match (context.flight.fit, context.flight.air) {
        (_, Air::Rough) => 0.25,
        (Fit::Rich, _) => 0.02,
        (_, Air::Light) => 0.1,
        (Fit::Panel, Air::Calm) => 0.05,
        _ => 0.1,
    };
    draft::chance(mark, 1.0 - overlooked, at_s, Origin::Derived, "none found")
}

/// Fastest pitch-up on the way to the stall over one second, degrees a second.
pub(super) fn pitch_up(context: &Context, mark: Mark) -> Mark {
    let Some(pitch) = &context.flight.pitch else {
        return draft::not_recorded(mark, "no pitch was recorded");
    };
    let (Some(pull), Some(stall)) = (context.moment("pitch_up"), context.stall()) else {
        return draft::not_recorded(mark, "the pull was not found");
    };
    let step_s = context.flight.clock.step_s;
    let reach = (1.0 / step_s).round().max(1.0) as usize;
    let from_s = (pull.at_s - 1.0).max(0.0);
    let values = context.slice(pitch, from_s, stall.at_s.max(from_s + 2.0));
    let fastest = values
        .windows(reach + 1)
        .enumerate()
        .filter_map(|(index, span)| {
            let rate = (span.last()? - span.first()?) / (reach as f64 * step_s);
            rate.is_finite().then_some((rate.to_degrees(), index))
        })
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let Some((rate, index)) = fastest else {
        return draft::not_recorded(mark, "no pitch was recorded here");
    };
    // At one sample a second a short pull is averaged with what came before and after it.
    let sigma = if step_s >= 0.5 { 0.8 } else { 0.4 };
    let number = Number {
        value: rate,
        sigma: sigma + 0.05 * rate.abs(),
        at_s: from_s + (index as f64 + 0.5 * reach as f64) * step_s,
        note: String::new(),
    };
    draft::number(mark, &number, pitch.origin)
}

/// Time in a steady descent before the pull, s, as the maneuver has it.
pub(super) fn descent(context: &Context, mark: Mark) -> Mark {
    let Some(pull) = context.moment("pitch_up") else {
        return draft::not_recorded(mark, "the pull was not found");
    };
    let Some(steady) = context.maneuver.facts.get("steady_descent_duration") else {
        return draft::not_recorded(mark, "no climb rate was recorded before the pull");
    };
    let taken = Number {
        value: steady.value,
        sigma: seconds_sigma(context, steady.sigma),
        at_s: pull.at_s,
        note: String::new(),
    };
    draft::clock(mark, &taken, Origin::Derived)
}

/// Highest airspeed over VY before the climb, kt.
pub(super) fn climb(context: &Context, mark: Mark) -> Mark {
    let Some(ias) = &context.flight.ias else {
        return draft::not_recorded(mark, "no airspeed was recorded");
    };
    let Some(vy_mps) = context.aircraft.speeds.vy_mps else {
        return draft::not_recorded(mark, "the aircraft file gives no VY");
    };
    let Some(recovery) = context.event("recovery_start").or_else(|| context.stall()) else {
        return draft::not_recorded(mark, "the recovery was not found");
    };
    let Some(fastest) = context.maneuver.facts.get("ias_max_before_climb") else {
        return draft::not_recorded(mark, "nothing was recorded in the recovery");
    };
    let climbing = context.event("positive_climb");
    let number = Number {
        value: (fastest.value - vy_mps) / MPS_PER_KT,
        sigma: instrument::airspeed_kt(ias, fastest.sigma),
        at_s: climbing.unwrap_or(recovery).at_s,
        note: if climbing.is_some() {
            String::new()
        } else {
            "no climb was found before the end".to_owned()
        },
    };
    draft::number(mark, &number, ias.origin)
}
