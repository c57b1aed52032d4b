//! Rows of quantities over one axis that is not time: heading turned, bearing, distance.

use super::{map, span};
use crate::axis::spread;
use crate::frame::Frame;
use crate::palette::Role;
use crate::panel;
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, Stroke, dashed, solid, style};
use crate::text::{self, Face};

/// The axis that rows share.
pub(super) struct Axis {
    /// Left and right value.
    pub(super) from: f64,
    pub(super) to: f64,
    /// Ticks: value, words.
    pub(super) ticks: Vec<(f64, String)>,
    /// What it is, with its unit.
    pub(super) name: String,
}

/// A line of a row: (axis, value), NaN where it breaks.
pub(super) struct Line {
    pub(super) points: Vec<Point>,
    pub(super) stroke: Stroke,
    /// 1-σ of a value; an area behind the line.
    pub(super) sigma: Option<f64>,
}

/// What is asked for over a stretch of the axis.
pub(super) struct Allowed {
    pub(super) from: f64,
    pub(super) to: f64,
    pub(super) low: Option<f64>,
    pub(super) high: Option<f64>,
}

/// A number beside a point, with a dot on it.
pub(super) struct Note {
    pub(super) at: Point,
    pub(super) words: String,
}

/// A quantity.
pub(super) struct Row {
    pub(super) name: &'static str,
    pub(super) second: String,
    /// Height of the plot, px.
    pub(super) height: f64,
    /// Least span of the scale.
    pub(super) span: f64,
    pub(super) lines: Vec<Line>,
    pub(super) allowed: Vec<Allowed>,
    /// The flying that is described, thin and dashed.
    pub(super) guides: Vec<Vec<Point>>,
    /// Places on the axis where an extreme belongs, as short vertical dashes.
    pub(super) places: Vec<f64>,
    /// Named values.
    pub(super) levels: Vec<(f64, String)>,
    pub(super) notes: Vec<Note>,
}

impl Row {
    pub(super) fn new(name: &'static str, second: String, height: f64, span: f64) -> Self {
        Self {
            name,
            second,
            height,
            span,
            lines: Vec::new(),
            allowed: Vec::new(),
            guides: Vec::new(),
            places: Vec::new(),
            levels: Vec::new(),
            notes: Vec::new(),
        }
    }

    fn range(&self) -> Option<(f64, f64)> {
        let lines = self.lines.iter().flat_map(|line| {
            let sigma = line.sigma.unwrap_or(0.0);
            line.points
                .iter()
                .filter(|(x, _)| x.is_finite())
                .flat_map(move |(_, value)| [value - sigma, value + sigma])
        });
        let (low, high) = span::range(lines)?;
        let more = self
            .allowed
            .iter()
            .flat_map(|allowed| [allowed.low, allowed.high])
            .flatten()
            .chain(self.guides.iter().flatten().map(|(_, value)| *value));
        let (low, high) = span::range(more.chain([low, high]))?;
        // A named value far outside would flatten the line to show nothing but itself.
        let reach = (high - low).max(self.span);
        let near = self
            .levels
            .iter()
            .map(|(value, _)| *value)
            .filter(|value| *value > low - 0.5 * reach && *value < high + 0.5 * reach);
        let (low, high) = span::range(near.chain([low, high]))?;
        let (low, high) = panel::padded(low, high, self.span);
        // Room for a number above and below the extremes.
        let room = if self.notes.is_empty() { 0.0 } else { 0.12 };
        Some((low - room * (high - low), high + room * (high - low)))
    }
}

/// Draws rows from `y` down, then the axis; gives the y below.
pub(super) fn draw(
    drawing: &mut Drawing,
    frame: &Frame,
    axis: &Axis,
    rows: &[Row],
    top: f64,
) -> f64 {
    let across = |value: f64| {
        frame.x0 + (frame.x1 - frame.x0) * (value - axis.from) / (axis.to - axis.from).max(1e-9)
    };
    let mut y = top;
    let mut bottom = top;
    let mut plots = Vec::new();
    for row in rows {
        let Some(range) = row.range() else { continue };
        let named = name(drawing, frame, row, y);
        let plot = if frame.narrow { named } else { y + 4.0 };
        let height = row.height * frame.height;
        bottom = plot + height;
        plots.push((row, range, plot, height));
        y = if frame.narrow {
            bottom + 9.0
        } else {
            (bottom + 12.0 * frame.height).max(named + 4.0)
        };
    }
    if plots.is_empty() {
        return top;
    }
    let mut last = f64::NEG_INFINITY;
    for (value, words) in &axis.ticks {
        let x = across(*value);
        for (_, _, plot, height) in &plots {
            drawing.line((x, *plot), (x, plot + height), solid(Role::Rule, 0.75));
        }
        drawing.line((x, bottom), (x, bottom + 4.0), solid(Role::Ink3, 1.0));
        let tick = frame.tick_style();
        let half = text::width(tick.face, tick.size, words) / 2.0;
        let x = x.clamp(half, (drawing.width - half).max(half));
        if x - half > last + 5.0 {
            drawing.text((x, bottom + 5.0 + frame.tick), Anchor::Middle, tick, words);
            last = x + half;
        }
    }
    drawing.line(
        (frame.x0, bottom),
        (frame.x1, bottom),
        solid(Role::Ink3, 1.0),
    );
    for (row, range, plot, height) in plots {
        ink(drawing, frame, row, range, (plot, height), &across);
    }
    let base = bottom + 5.0 + frame.tick;
    if frame.narrow {
        let mut base = base + 3.0;
        let room = drawing.width - frame.x0;
        for line in text::wrap(Face::Sans, frame.label - 0.5, &axis.name, room) {
            base += frame.label + 2.0;
            drawing.text((frame.x0, base), Anchor::Start, frame.second(), &line);
        }
        return base + 8.0;
    }
    let mut under = base;
    for line in text::wrap(Face::Sans, frame.label - 0.5, &axis.name, frame.names - 4.0) {
        drawing.text((0.0, under), Anchor::Start, frame.second(), &line);
        under += 13.0;
    }
    under
}

/// Name and second words; gives the y below them.
fn name(drawing: &mut Drawing, frame: &Frame, row: &Row, y: f64) -> f64 {
    let size = frame.label - 0.5;
    if frame.narrow {
        let after = drawing
            .text((0.0, y + 12.0), Anchor::Start, frame.name(), row.name)
            .x1;
        let whole = text::width(Face::Sans, size, &row.second);
        if after + 8.0 + whole <= drawing.width {
            drawing.text(
                (after + 8.0, y + 12.0),
                Anchor::Start,
                frame.second(),
                &row.second,
            );
            return y + 20.0;
        }
        let mut base = y + 12.0;
        for line in text::wrap(Face::Sans, size, &row.second, drawing.width - 2.0) {
            base += 15.0;
            drawing.text((0.0, base), Anchor::Start, frame.second(), &line);
        }
        return base + 8.0;
    }
    drawing.text((0.0, y + 13.0), Anchor::Start, frame.name(), row.name);
    let mut base = y + 13.0;
    for line in text::wrap(Face::Sans, size, &row.second, frame.names - 4.0) {
        base += 13.0;
        drawing.text((0.0, base), Anchor::Start, frame.second(), &line);
    }
    base + 4.0
}

fn ink(
    drawing: &mut Drawing,
    frame: &Frame,
    row: &Row,
    (low, high): (f64, f64),
    (top, height): (f64, f64),
    across: &dyn Fn(f64) -> f64,
) {
    let level = |value: f64| top + height * (high - value) / (high - low).max(1e-9);
    for allowed in &row.allowed {
        let (upper, lower) = (
            allowed.high.map_or(top, &level),
            allowed.low.map_or(top + height, &level),
        );
        let (left, right) = (across(allowed.from), across(allowed.to));
        drawing.rect(left, upper, right - left, lower - upper, Role::Band);
        for edge in [allowed.low, allowed.high].into_iter().flatten() {
            drawing.line(
                (left, level(edge)),
                (right, level(edge)),
                solid(Role::Ink2, 1.0),
            );
        }
    }
    let drawn = ticks(drawing, frame, row, (low, high), (top, height));
    for place in &row.places {
        let x = across(*place);
        drawing.line((x, top), (x, top + height), dashed(Role::Ink2, 0.9));
    }
    let mut curves: Vec<Vec<Point>> = Vec::new();
    for line in &row.lines {
        for run in line
            .points
            .split(|(x, value)| !(x.is_finite() && value.is_finite()))
            .filter(|run| run.len() > 1)
        {
            let placed: Vec<Point> = run
                .iter()
                .map(|(x, value)| (across(*x), level(*value)))
                .collect();
            if let Some(sigma) = line.sigma {
                let half = (level(0.0) - level(sigma)).abs();
                // Thinner than the line itself it would only blur it.
                if half > 1.0 {
                    let mut outline: Vec<Point> =
                        placed.iter().map(|(x, y)| (*x, y - half)).collect();
                    outline.extend(placed.iter().rev().map(|(x, y)| (*x, y + half)));
                    drawing.area(&sample::simplify(&outline, 0.15), Role::Sigma);
                }
            }
            curves.push(placed);
        }
    }
    for guide in &row.guides {
        let placed: Vec<Point> = guide.iter().map(|(x, v)| (across(*x), level(*v))).collect();
        drawing.polyline(&placed, dashed(Role::Ink2, 1.0));
    }
    let strokes = row.lines.iter().flat_map(|line| {
        line.points
            .split(|(x, value)| !(x.is_finite() && value.is_finite()))
            .filter(|run| run.len() > 1)
            .map(|_| line.stroke)
    });
    for (curve, stroke) in curves.iter().zip(strokes) {
        drawing.polyline(&sample::simplify(curve, 0.12), stroke);
    }
    // Words stand on no line, the upright ones included.
    for place in &row.places {
        curves.push(vec![(across(*place), top), (across(*place), top + height)]);
    }
    for note in &row.notes {
        let point = (across(note.at.0), level(note.at.1));
        drawing.circle(point, 2.6, Some(Role::Ink), None);
        map::label(
            drawing,
            &curves,
            point,
            &note.words,
            (frame.tick + 0.5, true),
            (frame.x0, top - 3.0, frame.x1 - frame.x0, height + 3.0),
        );
    }
    margin(drawing, frame, row, &drawn, (top, top + height), &level);
}

/// Ticks at values that mean something, else at round ones; gives the y of those drawn.
fn ticks(
    drawing: &mut Drawing,
    frame: &Frame,
    row: &Row,
    (low, high): (f64, f64),
    (top, height): (f64, f64),
) -> Vec<f64> {
    let level = |value: f64| top + height * (high - value) / (high - low).max(1e-9);
    let named = row.levels.iter().map(|(value, _)| *value);
    let limits = row
        .allowed
        .iter()
        .flat_map(|allowed| [allowed.low, allowed.high])
        .flatten();
    let round = panel::nice((low, high), if height > 70.0 { 3 } else { 2 })
        .into_iter()
        .map(|(value, _)| value);
    let mut drawn: Vec<f64> = Vec::new();
    for value in named.chain(limits).chain(round) {
        let y = level(value);
        if !y.is_finite() || y < top - 1.0 || y > top + height + 1.0 {
            continue;
        }
        if drawn
            .iter()
            .any(|other| (other - y).abs() < frame.tick + 1.0)
        {
            continue;
        }
        drawn.push(y);
        drawing.line((frame.x0, y), (frame.x1, y), solid(Role::Rule, 0.6));
        let places = usize::from(row.span < 2.0);
        drawing.text(
            (frame.ticks(), y + frame.tick * 0.35),
            Anchor::End,
            frame.tick_style(),
            &crate::words::number(value, places),
        );
    }
    drawn
}

/// Names of values at the right, kept apart; on a narrow page there is no room for them.
fn margin(
    drawing: &mut Drawing,
    frame: &Frame,
    row: &Row,
    drawn: &[f64],
    (top, bottom): (f64, f64),
    level: &dyn Fn(f64) -> f64,
) {
    if frame.narrow {
        return;
    }
    let mut named: Vec<(f64, &str)> = row
        .levels
        .iter()
        .map(|(value, words)| (level(*value), words.as_str()))
        .filter(|(y, words)| !words.is_empty() && drawn.iter().any(|line| (line - y).abs() < 0.01))
        .collect();
    named.sort_by(|a, b| a.0.total_cmp(&b.0));
    let wishes: Vec<f64> = named.iter().map(|(y, _)| *y).collect();
    let places = spread(&wishes, 12.5, top - 2.0, bottom + 4.0);
    for ((_, words), y) in named.iter().zip(places) {
        let style = style(Face::Sans, frame.label - 0.5, Role::Ink2);
        let words = text::fit(style.face, style.size, words, frame.width - frame.right());
        drawing.text((frame.right(), y + 4.0), Anchor::Start, style, &words);
    }
}
