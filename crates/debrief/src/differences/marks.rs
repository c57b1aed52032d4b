//! Differences of marks: another answer, another worst value, another limit.

use super::words::{answer, limit};
use super::{About, Difference};
use crate::document::ManeuverDebrief;
use crate::words::with_unit;
use standard::Mark;

pub(super) fn differences(
    about: &About<'_>,
    was: &ManeuverDebrief,
    is: &ManeuverDebrief,
    all: &mut Vec<Difference>,
) {
    // Another pack, another code: then the criterion alone tells which is which.
    let same_task = was.task == is.task;
    let same =
        |a: &Mark, b: &Mark| a.criterion == b.criterion && (!same_task || a.element == b.element);
    for mark in &is.marks {
        match was.marks.iter().find(|old| same(old, mark)) {
            Some(old) => all.extend(one(about, old, mark)),
            None => {
                let rest = format!("{} is marked now: {}", named(mark), answer(mark));
                let text = answer(mark);
                let new = about.difference("criterion_added", String::new(), text, &rest);
                all.push(of(new, mark));
            }
        }
    }
    let gone = was
        .marks
        .iter()
        .filter(|old| is.marks.iter().all(|mark| !same(old, mark)));
    for mark in gone {
        let rest = format!(
            "{} is no longer marked; it was {}",
            named(mark),
            answer(mark)
        );
        let text = answer(mark);
        let old = about.difference("criterion_removed", text, String::new(), &rest);
        all.push(of(old, mark));
    }
}

fn one(about: &About<'_>, was: &Mark, is: &Mark) -> Vec<Difference> {
    let mut all = Vec::new();
    let (before, after) = (answer(was), answer(is));
    if was.mark != is.mark || reads_differently(was, is) {
        let what = if was.mark == is.mark { "value" } else { "mark" };
        let rest = format!("{} was {before}, now {after}", named(is));
        all.push(of(about.difference(what, before, after, &rest), is));
    }
    let (before, after) = (limit(was), limit(is));
    if before != after {
        let said = |text: &str| if text.is_empty() { "none" } else { text }.to_owned();
        let rest = format!(
            "the limit of {} was {}, now {}",
            named(is),
            said(&before),
            said(&after)
        );
        all.push(of(about.difference("limit", before, after, &rest), is));
    }
    all
}

/// Whether the worst value has other digits, those that the larger 1-σ leaves: another σ alone is no news.
fn reads_differently(was: &Mark, is: &Mark) -> bool {
    let sigma = was
        .sigma
        .unwrap_or(f64::NAN)
        .max(is.sigma.unwrap_or(f64::NAN));
    let shown = |mark: &Mark| mark.worst.map(|worst| with_unit(worst, sigma, &mark.unit));
    shown(was) != shown(is)
}

fn of(difference: Difference, mark: &Mark) -> Difference {
    Difference {
        element: Some(mark.element.clone()),
        criterion: Some(mark.criterion.clone()),
        ..difference
    }
}

/// `heading to the stall (PA.VII.B.S6)`.
fn named(mark: &Mark) -> String {
    format!("{} ({})", mark.quantity, mark.element)
}
