//! Recovery from an unusual attitude: pitch against bank, with what was done in its order.

use super::Scene;
use super::chart::{self, Axis, Line, Note, Row};
use super::span;
use crate::frame::Frame;
use crate::palette::Role;
use crate::svg::{Drawing, Point, solid};
use crate::words;

/// Draws it. `None` where pitch or bank was not recorded.
pub(super) fn draw(scene: Scene<'_>, frame: &Frame) -> Option<Drawing> {
    let (pitch, bank) = (scene.flight.pitch.as_ref()?, scene.flight.bank.as_ref()?);
    let (first, last) = scene.bounds();
    let at = |index: usize| -> Point {
        (
            span::at(scene.flight, bank, index).to_degrees(),
            span::at(scene.flight, pitch, index).to_degrees(),
        )
    };
    // What was done a moment before the bounds belongs to it.
    let start = scene
        .maneuver
        .events
        .iter()
        .map(|event| event.at_s)
        .filter(|t| t.is_finite())
        .fold(scene.maneuver.start_s, f64::min)
        .max(scene.maneuver.start_s - 5.0);
    let first = scene.flight.clock.index(start).min(first);
    let points: Vec<Point> = (first..=last).map(at).collect();
    let (low, high) = span::range(points.iter().map(|(x, _)| *x))?;
    let most = low.abs().max(high.abs()).max(20.0) * 1.12;
    let second = format!("{}; up: nose up", span::origin("degrees", pitch));
    let mut row = Row::new(
        "Pitch",
        second,
        if frame.narrow { 210.0 } else { 190.0 },
        30.0,
    );
    row.levels.push((0.0, "level".to_owned()));
    row.lines.push(Line {
        points: points.clone(),
        stroke: solid(Role::Ink, 1.7),
        sigma: None,
    });
    let zero = scene
        .event("recovery_start")
        .unwrap_or(scene.maneuver.start_s);
    let mut order: Vec<(f64, String)> = scene
        .maneuver
        .events
        .iter()
        .filter(|event| event.at_s.is_finite() && event.probability >= 0.5)
        .map(|event| (event.at_s, words::plain_id(&event.name)))
        .collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut said = Vec::new();
    for (number, (t, name)) in order.iter().enumerate() {
        let seconds = words::number(t - zero, 1);
        let words = format!("{} {name}, {seconds}\u{A0}s", number + 1);
        let spot = at(scene.flight.clock.index(*t));
        if spot.0.is_finite() && spot.1.is_finite() {
            row.notes.push(Note {
                at: spot,
                words: words.clone(),
            });
        }
        said.push(words);
    }
    let step = if most > 70.0 {
        60.0
    } else if most > 35.0 {
        30.0
    } else {
        15.0
    };
    let axis = Axis {
        from: -most,
        to: most,
        ticks: [-2.0_f64, -1.0, 0.0, 1.0, 2.0]
            .iter()
            .map(|times| times * step)
            .filter(|value| value.abs() <= most)
            .map(|value| {
                let words = match value {
                    v if v < 0.0 => format!("{:.0}° left", -v),
                    v if v > 0.0 => format!("{v:.0}° right"),
                    _ => "wings level".to_owned(),
                };
                (value, words)
            })
            .collect(),
        name: "bank; numbers: order of actions, seconds from the first".to_owned(),
    };
    let mut drawing = Drawing::new(frame.width, 0.0);
    drawing.height = chart::draw(&mut drawing, frame, &axis, &[row], 4.0) + 8.0;
    "pitch against bank".clone_into(&mut drawing.title);
    drawing.desc = format!("In order: {}.", said.join("; "));
    Some(drawing)
}
