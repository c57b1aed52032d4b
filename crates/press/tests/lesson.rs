//! The lesson on paper: one page for the lesson, one for each maneuver.

mod fixture;

use fixture::{Fits, debrief, flight};
use press::{LessonSheet, Paper, SignedLine};

fn lesson() -> LessonSheet {
    LessonSheet {
        title: "Stalls, straight and turning".to_owned(),
        school: "A school of our own".to_owned(),
        people: [
            ("Student", "Ruff Plover"),
            ("Instructor", "Ida Kestrel"),
            ("Aircraft", "Pellwick A, Pellwick 180"),
            ("Standard", "FAA private pilot, FAA-S-ACS-6C, November 2023"),
        ]
        .map(|(name, words)| (name.to_owned(), words.to_owned()))
        .to_vec(),
        summary: "The recoveries were prompt. The nose swung at the break.".to_owned(),
        next: "Power off over three seconds, eyes on one point ahead.".to_owned(),
        marks: vec![
            "2 Power-off stall, heading: met instead of not met. A gust. Ida Kestrel".to_owned(),
        ],
        notes: vec!["14:07:31 Here the right foot was still in. Ida Kestrel".to_owned()],
        student: vec![
            "2 Power-off stall, height lost: said 120 ft, recorded 216 ± 8 ft".to_owned(),
        ],
        signed: Some(SignedLine {
            words: "version 1 by Ida Kestrel, 24 November 2026, 16:02 UTC".to_owned(),
            digest: "ab".repeat(32),
            acknowledged: "acknowledged 24 November 2026, 16:09 UTC".to_owned(),
        }),
        changes: Vec::new(),
    }
}

fn page_count(pdf: &[u8]) -> usize {
    let text = String::from_utf8_lossy(pdf);
    text.matches("/Type /Page\n").count() + text.matches("/Type /Page /").count()
}

/// What the room promises: the lesson on one page, each maneuver on one page, on letter and on A4.
#[test]
fn prop_the_lesson_and_each_maneuver_keep_to_one_page() {
    for fits in [Fits::Rich, Fits::Gnss] {
        let (debrief, flight) = (debrief(fits, 0), flight(fits));
        let sheets = press::sheet::groups(&debrief).len();
        for paper in [Paper::Letter, Paper::A4] {
            let alone =
                press::lesson_pdf(&lesson(), &debrief, &flight, paper, false).expect("a PDF");
            assert_eq!(page_count(&alone), 1);
            let whole =
                press::lesson_pdf(&lesson(), &debrief, &flight, paper, true).expect("a PDF");
            // Where the height went has a page of its own behind its sheet.
            let ledgers = debrief.maneuvers.iter().filter(|one| one.what_if.is_some());
            assert_eq!(
                page_count(&whole),
                1 + sheets + ledgers.count(),
                "{paper:?}"
            );
        }
    }
}

/// A summary of many pages is printed whole rather than cut.
#[test]
fn prop_nothing_of_a_long_summary_is_lost() {
    let (debrief, flight) = (debrief(Fits::Rich, 0), flight(Fits::Rich));
    let long = LessonSheet {
        summary: "One sentence after the other, all of them to be kept.\n".repeat(200),
        ..lesson()
    };
    let pages = press::print::lesson_pages(&long, &debrief, &flight, Paper::Letter.size(), false);
    let kept = pages
        .iter()
        .flat_map(|page| &page.parts)
        .flat_map(|part| part.drawing.labels())
        .filter(|(_, words)| words.contains("all of them"))
        .count();
    assert_eq!(kept, 200);
    assert!(pages.len() > 1);
}

/// What could have hurt stands before everything else, with its number, and the times add up.
#[test]
fn prop_safety_comes_first() {
    let (debrief, flight) = (debrief(Fits::Rich, 0), flight(Fits::Rich));
    let cover = press::print::pages(&debrief, &flight, Paper::Letter.size());
    let lesson = press::print::lesson_pages(&lesson(), &debrief, &flight, Paper::A4.size(), false);
    for pages in [cover, lesson] {
        let words: Vec<String> = pages
            .iter()
            .flat_map(|page| &page.parts)
            .flat_map(|part| part.drawing.labels())
            .map(|(_, words)| words.to_owned())
            .collect();
        // Lines are broken where they end.
        let words = words.join(" ");
        let at = |what: &str| words.find(what);
        let event = at("Flaps out above their limit speed, in 2.");
        assert!(event.is_some() && event < at("Maneuvers"), "{words}");
        assert!(at("The start of a spin (no bank was recorded)").is_some());
        assert!(at("together 22:40 min:s").is_some());
    }
    let page = press::html(&debrief, &flight);
    let event = page.find("Flaps out above their limit speed, in 2");
    assert!(event.is_some() && event < page.find("<h2 class=\"part\">Maneuvers"));
}
