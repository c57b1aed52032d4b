//! What is different between two signed versions besides what the program computed: header and word.

use super::SignedLesson;
use crate::model::{GivenMark, PersonBrief, Word};
use debrief::{Debrief, Difference};

/// One difference that is not the program's.
fn difference(what: &str, before: &str, after: &str, sentence: String) -> Difference {
    Difference {
        maneuver: None,
        start_s: None,
        what: what.to_owned(),
        element: None,
        criterion: None,
        before: before.to_owned(),
        after: after.to_owned(),
        sentence,
    }
}

pub(super) fn header(old: &SignedLesson, new: &SignedLesson) -> Vec<Difference> {
    let fields = [
        ("title", "The title", title(old), title(new)),
        (
            "student",
            "The student",
            person(&old.student),
            person(&new.student),
        ),
        (
            "instructor",
            "The instructor",
            person(&old.instructor),
            person(&new.instructor),
        ),
        ("aircraft", "The aircraft", aircraft(old), aircraft(new)),
    ];
    fields
        .into_iter()
        // A person who changed their name is still the same.
        .filter(|(_, _, old, new)| old.0 != new.0)
        .map(|(what, name, (_, before), (_, after))| {
            difference(
                what,
                before,
                after,
                format!("{name} was {before}, now {after}."),
            )
        })
        .collect()
}

/// Id and name of a header's fields: the id tells whether it is another, the name is for people.
type Named<'a> = (&'a str, &'a str);

fn title(lesson: &SignedLesson) -> Named<'_> {
    (&lesson.title, &lesson.title)
}

fn person(person: &Option<PersonBrief>) -> Named<'_> {
    person
        .as_ref()
        .map_or(("", "nobody"), |person| (&person.id, &person.name))
}

fn aircraft(lesson: &SignedLesson) -> Named<'_> {
    lesson
        .aircraft
        .as_ref()
        .map_or(("", "no aircraft"), |aircraft| {
            (&aircraft.id, &aircraft.name)
        })
}

/// What people said differently. Answers and replies come after signing by their nature and change nothing signed.
pub(super) fn words(
    old: &Word,
    old_document: &Debrief,
    new: &Word,
    new_document: &Debrief,
) -> Vec<Difference> {
    let mut all = Vec::new();
    let same = |one: &GivenMark, other: &GivenMark| {
        one.element == other.element
            && one.criterion == other.criterion
            && one.maneuver.kind == other.maneuver.kind
            && one.maneuver.start_s < other.maneuver.end_s
            && other.maneuver.start_s < one.maneuver.end_s
    };
    for mark in &new.marks {
        let before = old.marks.iter().find(|known| same(known, mark));
        if before
            .is_none_or(|before| before.verdict != mark.verdict || before.reason != mark.reason)
        {
            all.push(mark_difference(before, Some(mark), new_document));
        }
    }
    for mark in &old.marks {
        if !new.marks.iter().any(|known| same(known, mark)) {
            all.push(mark_difference(Some(mark), None, old_document));
        }
    }
    for note in &new.notes {
        match old.notes.iter().find(|known| known.id == note.id) {
            None => all.push(difference(
                "note",
                "",
                &note.text,
                format!("New note: {}", note.text),
            )),
            Some(known) if known.text != note.text => all.push(difference(
                "note",
                &known.text,
                &note.text,
                format!("The note “{}” now says: {}", known.text, note.text),
            )),
            Some(_) => {}
        }
    }
    for note in old
        .notes
        .iter()
        .filter(|note| !new.notes.iter().any(|known| known.id == note.id))
    {
        all.push(difference(
            "note",
            &note.text,
            "",
            format!("A note was taken back: {}", note.text),
        ));
    }
    let text = |word: &Word| {
        word.summary.as_ref().map_or_else(String::new, |summary| {
            [summary.text.as_str(), summary.next.as_str()]
                .join("\n")
                .trim()
                .to_owned()
        })
    };
    let (before, after) = (text(old), text(new));
    if before != after {
        all.push(difference(
            "summary",
            &before,
            &after,
            "The lesson's summary was changed.".to_owned(),
        ));
    }
    all
}

fn mark_difference(
    before: Option<&GivenMark>,
    after: Option<&GivenMark>,
    document: &Debrief,
) -> Difference {
    let told = |mark: Option<&GivenMark>| {
        mark.map_or_else(String::new, |mark| {
            let verdict = press::words::mark(mark.verdict);
            if mark.reason.is_empty() {
                verdict.to_owned()
            } else {
                format!("{verdict} ({})", mark.reason)
            }
        })
    };
    let mark = after.or(before);
    let maneuver = mark.and_then(|mark| crate::fold::find(document, &mark.maneuver));
    let title = maneuver.map(|maneuver| maneuver.title.clone());
    let code = mark.map_or_else(String::new, |mark| mark.element.clone());
    let quantity = maneuver
        .zip(mark)
        .and_then(|(maneuver, mark)| {
            maneuver
                .marks
                .iter()
                .find(|known| known.element == mark.element && known.criterion == mark.criterion)
        })
        .map_or_else(String::new, |mark| format!(", {}", mark.quantity));
    let place = title
        .clone()
        .map_or_else(String::new, |title| format!("{title}: "));
    let (was, is) = (told(before), told(after));
    let sentence = match (before, after) {
        (None, _) => format!("{place}{code}{quantity}, marked by hand: {is}."),
        (_, None) => format!("{place}{code}{quantity}: the mark by hand ({was}) was taken back."),
        _ => format!("{place}{code}{quantity}, marked by hand: was {was}, now {is}."),
    };
    Difference {
        maneuver: title,
        start_s: maneuver.map(|maneuver| maneuver.start_s),
        element: Some(code),
        criterion: mark.map(|mark| mark.criterion.clone()),
        ..difference("word", &was, &is, sentence)
    }
}
