//! The height ledger: what any recovery costs, then each cause as a step, down to the height lost.
//!
//! Steps run along one scale of feet: each begins where the one before ended, so that the eye adds them up, and the
//! numbers beside them, rounded together, add up as well. Outlined is the price of any recovery, solid are causes;
//! a negative one goes to the left and says that it helped. Nothing is told by color alone.

use crate::frame::Frame;
use crate::palette::Role;
use crate::svg::{Anchor, Drawing, Style, solid, style};
use crate::text::{self, Face};
use crate::words;
use debrief::{HeightLedger, LedgerReading, WholeFeet};

/// 95 of 100 of a normal distribution lie within so many σ. Source: ISO 3534-1, normal distribution.
const REACH: f64 = 1.96;
/// Height of a bar, px.
const BAR: f64 = 9.0;

/// One line of a reading, ready to draw: feet along the scale.
struct Step {
    name: String,
    /// Where it begins and ends, ft.
    from: f64,
    to: f64,
    /// Where the whisker begins and ends, ft.
    whisker: [f64; 2],
    /// The number as it is printed, and its ± σ.
    number: String,
    sigma: String,
    /// `helped`, `perhaps helped`, `gained`; empty where it cost height.
    word: &'static str,
    kind: Kind,
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Kind {
    Any,
    Cause,
    Total,
}

/// Draws the ledger; `None` where there is no reading that can be drawn.
#[must_use]
pub fn draw(ledger: &HeightLedger, frame: &Frame) -> Option<Drawing> {
    let readings: Vec<(&LedgerReading, Vec<Step>)> = ledger
        .readings
        .iter()
        .filter_map(|reading| Some((reading, steps(reading, &reading.whole_feet()?))))
        .collect();
    if readings.is_empty() {
        return None;
    }
    let span = readings
        .iter()
        .map(|(_, steps)| {
            let (low, high) = range(steps);
            high - low
        })
        .fold(1.0, f64::max);
    let mut drawing = Drawing::new(frame.width, 0.0);
    if frame.narrow {
        narrow(&mut drawing, frame, &readings, span);
    } else {
        wide(&mut drawing, frame, &readings, span);
    }
    drawing.title = "Where the height went".to_owned();
    drawing.desc = readings
        .iter()
        .map(|(reading, _)| words_of(reading))
        .collect::<Vec<_>>()
        .join(" ");
    Some(drawing)
}

/// A reading as a sentence: `To the lowest point: lost 265 ft: any recovery 147 ± 32, kept stalled 96 ± 31.`
#[must_use]
pub fn words_of(reading: &LedgerReading) -> String {
    let Some(whole) = reading.whole_feet() else {
        return String::new();
    };
    let steps = steps(reading, &whole);
    let mut parts = Vec::new();
    for step in steps.iter().filter(|step| step.kind != Kind::Total) {
        let word = if step.word.is_empty() {
            String::new()
        } else {
            format!(", {}", step.word)
        };
        parts.push(format!(
            "{} {}{}{word}",
            decapital(&step.name),
            step.number,
            step.sigma
        ));
    }
    format!(
        "{}: {} ft of height {}: {}.",
        words::capital(&reading.title),
        words::number(whole.lost.abs() as f64, 0),
        if whole.lost < 0 { "gained" } else { "lost" },
        parts.join("; ")
    )
}

fn decapital(name: &str) -> String {
    let mut letters = name.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

fn steps(reading: &LedgerReading, whole: &WholeFeet) -> Vec<Step> {
    let sigma_of = |sigma: Option<f64>| sigma.filter(|s| s.is_finite() && *s > 0.0);
    let sigma_words = |sigma: Option<f64>| {
        // A σ that rounds to nothing would read as certainty.
        sigma_of(sigma)
            .filter(|s| *s >= 0.5)
            .map_or(String::new(), |s| {
                format!("\u{A0}±\u{A0}{}", words::number(s, 0))
            })
    };
    let number = |feet: i64| words::number(feet as f64, 0);
    let any = reading.any_recovery.value;
    let reach = |sigma: Option<f64>| REACH * sigma_of(sigma).unwrap_or(0.0);
    let any_reach = reach(reading.any_recovery.sigma);
    let mut out = vec![Step {
        name: words::capital(&reading.any_title),
        from: 0.0,
        to: any,
        whisker: [any - any_reach, any + any_reach],
        number: number(whole.any),
        sigma: sigma_words(reading.any_recovery.sigma),
        word: if whole.any < 0 { "gained" } else { "" },
        kind: Kind::Any,
    }];
    let mut at = any;
    for (line, feet) in reading.lines.iter().zip(&whole.lines) {
        let [low, high] = line.interval_ft;
        let (low, high) = (low.min(high), high.max(low));
        out.push(Step {
            name: words::capital(&line.title),
            from: at,
            to: at + line.cost.value,
            whisker: [at + low, at + high],
            number: number(*feet),
            sigma: sigma_words(line.cost.sigma),
            word: match (*feet < 0, high < 0.0) {
                (true, true) => "helped",
                (true, false) => "perhaps helped",
                _ => "",
            },
            kind: Kind::Cause,
        });
        at += line.cost.value;
    }
    let lost = reading.lost.value;
    let lost_reach = reach(reading.lost.sigma);
    out.push(Step {
        name: "Height lost".to_owned(),
        from: 0.0,
        to: lost,
        whisker: [lost - lost_reach, lost + lost_reach],
        number: number(whole.lost),
        sigma: sigma_words(reading.lost.sigma),
        word: if whole.lost < 0 { "gained" } else { "" },
        kind: Kind::Total,
    });
    out
}

/// Least and greatest foot that is drawn.
fn range(steps: &[Step]) -> (f64, f64) {
    steps
        .iter()
        .flat_map(|step| [step.from, step.to, step.whisker[0], step.whisker[1]])
        .filter(|value| value.is_finite())
        .fold((0.0, 0.0), |(low, high), value| {
            (f64::min(low, value), f64::max(high, value))
        })
}

/// Feet to px inside a plot: every reading has the same feet per px, and its own zero.
struct Scale {
    x0: f64,
    low: f64,
    px: f64,
}

impl Scale {
    fn new(steps: &[Step], (x0, x1): (f64, f64), span: f64) -> Self {
        Self {
            x0,
            low: range(steps).0,
            px: (x1 - x0) / span,
        }
    }
    fn x(&self, feet: f64) -> f64 {
        self.x0 + (feet - self.low) * self.px
    }
}

/// Bar, whisker and the hair down to the step that follows.
fn ink(drawing: &mut Drawing, scale: &Scale, step: &Step, middle: f64, next: Option<f64>) {
    let (a, b) = (scale.x(step.from), scale.x(step.to));
    let (left, wide) = (a.min(b), (a - b).abs());
    let top = middle - BAR / 2.0;
    if let Some(next) = next {
        drawing.line((b, middle), (b, next), solid(Role::Ink3, 0.75));
    }
    match step.kind {
        Kind::Any => {
            drawing.rect(left, top, wide, BAR, Role::Paper);
            drawing.frame(left, top, wide, BAR, solid(Role::Ink, 1.2));
        }
        // A share of nothing stays listed: a hair where it stands.
        Kind::Cause => drawing.rect(left - 0.5, top, wide + 1.0, BAR, Role::Deviation),
        Kind::Total => drawing.rect(left - 0.5, top + 2.0, wide + 1.0, BAR - 4.0, Role::Ink),
    }
    let [from, to] = step.whisker.map(|feet| scale.x(feet));
    if to - from < 1.0 {
        return;
    }
    // A light edge keeps the whisker readable where it crosses its own bar.
    for stroke in [solid(Role::Paper, 2.6), solid(Role::Ink, 1.2)] {
        drawing.line((from, middle), (to, middle), stroke);
        for end in [from, to] {
            drawing.line((end, middle - 3.0), (end, middle + 3.0), stroke);
        }
    }
}

fn zero(drawing: &mut Drawing, frame: &Frame, scale: &Scale, top: f64, bottom: f64) {
    let x = scale.x(0.0);
    drawing.line((x, top), (x, bottom), solid(Role::Ink3, 1.0));
    drawing.text(
        (x, bottom + frame.tick + 1.0),
        Anchor::Middle,
        frame.tick_style(),
        "0",
    );
}

fn name_style(frame: &Frame, kind: Kind) -> Style {
    let face = if kind == Kind::Any {
        Face::Sans
    } else {
        Face::SansBold
    };
    style(face, frame.label, Role::Ink)
}

/// `96 ± 31`, ending at `right`; gives where it begins.
fn figure(drawing: &mut Drawing, frame: &Frame, step: &Step, right: f64, base: f64) -> f64 {
    let second = style(Face::Sans, frame.label, Role::Ink2);
    let left = drawing
        .text((right, base), Anchor::End, second, &step.sigma)
        .x0;
    let bold = style(Face::SansBold, frame.label, Role::Ink);
    drawing
        .text((left, base), Anchor::End, bold, &step.number)
        .x0
}

/// Names once, then number and steps of each reading side by side.
fn wide(drawing: &mut Drawing, frame: &Frame, readings: &[(&LedgerReading, Vec<Step>)], span: f64) {
    const NAMES: f64 = 182.0;
    const NUMBERS: f64 = 72.0;
    const GAP: f64 = 20.0;
    let count = readings.len() as f64;
    let column = (frame.width - NAMES - GAP * (count - 1.0)) / count;
    let lefts: Vec<f64> = (0..readings.len())
        .map(|index| NAMES + index as f64 * (column + GAP))
        .collect();
    let bold = style(Face::SansBold, frame.label, Role::Ink);
    let mut top = 0.0_f64;
    for ((reading, _), left) in readings.iter().zip(&lefts) {
        let mut base = 11.0;
        for line in text::wrap(bold.face, bold.size, &title(reading), column) {
            drawing.text((*left, base), Anchor::Start, bold, &line);
            base += 14.0;
        }
        top = top.max(base);
    }
    let scales: Vec<Scale> = readings
        .iter()
        .zip(&lefts)
        .map(|((_, steps), left)| {
            Scale::new(steps, (left + NUMBERS + 10.0, left + column - 6.0), span)
        })
        .collect();
    let rows = readings.first().map_or(0, |(_, steps)| steps.len());
    let row = |index: usize| {
        readings
            .iter()
            .filter_map(move |(_, steps)| steps.get(index))
    };
    // Middle of each row: a row with a word under its number is taller, and what any recovery costs stands apart.
    let mut middles = Vec::with_capacity(rows);
    let mut y = top - 2.0;
    for index in 0..rows {
        let worded = row(index).any(|step| !step.word.is_empty());
        let last = row(index).any(|step| step.kind == Kind::Total);
        if last {
            y += 3.0;
            drawing.line((0.0, y), (frame.width, y), solid(Role::Rule, 1.0));
            y += 3.0;
        }
        middles.push(y + 8.5);
        y += if worded { 29.0 } else { 17.0 };
        y += if index == 0 { 5.0 } else { 0.0 };
    }
    for ((_, steps), scale) in readings.iter().zip(&scales) {
        zero(drawing, frame, scale, top - 2.0, y);
        for (index, (step, middle)) in steps.iter().zip(&middles).enumerate() {
            let next = next_middle(&middles, index);
            ink(drawing, scale, step, *middle, next);
        }
    }
    for (index, middle) in middles.iter().enumerate() {
        let base = middle + 4.0;
        if let Some(step) = row(index).next() {
            let words = text::fit(
                name_style(frame, step.kind).face,
                frame.label,
                &step.name,
                NAMES - 8.0,
            );
            drawing.text(
                (0.0, base),
                Anchor::Start,
                name_style(frame, step.kind),
                &words,
            );
        }
        for (step, left) in row(index).zip(&lefts) {
            figure(drawing, frame, step, left + NUMBERS, base);
            drawing.text(
                (left + NUMBERS, base + 12.5),
                Anchor::End,
                frame.second(),
                step.word,
            );
        }
    }
    drawing.height = y + frame.tick + 4.0;
}

/// The middle of the row that the hair of a step leads to.
fn next_middle(middles: &[f64], index: usize) -> Option<f64> {
    middles.get(index + 1).copied()
}

/// A phone: the readings below each other, name and number over each bar.
fn narrow(
    drawing: &mut Drawing,
    frame: &Frame,
    readings: &[(&LedgerReading, Vec<Step>)],
    span: f64,
) {
    let bold = style(Face::SansBold, frame.label + 1.0, Role::Ink);
    let mut y = 0.0;
    for (reading, steps) in readings {
        for line in text::wrap(bold.face, bold.size, &title(reading), frame.width) {
            y += 16.0;
            drawing.text((0.0, y), Anchor::Start, bold, &line);
        }
        y += 4.0;
        let scale = Scale::new(steps, (4.0, frame.width - 4.0), span);
        let mut placed: Vec<(f64, f64)> = Vec::new();
        for step in steps {
            if step.kind == Kind::Total {
                y += 4.0;
                drawing.line((0.0, y), (frame.width, y), solid(Role::Rule, 1.0));
            }
            let base = y + 15.0;
            let mut left = figure(drawing, frame, step, frame.width, base);
            if !step.word.is_empty() {
                left = drawing
                    .text((left - 8.0, base), Anchor::End, frame.second(), step.word)
                    .x0;
            }
            let style = name_style(frame, step.kind);
            let mut line_base = base;
            for (index, line) in text::wrap(style.face, style.size, &step.name, left - 10.0)
                .iter()
                .enumerate()
            {
                line_base += if index > 0 { 15.0 } else { 0.0 };
                drawing.text((0.0, line_base), Anchor::Start, style, line);
            }
            let middle = line_base + 11.0;
            placed.push((middle, line_base + 4.0));
            y = middle + BAR / 2.0 + 3.0;
            if step.kind == Kind::Any {
                y += 4.0;
            }
        }
        for (step, (middle, _)) in steps.iter().zip(&placed) {
            // Words stand between the bars here: a short hair on the zero of each row is enough.
            let x = scale.x(0.0);
            drawing.line((x, middle - 6.5), (x, middle + 6.5), solid(Role::Ink3, 1.0));
            ink(drawing, &scale, step, *middle, None);
        }
        let x = scale.x(0.0).clamp(4.0, frame.width - 4.0);
        drawing.text((x, y + frame.tick), Anchor::Middle, frame.tick_style(), "0");
        y += frame.tick + 14.0;
    }
    drawing.height = y;
}

/// `From the full stall to the lowest point, 13.0 s`; a title that names its seconds needs no second telling.
fn title(reading: &LedgerReading) -> String {
    let named = reading.title.chars().any(|letter| letter.is_ascii_digit());
    let title = words::capital(&reading.title);
    if named || !reading.seconds.is_finite() {
        format!("{title}, ft")
    } else {
        format!("{title}, {}, ft", words::with_unit(reading.seconds, 1, "s"))
    }
}
