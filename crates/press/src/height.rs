//! Where the height went, on a sheet: the ledger, the recovery done right, and the words that must stand with them.

use crate::flow::{Flow, Tag, paragraph};
use crate::frame::{Frame, SHEET_WIDTH};
use crate::ledger_chart;
use crate::palette::Role;
use crate::print::{BODY, BOLD, LEADING, SECOND};
use crate::sheet::Figure;
use crate::svg::{Drawing, escape, style};
use crate::text::Face;
use crate::what_if_chart;
use crate::words;
use debrief::{HeightLedger, LedgerLine, ManeuverDebrief};
use std::fmt::Write as _;

/// How the drawing is read; said once beside it.
const HOW: &str = "The height lost is measured, the shares are derived. Numbers are \u{B1} 1\u{3C3}; a whisker holds the true share 95 times \
    in 100, and one that reaches back past the start of its bar cannot be told from nothing. Causes stand in the \
    order in which they were put right, one after the other: another order moves feet among them, never the sum.";
const DONE_RIGHT: &str = "As flown, and done right";

/// `Where the 265 ft went`.
fn title(ledger: &HeightLedger) -> String {
    ledger
        .readings
        .first()
        .and_then(debrief::LedgerReading::whole_feet)
        .filter(|whole| whole.lost > 0)
        .map_or_else(
            || "Where the height went".to_owned(),
            |whole| format!("Where the {} ft went", words::number(whole.lost as f64, 0)),
        )
}

/// What a clean one costs today, in a sentence.
fn clean(maneuver: &ManeuverDebrief, ledger: &HeightLedger) -> Option<String> {
    let what = ledger
        .readings
        .first()
        .map_or("recovery", |reading| reading.any_title.as_str());
    what_if_chart::clean_words(maneuver.what_if.as_ref()?, what.trim_start_matches("any "))
}

/// Why it is not told, as one quiet line.
fn why_not(ledger: &HeightLedger) -> Option<String> {
    let why = ledger.why_not.as_ref()?;
    Some(format!("Where the height went is not told: {why}."))
}

/// What must be known with it.
fn notes(ledger: &HeightLedger) -> Vec<&str> {
    let mut out = vec![HOW];
    out.extend(ledger.words.iter().map(String::as_str));
    out.push(&ledger.reference);
    out.retain(|words| !words.is_empty());
    out
}

fn what_if_drawing(
    maneuver: &ManeuverDebrief,
    ledger: &HeightLedger,
    frame: &Frame,
) -> Option<Drawing> {
    let start = what_if_chart::start_words(ledger);
    what_if_chart::draw(maneuver.what_if.as_ref()?, &start, frame)
}

/// The caution of the what-if, unless the ledger says the same beside it.
fn caution<'a>(maneuver: &'a ManeuverDebrief, ledger: &'a HeightLedger) -> Vec<&'a str> {
    let own = maneuver.what_if.as_ref().map(|one| one.caution.as_str());
    let mut out = vec![ledger.caution.as_str()];
    out.extend(own.filter(|own| *own != ledger.caution));
    out.retain(|words| !words.is_empty());
    out
}

/// On paper, with the lists of the sheet: why there is none, where there could be one.
pub(crate) fn put_missing(flow: &mut Flow, maneuver: &ManeuverDebrief) {
    if let Some(words) = maneuver.height_ledger.as_ref().and_then(why_not) {
        flow.space(3.0);
        let line = paragraph(&[(SECOND, &words)], SHEET_WIDTH, LEADING);
        flow.part(Tag::Paragraph, line);
    }
}

/// On paper.
pub(crate) fn put(flow: &mut Flow, maneuver: &ManeuverDebrief) {
    let Some(ledger) = &maneuver.height_ledger else {
        return;
    };
    for (index, (tag, drawing)) in parts(maneuver, ledger).into_iter().enumerate() {
        if index == 0 {
            flow.rule(280.0);
        }
        flow.part(tag, drawing);
        flow.space(5.0);
    }
}

/// How much room it takes on paper, px; 0 where there is none.
pub(crate) fn taken(maneuver: &ManeuverDebrief) -> f64 {
    let Some(ledger) = &maneuver.height_ledger else {
        return 0.0;
    };
    let parts = parts(maneuver, ledger);
    if parts.is_empty() {
        return 0.0;
    }
    18.0 + parts
        .iter()
        .map(|(_, drawing)| drawing.height + 5.0)
        .sum::<f64>()
}

fn parts(maneuver: &ManeuverDebrief, ledger: &HeightLedger) -> Vec<(Tag, Drawing)> {
    let mut out = Vec::new();
    let Some(drawn) = ledger_chart::draw(ledger, &Frame::wide()) else {
        return out;
    };
    let heading = |words: &str| {
        let style = style(Face::SerifBold, 16.0, Role::Ink);
        paragraph(&[(style, words)], SHEET_WIDTH, 24.0)
    };
    out.push((Tag::Heading3, heading(&title(ledger))));
    if let Some(words) = clean(maneuver, ledger) {
        let style = style(Face::Serif, 14.5, Role::Ink);
        out.push((
            Tag::Paragraph,
            paragraph(&[(style, &words)], SHEET_WIDTH, 19.0),
        ));
    }
    out.push((Tag::Figure, drawn));
    let small = style(Face::Sans, 10.5, Role::Ink2);
    let told = notes(ledger).join(" ");
    out.push((
        Tag::Paragraph,
        paragraph(&[(small, &told)], SHEET_WIDTH, 13.5),
    ));
    if let Some(drawn) = what_if_drawing(maneuver, ledger, &Frame::wide()) {
        out.push((
            Tag::Heading3,
            paragraph(&[(BOLD, DONE_RIGHT)], SHEET_WIDTH, 20.0),
        ));
        out.push((Tag::Figure, drawn));
    }
    let caution = caution(maneuver, ledger).join(" ");
    if !caution.is_empty() {
        out.push((
            Tag::Paragraph,
            paragraph(&[(BODY, &caution)], SHEET_WIDTH, LEADING),
        ));
    }
    out
}

/// On the page.
pub(crate) fn html(out: &mut String, maneuver: &ManeuverDebrief) {
    let Some(ledger) = &maneuver.height_ledger else {
        return;
    };
    if let Some(words) = why_not(ledger) {
        let _ = write!(out, "<p class=\"also found\">{}</p>", escape(&words));
        return;
    }
    let Some(shown) = both(|frame| ledger_chart::draw(ledger, frame)) else {
        return;
    };
    let _ = write!(
        out,
        "<hr><div class=\"height\"><h3>{}</h3>",
        escape(&title(ledger))
    );
    if let Some(words) = clean(maneuver, ledger) {
        let _ = write!(out, "<p class=\"said\">{}</p>", escape(&words));
    }
    let number = maneuver.number;
    crate::html::figure(out, &shown, &format!("m{number}ledger"));
    let _ = write!(
        out,
        "<p class=\"small\">{}</p>",
        escape(&notes(ledger).join(" "))
    );
    table(out, ledger);
    if let Some(shown) = both(|frame| what_if_drawing(maneuver, ledger, frame)) {
        let _ = write!(out, "<h3>{DONE_RIGHT}</h3>");
        crate::html::figure(out, &shown, &format!("m{number}whatif"));
    }
    for words in caution(maneuver, ledger) {
        let _ = write!(out, "<p>{}</p>", escape(words));
    }
    out.push_str("</div>");
}

fn both(draw: impl Fn(&Frame) -> Option<Drawing>) -> Option<Figure> {
    Some(Figure {
        wide: draw(&Frame::wide())?,
        narrow: draw(&Frame::narrow())?,
    })
}

/// The shares as a table, for who would rather read than look.
fn table(out: &mut String, ledger: &HeightLedger) {
    out.push_str("<details class=\"screen\"><summary>The shares as a table</summary><div class=\"scroll\" tabindex=\"0\">");
    for reading in &ledger.readings {
        let Some(whole) = reading.whole_feet() else {
            continue;
        };
        let _ = write!(
            out,
            "<table><caption>{}</caption><thead><tr><th scope=\"col\">cause</th><th scope=\"col\">ft</th><th scope=\"col\">95 in 100</th><th scope=\"col\">in any order, ft</th></tr></thead><tbody>",
            escape(&words::capital(&reading.title))
        );
        let mut row = |name: &str, feet: i64, sigma: Option<f64>, line: Option<&LedgerLine>| {
            let number = words::with_sigma(feet as f64, sigma, "");
            let reach = line.map_or(String::new(), |line| {
                let [from, to] = line.interval_ft;
                format!("{} to {}", words::number(from, 0), words::number(to, 0))
            });
            let orderless = line.and_then(|line| line.orderless_ft);
            let _ = write!(
                out,
                "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td></tr>",
                escape(&words::capital(name)),
                escape(&number),
                escape(&reach),
                orderless.map_or(String::new(), |feet| words::number(feet, 0))
            );
        };
        row(
            &reading.any_title,
            whole.any,
            reading.any_recovery.sigma,
            None,
        );
        for (line, feet) in reading.lines.iter().zip(&whole.lines) {
            row(&line.title, *feet, line.cost.sigma, Some(line));
        }
        row("height lost", whole.lost, reading.lost.sigma, None);
        out.push_str("</tbody></table>");
    }
    out.push_str("</div></details>");
}
