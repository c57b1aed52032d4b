//! From a debrief to one self-contained HTML page and to a PDF that prints.
//!
//! A figure is drawn once, as a [`svg::Drawing`] of paths and measured words; the page holds it as SVG, the PDF
//! as vector graphics with real text. Rules of the look: `docs/looks.md`.
//!
//! The stage before gives SI and, in the document, the units that pilots read; this crate converts the flight's
//! series to ft, kt, degrees and rpm where it draws them, and nowhere else.

pub mod account;
pub mod axis;
pub mod brief_card;
mod day_fit;
pub mod events;
pub mod figure;
pub mod flow;
pub mod frame;
pub mod glyph;
mod height;
mod html;
pub mod ledger_chart;
mod lesson;
pub mod palette;
pub mod panel;
mod pdf;
pub mod picture;
pub mod plan;
pub mod print;
pub mod ribbon;
mod ribbon_row;
pub mod sample;
pub mod sheet;
pub mod strip;
pub mod svg;
mod svg_text;
pub mod text;
pub mod trace;
pub mod turn;
mod turn_plot;
pub mod what_if_chart;
mod whole;
pub mod words;

use debrief::Debrief;
use flight::Flight;

pub use lesson::{LessonSheet, SignedLine};
pub use pdf::PressError;

/// The debrief as one HTML page that needs nothing else: fonts, style and figures are inside, there is no script.
#[must_use]
pub fn html(debrief: &Debrief, flight: &Flight) -> String {
    html::page(debrief, flight)
}

/// Paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 8.5 × 11 in.
    #[default]
    Letter,
    /// 210 × 297 mm (ISO 216).
    A4,
}

impl Paper {
    /// Size in px of 1/96 in.
    #[must_use]
    pub const fn size(self) -> flow::Sheetsize {
        match self {
            Paper::Letter => flow::Sheetsize {
                width: 816.0,
                height: 1056.0,
            },
            Paper::A4 => flow::Sheetsize {
                width: 210.0 / 25.4 * 96.0,
                height: 297.0 / 25.4 * 96.0,
            },
        }
    }
}

/// The debrief as a PDF on letter paper.
///
/// # Errors
/// [`PressError`]: a damaged program file, or thousands of pages.
pub fn pdf(debrief: &Debrief, flight: &Flight) -> Result<Vec<u8>, PressError> {
    pdf_on(debrief, flight, Paper::Letter)
}

/// The debrief as a PDF on a paper of choice.
///
/// # Errors
/// As [`pdf()`].
pub fn pdf_on(debrief: &Debrief, flight: &Flight, paper: Paper) -> Result<Vec<u8>, PressError> {
    let pages = print::pages(debrief, flight, paper.size());
    pdf::write(&pages, paper.size(), &sheet::debrief_title(debrief, flight))
}

/// What to brief the next stalls from, one page a kind; none where no stall of the flight has a clean recovery to show.
///
/// # Errors
/// As [`pdf()`].
pub fn brief_card_pdf(
    debrief: &Debrief,
    flight: &Flight,
    paper: Paper,
) -> Result<Option<Vec<u8>>, PressError> {
    let pages = brief_card::pages(debrief, flight, paper.size());
    if pages.is_empty() {
        return Ok(None);
    }
    let title = brief_card_title(debrief, flight);
    pdf::write(&pages, paper.size(), &title).map(Some)
}

/// The same as one HTML page that needs nothing else; none as [`brief_card_pdf`].
#[must_use]
pub fn brief_card_html(debrief: &Debrief, flight: &Flight) -> Option<String> {
    brief_card::page(debrief, flight, &brief_card_title(debrief, flight))
}

fn brief_card_title(debrief: &Debrief, flight: &Flight) -> String {
    format!("Brief card, {}", sheet::debrief_title(debrief, flight))
}

/// A lesson as a PDF: the lesson sheet on one page, and one page for each maneuver when `with_sheets`.
///
/// # Errors
/// As [`pdf()`].
pub fn lesson_pdf(
    lesson: &LessonSheet,
    debrief: &Debrief,
    flight: &Flight,
    paper: Paper,
    with_sheets: bool,
) -> Result<Vec<u8>, PressError> {
    let pages = print::lesson_pages(lesson, debrief, flight, paper.size(), with_sheets);
    pdf::write(&pages, paper.size(), &lesson.title)
}
