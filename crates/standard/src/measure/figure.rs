//! A figure that the maneuver works out, against limits of its own or about a target.

use super::aim;
use super::turn::moment;
use crate::context::Context;
use crate::draft::{self, Aim, Number, rounded};
use crate::model::Mark;
use crate::pack::{Criterion, LimitOrigin, Target};
use crate::units;

/// Marks a figure of the maneuver.
pub(super) fn figure(context: &Context, criterion: &Criterion, mut mark: Mark) -> Mark {
    // Where nobody said what was asked for, that is the first thing to say.
    if criterion.target == Target::Briefed
        && let Err(none) = aim::aim(context, criterion, 1.0, None)
    {
        return none.answer(mark);
    }
    let Some(fact) = context.maneuver.facts.get(criterion.figure) else {
        return draft::not_recorded(mark, &aim::why_missing(context, criterion.figure));
    };
    let Some(per_unit) = units::per_unit(fact.unit, &criterion.unit) else {
        return draft::not_recorded(mark, "the figure is not measured in this unit");
    };
    if let Err(why) = aim::limit(context, criterion, per_unit, &mut mark) {
        return draft::not_recorded(mark, why);
    }
    let aim = match aim::aim(context, criterion, per_unit, None) {
        Ok(aim) => aim,
        Err(none) => return none.answer(mark),
    };
    let (value, own) = (fact.value / per_unit, fact.sigma / per_unit);
    let sigma = own.hypot(aim.map_or(0.0, |aim| aim.sigma));
    // A measurement as wide as half the tolerance decides nothing, and says so.
    if criterion
        .tolerance()
        .is_some_and(|tolerance| sigma > 0.5 * tolerance)
        || !sigma.is_finite()
    {
        let words = format!("known only to ± {} {}", rounded(sigma), mark.unit);
        return draft::not_recorded(mark, words.trim_end());
    }
    let mut number = Number {
        value,
        sigma,
        at_s: at_s(context, criterion),
        note: mark.note.clone(),
    };
    if let Some(aim) = aim {
        number.value = about(&mut mark, criterion, aim, value);
    }
    let mut mark = draft::number(mark, &number, fact.origin);
    let target = aim.map_or(0.0, |aim| aim.value);
    if let (Some(worst), Some((middle, half))) = (mark.worst, scale(criterion)) {
        let deviation = (worst - target - middle) / half;
        mark.ribbon = Some(moment(number.at_s, deviation, sigma / half));
    }
    mark
}

/// Puts the limits about the target; angles the short way round.
fn about(mark: &mut Mark, criterion: &Criterion, aim: Aim, value: f64) -> f64 {
    mark.target = Some(aim.value);
    mark.low = criterion.low.map(|low| aim.value + low);
    mark.high = criterion.high.map(|high| aim.value + high);
    if criterion.origin == LimitOrigin::Published {
        aim.origin.id().clone_into(&mut mark.limit_origin);
    }
    if criterion.briefed == Some(crate::pack::BriefedBy::Heading) {
        return aim.value + (value - aim.value + 540.0).rem_euclid(360.0) - 180.0;
    }
    value
}

/// Middle and half width of the band; none where there is only one side without a target.
fn scale(criterion: &Criterion) -> Option<(f64, f64)> {
    match (criterion.low, criterion.high) {
        (Some(low), Some(high)) => Some((0.5 * (low + high), 0.5 * (high - low))),
        _ => criterion.tolerance().map(|half| (0.0, half)),
    }
    .filter(|(_, half)| *half > 0.0)
}

/// The moment that the figure belongs to: the window's first, else the end.
fn at_s(context: &Context, criterion: &Criterion) -> f64 {
    criterion
        .window
        .first()
        .and_then(|name| context.moment(name))
        .map_or(context.maneuver.end_s, |moment| moment.at_s)
}
