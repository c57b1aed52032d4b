//! The lesson on one page: who flew what, the marks in short, the instructor's words, and what was signed.

use crate::flow::{Flow, Sheetsize, Tag, paragraph};
use crate::frame::SHEET_WIDTH;
use crate::palette::Role;
use crate::print::{self, BODY, BOLD, LEADING, SECOND};
use crate::strip;
use crate::svg::{Anchor, Drawing, solid, style};
use crate::text::{self, Face};
use crate::whole;
use crate::words::Watch;
use debrief::Debrief;
use flight::Flight;

/// What people said of a lesson, in words that are ready to print.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LessonSheet {
    /// Title of the lesson.
    pub title: String,
    /// School, above the title.
    pub school: String,
    /// Student, instructor, aircraft, standard: name and words.
    pub people: Vec<(String, String)>,
    /// How it went, in the instructor's words.
    pub summary: String,
    /// What to do next time.
    pub next: String,
    /// Marks that a person changed or gave, each a sentence with who and why.
    pub marks: Vec<String>,
    /// Notes, each with its time.
    pub notes: Vec<String>,
    /// The student's answers and replies.
    pub student: Vec<String>,
    /// Version, who signed and when; none = not signed.
    pub signed: Option<SignedLine>,
    /// What changed since that signature, each a sentence.
    pub changes: Vec<String>,
}

/// A signature as it is printed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SignedLine {
    /// Version, who, when.
    pub words: String,
    /// SHA-256 of what was signed, hex.
    pub digest: String,
    /// The student's acknowledgment, or that there is none yet.
    pub acknowledged: String,
}

/// Puts the lesson sheet on a page of its own; what does not fit at a smaller size goes on.
pub(crate) fn put(
    flow: &mut Flow,
    lesson: &LessonSheet,
    debrief: &Debrief,
    flight: &Flight,
    paper: Sheetsize,
) {
    const SCALES: [f64; 5] = [1.0, 0.95, 0.91, 0.87, 0.83];
    let fits = |scale: f64| {
        let mut trial = Flow::new(paper, &print::foot(debrief));
        trial.shrink(scale);
        set(&mut trial, lesson, debrief, flight);
        trial.pages.len() == 1
    };
    let scale = SCALES.into_iter().find(|scale| fits(*scale));
    flow.shrink(scale.unwrap_or(1.0));
    set(flow, lesson, debrief, flight);
    flow.shrink(1.0);
}

fn set(flow: &mut Flow, lesson: &LessonSheet, debrief: &Debrief, flight: &Flight) {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    flow.sheet(&lesson.title, &format!("{}, continued", lesson.title));
    let day = watch
        .date()
        .unwrap_or_else(|| debrief.recording.name.clone());
    let span = format!(
        "{day}, {}–{} {}",
        watch.hm(0.0),
        watch.hm(debrief.recording.duration_s),
        watch.zone()
    );
    flow.part(
        Tag::Paragraph,
        print::ends((SECOND, &lesson.school), (SECOND, &span), 18.0),
    );
    flow.part(
        Tag::Heading1,
        paragraph(
            &[(style(Face::SerifBold, 27.0, Role::Ink), &lesson.title)],
            SHEET_WIDTH,
            36.0,
        ),
    );
    flow.part(Tag::Paragraph, people(&lesson.people));
    flow.space(4.0);
    whole::put_safety(flow, debrief, watch);
    flow.space(6.0);
    flow.part(Tag::Figure, strip::draw(debrief, watch, false));
    whole::put_times(flow, debrief);
    flow.space(8.0);
    print::list_of_maneuvers(flow, debrief, watch);
    said(flow, "How it went", &lesson.summary);
    said(flow, "Next time", &lesson.next);
    list(flow, "Marks by a person", &lesson.marks);
    list(flow, "Notes", &lesson.notes);
    list(flow, "The student", &lesson.student);
    signature(flow, lesson);
}

/// Names and words in two columns.
fn people(people: &[(String, String)]) -> Drawing {
    let half = SHEET_WIDTH / 2.0;
    let mut drawing = Drawing::new(SHEET_WIDTH, 0.0);
    let mut y = 0.0;
    for pair in people.chunks(2) {
        let mut deepest: f64 = 0.0;
        for (index, (name, words)) in pair.iter().enumerate() {
            let x = half * index as f64;
            drawing.text((x, y + LEADING * 0.76), Anchor::Start, BOLD, name);
            let value = paragraph(&[(BODY, words)], half - 92.0, LEADING);
            drawing.place(&value, x + 82.0, y);
            deepest = deepest.max(value.height);
        }
        y += deepest;
    }
    drawing.height = y;
    drawing
}

fn said(flow: &mut Flow, title: &str, words: &str) {
    if words.trim().is_empty() {
        return;
    }
    flow.rule(44.0);
    flow.part(Tag::Heading3, print::part_title(title));
    for block in words.split('\n').filter(|block| !block.trim().is_empty()) {
        flow.part(
            Tag::Paragraph,
            paragraph(
                &[(style(Face::Serif, 14.5, Role::Ink), block)],
                SHEET_WIDTH,
                19.5,
            ),
        );
    }
}

fn list(flow: &mut Flow, title: &str, lines: &[String]) {
    if lines.is_empty() {
        return;
    }
    flow.rule(40.0);
    flow.part(Tag::Heading3, print::part_title(title));
    for line in lines {
        let mut words = paragraph(&[(BODY, line)], SHEET_WIDTH, LEADING);
        words.height += 1.5;
        flow.part(Tag::Paragraph, words);
    }
}

fn signature(flow: &mut Flow, lesson: &LessonSheet) {
    flow.rule(64.0);
    let Some(signed) = &lesson.signed else {
        flow.part(Tag::Paragraph, lines_for_pens());
        return;
    };
    flow.part(
        Tag::Paragraph,
        paragraph(
            &[(BOLD, "Signed"), (BODY, &signed.words)],
            SHEET_WIDTH,
            LEADING,
        ),
    );
    flow.part(
        Tag::Paragraph,
        paragraph(
            &[(BOLD, "Student"), (BODY, &signed.acknowledged)],
            SHEET_WIDTH,
            LEADING,
        ),
    );
    flow.part(
        Tag::Paragraph,
        paragraph(
            &[
                (SECOND, "SHA-256 of what was signed:"),
                (SECOND, &signed.digest),
            ],
            SHEET_WIDTH,
            LEADING,
        ),
    );
    if !lesson.changes.is_empty() {
        list(
            flow,
            "Changed since that signature, not signed",
            &lesson.changes,
        );
    }
}

/// Not signed in the record: lines to write on.
fn lines_for_pens() -> Drawing {
    let mut drawing = Drawing::new(SHEET_WIDTH, 44.0);
    let half = SHEET_WIDTH / 2.0;
    for (index, who) in ["instructor, date", "student, date"].iter().enumerate() {
        let x = half * index as f64;
        drawing.line((x, 28.0), (x + half - 24.0, 28.0), solid(Role::Ink2, 1.0));
        drawing.text(
            (x, 41.0),
            Anchor::Start,
            style(Face::Sans, 10.5, Role::Ink2),
            who,
        );
    }
    let words = "Not signed in the record.";
    let width = text::width(SECOND.face, SECOND.size, words);
    drawing.text((SHEET_WIDTH - width, 12.0), Anchor::Start, SECOND, words);
    drawing
}
