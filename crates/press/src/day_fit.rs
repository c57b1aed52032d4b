//! What the flight says of its aircraft, beside what the aircraft's file has: a small table, and what is not shown and why.

use crate::flow::{Flow, Tag, paragraph};
use crate::frame::SHEET_WIDTH;
use crate::print::{self, BODY, BOLD, LEADING, SECOND};
use crate::svg::{Anchor, Drawing, escape};
use crate::words;
use debrief::{Debrief, FitOfTheDay, FitPoint, FitRow};
use std::fmt::Write as _;

/// Heading on the page and on paper.
const TITLE: &str = "The aircraft as flown";

fn flown(row: &FitRow) -> String {
    row.flown.map_or(String::new(), |value| {
        words::with_sigma(value, row.sigma, &row.unit)
    })
}

fn file(row: &FitRow) -> String {
    row.file.map_or(String::new(), |value| {
        words::plain((value * 10.0).round() / 10.0, &row.unit)
    })
}

/// Drag and thrust at a point, and the climb that follows.
fn at_point(point: &FitPoint) -> String {
    let share = |value: f64, sigma: f64| words::with_sigma(100.0 * value, Some(100.0 * sigma), "%");
    format!(
        "{}: drag {} and thrust {} of the weight, climb {}.",
        words::with_unit(point.speed_kt, 0, "kt"),
        share(point.drag, point.drag_sigma),
        share(point.thrust, point.thrust_sigma),
        words::with_sigma(point.climb_fpm, Some(point.climb_sigma_fpm), "ft/min")
    )
}

/// What it rests on, what is not shown, and the caution, as sentences.
fn told(fit: &FitOfTheDay) -> String {
    let mut out = fit.words.join(" ");
    let missing = fit.not_shown();
    if !missing.is_empty() {
        let _ = write!(out, " Not shown: {}.", missing.join("; "));
    }
    out
}

/// On paper: one line a figure.
pub(crate) fn put(flow: &mut Flow, debrief: &Debrief) {
    let Some(fit) = &debrief.fit_of_the_day else {
        return;
    };
    flow.rule(60.0);
    flow.part(Tag::Heading3, print::part_title(TITLE));
    for row in fit.shown() {
        let mut line = Drawing::new(SHEET_WIDTH, LEADING);
        let base = LEADING * 0.76;
        line.text((0.0, base), Anchor::Start, BODY, &row.name);
        line.text((300.0, base), Anchor::Start, BOLD, &flown(row));
        if row.file.is_some() {
            let words = format!("aircraft file {}", file(row));
            line.text((430.0, base), Anchor::Start, SECOND, &words);
        }
        flow.part(Tag::Paragraph, line);
    }
    let words = told(fit);
    let runs = [(BODY, words.as_str()), (SECOND, fit.caution.as_str())];
    flow.part(Tag::Paragraph, paragraph(&runs, SHEET_WIDTH, LEADING));
}

/// On the page: the table, then drag and thrust.
pub(crate) fn html(out: &mut String, debrief: &Debrief) {
    let Some(fit) = &debrief.fit_of_the_day else {
        return;
    };
    let _ = write!(out, "<h2 class=\"part\">{TITLE}</h2>");
    if fit.shown().next().is_some() {
        out.push_str("<div class=\"scroll\" tabindex=\"0\"><table><thead><tr><th scope=\"col\">figure</th><th scope=\"col\">as flown</th><th scope=\"col\">aircraft file</th></tr></thead><tbody>");
        for row in fit.shown() {
            let _ = write!(
                out,
                "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>",
                escape(&row.name),
                escape(&flown(row)),
                escape(&file(row))
            );
        }
        out.push_str("</tbody></table></div>");
    }
    for point in &fit.points {
        let _ = write!(
            out,
            "<p class=\"also\"><span class=\"key\">{}</span> {}</p>",
            escape(&point.name),
            escape(&at_point(point))
        );
    }
    let _ = write!(
        out,
        "<p class=\"also\">{} <span class=\"found\">{}</span></p>",
        escape(&told(fit)),
        escape(&fit.caution)
    );
}
