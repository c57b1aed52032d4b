//! The lesson sheet: what the school prints of a lesson beside the maneuvers' own sheets.

use crate::model::{GivenMark, LessonView, PersonBrief};
use press::words;
use press::{LessonSheet, SignedLine};

/// The lesson sheet of a lesson as it is.
pub(crate) fn of(school: &str, view: &LessonView) -> LessonSheet {
    let lesson = &view.lesson;
    let name = |person: &Option<PersonBrief>| {
        person
            .as_ref()
            .map_or_else(|| "not said".to_owned(), |p| p.name.clone())
    };
    let guess = |field: &str, text: String| {
        if lesson.guessed.iter().any(|guessed| guessed == field) {
            format!("{text} (a guess)")
        } else {
            text
        }
    };
    let mut people = vec![
        (
            "Student".to_owned(),
            guess("student", name(&lesson.student)),
        ),
        (
            "Instructor".to_owned(),
            guess("instructor", name(&lesson.instructor)),
        ),
        (
            "Aircraft".to_owned(),
            guess(
                "aircraft",
                lesson
                    .aircraft
                    .clone()
                    .unwrap_or_else(|| "not said".to_owned()),
            ),
        ),
        (
            "Standard".to_owned(),
            format!(
                "{}, {}",
                view.debrief.standard.title, view.debrief.standard.edition
            ),
        ),
    ];
    if lesson.demonstration {
        people.push((
            "Flown".to_owned(),
            "by the instructor, to show it".to_owned(),
        ));
    }
    let summary = view.word.summary.as_ref();
    LessonSheet {
        title: lesson.title.clone(),
        school: school.to_owned(),
        people,
        summary: summary.map_or_else(String::new, |summary| summary.text.clone()),
        next: summary.map_or_else(String::new, |summary| summary.next.clone()),
        marks: view
            .word
            .marks
            .iter()
            .filter(|mark| mark.how != "confirmed")
            .map(|mark| given(view, mark))
            .collect(),
        notes: view
            .word
            .notes
            .iter()
            .map(|note| format!("{} ({}): {}", at(view, note.at_s), note.by.name, note.text))
            .collect(),
        student: student(view),
        signed: signed(view),
        changes: view
            .changes_since_signing
            .iter()
            .map(|change| change.sentence.clone())
            .collect(),
    }
}

/// `Steep turn, left: PA.V.A.S5, bank in the turn: met instead of not met, Kim Farrow: “…”`.
fn given(view: &LessonView, mark: &GivenMark) -> String {
    let maneuver = mark.number.and_then(|number| {
        view.debrief
            .maneuvers
            .iter()
            .find(|found| u32::try_from(found.number) == Ok(number))
    });
    let place = maneuver.map_or_else(
        || {
            format!(
                "{} (no such maneuver now)",
                mark.maneuver.kind.replace('_', " ")
            )
        },
        |found| format!("{}. {}", found.number, found.title),
    );
    let quantity = maneuver
        .and_then(|found| {
            found
                .marks
                .iter()
                .find(|known| known.element == mark.element && known.criterion == mark.criterion)
        })
        .map_or_else(
            || mark.criterion.replace('_', " "),
            |known| known.quantity.clone(),
        );
    let verdict = words::mark(mark.verdict);
    let instead = match mark.program_then.or(mark.program) {
        Some(program) if mark.how == "changed" => format!(" instead of {}", words::mark(program)),
        _ => String::new(),
    };
    let reason = if mark.reason.is_empty() {
        String::new()
    } else {
        format!(": {}", mark.reason)
    };
    format!(
        "{place}: {}, {quantity}: {verdict}{instead} ({}){reason}",
        mark.element, mark.by.name
    )
}

fn student(view: &LessonView) -> Vec<String> {
    let mut lines = Vec::new();
    for answer in &view.word.answers {
        let place = answer.number.map_or_else(
            || answer.maneuver.kind.replace('_', " "),
            |number| {
                let found = view
                    .debrief
                    .maneuvers
                    .iter()
                    .find(|found| u32::try_from(found.number) == Ok(number));
                found.map_or_else(
                    || number.to_string(),
                    |found| format!("{number}. {}", found.title),
                )
            },
        );
        let said: Vec<String> = answer
            .said
            .iter()
            .map(|one| {
                let value = one.value.map(|value| {
                    let digits = usize::from(value.fract() != 0.0);
                    words::with_unit(value, digits, one.unit.as_deref().unwrap_or_default())
                });
                let choice = one.choice.as_ref().map(|choice| choice.replace('_', " "));
                let parts: Vec<String> = [value, choice, one.text.clone()]
                    .into_iter()
                    .flatten()
                    .collect();
                format!("{}: {}", one.question.replace('_', " "), parts.join(", "))
            })
            .collect();
        lines.push(format!(
            "{place}, said first by {}: {}",
            answer.by.name,
            said.join("; ")
        ));
    }
    for reply in &view.word.replies {
        lines.push(format!("{}: {}", reply.by.name, reply.text));
    }
    lines
}

fn signed(view: &LessonView) -> Option<SignedLine> {
    let last = view.signed.last()?;
    Some(SignedLine {
        words: format!(
            "Version {}, signed by {}, {}",
            last.version,
            last.by.name,
            minute(&last.at_utc)
        ),
        digest: last.sha256.clone(),
        acknowledged: match &last.acknowledged_utc {
            Some(at) => {
                let who = view
                    .lesson
                    .student
                    .as_ref()
                    .map_or("the student", |student| &student.name);
                format!("Acknowledged by {who}, {}", minute(at))
            }
            None => "Not acknowledged yet".to_owned(),
        },
    })
}

/// `2026-05-04 14:31 UTC`.
fn minute(utc: &str) -> String {
    crate::clock::from_utc(utc).map_or_else(
        |_| utc.to_owned(),
        |at| format!("{} UTC", at.strftime("%Y-%m-%d %H:%M")),
    )
}

/// A moment of the lesson: the clock time where the recording tells it, else the time since its start.
fn at(view: &LessonView, at_s: f64) -> String {
    let lesson = &view.lesson;
    let moment = crate::clock::from_utc(&lesson.start_utc)
        .ok()
        .and_then(|start| {
            start
                .checked_add(jiff::SignedDuration::try_from_secs_f64(at_s).ok()?)
                .ok()
        });
    match moment {
        Some(moment) if lesson.start_known => format!("{} UTC", moment.strftime("%H:%M:%S")),
        _ => format!(
            "{:.0}:{:02.0} from the start",
            (at_s / 60.0).floor(),
            at_s.rem_euclid(60.0).floor()
        ),
    }
}
