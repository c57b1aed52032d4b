//! Numbered events: a number under the axis with an elbow leader, and the list in the same order.

use crate::axis::{TimeAxis, spread};
use crate::frame::Frame;
use crate::palette::Role;
use crate::svg::{Anchor, Drawing, solid, style};
use crate::text::{self, Face};
use crate::words::{self, Watch};
use debrief::{EventDebrief, ManeuverDebrief};

/// One numbered line of a story.
#[derive(Clone, Debug, PartialEq)]
pub struct Numbered {
    /// From 1.
    pub number: usize,
    /// When, s.
    pub at_s: f64,
    /// What, with its numbers.
    pub words: String,
    /// Id of the event.
    pub event: String,
}

/// The story, with events that it leaves out, numbered in order of time.
#[must_use]
pub fn numbered(maneuver: &ManeuverDebrief) -> Vec<Numbered> {
    let mut list: Vec<(f64, String, String)> = maneuver
        .story
        .iter()
        .map(|line| {
            (
                line.at_s,
                words::tidy(line.text.trim().trim_end_matches('.')),
                line.event.clone(),
            )
        })
        .collect();
    for (index, event) in maneuver.events.iter().enumerate() {
        let told = list
            .iter()
            .any(|(at, _, id)| *id == event.name && (at - event.at_s).abs() < 0.5);
        if !told && event.at_s.is_finite() {
            list.push((
                event.at_s,
                event_words(maneuver, index, event),
                event.name.clone(),
            ));
        }
    }
    list.retain(|(at, _, _)| at.is_finite());
    list.sort_by(|a, b| a.0.total_cmp(&b.0));
    list.into_iter()
        .enumerate()
        .map(|(index, (at_s, words, event))| Numbered {
            number: index + 1,
            at_s,
            words,
            event,
        })
        .collect()
}

/// An event in words; one whose name repeats is counted: `flaps down, 2 of 3`.
fn event_words(maneuver: &ManeuverDebrief, index: usize, event: &EventDebrief) -> String {
    let same = |other: &&EventDebrief| other.name == event.name;
    let all = maneuver.events.iter().filter(same).count();
    let before = maneuver.events.iter().take(index).filter(same).count();
    let mut words = words::plain_id(&event.name);
    if all > 1 {
        words.push_str(&format!(", {} of {all}", before + 1));
    }
    if let Some(value) = event.value.as_ref().filter(|value| value.value.is_finite()) {
        words.push_str(&format!(
            ", {}",
            words::with_sigma(value.value, value.sigma, &value.unit)
        ));
    }
    if event.probability < 0.5 {
        words.push_str(", perhaps");
    }
    words
}

/// Draws axis, ticks and numbers with the axis at `y`; gives the y below.
pub fn draw(
    drawing: &mut Drawing,
    frame: &Frame,
    axis: &TimeAxis,
    list: &[Numbered],
    watch: Watch,
    y: f64,
) -> f64 {
    for piece in &axis.pieces {
        drawing.line((piece.x0, y), (piece.x1, y), solid(Role::Ink3, 1.0));
    }
    let style = style(Face::Sans, frame.tick, Role::Ink3);
    let half = text::width(style.face, style.size, "00:00") / 2.0;
    for (t, x) in axis.ticks(watch, 2.0 * half + 8.0) {
        drawing.line((x, y), (x, y + 4.0), solid(Role::Ink3, 1.0));
        if x - half >= frame.x0 - 24.0 && x + half <= frame.width {
            drawing.text(
                (x, y + 4.0 + frame.tick),
                Anchor::Middle,
                style,
                &watch.ms(t),
            );
        }
    }
    let zone = if watch.start_unix_s.is_some() {
        "UTC, min:s"
    } else {
        "min:s"
    };
    if !frame.narrow {
        let words = if axis.pieces.len() > 1 {
            format!("{zone}; stretched")
        } else {
            zone.to_owned()
        };
        drawing.text((0.0, y + 4.0 + frame.tick), Anchor::Start, style, &words);
    }
    if list.is_empty() {
        return y + 20.0;
    }
    let wishes: Vec<f64> = list.iter().map(|line| axis.clamped(line.at_s)).collect();
    let apart = if frame.narrow { 17.0 } else { 16.0 };
    let low = if frame.narrow { 6.0 } else { frame.x0 - 26.0 };
    let places = spread(
        &wishes,
        apart,
        low,
        (frame.x1 + 26.0).min(frame.width - 8.0),
    );
    let (top, bottom) = (y + 8.0 + frame.tick, y + 18.0 + frame.tick);
    for ((line, wish), place) in list.iter().zip(&wishes).zip(&places) {
        drawing.polyline(
            &[
                (*wish, top),
                (*wish, top + 2.0),
                (*place, bottom - 2.0),
                (*place, bottom),
            ],
            solid(Role::Ink2, 0.75),
        );
        let style = crate::svg::style(Face::SansBold, frame.tick.max(11.0), Role::Ink);
        drawing.text(
            (*place, bottom + 10.0),
            Anchor::Middle,
            style,
            &line.number.to_string(),
        );
    }
    bottom + 16.0
}
