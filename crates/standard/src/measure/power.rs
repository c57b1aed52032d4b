//! Power: how soon full, and how much at the stall.

use crate::context::{Context, Moment};
use crate::draft::{self, Number};
use crate::model::Mark;
use crate::pack::LimitOrigin;
use flight::{Air, Origin, PowerState};

/// Time from the start of the recovery to full power, s.
pub(super) fn prompt(context: &Context, mark: Mark) -> Mark {
    let Some(recovery) = context.event("recovery_start") else {
        return draft::not_recorded(mark, "the start of the recovery was not found");
    };
    let full = context
        .event("full_power")
        .filter(|full| gauges_agree(context, full.at_s));
    let risen = risen(context, recovery.at_s);
    if let Some(full) = full.or(risen) {
        let taken = Number {
            value: full.at_s - recovery.at_s,
            sigma: recovery_sigma(context, full.sigma_s.hypot(recovery.sigma_s)),
            at_s: recovery.at_s,
            note: String::new(),
        };
        return draft::clock(mark, &taken, Origin::Derived);
    }
    let state = |at_s: f64| {
        context
            .flight
            .power_state
            .get(context.flight.clock.index(at_s))
            .copied()
            .unwrap_or(PowerState::Unknown)
    };
    let limit_s = mark.high.unwrap_or(3.0);
    if state(recovery.at_s) == PowerState::Full {
        let taken = Number {
            value: 0.0,
            sigma: 0.5,
            at_s: recovery.at_s,
            note: "power was full already".to_owned(),
        };
        return draft::clock(mark, &taken, Origin::Derived);
    }
    let after: Vec<PowerState> = (1..=20)
        .map(|half| state(recovery.at_s + 0.5 * f64::from(half)))
        .collect();
    if after.iter().all(|state| *state == PowerState::Unknown) {
        return draft::not_recorded(mark, "no power was recorded");
    }
    let first = after.iter().position(|state| *state == PowerState::Full);
    let value = first.map_or(10.0, |index| 0.5 * (index as f64 + 1.0));
    let note = if first.is_some() {
        String::new()
    } else {
        format!("full power was not seen within {:.0} s", limit_s.max(10.0))
    };
    draft::clock(
        mark,
        &Number {
            value,
            sigma: 0.8,
            at_s: recovery.at_s,
            note,
        },
        Origin::Derived,
    )
}

/// Half of the highest power of the recovery: where a rise is steepest and its time best known.
const HALF: f64 = 0.5;
/// Engine speed and fuel flow follow the lever by a second or two (common practice, no source), s.
const GAUGE_LAG_S: f64 = 1.5;
/// By then even a slow gauge shows it, s.
const GAUGE_SLOWEST_S: f64 = 5.0;
/// Power is looked for until this long after the recovery began, s.
const LOOK_S: f64 = 20.0;

/// Highest power in a span, where it was recorded and is more than idle.
fn highest(context: &Context, from_s: f64, to_s: f64) -> Option<f64> {
    let power = context.flight.power.as_ref()?;
    context
        .slice(power, from_s, to_s)
        .into_iter()
        .filter(|share| share.is_finite())
        .reduce(f64::max)
        .filter(|share| *share > 0.25)
}

/// Whether the engine's gauges do not contradict full power at a time: within five seconds they must show
/// at least half of what they show at most in the next half minute.
fn gauges_agree(context: &Context, at_s: f64) -> bool {
    let span = (at_s - 2.0, at_s + GAUGE_SLOWEST_S);
    let silent = context.flight.power.as_ref().is_none_or(|power| {
        let values = context.slice(power, span.0, span.1);
        values.iter().all(|share| share.is_nan())
    });
    if silent {
        // Gauges that say nothing contradict nothing.
        return true;
    }
    let most = highest(context, at_s - 2.0, at_s + 30.0);
    let here = highest(context, span.0, span.1);
    match (most, here) {
        (Some(most), Some(here)) => here >= 0.5 * most,
        (Some(_), None) => false,
        _ => true,
    }
}

/// When the power was called for in the recovery, from its rise; none where it is not recorded or was up
/// before.
fn risen(context: &Context, recovery_s: f64) -> Option<Moment> {
    let power = context.flight.power.as_ref()?;
    let most = highest(context, recovery_s - 1.0, recovery_s + LOOK_S)?;
    let (first, last) = context.samples(recovery_s - 1.0, recovery_s + LOOK_S)?;
    let full = |index: &usize| context.known(power, *index) >= HALF * most;
    let index = (first..=last).find(full)?;
    let at_s = context.flight.clock.time_s(index) - GAUGE_LAG_S;
    (at_s > recovery_s - 0.5).then_some(Moment {
        at_s,
        sigma_s: GAUGE_LAG_S,
    })
}

/// At one sample a second, both ends of a duration are known to about half a second; that makes a guard
/// band of 0.8 s.
pub(super) fn seconds_sigma(context: &Context, sigma_s: f64) -> f64 {
    let floor = if context.flight.clock.step_s >= 0.5 {
        0.8 / crate::decide::GUARD_SIGMAS
    } else {
        0.15
    };
    sigma_s.max(floor)
}

/// As [`seconds_sigma`], for what hangs on the start of the recovery: in rough air, without the stick or a
/// vane, the gusts move the nose as much as the pilot does, and that start is known to seconds only.
pub(super) fn recovery_sigma(context: &Context, sigma_s: f64) -> f64 {
    let flight = context.flight;
    let vane = flight
        .aoa
        .as_ref()
        .is_some_and(|aoa| aoa.origin == Origin::Measured);
    let blind = flight.air == Air::Rough && flight.elevator.is_none() && !vane;
    seconds_sigma(context, sigma_s).max(if blind { 2.5 } else { 0.0 })
}

/// Power at the stall as a share of what was available there, percent, as the maneuver has it.
pub(super) fn percent(context: &Context, mut mark: Mark) -> Mark {
    let Some(power) = &context.flight.power else {
        return draft::not_recorded(mark, "no power was recorded");
    };
    let Some(stall) = context.stall() else {
        return draft::not_recorded(mark, "the stall was not found");
    };
    let Some(share) = context.maneuver.facts.get("power_share_at_stall") else {
        return draft::not_recorded(mark, "full power was never seen at this height");
    };
    if share.origin == Origin::Assumed {
        LimitOrigin::Assumed.id().clone_into(&mut mark.limit_origin);
    }
    let number = Number {
        value: 100.0 * share.value,
        sigma: 100.0 * share.sigma,
        at_s: stall.at_s,
        note: "of the most power seen near this height".to_owned(),
    };
    draft::number(mark, &number, power.origin)
}
