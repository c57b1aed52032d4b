//! The word of a lesson: what people said, folded from their entries in order.
//!
//! Nothing here decides: a later entry of the same kind about the same thing stands over an earlier one, and
//! what no longer finds its maneuver is kept without a number.

use crate::model::{Act, Answer, Entry, GivenMark, ManeuverRef, PinnedNote, Reply, Summary, Word};
use debrief::{Debrief, ManeuverDebrief};
use maneuver::Correction;
use serde::{Deserialize, Serialize};
use standard::{Briefed, Verdict};

/// Overlap with which two spans of a kind are the same maneuver, as a share of the shorter: as in corrections
/// of recognition.
const SAME: f64 = 0.5;

/// What the program said of a mark when a person spoke of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Seen {
    /// Element code.
    pub element: String,
    /// Criterion id.
    pub criterion: String,
    /// The program's verdict at that time.
    pub verdict: Verdict,
}

/// An entry with the marks that the person had before them.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// The entry.
    pub entry: Entry,
    /// The program's marks that it speaks of, as they were then. Empty for other acts.
    pub seen: Vec<Seen>,
}

/// Folds entries, in order of their `seq`, over the debrief as it is now.
#[must_use]
pub fn word(said: &[Said], debrief: &Debrief) -> Word {
    let mut word = Word::default();
    for one in said {
        take(&mut word, one, debrief);
    }
    number(&mut word.marks, debrief);
    for answer in &mut word.answers {
        answer.number = find(debrief, &answer.maneuver).and_then(number_of);
    }
    word.notes
        .sort_by(|one, other| one.at_s.total_cmp(&other.at_s));
    word
}

fn take(word: &mut Word, said: &Said, debrief: &Debrief) {
    let (by, at_utc) = (said.entry.by.clone(), said.entry.at_utc.clone());
    match &said.entry.act {
        Act::Mark {
            maneuver,
            element,
            criterion,
            verdict,
            reason,
        } => {
            let then = said
                .seen
                .iter()
                .find(|seen| seen.element == *element && seen.criterion == *criterion)
                .map(|seen| seen.verdict);
            put(
                &mut word.marks,
                given(
                    said,
                    maneuver,
                    (element, criterion),
                    (*verdict, then),
                    reason,
                ),
            );
        }
        Act::Confirm {
            maneuver,
            element,
            criterion,
        } => {
            for seen in confirmed(said, maneuver, element, criterion, debrief) {
                if element.is_empty() && by_hand(&word.marks, maneuver, &seen) {
                    continue;
                }
                let verdict = (seen.verdict, Some(seen.verdict));
                put(
                    &mut word.marks,
                    given(
                        said,
                        maneuver,
                        (&seen.element, &seen.criterion),
                        verdict,
                        "",
                    ),
                );
            }
        }
        Act::Unmark {
            maneuver,
            element,
            criterion,
        } => word.marks.retain(|mark| {
            !(same(&mark.maneuver, maneuver)
                && fits(element, &mark.element)
                && fits(criterion, &mark.criterion))
        }),
        Act::Note { id, at_s, text } => {
            word.notes.retain(|note| note.id != *id);
            word.notes.push(PinnedNote {
                id: id.clone(),
                at_s: *at_s,
                text: text.clone(),
                by,
                at_utc,
            });
        }
        Act::Unnote { id } => word.notes.retain(|note| note.id != *id),
        Act::Summary { text, next } => {
            let empty = text.trim().is_empty() && next.trim().is_empty();
            word.summary = (!empty).then(|| Summary {
                text: text.clone(),
                next: next.clone(),
                by,
                at_utc,
            });
        }
        // What was said first is what was said before the numbers were seen: later words stand beside it.
        Act::Answer { maneuver, said } => word.answers.push(Answer {
            number: None,
            maneuver: maneuver.clone(),
            said: said.clone(),
            by,
            at_utc,
        }),
        Act::Reply { text } => word.replies.push(Reply {
            text: text.clone(),
            by,
            at_utc,
        }),
        Act::Setting(_)
        | Act::Briefed { .. }
        | Act::Corrections { .. }
        | Act::Acknowledge { .. } => {}
    }
}

/// The marks that a confirmation speaks of. What the person saw counts; entries that were written without it
/// speak of the marks as they are now.
fn confirmed(
    said: &Said,
    maneuver: &ManeuverRef,
    element: &str,
    criterion: &str,
    debrief: &Debrief,
) -> Vec<Seen> {
    if said.seen.is_empty() {
        find(debrief, maneuver).map_or_else(Vec::new, |found| spoken_of(found, element, criterion))
    } else {
        let spoken =
            |seen: &&Seen| fits(element, &seen.element) && fits(criterion, &seen.criterion);
        said.seen.iter().filter(spoken).cloned().collect()
    }
}

/// Whether a person gave or changed this mark: who confirms a whole maneuver at once does not mean to take that back.
/// By its name it can be confirmed.
fn by_hand(marks: &[GivenMark], maneuver: &ManeuverRef, seen: &Seen) -> bool {
    marks.iter().any(|mark| {
        mark.element == seen.element
            && mark.criterion == seen.criterion
            && same(&mark.maneuver, maneuver)
            // Only a mark by hand has a reason; one without, that says what the program said, is a confirmation.
            && (mark.how != "confirmed" || !mark.reason.is_empty())
    })
}

/// The marks of a maneuver that a confirmation of `element` and `criterion` means: one that is named, else
/// every one that the program decided.
#[must_use]
pub fn spoken_of(maneuver: &ManeuverDebrief, element: &str, criterion: &str) -> Vec<Seen> {
    let all = element.is_empty();
    maneuver
        .marks
        .iter()
        .filter(|mark| fits(element, &mark.element) && fits(criterion, &mark.criterion))
        .filter(|mark| match mark.mark {
            Verdict::Met | Verdict::NotMet => true,
            Verdict::TooClose | Verdict::NotRecorded => !all,
            Verdict::ForInstructor => false,
        })
        .map(|mark| Seen {
            element: mark.element.clone(),
            criterion: mark.criterion.clone(),
            verdict: mark.mark,
        })
        .collect()
}

fn fits(wanted: &str, found: &str) -> bool {
    wanted.is_empty() || wanted == found
}

fn given(
    said: &Said,
    maneuver: &ManeuverRef,
    (element, criterion): (&str, &str),
    (verdict, then): (Verdict, Option<Verdict>),
    reason: &str,
) -> GivenMark {
    let how = match then {
        None | Some(Verdict::ForInstructor) => "given",
        Some(then) if then == verdict => "confirmed",
        Some(_) => "changed",
    };
    GivenMark {
        number: None,
        maneuver: maneuver.clone(),
        element: element.to_owned(),
        criterion: criterion.to_owned(),
        verdict,
        program: None,
        program_then: then,
        how: how.to_owned(),
        reason: reason.to_owned(),
        by: said.entry.by.clone(),
        at_utc: said.entry.at_utc.clone(),
    }
}

/// A later mark stands over an earlier one of the same thing.
fn put(marks: &mut Vec<GivenMark>, mark: GivenMark) {
    marks.retain(|earlier| {
        !(earlier.element == mark.element
            && earlier.criterion == mark.criterion
            && same(&earlier.maneuver, &mark.maneuver))
    });
    marks.push(mark);
}

/// Gives each mark the number of its maneuver now, and what the program says now.
fn number(marks: &mut [GivenMark], debrief: &Debrief) {
    for index in 0..marks.len() {
        let (earlier, rest) = marks.split_at_mut(index);
        let Some(mark) = rest.first_mut() else {
            continue;
        };
        let Some(found) = find(debrief, &mark.maneuver) else {
            continue;
        };
        mark.number = number_of(found);
        // Two maneuvers that a person marked may have become one: the mark with the closer fit is its mark, and
        // the other is kept without a maneuver.
        let rival = earlier.iter_mut().find(|other| {
            other.number == mark.number
                && other.element == mark.element
                && other.criterion == mark.criterion
        });
        if let Some(rival) = rival {
            let span = (found.start_s, found.end_s);
            let closer = overlap_s(span_of(&mark.maneuver), span)
                >= overlap_s(span_of(&rival.maneuver), span);
            if closer {
                rival.number = None;
            } else {
                mark.number = None;
            }
        }
    }
    for mark in marks {
        mark.program = mark
            .number
            .and_then(|number| {
                debrief
                    .maneuvers
                    .iter()
                    .find(|found| number_of(found) == Some(number))
            })
            .and_then(|found| program(found, &mark.element, &mark.criterion));
        mark.program_then = mark.program_then.filter(|then| mark.program != Some(*then));
    }
}

/// What the program says of a mark.
#[must_use]
pub fn program(maneuver: &ManeuverDebrief, element: &str, criterion: &str) -> Option<Verdict> {
    maneuver
        .marks
        .iter()
        .find(|mark| mark.element == element && mark.criterion == criterion)
        .map(|mark| mark.mark)
}

/// The maneuver that is meant: of the same kind, with the greatest overlap in time.
#[must_use]
pub fn find<'a>(debrief: &'a Debrief, meant: &ManeuverRef) -> Option<&'a ManeuverDebrief> {
    let mut best: Option<(f64, &ManeuverDebrief)> = None;
    for found in debrief
        .maneuvers
        .iter()
        .filter(|found| found.kind == meant.kind)
    {
        let overlap_s = overlap_s(span_of(meant), (found.start_s, found.end_s));
        if overlap_s > 0.0 && best.is_none_or(|(most_s, _)| overlap_s > most_s) {
            best = Some((overlap_s, found));
        }
    }
    best.map(|(_, found)| found)
}

fn number_of(maneuver: &ManeuverDebrief) -> Option<u32> {
    u32::try_from(maneuver.number).ok()
}

fn span_of(maneuver: &ManeuverRef) -> (f64, f64) {
    (maneuver.start_s, maneuver.end_s)
}

/// Seconds that two spans have in common; 0 when none, or when a bound is no number.
fn overlap_s((a_from, a_to): (f64, f64), (b_from, b_to): (f64, f64)) -> f64 {
    let common = a_to.min(b_to) - a_from.max(b_from);
    if common.is_finite() {
        common.max(0.0)
    } else {
        0.0
    }
}

/// Whether two references mean the same maneuver, whatever was found there.
fn same(one: &ManeuverRef, other: &ManeuverRef) -> bool {
    let shorter_s = (one.end_s - one.start_s).min(other.end_s - other.start_s);
    let overlap_s = overlap_s(span_of(one), span_of(other));
    one.kind == other.kind && overlap_s > 0.0 && overlap_s >= SAME * shorter_s
}

/// What was asked for: the last that was said.
#[must_use]
pub fn briefed(said: &[Said]) -> Briefed {
    said.iter()
        .rev()
        .find_map(|one| match &one.entry.act {
            Act::Briefed { briefed } => Some(briefed.clone()),
            _ => None,
        })
        .unwrap_or_default()
}

/// Corrections of recognition: the last list that was given.
#[must_use]
pub fn corrections(said: &[Said]) -> Vec<Correction> {
    said.iter()
        .rev()
        .find_map(|one| match &one.entry.act {
            Act::Corrections { corrections } => Some(corrections.clone()),
            _ => None,
        })
        .unwrap_or_default()
}

#[cfg(test)]
mod tests;
