//! From a measurement to a [`Mark`].

use crate::context::{Context, origin_id};
use crate::decide;
use crate::held::{self, Held};
use crate::model::{Mark, Ribbon, RibbonStyle, Verdict};
use crate::pack::{Criterion, LimitOrigin};
use crate::ribbon;
use flight::Origin;

/// The target of a deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Aim {
    pub value: f64,
    /// How well we know what was asked for, 1-σ.
    pub sigma: f64,
    pub origin: LimitOrigin,
}

/// A quantity along time, in the criterion's unit.
pub(crate) struct Line {
    /// Time of the first value, s.
    pub from_s: f64,
    /// Step, s.
    pub step_s: f64,
    /// Values over the whole stretch that is drawn; NaN where unknown.
    pub values: Vec<f64>,
    /// Graded samples.
    pub graded: Vec<bool>,
    /// What all values have wrong together, 1-σ.
    pub slow_sigma: f64,
    pub aim: Option<Aim>,
    pub origin: Origin,
    pub note: String,
}

/// A single number.
#[derive(Clone, Default)]
pub(crate) struct Number {
    pub value: f64,
    pub sigma: f64,
    pub at_s: f64,
    pub note: String,
}

/// An empty mark for a criterion.
pub(crate) fn blank(context: &Context, element: &str, criterion: &Criterion) -> Mark {
    let _ = context;
    Mark {
        element: element.to_owned(),
        criterion: criterion.id.clone(),
        quantity: criterion.quantity.clone(),
        unit: criterion.unit.clone(),
        target: None,
        low: criterion.low,
        high: criterion.high,
        worst: None,
        sigma: None,
        outside_s: None,
        at_s: None,
        probability: None,
        mark: Verdict::NotRecorded,
        limit_origin: criterion.origin.id().to_owned(),
        origin: origin_id(Origin::Measured).to_owned(),
        note: criterion.note.clone(),
        ribbon: None,
    }
}

/// The recorder did not carry what it takes.
pub(crate) fn not_recorded(mut mark: Mark, why: &str) -> Mark {
    mark.mark = Verdict::NotRecorded;
    why.clone_into(&mut mark.note);
    (mark.worst, mark.sigma, mark.probability, mark.outside_s) = (None, None, None, None);
    mark
}

/// Only a person can judge.
pub(crate) fn for_instructor(mut mark: Mark, why: &str) -> Mark {
    mark.mark = Verdict::ForInstructor;
    why.clone_into(&mut mark.note);
    mark
}

/// Marks a yes-or-no criterion by the chance that it is met.
pub(crate) fn chance(
    mut mark: Mark,
    met: f64,
    at_s: Option<f64>,
    origin: Origin,
    note: &str,
) -> Mark {
    if met.is_nan() {
        return not_recorded(mark, note);
    }
    mark.probability = Some(met.clamp(0.0, 1.0));
    mark.mark = decide::verdict(met);
    mark.at_s = at_s;
    origin_id(origin).clone_into(&mut mark.origin);
    if !note.is_empty() {
        note.clone_into(&mut mark.note);
    }
    mark
}

/// Marks a single number against the mark's own limits.
pub(crate) fn number(mut mark: Mark, number: &Number, origin: Origin) -> Mark {
    if !(number.value.is_finite() && number.sigma.is_finite()) {
        return not_recorded(
            mark,
            if number.note.is_empty() {
                "nothing was recorded here"
            } else {
                &number.note
            },
        );
    }
    let met = decide::within(
        number.value,
        number.value,
        mark.low,
        mark.high,
        number.sigma,
    );
    mark.worst = Some(number.value);
    mark.sigma = Some(number.sigma);
    let note = if number.note.is_empty() {
        mark.note.clone()
    } else {
        number.note.clone()
    };
    chance(mark, met, Some(number.at_s), origin, &note)
}

/// Marks a duration against its limit, drawn as a clock.
pub(crate) fn clock(mark: Mark, taken: &Number, origin: Origin) -> Mark {
    let limit = mark.high.or(mark.low).unwrap_or(1.0);
    let mut mark = number(mark, taken, origin);
    if mark.worst.is_some() && limit > 0.0 {
        mark.ribbon = Some(Ribbon {
            start_s: taken.at_s,
            step_s: limit,
            graded_from_s: taken.at_s,
            graded_to_s: taken.at_s + limit,
            deviation: vec![Some((taken.value / limit) as f32)],
            sigma: (taken.sigma / limit) as f32,
            style: RibbonStyle::Clock,
            moments_s: Vec::new(),
        });
    }
    mark
}

/// Marks a quantity along time: the worst that was kept up for the policy's time.
pub(crate) fn line(mut mark: Mark, criterion: &Criterion, line: &Line) -> Mark {
    let target = line.aim.map_or(0.0, |aim| aim.value);
    let deviations: Vec<f64> = line
        .values
        .iter()
        .zip(&line.graded)
        .map(|(value, graded)| if *graded { value - target } else { f64::NAN })
        .collect();
    if let Some(aim) = line.aim {
        mark.target = Some(aim.value);
        mark.low = criterion.low.map(|low| aim.value + low);
        mark.high = criterion.high.map(|high| aim.value + high);
        if criterion.origin == LimitOrigin::Published {
            aim.origin.id().clone_into(&mut mark.limit_origin);
        }
    }
    let samples = |seconds: f64| (seconds / line.step_s).round() as usize + 1;
    let policy = criterion.policy;
    let outside = held::excursions(
        &deviations,
        criterion.low,
        criterion.high,
        samples(policy.held_s),
    );
    let forgiven = outside.lasting <= policy.forgiven && outside.lasting > 0;
    let length = samples(if forgiven {
        policy.prompt_s
    } else {
        policy.held_s
    });
    let Some(kept) = held::held(&deviations, length) else {
        return not_recorded(mark, "nothing was recorded here");
    };
    let sigma = line_sigma(line, &deviations);
    if criterion
        .tolerance()
        .is_some_and(|tolerance| sigma > 0.5 * tolerance)
        || !sigma.is_finite()
    {
        let words = format!("known only to ± {} {}", rounded(sigma), mark.unit);
        return not_recorded(mark, words.trim_end());
    }
    let met = decide::within(kept.low, kept.high, criterion.low, criterion.high, sigma);
    let (worst, at) = worst_side(kept, criterion);
    mark.worst = Some(target + worst);
    mark.sigma = Some(sigma);
    mark.outside_s = Some(outside.samples as f64 * line.step_s);
    mark.ribbon = Some(ribbon::line(line, criterion, target, sigma));
    let at_s = line.from_s + at as f64 * line.step_s;
    let note = note(&mark.note, &line.note, outside, line.step_s, met);
    chance(mark, met, Some(at_s), line.origin, &note)
}

/// What all values have wrong together, the target's own uncertainty, and what is left of the noise from
/// sample to sample: a peak that was kept up averages over a few of them.
fn line_sigma(line: &Line, deviations: &[f64]) -> f64 {
    let aim = line.aim.map_or(0.0, |aim| aim.sigma);
    let fast = 0.7 * held::roughness(deviations);
    (line.slow_sigma.powi(2) + aim.powi(2) + fast.powi(2)).sqrt()
}

/// The side that comes nearer to its limit, or goes farther beyond it.
fn worst_side(kept: Held, criterion: &Criterion) -> (f64, usize) {
    let low_margin = criterion.low.map_or(f64::INFINITY, |low| kept.low - low);
    let high_margin = criterion
        .high
        .map_or(f64::INFINITY, |high| high - kept.high);
    if low_margin < high_margin {
        (kept.low, kept.low_at)
    } else {
        (kept.high, kept.high_at)
    }
}

fn note(pack: &str, line: &str, outside: held::Excursions, step_s: f64, met: f64) -> String {
    let brief = outside.count > 0 && met >= decide::MET_FROM;
    let mut parts: Vec<String> = Vec::new();
    if brief {
        let longest = outside.longest as f64 * step_s;
        parts.push(format!("outside for {longest:.1} s at most, corrected"));
    }
    for words in [line, pack] {
        if !words.is_empty() && parts.iter().all(|part| part != words) {
            parts.push(words.to_owned());
        }
    }
    parts.join("; ")
}

/// A number for a sentence: two figures.
pub(crate) fn rounded(value: f64) -> String {
    if !value.is_finite() {
        return "unknown".to_owned();
    }
    let digits = match value.abs() {
        size if size >= 9.5 => 0,
        size if size >= 0.95 => 1,
        _ => 2,
    };
    format!("{value:.digits$}")
}
