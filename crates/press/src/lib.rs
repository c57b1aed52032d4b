//! From a debrief to one self-contained HTML page and to a PDF that prints.
//!
//! A figure is drawn once, as a [`svg::Drawing`] of paths and measured words; the page holds it as SVG, the PDF
//! as vector graphics with real text. Rules of the look: `docs/looks.md`.
//!
//! The stage before gives SI and, in the document, the units that pilots read; this crate converts the flight's
//! series to ft, kt, degrees and rpm where it draws them, and nowhere else.

pub mod axis;
pub mod events;
pub mod figure;
pub mod frame;
pub mod glyph;
mod html;
pub mod palette;
pub mod plan;
pub mod ribbon;
pub mod sample;
pub mod sheet;
pub mod strip;
pub mod svg;
pub mod text;
pub mod trace;
pub mod turn;
pub mod words;

use debrief::Debrief;
use flight::Flight;

/// The debrief as one HTML page that needs nothing else: fonts, style and figures are inside, there is no script.
#[must_use]
pub fn html(debrief: &Debrief, flight: &Flight) -> String {
    html::page(debrief, flight)
}
