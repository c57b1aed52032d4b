//! Putting the document together.

use crate::convert::tidy;
use crate::document::{
    Debrief, EventDebrief, FactDebrief, Lesson, ManeuverDebrief, PhaseDebrief, SCHEMA,
    VariantDebrief,
};
use crate::findings::{self, Case};
use crate::head::RecordingHead;
use crate::{convert, lines, own, safety, story, strengths, summary, words};
use aircraft::Aircraft;
use flight::Flight;
use maneuver::{Event, Maneuver};
use recording::Recording;
use standard::{Briefed, LimitOrigin, Pack, TaskMarks};
use std::collections::BTreeMap;

/// The words that every debrief carries.
pub const CAUTION: &str = "A training aid for use on the ground. The aircraft's approved flight manual, the \
    regulations in force, the published standard and a licensed instructor's judgment come first. Not for \
    use in flight or for navigation.";

/// The whole debrief of a flight.
///
/// `maneuvers` are those found in `flight`, in order of time; each one that the pack has a task for is
/// marked, the others are listed. `program_version` goes into the document. Numbers leave in feet, knots
/// and degrees; none of them is ever NaN. The account of the whole flight is empty: [`crate::lesson()`] makes it from
/// what lies between the maneuvers; and so is the fit of the day, see [`crate::fit_of_the_day()`].
#[must_use]
pub fn debrief(
    recording: &Recording,
    flight: &Flight,
    aircraft: &Aircraft,
    maneuvers: &[Maneuver],
    pack: &Pack,
    briefed: &Briefed,
    program_version: &str,
) -> Debrief {
    let head = RecordingHead::from(recording);
    debrief_from(
        &head,
        flight,
        aircraft,
        maneuvers,
        pack,
        briefed,
        program_version,
    )
}

/// The same from what was kept of the recording.
#[must_use]
pub fn debrief_from(
    recording: &RecordingHead,
    flight: &Flight,
    aircraft: &Aircraft,
    maneuvers: &[Maneuver],
    pack: &Pack,
    briefed: &Briefed,
    program_version: &str,
) -> Debrief {
    let one = |index: usize| {
        let maneuver = maneuvers.get(index)?;
        let marks = standard::mark(flight, aircraft, maneuvers, index, pack, briefed);
        Some(match marks {
            Some(marks) => marked(
                index,
                &Case {
                    recording,
                    flight,
                    aircraft,
                    maneuver,
                    marks: &marks,
                },
            ),
            None => listed(index, maneuver),
        })
    };
    let own = standard::own::find(flight, aircraft, maneuvers, pack);
    let found = maneuver::safety::find(flight, aircraft, maneuvers);
    let (events, not_watched) = safety::safety(&found);
    Debrief {
        schema: SCHEMA.to_owned(),
        program: program_version.to_owned(),
        caution: CAUTION.to_owned(),
        recording: summary::recording(recording, flight),
        aircraft: summary::aircraft(aircraft),
        standard: summary::standard(pack),
        flight: summary::flight(flight),
        maneuvers: (0..maneuvers.len())
            .filter_map(one)
            .chain(
                own.iter()
                    .enumerate()
                    .map(|(index, found)| own::maneuver(maneuvers.len() + index + 1, found)),
            )
            .collect(),
        safety: events,
        safety_not_watched: not_watched,
        lesson: Lesson::default(),
        fit_of_the_day: None,
    }
}

/// A maneuver without a task: found, not marked.
fn listed(index: usize, maneuver: &Maneuver) -> ManeuverDebrief {
    let confidence = if maneuver.confidence.is_finite() {
        tidy(maneuver.confidence.clamp(0.0, 1.0))
    } else {
        0.0
    };
    ManeuverDebrief {
        number: index + 1,
        kind: maneuver.kind.id().to_owned(),
        title: words::title(maneuver),
        direction: maneuver.direction.id().to_owned(),
        start_s: tidy(maneuver.start_s),
        end_s: tidy(maneuver.end_s),
        confidence,
        confidence_word: words::confidence(confidence).to_owned(),
        set_by: maneuver.set_by.id().to_owned(),
        marked: false,
        task: None,
        task_variant: None,
        specified_recovery: None,
        targets_origin: LimitOrigin::Assumed.id().to_owned(),
        variants: maneuver.variants.iter().map(variant).collect(),
        phases: maneuver.phases.iter().filter_map(phase).collect(),
        events: maneuver.events.iter().filter_map(event).collect(),
        facts: facts(maneuver),
        marks: Vec::new(),
        findings: Vec::new(),
        strengths: Vec::new(),
        verdict_line: String::new(),
        change_line: String::new(),
        story: Vec::new(),
        height_ledger: None,
        what_if: None,
    }
}

fn marked(index: usize, case: &Case) -> ManeuverDebrief {
    let TaskMarks {
        task,
        variant,
        recovery,
        briefed,
        marks,
        ..
    } = case.marks;
    let findings = findings::findings(case);
    let strengths = strengths::strengths(case.maneuver, marks);
    let origin = if *briefed {
        LimitOrigin::Briefed
    } else {
        LimitOrigin::Assumed
    };
    ManeuverDebrief {
        marked: true,
        task: Some(task.clone()),
        task_variant: variant.map(str::to_owned),
        specified_recovery: recovery.map(|(recovery, _)| recovery.id().to_owned()),
        targets_origin: origin.id().to_owned(),
        verdict_line: lines::verdict(case.maneuver, case.marks, &findings),
        change_line: lines::change(&findings, &strengths, marks),
        story: story::story(case.flight, case.aircraft, case.maneuver),
        marks: marks.clone(),
        findings,
        strengths,
        ..listed(index, case.maneuver)
    }
}

fn variant(variant: &maneuver::Variant) -> VariantDebrief {
    VariantDebrief {
        name: variant.name.to_owned(),
        probability: tidy(variant.probability.clamp(0.0, 1.0)),
        why: variant.why.to_owned(),
    }
}

fn phase(phase: &maneuver::Phase) -> Option<PhaseDebrief> {
    let known = phase.start_s.is_finite() && phase.end_s.is_finite();
    known.then(|| PhaseDebrief {
        name: phase.name.to_owned(),
        start_s: tidy(phase.start_s),
        end_s: tidy(phase.end_s),
    })
}

fn event(event: &Event) -> Option<EventDebrief> {
    if !event.at_s.is_finite() {
        return None;
    }
    Some(EventDebrief {
        name: event.name.to_owned(),
        at_s: tidy(event.at_s),
        sigma_s: if event.sigma_s.is_finite() {
            tidy(event.sigma_s.abs())
        } else {
            1.0
        },
        value: event
            .value
            .as_ref()
            .and_then(|value| convert::fact(event.name, value))
            .map(|(_, fact)| fact),
        origin: convert::origin(event.origin).to_owned(),
        probability: if event.probability.is_finite() {
            tidy(event.probability.clamp(0.0, 1.0))
        } else {
            0.0
        },
    })
}

fn facts(maneuver: &Maneuver) -> BTreeMap<String, FactDebrief> {
    maneuver
        .facts
        .iter()
        .filter_map(|(name, fact)| convert::fact(name, fact))
        .collect()
}
