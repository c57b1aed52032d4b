//! A standard as a page shows it: tasks, elements, and each criterion with its limit in words.

use crate::model::{CriterionView, ElementView, StandardBrief, StandardView, TaskView};
use standard::{Criterion, Pack, When};

/// A pack in a list.
#[must_use]
pub fn brief(pack: &Pack, school_pack: bool, sha256: &str) -> StandardBrief {
    StandardBrief {
        id: pack.id.clone(),
        title: pack.title.clone(),
        edition: pack.edition.clone(),
        date: pack.date.clone(),
        school_pack,
        sha256: sha256.to_owned(),
    }
}

/// A pack with its tasks; `toml` is the text that it was read from.
#[must_use]
pub fn view(pack: &Pack, school_pack: bool, sha256: &str, toml: &str) -> StandardView {
    StandardView {
        brief: brief(pack, school_pack, sha256),
        document: pack.document.clone(),
        source: pack.source.clone(),
        missing: pack
            .missing
            .iter()
            .map(|missing| format!("{}: {}", missing.task, missing.why))
            .collect(),
        tasks: pack
            .tasks
            .iter()
            .map(task)
            .chain(pack.own.iter().map(own))
            .collect(),
        toml: toml.to_owned(),
    }
}

fn task(task: &standard::Task) -> TaskView {
    TaskView {
        code: task.code.clone(),
        kind: task.kind.id().to_owned(),
        variant: task.variant.map(str::to_owned),
        title: task.title.clone(),
        elements: task
            .elements
            .iter()
            .map(|element| ElementView {
                code: task.full_code(element),
                skill: element.skill.clone(),
                criteria: element.criteria.iter().map(criterion).collect(),
            })
            .collect(),
    }
}

/// A maneuver of the school's own: its id is its kind and its code.
fn own(own: &standard::OwnManeuver) -> TaskView {
    TaskView {
        code: own.id.clone(),
        kind: own.id.clone(),
        variant: None,
        title: own.title.clone(),
        elements: own
            .elements
            .iter()
            .map(|element| ElementView {
                code: format!("{}.{}", own.id, element.code),
                skill: element.skill.clone(),
                criteria: element.criteria.iter().map(criterion).collect(),
            })
            .collect(),
    }
}

fn criterion(criterion: &Criterion) -> CriterionView {
    CriterionView {
        id: criterion.id.clone(),
        quantity: criterion.quantity.clone(),
        limit: limit(criterion),
        origin: criterion.origin.id().to_owned(),
        for_instructor: criterion.for_instructor(),
        note: criterion.note.clone(),
    }
}

/// The limit in words, and for which way of flying it holds; empty when there is none.
fn limit(criterion: &Criterion) -> String {
    let words = criterion.limit_words();
    match criterion.when {
        _ if words.is_empty() => words,
        When::Always => words,
        When::Straight => format!("{words} (straight ahead)"),
        When::Turning => format!("{words} (turning)"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(task: &str, id: &str) -> String {
        let pack = standard::pack("faa-private").unwrap();
        let view = view(&pack, false, "", "");
        let task = view.tasks.iter().find(|found| found.code == task).unwrap();
        let mut criteria = task.elements.iter().flat_map(|element| &element.criteria);
        criteria
            .find(|criterion| criterion.id == id)
            .unwrap()
            .limit
            .clone()
    }

    /// FAA-S-ACS-6C, area of operation V, task A and area VII, tasks A and B: the published tolerances.
    #[test]
    fn val_published_limits_read_as_printed() {
        assert_eq!(shown("PA.V.A", "altitude"), "±100 ft");
        assert_eq!(shown("PA.V.A", "bank"), "45° ±5°");
        assert_eq!(shown("PA.VII.B", "heading"), "±10° (straight ahead)");
        assert_eq!(shown("PA.VII.B", "min_altitude_agl"), "at least 1,500 ft");
        assert_eq!(shown("PA.VII.C", "power_percent"), "at least 65 percent");
    }

    #[test]
    fn prop_every_measured_criterion_of_every_pack_is_told() {
        for (id, _) in standard::EMBEDDED {
            let view = view(&standard::pack(id).unwrap(), false, "", "");
            for element in view.tasks.iter().flat_map(|task| &task.elements) {
                for criterion in &element.criteria {
                    assert!(!criterion.quantity.is_empty(), "{}", element.code);
                    assert!(!(criterion.for_instructor && criterion.limit.contains("NaN")));
                }
            }
        }
    }
}
