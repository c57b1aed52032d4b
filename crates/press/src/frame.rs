//! Columns of a figure: names, tick labels, plot, marks. A wide one for paper and desk, a narrow one for a phone.

use crate::palette::Role;
use crate::svg::{Style, style};
use crate::text::Face;

/// Inner width of a sheet, px: 184 mm, which letter and A4 both hold.
pub const SHEET_WIDTH: f64 = 695.0;
/// Inner width of a phone's page, px.
pub const PHONE_WIDTH: f64 = 358.0;

/// Columns of a figure, px.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// Whole width.
    pub width: f64,
    /// Left edge of the plot.
    pub x0: f64,
    /// Right edge of the plot.
    pub x1: f64,
    /// Width of the column of names; on a narrow page names stand above their row.
    pub names: f64,
    /// Whether names and marks stand above their row.
    pub narrow: bool,
    /// Size of labels.
    pub label: f64,
    /// Size of tick labels.
    pub tick: f64,
    /// Share of their usual height that panels get: under 1 where that keeps a sheet on one page.
    pub height: f64,
}

impl Frame {
    /// For a sheet.
    #[must_use]
    pub const fn wide() -> Self {
        Self {
            width: SHEET_WIDTH,
            x0: 150.0,
            x1: 574.0,
            names: 116.0,
            narrow: false,
            label: 12.0,
            tick: 10.5,
            height: 1.0,
        }
    }

    /// For a wide page on a screen; nothing under 12 px.
    #[must_use]
    pub const fn desk() -> Self {
        let mut frame = Self::wide();
        (frame.label, frame.tick) = (12.5, 12.0);
        frame
    }

    /// For a phone; nothing under 12 px.
    #[must_use]
    pub const fn narrow() -> Self {
        Self {
            width: PHONE_WIDTH,
            x0: 42.0,
            x1: 350.0,
            names: 350.0,
            narrow: true,
            label: 12.5,
            tick: 12.0,
            height: 1.0,
        }
    }

    /// The same with lower panels.
    #[must_use]
    pub const fn lower(mut self, share: f64) -> Self {
        self.height = share;
        self
    }

    /// Where tick labels end.
    #[must_use]
    pub fn ticks(&self) -> f64 {
        self.x0 - 6.0
    }

    /// Where the right column begins.
    #[must_use]
    pub fn right(&self) -> f64 {
        self.x1 + 10.0
    }

    /// Names of rows.
    #[must_use]
    pub const fn name(&self) -> Style {
        style(Face::SansBold, self.label, Role::Ink)
    }

    /// Second lines.
    #[must_use]
    pub const fn second(&self) -> Style {
        style(Face::Sans, self.label - 0.5, Role::Ink2)
    }

    /// Tick labels on paper.
    #[must_use]
    pub const fn tick_style(&self) -> Style {
        style(Face::Sans, self.tick, Role::Ink3)
    }
}
