//! Slow flight: airspeed and stall warning, throughout.

use super::line;
use super::slow_flight::{settled, stretches, window};
use crate::context::{Context, mean, median};
use crate::draft::{self, Aim, Number};
use crate::held;
use crate::instrument;
use crate::model::{Mark, Verdict};
use crate::pack::{Criterion, LimitOrigin};
use air::units::MPS_PER_KT;
use flight::Origin;

/// Where slow flight lies above the stall when nobody said, kt: the stall warning comes at least 5 kt
/// before the stall (14 CFR 23.207 as of amendment 62), on trainers 5 to 10 kt, and the speed asked for
/// lies just above the warning. So 9.5 ± 2.5 above the stall speed of the flap setting.
const ABOVE_STALL_KT: (f64, f64) = (9.5, 2.5);

/// Airspeed against the slow-flight speed, kt.
pub(super) fn airspeed(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.ias else {
        return draft::not_recorded(mark, "no airspeed was recorded");
    };
    let Some(window) = context.window(criterion) else {
        return draft::not_recorded(mark, "the established part was not found");
    };
    let (from_s, to_s) = settled(context, window);
    let Some(mut line) = line::drawn(context, series, MPS_PER_KT, (from_s, to_s)) else {
        return draft::not_recorded(mark, "no airspeed was recorded here");
    };
    line.slow_sigma = instrument::airspeed_kt(series, line.slow_sigma * MPS_PER_KT);
    if let Some(value) = context.asked.speed_kias {
        line.aim = Some(Aim {
            value,
            sigma: 0.0,
            origin: LimitOrigin::Briefed,
        });
        return draft::line(mark, criterion, &line);
    }
    let graded: Vec<f64> = line
        .values
        .iter()
        .zip(&line.graded)
        .filter(|(_, graded)| **graded)
        .map(|(value, _)| *value)
        .collect();
    let kept = held::held(
        &graded,
        (criterion.policy.held_s / line.step_s).round() as usize + 1,
    );
    let (Some(kept), Some((stall_kt, stall_sigma_kt))) = (kept, stall_kt(context, from_s, to_s))
    else {
        return draft::for_instructor(
            mark,
            "nobody briefed the speed, and the aircraft file gives no stall speed to infer it from",
        );
    };
    let sigma = ABOVE_STALL_KT.1.hypot(stall_sigma_kt);
    // The speed asked for is whole knots at best.
    let value = (stall_kt + ABOVE_STALL_KT.0).round();
    line.aim = Some(Aim {
        value,
        sigma,
        origin: LimitOrigin::Assumed,
    });
    // The unknown target is not a fault of the recorder: no answer is lost for it, only handed on.
    let (low, high) = (
        criterion.low.map(|low| value + low),
        criterion.high.map(|high| value + high),
    );
    let total = sigma.hypot(line.slow_sigma);
    let met = crate::decide::within(kept.low, kept.high, low, high, total);
    let mut open = mark.clone();
    (open.target, open.low, open.high) = (Some(value), low, high);
    let far = criterion.high.is_some_and(|high| {
        kept.high - (value + high) > criterion.low.map_or(0.0, |low| value + low - kept.low)
    });
    open.worst = Some(if far { kept.high } else { kept.low });
    open.sigma = Some(total);
    open.probability = Some(met);
    LimitOrigin::Assumed.id().clone_into(&mut open.limit_origin);
    open.ribbon = Some(crate::ribbon::line(
        &line,
        criterion,
        value,
        line.slow_sigma,
    ));
    if let Verdict::TooClose = crate::decide::verdict(met) {
        let note = format!(
            "which speed was asked for? You kept between {:.0} and {:.0} kt",
            kept.low, kept.high
        );
        return draft::for_instructor(open, &note);
    }
    let note =
        format!("the speed was not briefed; about {value:.0} kt assumed, from the stall speed");
    let at = if far { kept.high_at } else { kept.low_at };
    draft::chance(
        open,
        met,
        Some(from_s + at as f64 * line.step_s),
        line.origin,
        &note,
    )
}

/// Stall speed of the flaps that were out, kt, and how well that is known.
fn stall_kt(context: &Context, from_s: f64, to_s: f64) -> Option<(f64, f64)> {
    let kt = |detent: usize| {
        let figure = context.aircraft.stall_speed_at(detent, 1.0)?;
        Some((figure.value_mps / MPS_PER_KT, figure.sigma_mps / MPS_PER_KT))
    };
    let angle = context
        .flight
        .flaps
        .as_ref()
        .and_then(|flaps| median(context.slice(&flaps.angle, from_s, to_s)));
    if let Some(detent) = angle.and_then(|angle| context.aircraft.nearest_detent(angle)) {
        let inferred = context
            .flight
            .flaps
            .as_ref()
            .is_some_and(|flaps| flaps.angle.origin != Origin::Measured);
        return kt(detent)
            .map(|(value, sigma)| (value, if inferred { sigma.hypot(1.5) } else { sigma }));
    }
    // Anything from clean to full flap.
    let full = context.aircraft.flaps.len().checked_sub(1)?;
    let (clean, out) = (kt(0)?.0, kt(full)?.0);
    Some((0.5 * (clean + out), (0.5 * (clean - out).abs()).max(1.0)))
}

/// Longest sounding of the stall warning, s.
pub(super) fn no_warning(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.stall_warning else {
        return draft::not_recorded(mark, "no stall warning was recorded");
    };
    let Some((first, last)) = window(context, criterion) else {
        return draft::not_recorded(mark, "the established part was not found");
    };
    let step_s = context.flight.clock.step_s;
    let on = stretches(first, last, |index| context.known(series, index) > 0.5);
    let longest = on.iter().max_by_key(|(a, b)| b - a);
    let seconds = longest.map_or(0.0, |(a, b)| (b - a + 1) as f64 * step_s);
    let values: Vec<f64> = (first..=last)
        .map(|index| context.known(series, index))
        .collect();
    if mean(&values).is_none() {
        return draft::not_recorded(mark, "no stall warning was recorded here");
    }
    let number = Number {
        value: seconds,
        sigma: (0.5 * step_s).max(0.1),
        at_s: context
            .flight
            .clock
            .time_s(longest.map_or(first, |(a, _)| *a)),
        note: String::new(),
    };
    let mut mark = draft::number(mark, &number, series.origin);
    mark.outside_s = Some(on.iter().map(|(a, b)| (b - a + 1) as f64 * step_s).sum());
    mark
}
