//! Maneuvers of a school's own in the document.

use crate::convert::{self, tidy};
use crate::document::{EventDebrief, FactDebrief, ManeuverDebrief, PhaseDebrief};
use crate::words;
use maneuver::Direction;
use standard::Verdict;
use standard::own::Found;
use std::collections::BTreeMap;

/// One of them; `number` is its number in the debrief.
pub(crate) fn maneuver(number: usize, found: &Found) -> ManeuverDebrief {
    let phases: Vec<PhaseDebrief> = found
        .steps
        .iter()
        .map(|(name, start_s, end_s)| PhaseDebrief {
            name: name.clone(),
            start_s: tidy(*start_s),
            end_s: tidy(*end_s),
        })
        .collect();
    let events = phases.iter().map(|phase| EventDebrief {
        name: phase.name.clone(),
        at_s: phase.start_s,
        sigma_s: 1.0,
        value: None,
        origin: "derived".to_owned(),
        probability: 1.0,
    });
    ManeuverDebrief {
        number,
        kind: found.id.clone(),
        title: title(found),
        direction: found.direction.id().to_owned(),
        start_s: tidy(found.start_s),
        end_s: tidy(found.end_s),
        confidence: tidy(found.confidence),
        confidence_word: words::confidence(found.confidence).to_owned(),
        set_by: "program".to_owned(),
        marked: !found.marks.marks.is_empty(),
        task: Some(found.marks.task.clone()),
        task_variant: None,
        specified_recovery: None,
        targets_origin: "assumed".to_owned(),
        variants: Vec::new(),
        events: events.collect(),
        phases,
        facts: facts(found),
        marks: found.marks.marks.clone(),
        findings: Vec::new(),
        strengths: Vec::new(),
        verdict_line: verdict(found),
        change_line: String::new(),
        story: Vec::new(),
        height_ledger: None,
        what_if: None,
    }
}

fn title(found: &Found) -> String {
    match found.direction {
        Direction::Left => format!("{} to the left", found.title),
        Direction::Right => format!("{} to the right", found.title),
        _ => found.title.clone(),
    }
}

/// `climb_out_height_change_ft` and the like.
fn facts(found: &Found) -> BTreeMap<String, FactDebrief> {
    found
        .figures
        .iter()
        .filter_map(|(step, figure, fact)| convert::fact(&format!("{step}_{figure}"), fact))
        .collect()
}

fn verdict(found: &Found) -> String {
    let marks = &found.marks.marks;
    let decided = |wanted: Verdict| marks.iter().filter(|mark| mark.mark == wanted).count();
    let (met, not_met) = (decided(Verdict::Met), decided(Verdict::NotMet));
    let steps = found.steps.len();
    match met + not_met {
        0 => format!("You flew its {steps} steps."),
        all => format!(
            "You flew its {steps} steps; {met} of {all} limits that the recorder decides were met."
        ),
    }
}
