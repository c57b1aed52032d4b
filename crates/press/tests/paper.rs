//! The PDF file: structure that readers and printers rely on.

mod fixture;

use fixture::{Fits, debrief, flight};
use press::Paper;

fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// ISO 32000-1:2008, 7.5: header, cross-reference table, trailer; every entry of the table points at its object.
#[test]
fn val_iso_32000_cross_references_point_at_objects() {
    let pdf = press::pdf(&debrief(Fits::Rich, 3), &flight(Fits::Rich)).expect("a PDF");
    assert!(pdf.starts_with(b"%PDF-1."));
    let tail = text(&pdf[pdf.len() - 40..]);
    let start: usize = tail
        .split("startxref")
        .nth(1)
        .and_then(|rest| rest.split_whitespace().next())
        .and_then(|word| word.parse().ok())
        .expect("startxref");
    let table = text(&pdf[start..]);
    let mut lines = table.lines();
    assert_eq!(lines.next(), Some("xref"));
    let count: usize = lines
        .next()
        .and_then(|line| line.split_whitespace().nth(1))
        .and_then(|word| word.parse().ok())
        .expect("a count");
    assert!(count > 50);
    for (number, line) in lines.take(count).enumerate().skip(1) {
        let offset: usize = line[..10].parse().expect("an offset");
        if line.contains(" n") {
            assert!(
                pdf[offset..].starts_with(format!("{number} 0 obj").as_bytes()),
                "object {number}"
            );
        }
    }
}

#[test]
fn prop_paper_has_the_size_that_was_asked_for() {
    let (debrief, flight) = (debrief(Fits::Rich, 0), flight(Fits::Rich));
    // Letter is 8.5 × 11 in = 612 × 792 pt; A4 is 210 × 297 mm (ISO 216) = 595.28 × 841.89 pt.
    for (paper, box_words) in [
        (Paper::Letter, "/MediaBox [0 0 612 792]"),
        (Paper::A4, "/MediaBox [0 0 595.2"),
    ] {
        let pdf = text(&press::pdf_on(&debrief, &flight, paper).expect("a PDF"));
        assert!(pdf.contains(box_words), "{box_words}");
    }
}

#[test]
fn prop_title_language_tags_and_bookmarks_are_there() {
    let (debrief, flight) = (debrief(Fits::Rich, 0), flight(Fits::Rich));
    let pdf = text(&press::pdf(&debrief, &flight).expect("a PDF"));
    for wanted in [
        "/Title (Flight of 4 September 2025)",
        "/Lang (en-US)",
        "/StructTreeRoot",
        "/Marked true",
        "/DisplayDocTitle true",
        "/Alt",
        "/ParentTree",
        "/FontFile2",
        "/ToUnicode",
        "(2 Power-off stall, straight ahead)",
    ] {
        assert!(pdf.contains(wanted), "{wanted}");
    }
}

/// The same debrief makes the same bytes: no clock, no chance.
#[test]
fn prop_output_is_repeatable() {
    let (debrief, flight) = (debrief(Fits::Panel, 1), flight(Fits::Panel));
    assert_eq!(press::pdf(&debrief, &flight), press::pdf(&debrief, &flight));
    assert_eq!(
        press::html(&debrief, &flight),
        press::html(&debrief, &flight)
    );
}
