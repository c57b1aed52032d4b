//! The figure of a sheet over time: phases as columns, ribbons, traces, axis, numbered events.

use crate::axis::TimeAxis;
use crate::events::{self, Numbered};
use crate::frame::Frame;
use crate::palette::Role;
use crate::panel;
use crate::ribbon;
use crate::svg::{Anchor, Drawing, solid};
use crate::text;
use crate::trace;
use crate::words::{self, Watch};
use debrief::{Debrief, ManeuverDebrief, PhaseDebrief};
use flight::Flight;
use standard::Mark;

/// Draws the figure.
#[must_use]
pub fn draw(
    debrief: &Debrief,
    maneuver: &ManeuverDebrief,
    flight: &Flight,
    frame: &Frame,
) -> Drawing {
    draw_without(debrief, maneuver, flight, frame, &[])
}

/// The same without the traces of some names: those that another picture of the sheet shows better.
#[must_use]
pub fn draw_without(
    debrief: &Debrief,
    maneuver: &ManeuverDebrief,
    flight: &Flight,
    frame: &Frame,
    without: &[&str],
) -> Drawing {
    let watch = Watch {
        start_unix_s: flight.start_unix_s,
    };
    let axis = TimeAxis::for_maneuver(maneuver, frame.x0, frame.x1);
    let left_turn = maneuver.direction.starts_with("left");
    let list = events::numbered(maneuver);
    let header = header_height(maneuver, &axis, frame);
    let mut front = Drawing::new(frame.width, 0.0);
    let mut y = header + 4.0;
    for mark in rows(maneuver) {
        y = ribbon::draw(&mut front, frame, &axis, mark, left_turn, y);
    }
    y += 8.0;
    let mut panels = panel::panels(debrief, maneuver, flight, &axis);
    panels.retain(|panel| !without.contains(&panel.name));
    for panel in &panels {
        y = trace::draw(&mut front, frame, &axis, panel, y);
    }
    let bottom = y;
    let height = events::draw(&mut front, frame, &axis, &list, watch, bottom);
    let mut drawing = Drawing::new(frame.width, height);
    columns(&mut drawing, maneuver, &axis, frame, header, bottom);
    hairlines(&mut drawing, &axis, &list, header, bottom);
    drawing.place(&front, 0.0, 0.0);
    drawing.title = format!("{}: ribbons and traces over time", maneuver.title);
    drawing.desc = describe(maneuver, &panels, &list, watch);
    drawing
}

/// Marks that are drawn as rows: what was not met first, so that one look shows which broke.
#[must_use]
pub fn rows(maneuver: &ManeuverDebrief) -> Vec<&Mark> {
    let mut rows: Vec<&Mark> = maneuver
        .marks
        .iter()
        .filter(|mark| ribbon::has_row(mark))
        .collect();
    // What was recorded first; empty rows last and at most three, the rest goes to the list below.
    rows.sort_by_key(|mark| match mark.mark {
        standard::Verdict::NotMet => 0,
        standard::Verdict::TooClose => 1,
        standard::Verdict::NotRecorded => 3,
        _ => 2,
    });
    let drawn = rows
        .iter()
        .filter(|mark| mark.mark != standard::Verdict::NotRecorded)
        .count();
    rows.truncate(drawn + 3);
    rows
}

/// Phases as columns: one that only frames others (slow flight established, with its legs and turns inside) is left out.
fn phases(maneuver: &ManeuverDebrief) -> Vec<&PhaseDebrief> {
    let frames = |outer: &PhaseDebrief| {
        let inside = |inner: &&PhaseDebrief| {
            inner.start_s >= outer.start_s - 0.5
                && inner.end_s <= outer.end_s + 0.5
                && inner.end_s - inner.start_s < 0.95 * (outer.end_s - outer.start_s)
        };
        maneuver.phases.iter().filter(inside).count() > 1
    };
    maneuver
        .phases
        .iter()
        .filter(|phase| !frames(phase))
        .collect()
}

/// Phase names placed in one or more lines: (x, line, words).
fn phase_names(
    maneuver: &ManeuverDebrief,
    axis: &TimeAxis,
    frame: &Frame,
) -> Vec<(f64, usize, String)> {
    let style = frame.second();
    let mut ends: Vec<f64> = Vec::new();
    let mut placed = Vec::new();
    for phase in phases(maneuver) {
        if phase.end_s < axis.start() || phase.start_s > axis.end() {
            continue;
        }
        let words = words::plain_id(&phase.name);
        let width = text::width(style.face, style.size, &words);
        let edge = if frame.narrow {
            frame.width
        } else {
            frame.right() - 8.0
        };
        let x = (axis.clamped(phase.start_s) + 2.0).min(edge - width);
        let line = ends
            .iter()
            .position(|end| *end + 6.0 <= x)
            .unwrap_or(ends.len());
        if line == ends.len() {
            ends.push(0.0);
        }
        if let Some(end) = ends.get_mut(line) {
            *end = x + width;
        }
        placed.push((x, line, words));
    }
    placed
}

fn header_height(maneuver: &ManeuverDebrief, axis: &TimeAxis, frame: &Frame) -> f64 {
    let lines = phase_names(maneuver, axis, frame)
        .iter()
        .map(|(_, line, _)| line + 1)
        .max()
        .unwrap_or(0);
    4.0 + 14.0 * lines.max(usize::from(!frame.narrow)) as f64
}

/// Phases as columns behind everything, every other one tinted, with a line at each border and the name on top.
fn columns(
    drawing: &mut Drawing,
    maneuver: &ManeuverDebrief,
    axis: &TimeAxis,
    frame: &Frame,
    top: f64,
    bottom: f64,
) {
    let names = phase_names(maneuver, axis, frame);
    let lines = names.iter().map(|(_, line, _)| line + 1).max().unwrap_or(1);
    for (index, phase) in phases(maneuver).into_iter().enumerate() {
        let (from, to) = (axis.clamped(phase.start_s), axis.clamped(phase.end_s));
        if index % 2 == 1 {
            drawing.rect(from, top, to - from, bottom - top, Role::Phase);
        }
        if phase.start_s > axis.start() + 0.5 {
            drawing.line((from, top), (from, bottom), solid(Role::Ink3, 0.75));
        }
    }
    for (x, line, words) in &names {
        // The first line is the lowest, next to its column.
        let base = top - 4.0 - 14.0 * *line as f64;
        drawing.text((*x, base), Anchor::Start, frame.second(), words);
    }
    let _ = lines;
    if !frame.narrow && maneuver.marks.iter().any(ribbon::has_row) {
        drawing.text(
            (frame.right(), top - 4.0),
            Anchor::Start,
            frame.second(),
            "worst, mark",
        );
    }
}

/// A hairline from each number up through the figure.
fn hairlines(drawing: &mut Drawing, axis: &TimeAxis, list: &[Numbered], top: f64, bottom: f64) {
    for line in list {
        let Some(x) = axis.x(line.at_s) else { continue };
        let stroke = if line.event == "full_stall" {
            solid(Role::Ink3, 1.0)
        } else {
            solid(Role::Rule, 0.75)
        };
        drawing.line((x, top), (x, bottom), stroke);
    }
}

/// The figure in words.
fn describe(
    maneuver: &ManeuverDebrief,
    panels: &[panel::Panel],
    list: &[Numbered],
    watch: Watch,
) -> String {
    let left_turn = maneuver.direction.starts_with("left");
    let mut out = String::new();
    for mark in rows(maneuver) {
        out.push_str(&format!(
            "{}: {}",
            words::capital(&mark.quantity),
            words::mark(mark.mark)
        ));
        if let Some(worst) = words::worst(mark, left_turn) {
            out.push_str(&format!(", worst {worst}"));
        }
        let limits = words::limits(mark);
        if !limits.is_empty() {
            out.push_str(&format!(", asked for {limits}"));
        }
        out.push_str(". ");
    }
    let names: Vec<&str> = panels.iter().map(|panel| panel.name).collect();
    if !names.is_empty() {
        out.push_str(&format!(
            "Traces of {}, from {} to {} {}. ",
            names.join(", ").to_lowercase(),
            watch.hms(maneuver.start_s),
            watch.hms(maneuver.end_s),
            watch.zone()
        ));
    }
    if !list.is_empty() {
        out.push_str(&format!(
            "{} numbered events; the list follows.",
            list.len()
        ));
    }
    out
}
