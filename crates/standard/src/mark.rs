//! Marking one maneuver against a pack.

use crate::briefed::{Briefed, Recovery};
use crate::context::Context;
use crate::measure;
use crate::model::Mark;
use crate::pack::{LimitOrigin, Measure, Pack, Task};
use aircraft::Aircraft;
use flight::Flight;
use maneuver::Maneuver;

/// The marks of one maneuver.
#[derive(Clone, Debug, PartialEq)]
pub struct TaskMarks {
    /// Code of the task, e.g. `PA.VII.B`.
    pub task: String,
    /// Title of the task.
    pub title: String,
    /// Form that the task is for, an id of [`maneuver::VARIANTS`]; none = no particular one.
    pub variant: Option<&'static str>,
    /// Where a stall's recovery was to begin, and whether somebody said so; none for other tasks.
    pub recovery: Option<(Recovery, LimitOrigin)>,
    /// Whether anything was briefed for this maneuver.
    pub briefed: bool,
    /// Marks in the order of the elements.
    pub marks: Vec<Mark>,
}

/// Marks the maneuver at `index` of the flight's maneuvers against a pack. `None` when the pack has no
/// task for its kind. Where it has several, the form that was briefed decides, else the one that the recording
/// shows ([`Pack::task_for`]). Numbers in the marks are in the published units.
///
/// Targets come from `briefed`; what nobody briefed is taken from the flight and said to be assumed.
#[must_use]
pub fn mark(
    flight: &Flight,
    aircraft: &Aircraft,
    maneuvers: &[Maneuver],
    index: usize,
    pack: &Pack,
    briefed: &Briefed,
) -> Option<TaskMarks> {
    let maneuver = maneuvers.get(index)?;
    let asked = briefed.asked(maneuvers, index);
    let task = pack.task_for(maneuver, asked.variant)?;
    let recovery = recovery(task, maneuver.kind, asked.recovery);
    let briefed = !asked.is_empty();
    let context = Context {
        flight,
        aircraft,
        maneuvers,
        index,
        maneuver,
        asked,
        recovery: recovery.unwrap_or((Recovery::FullStall, LimitOrigin::Assumed)),
    };
    let mut marks: Vec<Mark> = Vec::new();
    for element in &task.elements {
        let code = format!("{}.{}", task.code, element.code);
        marks.extend(
            element
                .criteria
                .iter()
                .filter_map(|criterion| measure::mark(&context, &code, criterion)),
        );
    }
    Some(TaskMarks {
        task: task.code.clone(),
        title: task.title.clone(),
        variant: task.variant,
        recovery,
        briefed,
        marks: tidied(marks),
    })
}

/// Private pilots recover after a full stall, always; where the evaluator chooses and nobody said, a full
/// stall is assumed.
fn recovery(
    task: &Task,
    kind: maneuver::Kind,
    asked: Option<Recovery>,
) -> Option<(Recovery, LimitOrigin)> {
    let asks = |measure: Measure| {
        task.elements
            .iter()
            .flat_map(|element| &element.criteria)
            .any(|criterion| criterion.measure == measure)
    };
    if asks(Measure::RecoveryAfterFullStall) {
        return Some((Recovery::FullStall, LimitOrigin::Published));
    }
    if !asks(Measure::RecoveryAsSpecified) {
        return None;
    }
    Some(match asked {
        Some(recovery) => (recovery, LimitOrigin::Briefed),
        None if kind == maneuver::Kind::AcceleratedStall => {
            (Recovery::FirstIndication, LimitOrigin::Assumed)
        }
        None => (Recovery::FullStall, LimitOrigin::Assumed),
    })
}

/// Marks as they leave this crate.
pub(crate) fn tidied(mut marks: Vec<Mark>) -> Vec<Mark> {
    marks.iter_mut().for_each(finite);
    marks
}

/// No number that is not one leaves this crate, nor digits that no instrument has.
fn finite(mark: &mut Mark) {
    let numbers = [
        &mut mark.target,
        &mut mark.low,
        &mut mark.high,
        &mut mark.worst,
        &mut mark.sigma,
        &mut mark.outside_s,
        &mut mark.at_s,
        &mut mark.probability,
    ];
    for number in numbers {
        *number = number.filter(|value| value.is_finite()).map(tidy);
    }
    if let Some(ribbon) = &mut mark.ribbon {
        for point in &mut ribbon.deviation {
            *point = point
                .filter(|value| value.is_finite())
                .map(|value| (value * 1e3).round() / 1e3);
        }
        if !ribbon.sigma.is_finite() {
            ribbon.sigma = 0.0;
        }
        ribbon.sigma = (ribbon.sigma * 1e3).round() / 1e3;
        for time in [
            &mut ribbon.start_s,
            &mut ribbon.graded_from_s,
            &mut ribbon.graded_to_s,
            &mut ribbon.step_s,
        ] {
            *time = tidy(*time);
        }
        ribbon
            .moments_s
            .iter_mut()
            .for_each(|time| *time = tidy(*time));
    }
}

/// Four decimals: a ten-thousandth of a foot, a knot, a degree, a second or a g.
fn tidy(value: f64) -> f64 {
    (value * 1e4).round() / 1e4
}
