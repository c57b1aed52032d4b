//! Height above the ground.

use super::line;
use crate::context::Context;
use crate::draft::{self, Number};
use crate::model::Mark;
use crate::pack::Criterion;
use crate::ribbon;
use air::units::M_PER_FT;

/// Lowest height above ground in the task, ft.
pub(super) fn lowest(context: &Context, criterion: &Criterion, mark: Mark) -> Mark {
    let Some(series) = &context.flight.agl else {
        let why = "the terrain's elevation was not given";
        return draft::not_recorded(mark, why);
    };
    let span = (context.maneuver.start_s, context.maneuver.end_s);
    let Some((first, last)) = context.samples(span.0, span.1) else {
        return draft::not_recorded(mark, "no height was recorded here");
    };
    let lowest = (first..=last)
        .map(|index| (index, context.known(series, index)))
        .filter(|(_, height)| height.is_finite())
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let Some((index, height_m)) = lowest else {
        return draft::not_recorded(mark, "no height was recorded here");
    };
    let number = Number {
        value: height_m / M_PER_FT,
        sigma: series.sigma_at(index) / M_PER_FT,
        at_s: context.flight.clock.time_s(index),
        note: String::new(),
    };
    let mut mark = draft::number(mark, &number, series.origin);
    let sigma = number.sigma;
    mark.ribbon = line::drawn(context, series, M_PER_FT, span)
        .map(|line| ribbon::line(&line, criterion, 0.0, sigma));
    mark
}
