//! The what-if: height and airspeed over the seconds from the stall, as flown and with everything done right.
//!
//! What was flown is a solid line in ink, what is computed thin dashes with ±1σ around them. The computed one alone
//! is the profile for the brief.

use crate::axis::spread;
use crate::frame::{Frame, PHONE_WIDTH};
use crate::palette::Role;
use crate::panel;
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, dashed, solid, style};
use crate::text::Face;
use crate::trace;
use crate::words;
use debrief::{HeightLedger, WhatIf};

/// Height of a plot, px.
const PLOT: f64 = 104.0;
/// Room for the words at the ends of lines, px.
const ENDS: f64 = 92.0;
/// Room for tick labels, px.
const TICKS: f64 = 34.0;

/// A line of a panel.
struct Line {
    /// Seconds and value.
    points: Vec<Point>,
    /// Lower and upper edge at ±1σ, where it is computed.
    band: Option<Vec<(f64, f64, f64)>>,
    /// What it is called at its end.
    name: &'static str,
    computed: bool,
}

/// A quantity over seconds.
struct Panel {
    name: &'static str,
    second: String,
    lines: Vec<Line>,
    /// Whether zero is a line of its own and the lowest points are named.
    from_zero: bool,
    unit: &'static str,
}

/// Where both traces begin, in words: `the full stall`, `the decision`.
#[must_use]
pub fn start_words(ledger: &HeightLedger) -> String {
    ledger
        .readings
        .iter()
        .find(|reading| reading.name == "after_30_s")
        .and_then(|reading| reading.title.split_once("after "))
        .map_or_else(|| "the start".to_owned(), |(_, start)| start.to_owned())
}

/// The start as one counts from it: `where it dropped`.
fn from_words(start: &str) -> String {
    if start.starts_with("it ") {
        format!("where {start}")
    } else {
        start.to_owned()
    }
}

/// The recovery as flown and done right; `start` is what both begin at. `None` where there is nothing to draw.
#[must_use]
pub fn draw(what_if: &WhatIf, start: &str, frame: &Frame) -> Option<Drawing> {
    let panels = panels(what_if, start, true);
    let mut drawing = draw_panels(&panels, what_if, frame)?;
    drawing.title = "Flown, and done right".to_owned();
    drawing.desc = format!(
        "Height and airspeed over the seconds from {}. {}",
        from_words(start),
        words_of(what_if)
    );
    Some(drawing)
}

/// The clean recovery alone, for the brief: no trace of a student's is on it.
#[must_use]
pub fn profile(what_if: &WhatIf, start: &str, frame: &Frame) -> Option<Drawing> {
    let panels = panels(what_if, start, false);
    let mut drawing = draw_panels(&panels, what_if, frame)?;
    drawing.title = "A clean recovery today".to_owned();
    drawing.desc = clean_words(what_if, "recovery").unwrap_or_default();
    Some(drawing)
}

/// `A clean recovery today: −146 ± 23 ft, then +1 ± 23 ft at 30 s.`; `what` is `recovery` or `go-around`.
#[must_use]
pub fn clean_words(what_if: &WhatIf, what: &str) -> Option<String> {
    let right = &what_if.right;
    let (low, low_sigma) = lowest(&right.height_ft, &right.height_sigma_ft)?;
    let end = right.height_ft.last().copied().filter(|v| v.is_finite())?;
    let end_sigma = right.height_sigma_ft.last().copied();
    let seconds = (right.height_ft.len().saturating_sub(1)) as f64 * what_if.step_s;
    let first = if low < -0.5 {
        format!("{}, then ", words::with_sigma(low, low_sigma, "ft"))
    } else {
        String::new()
    };
    Some(format!(
        "A clean {what} today: {first}{} at {}.",
        signed(end, end_sigma),
        words::with_unit(seconds, 0, "s")
    ))
}

/// `+60 ± 22 ft`.
fn signed(value: f64, sigma: Option<f64>) -> String {
    let plus = if value >= 0.5 { "+" } else { "" };
    format!("{plus}{}", words::with_sigma(value, sigma, "ft"))
}

/// Both traces in words.
fn words_of(what_if: &WhatIf) -> String {
    let told = |name: &str, heights: &[f64], sigmas: &[f64]| {
        let (low, sigma) = lowest(heights, sigmas)?;
        let end = heights.last().copied().filter(|v| v.is_finite())?;
        Some(format!(
            "{name}: lowest {}, at the end {}.",
            words::with_sigma(low, sigma, "ft"),
            signed(end, sigmas.last().copied())
        ))
    };
    let right = &what_if.right;
    [
        told("As flown", &what_if.flown_height_ft, &[]),
        told("Done right", &right.height_ft, &right.height_sigma_ft),
    ]
    .into_iter()
    .flatten()
    .collect::<Vec<_>>()
    .join(" ")
}

/// The lowest height, with its σ.
fn lowest(heights: &[f64], sigmas: &[f64]) -> Option<(f64, Option<f64>)> {
    let (index, value) = heights
        .iter()
        .enumerate()
        .filter(|(_, value)| value.is_finite())
        .min_by(|(_, a), (_, b)| a.total_cmp(b))?;
    Some((*value, sigmas.get(index).copied()))
}

fn panels(what_if: &WhatIf, start: &str, with_flown: bool) -> [Panel; 2] {
    let step = what_if.step_s;
    let points = |values: &[f64]| -> Vec<Point> {
        values
            .iter()
            .enumerate()
            .map(|(index, value)| (index as f64 * step, *value))
            .filter(|(t, value)| t.is_finite() && value.is_finite())
            .collect()
    };
    let band = |values: &[f64], sigmas: &[f64]| -> Vec<(f64, f64, f64)> {
        values
            .iter()
            .zip(sigmas)
            .enumerate()
            .map(|(index, (value, sigma))| (index as f64 * step, value - sigma, value + sigma))
            .filter(|(t, low, high)| t.is_finite() && low.is_finite() && high.is_finite())
            .collect()
    };
    let lines = |flown: &[f64], right: &[f64], sigma: &[f64]| {
        let mut out = Vec::new();
        if with_flown {
            out.push(Line {
                points: points(flown),
                band: None,
                name: "as flown",
                computed: false,
            });
        }
        out.push(Line {
            points: points(right),
            band: Some(band(right, sigma)),
            name: if with_flown { "done right" } else { "clean" },
            computed: true,
        });
        out
    };
    let right = &what_if.right;
    [
        Panel {
            name: "Height",
            second: format!("ft from {}", from_words(start)),
            lines: lines(
                &what_if.flown_height_ft,
                &right.height_ft,
                &right.height_sigma_ft,
            ),
            from_zero: true,
            unit: "ft",
        },
        Panel {
            name: "Airspeed",
            second: "kt, indicated".to_owned(),
            lines: lines(&what_if.flown_ias_kt, &right.ias_kt, &right.ias_sigma_kt),
            from_zero: false,
            unit: "kt",
        },
    ]
}

fn draw_panels(panels: &[Panel], what_if: &WhatIf, frame: &Frame) -> Option<Drawing> {
    let drawable = panels
        .iter()
        .flat_map(|panel| &panel.lines)
        .all(|line| line.points.len() > 1);
    if !(drawable && what_if.step_s.is_finite() && what_if.step_s > 0.0) {
        return None;
    }
    let end_s = panels
        .iter()
        .flat_map(|panel| &panel.lines)
        .filter_map(|line| line.points.last())
        .map(|(t, _)| *t)
        .fold(0.0, f64::max);
    let mut drawing = Drawing::new(frame.width, 0.0);
    let gap = 16.0;
    let width = if frame.narrow {
        PHONE_WIDTH.min(frame.width)
    } else {
        (frame.width - gap) / 2.0
    };
    for (index, panel) in panels.iter().enumerate() {
        let (left, top) = if frame.narrow {
            (0.0, drawing.height)
        } else {
            (index as f64 * (width + gap), 0.0)
        };
        let own = Frame {
            x0: left + TICKS,
            x1: left + width - ENDS,
            ..*frame
        };
        let bottom = draw_panel(&mut drawing, &own, panel, end_s, (left, top));
        drawing.height = drawing.height.max(bottom);
    }
    Some(drawing)
}

fn draw_panel(
    drawing: &mut Drawing,
    frame: &Frame,
    panel: &Panel,
    end_s: f64,
    (left, y): (f64, f64),
) -> f64 {
    let after = drawing
        .text((left, y + 12.0), Anchor::Start, frame.name(), panel.name)
        .x1;
    drawing.text(
        (after + 8.0, y + 12.0),
        Anchor::Start,
        frame.second(),
        &panel.second,
    );
    let top = y + 24.0;
    let bottom = top + PLOT * frame.height.max(0.8);
    let values = panel.lines.iter().flat_map(|line| {
        let edges = line
            .band
            .iter()
            .flatten()
            .flat_map(|(_, low, high)| [*low, *high]);
        line.points.iter().map(|(_, value)| *value).chain(edges)
    });
    let first = if panel.from_zero { Some(0.0) } else { None };
    let (low, high) = values
        .chain(first)
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    let (low, high) = panel::padded(low, high, 20.0);
    let across = |t: f64| frame.x0 + (frame.x1 - frame.x0) * t / end_s.max(1e-9);
    let level = |value: f64| top + (bottom - top) * (high - value) / (high - low).max(1e-9);
    let mut curves = Vec::new();
    for line in &panel.lines {
        if let Some(band) = &line.band {
            let mut outline: Vec<Point> = band
                .iter()
                .map(|(t, _, upper)| (across(*t), level(*upper)))
                .collect();
            outline.extend(
                band.iter()
                    .rev()
                    .map(|(t, lower, _)| (across(*t), level(*lower))),
            );
            drawing.area(&sample::simplify(&outline, 0.15), Role::Sigma);
        }
    }
    // Over the bands, or the zero line would be lost under them.
    ticks(drawing, frame, panel, (low, high), &level);
    time_axis(drawing, frame, end_s, bottom, &across);
    for line in &panel.lines {
        let curve: Vec<Point> = line
            .points
            .iter()
            .map(|(t, value)| (across(*t), level(*value)))
            .collect();
        let stroke = if line.computed {
            dashed(Role::Ink2, 1.2)
        } else {
            solid(Role::Ink, 1.8)
        };
        drawing.polyline(&sample::simplify(&curve, 0.12), stroke);
        curves.push(curve);
    }
    if panel.from_zero {
        for line in &panel.lines {
            let low = line.points.iter().min_by(|a, b| a.1.total_cmp(&b.1));
            if let Some((t, value)) = low.filter(|(_, value)| *value < -0.5) {
                let point = (across(*t), level(*value));
                drawing.circle(point, 2.6, Some(Role::Ink), None);
                let words = words::number(*value, 0);
                let span = (top - 4.0, bottom + 2.0);
                trace::write_note(drawing, frame, &curves, point, &words, false, span);
            }
        }
    }
    ends(drawing, frame, panel, &level, (top, bottom));
    bottom + frame.tick + 12.0
}

fn ticks(
    drawing: &mut Drawing,
    frame: &Frame,
    panel: &Panel,
    range: (f64, f64),
    level: &dyn Fn(f64) -> f64,
) {
    let zero = if panel.from_zero { Some(0.0) } else { None };
    let round = panel::nice(range, 3).into_iter().map(|(value, _)| value);
    let mut drawn: Vec<f64> = Vec::new();
    for value in zero.into_iter().chain(round) {
        let y = level(value);
        let taken = drawn
            .iter()
            .any(|other| (other - y).abs() < frame.tick + 1.0);
        if !y.is_finite() || taken {
            continue;
        }
        drawn.push(y);
        let stroke = if value == 0.0 && panel.from_zero {
            solid(Role::Ink3, 1.0)
        } else {
            solid(Role::Rule, 0.6)
        };
        drawing.line((frame.x0, y), (frame.x1, y), stroke);
        drawing.text(
            (frame.ticks(), y + frame.tick * 0.35),
            Anchor::End,
            frame.tick_style(),
            &words::number(value, 0),
        );
    }
}

fn time_axis(
    drawing: &mut Drawing,
    frame: &Frame,
    end_s: f64,
    bottom: f64,
    across: &dyn Fn(f64) -> f64,
) {
    let base = bottom + frame.tick + 3.0;
    drawing.line(
        (frame.x0, bottom),
        (frame.x1, bottom),
        solid(Role::Rule, 0.75),
    );
    for index in 0..=3 {
        let t = f64::from(index) * 10.0;
        if t > end_s + 1e-6 {
            break;
        }
        let x = across(t);
        drawing.line((x, bottom), (x, bottom + 3.0), solid(Role::Ink3, 1.0));
        drawing.text(
            (x, base),
            Anchor::Middle,
            frame.tick_style(),
            &words::number(t, 0),
        );
    }
    drawing.text(
        (frame.x1 + 10.0, base),
        Anchor::Start,
        frame.tick_style(),
        "s",
    );
}

/// What each line is, at its end, with its last value.
fn ends(
    drawing: &mut Drawing,
    frame: &Frame,
    panel: &Panel,
    level: &dyn Fn(f64) -> f64,
    (top, bottom): (f64, f64),
) {
    const APART: f64 = 27.0;
    let mut named: Vec<(f64, &Line, f64)> = panel
        .lines
        .iter()
        .filter_map(|line| {
            let (_, value) = line.points.last()?;
            Some((level(*value), line, *value))
        })
        .collect();
    named.sort_by(|a, b| a.0.total_cmp(&b.0));
    let wishes: Vec<f64> = named.iter().map(|(y, _, _)| *y - 3.0).collect();
    let places = spread(&wishes, APART, top - 2.0, bottom - 14.0);
    for ((_, line, value), y) in named.iter().zip(places) {
        let (face, role) = if line.computed {
            (Face::Sans, Role::Ink2)
        } else {
            (Face::SansBold, Role::Ink)
        };
        let style = style(face, frame.label - 0.5, role);
        let x = frame.x1 + 7.0;
        drawing.text((x, y + 4.0), Anchor::Start, style, line.name);
        let sigma = line
            .band
            .as_ref()
            .and_then(|band| band.last())
            .map(|(_, low, high)| (high - low) / 2.0);
        let words = if panel.from_zero {
            signed(*value, sigma)
        } else {
            words::with_sigma(
                if sigma.is_some() {
                    *value
                } else {
                    value.round()
                },
                sigma,
                panel.unit,
            )
        };
        drawing.text((x, y + 17.0), Anchor::Start, style, &words);
    }
}
