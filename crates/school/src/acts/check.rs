//! What is allowed: who may do which act, and what a person may write.

use crate::actor::Actor;
use crate::checks;
use crate::error::{Result, SchoolError};
use crate::fold::{self, Seen};
use crate::lessons;
use crate::model::{Act, LessonState, ManeuverRef, Setting};
use crate::view::Standing;
use debrief::{Debrief, ManeuverDebrief};
use maneuver::corrections::Outcome;
use standard::Verdict;

/// Longest words of one entry, characters: three pages.
const WORDS: usize = 8_000;
/// Most corrections or briefed maneuvers of one lesson.
const LIST: usize = 500;

/// Whether this person may do this act.
pub(super) fn allowed(by: &Actor, standing: &Standing, act: &Act) -> Result<()> {
    let lesson = &standing.lesson.brief;
    if lesson.state == LessonState::SetAside {
        return Err(SchoolError::conflict(
            "This lesson was set aside.",
            "The chief instructor can take it back.",
        ));
    }
    let own = lessons::is_own(by, lesson);
    let may = match act {
        Act::Acknowledge { .. } => own,
        Act::Answer { .. } | Act::Reply { .. } => own || by.role.teaches(),
        _ => by.role.teaches(),
    };
    if may {
        return Ok(());
    }
    Err(SchoolError::denied(match act {
        Act::Acknowledge { .. } => "Only the student who flew the lesson can acknowledge it.",
        Act::Answer { .. } | Act::Reply { .. } => "Only those who flew the lesson can do this.",
        _ => "Only an instructor can do this.",
    }))
}

/// The act as it will be kept: words trimmed, what it names found.
pub(super) fn checked(standing: &Standing, document: &Debrief, act: Act) -> Result<Act> {
    let end_s = standing.lesson.brief.duration_s;
    Ok(match act {
        Act::Setting(setting) => Act::Setting(checked_setting(setting)?),
        Act::Briefed { briefed } => {
            listed("briefed", briefed.entries.len())?;
            listed("briefed", briefed.runways.len())?;
            Act::Briefed { briefed }
        }
        Act::Corrections { corrections } => {
            listed("corrections", corrections.len())?;
            Act::Corrections { corrections }
        }
        Act::Mark {
            maneuver,
            element,
            criterion,
            verdict,
            reason,
        } => {
            let found = found(document, &maneuver)?;
            let reason = words("reason", "The reason", &reason, false)?;
            may_mark(found, (&element, &criterion), verdict, &reason)?;
            Act::Mark {
                maneuver: now(found),
                element,
                criterion,
                verdict,
                reason,
            }
        }
        Act::Confirm {
            maneuver,
            element,
            criterion,
        } => {
            let found = found(document, &maneuver)?;
            may_confirm(found, &element, &criterion)?;
            Act::Confirm {
                maneuver: now(found),
                element,
                criterion,
            }
        }
        // What lost its maneuver can be taken back all the same.
        Act::Unmark {
            maneuver,
            element,
            criterion,
        } => {
            span("maneuver", &maneuver)?;
            Act::Unmark {
                maneuver,
                element,
                criterion,
            }
        }
        Act::Note { id, at_s, text } => Act::Note {
            id: note_id(&id)?,
            at_s: moment(at_s, end_s)?,
            text: words("text", "The note", &text, true)?,
        },
        Act::Unnote { id } => {
            let word = fold::word(&standing.said, document);
            if !word.notes.iter().any(|note| note.id == id) {
                return Err(SchoolError::not_found("this note"));
            }
            Act::Unnote { id }
        }
        Act::Summary { text, next } => Act::Summary {
            text: words("text", "The summary", &text, false)?,
            next: words("next", "What to do next time", &next, false)?,
        },
        Act::Answer { maneuver, said } => {
            let found = found(document, &maneuver)?;
            Act::Answer {
                maneuver: now(found),
                said: answers(said)?,
            }
        }
        Act::Reply { text } => Act::Reply {
            text: words("text", "The reply", &text, true)?,
        },
        Act::Acknowledge { version, sha256 } => {
            acknowledged(standing, version, &sha256)?;
            Act::Acknowledge { version, sha256 }
        }
    })
}

/// What the program says of the marks that an act speaks of.
pub(super) fn seen(document: &Debrief, act: &Act) -> Vec<Seen> {
    match act {
        Act::Mark {
            maneuver,
            element,
            criterion,
            ..
        } => fold::find(document, maneuver)
            .and_then(|found| fold::program(found, element, criterion))
            .map(|verdict| Seen {
                element: element.clone(),
                criterion: criterion.clone(),
                verdict,
            })
            .into_iter()
            .collect(),
        Act::Confirm {
            maneuver,
            element,
            criterion,
        } => fold::find(document, maneuver)
            .map_or_else(Vec::new, |found| fold::spoken_of(found, element, criterion)),
        _ => Vec::new(),
    }
}

/// A correction that does nothing is an error, unless it stood there before: what it meant may have been found
/// otherwise since.
pub(super) fn corrections_took_hold(
    standing: &Standing,
    act: &Act,
    outcomes: &[Outcome],
) -> Result<()> {
    let Act::Corrections { corrections } = act else {
        return Ok(());
    };
    let idle = corrections
        .iter()
        .zip(outcomes)
        .find(|(correction, outcome)| {
            !outcome.took_hold() && !standing.inputs.corrections.contains(correction)
        });
    match idle {
        Some((_, outcome)) => Err(SchoolError::invalid("corrections", outcome.words(), "")),
        None => Ok(()),
    }
}

fn checked_setting(mut setting: Setting) -> Result<Setting> {
    if let Some(Some(terrain_ft)) = setting.terrain_ft {
        checks::terrain_ft(terrain_ft)?;
    }
    if let Some(title) = &setting.title {
        let title = title.trim();
        // An empty title gives the program's own back.
        setting.title = Some(if title.is_empty() {
            String::new()
        } else {
            checks::line("title", "The title", title, 120)?
        });
    }
    if setting == Setting::default() {
        return Err(SchoolError::invalid(
            "setting",
            "Nothing was to be set.",
            "Name at least one thing.",
        ));
    }
    Ok(setting)
}

fn found<'a>(document: &'a Debrief, meant: &ManeuverRef) -> Result<&'a ManeuverDebrief> {
    span("maneuver", meant)?;
    fold::find(document, meant).ok_or_else(|| {
        SchoolError::invalid(
            "maneuver",
            "There is no such maneuver in this lesson now.",
            "Look at the list again; its boundaries may have been changed.",
        )
    })
}

/// The maneuver as it is named now.
fn now(found: &ManeuverDebrief) -> ManeuverRef {
    ManeuverRef {
        kind: found.kind.clone(),
        start_s: found.start_s,
        end_s: found.end_s,
    }
}

fn span(field: &str, maneuver: &ManeuverRef) -> Result<()> {
    if maneuver.start_s.is_finite()
        && maneuver.end_s.is_finite()
        && maneuver.start_s < maneuver.end_s
    {
        return Ok(());
    }
    Err(SchoolError::invalid(
        field,
        "Start and end are no stretch of time.",
        "Give start_s below end_s.",
    ))
}

fn may_mark(
    found: &ManeuverDebrief,
    (element, criterion): (&str, &str),
    verdict: Verdict,
    reason: &str,
) -> Result<()> {
    let Some(program) = fold::program(found, element, criterion) else {
        return Err(no_criterion(found, element, criterion));
    };
    if verdict == Verdict::ForInstructor {
        return Err(SchoolError::invalid(
            "verdict",
            "`for_instructor` leaves the mark to you; it is no mark.",
            "Say met, not_met, too_close or not_recorded.",
        ));
    }
    let decided = matches!(program, Verdict::Met | Verdict::NotMet);
    if decided && verdict != program && reason.is_empty() {
        return Err(SchoolError::invalid(
            "reason",
            "A mark that the recording decides is changed only with a reason.",
            "Say what you saw.",
        ));
    }
    Ok(())
}

fn may_confirm(found: &ManeuverDebrief, element: &str, criterion: &str) -> Result<()> {
    if element.is_empty() && !criterion.is_empty() {
        return Err(SchoolError::invalid(
            "element",
            "The criterion comes without its element.",
            "Name both, or neither to confirm every mark.",
        ));
    }
    if !fold::spoken_of(found, element, criterion).is_empty() {
        return Ok(());
    }
    if element.is_empty() {
        return Err(SchoolError::invalid(
            "maneuver",
            "The recording decides no mark of this maneuver.",
            "Give the marks one by one.",
        ));
    }
    match fold::program(found, element, criterion) {
        Some(_) => Err(SchoolError::invalid(
            "criterion",
            "Only a person can judge this: there is nothing to confirm.",
            "Give the mark yourself.",
        )),
        None => Err(no_criterion(found, element, criterion)),
    }
}

fn no_criterion(found: &ManeuverDebrief, element: &str, criterion: &str) -> SchoolError {
    SchoolError::invalid(
        "criterion",
        format!("{} has no mark {element} {criterion}.", found.title),
        "Take element and criterion from one of its marks.",
    )
}

fn words(field: &str, what: &str, text: &str, needed: bool) -> Result<String> {
    let text = text.trim();
    if needed && text.is_empty() {
        return Err(SchoolError::invalid(
            field,
            format!("{what} is missing."),
            "Write it in.",
        ));
    }
    if text.chars().count() > WORDS {
        return Err(SchoolError::invalid(
            field,
            format!("{what} is longer than {WORDS} characters."),
            "Write it shorter.",
        ));
    }
    // Line breaks are welcome here; what PostgreSQL cannot keep, and what a printer cannot print, is not.
    let odd = |letter: char| letter.is_control() && !matches!(letter, '\n' | '\r' | '\t');
    if text.chars().any(odd) {
        return Err(SchoolError::invalid(
            field,
            format!("{what} holds a control character."),
            "Write it anew.",
        ));
    }
    Ok(text.to_owned())
}

fn note_id(id: &str) -> Result<String> {
    let id = id.trim();
    let fits = |letter: char| letter.is_ascii_alphanumeric() || letter == '-' || letter == '_';
    if (1..=64).contains(&id.len()) && id.chars().all(fits) {
        return Ok(id.to_owned());
    }
    Err(SchoolError::invalid(
        "id",
        "This is no id for a note.",
        "Make a UUID.",
    ))
}

fn moment(at_s: f64, end_s: f64) -> Result<f64> {
    // The last sample may come a moment after the whole second that a page shows.
    if (0.0..=end_s + 1.0).contains(&at_s) {
        return Ok(at_s);
    }
    Err(SchoolError::invalid(
        "at_s",
        format!("{at_s} s is not in the recording."),
        format!("Give a moment from 0 to {end_s:.0} s."),
    ))
}

fn listed(field: &str, count: usize) -> Result<()> {
    if count <= LIST {
        return Ok(());
    }
    Err(SchoolError::invalid(
        field,
        format!("{count} are more than the {LIST} of one lesson."),
        "Take some out.",
    ))
}

fn answers(said: Vec<crate::model::Said>) -> Result<Vec<crate::model::Said>> {
    if said.is_empty() || said.len() > 20 {
        return Err(SchoolError::invalid(
            "said",
            "Between 1 and 20 answers belong to a maneuver.",
            "",
        ));
    }
    said.into_iter()
        .map(|one| {
            let line = |field: &str, text: Option<String>| {
                text.map(|text| checks::line(field, "The answer", &text, 120))
                    .transpose()
            };
            Ok(crate::model::Said {
                question: checks::line("question", "The question", &one.question, 60)?,
                choice: line("choice", one.choice)?,
                value: one.value.filter(|value| value.is_finite()),
                unit: line("unit", one.unit)?,
                text: match one.text {
                    Some(text) => Some(words("text", "The answer", &text, false)?),
                    None => None,
                },
            })
        })
        .collect()
}

fn acknowledged(standing: &Standing, version: i64, sha256: &str) -> Result<()> {
    match standing
        .signed
        .iter()
        .find(|signed| signed.version == version)
    {
        Some(signed) if signed.sha256 == sha256 => Ok(()),
        Some(_) => Err(SchoolError::invalid(
            "sha256",
            "This is not the digest of that version.",
            "Read the version again, and acknowledge what you read.",
        )),
        None => Err(SchoolError::not_found("this signed version")),
    }
}
