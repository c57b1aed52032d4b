//! The height strip of the whole flight with the maneuvers on it.

use crate::axis::TimeAxis;
use crate::frame::{PHONE_WIDTH, SHEET_WIDTH};
use crate::palette::Role;
use crate::panel;
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, Rect, solid, style};
use crate::text::{self, Face};

use crate::words::{self, Watch};
use debrief::{Debrief, ManeuverDebrief};

/// Draws the strip. Heights in ft are written at the right.
#[must_use]
pub fn draw(debrief: &Debrief, watch: Watch, narrow: bool) -> Drawing {
    let width = if narrow { PHONE_WIDTH } else { SHEET_WIDTH };
    let (left, right, top, height) = (2.0, width - 38.0, 6.0, if narrow { 76.0 } else { 84.0 });
    let axis = TimeAxis::linear(0.0, debrief.recording.duration_s, left, right);
    let mut drawing = Drawing::new(width, 0.0);
    let base = top + height;
    for maneuver in debrief.maneuvers.iter().filter(|maneuver| maneuver.marked) {
        let (from, to) = (axis.clamped(maneuver.start_s), axis.clamped(maneuver.end_s));
        drawing.rect(from, top, (to - from).max(1.0), height, Role::Band);
    }
    heights(&mut drawing, debrief, &axis, (left, right, top, height));
    for maneuver in &debrief.maneuvers {
        let (from, to) = (axis.clamped(maneuver.start_s), axis.clamped(maneuver.end_s));
        let thick = if maneuver.marked { 3.0 } else { 1.2 };
        drawing.line(
            (from, base + 3.0),
            (to.max(from + 1.0), base + 3.0),
            solid(
                if maneuver.marked {
                    Role::Ink
                } else {
                    Role::Ink3
                },
                thick,
            ),
        );
    }
    let below = labels(&mut drawing, debrief, &axis, base + 16.0, narrow);
    let tick = style(Face::Sans, if narrow { 12.0 } else { 10.5 }, Role::Ink3);
    let half = text::width(tick.face, tick.size, "00:00") / 2.0;
    for (t, x) in axis.ticks(watch, 70.0) {
        if x - half >= 0.0 && x + half <= width {
            drawing.text((x, below + 12.0), Anchor::Middle, tick, &watch.hm(t));
        }
    }
    drawing.height = below + 17.0;
    drawing.title = "Height over the whole flight".to_owned();
    drawing.desc = describe(debrief, watch);
    drawing
}

fn heights(
    drawing: &mut Drawing,
    debrief: &Debrief,
    axis: &TimeAxis,
    (left, right, top, height): (f64, f64, f64, f64),
) {
    let strip = &debrief.flight.strip_altitude_ft;
    let known = strip
        .iter()
        .flatten()
        .map(|value| f64::from(*value))
        .filter(|value| value.is_finite());
    let (least, greatest) = known.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
        (low.min(value), high.max(value))
    });
    let second = style(Face::Sans, 12.0, Role::Ink2);
    if !least.is_finite() || !greatest.is_finite() {
        drawing.text(
            (left, top + height / 2.0),
            Anchor::Start,
            second,
            "No height was recorded.",
        );
        return;
    }
    let scale = panel::padded(least, greatest, 400.0);
    let level = |value: f64| top + height * (scale.1 - value) / (scale.1 - scale.0);
    for (value, words) in panel::nice(scale, 3) {
        drawing.line(
            (left, level(value)),
            (right, level(value)),
            solid(Role::Rule, 0.6),
        );
        drawing.text(
            (right + 6.0, level(value) + 4.0),
            Anchor::Start,
            style(
                Face::Sans,
                if drawing.width < 400.0 { 12.0 } else { 10.5 },
                Role::Ink3,
            ),
            &words,
        );
    }
    let mut run: Vec<Point> = Vec::new();
    let mut runs = Vec::new();
    for (index, value) in strip.iter().enumerate() {
        let x = axis.x(index as f64 * debrief.flight.strip_step_s);
        match (value.map(f64::from).filter(|value| value.is_finite()), x) {
            (Some(value), Some(x)) => run.push((x, level(value))),
            _ => runs.push(std::mem::take(&mut run)),
        }
    }
    runs.push(run);
    for run in runs.iter().filter(|run| run.len() > 1) {
        drawing.polyline(
            &sample::simplify(&sample::thin(run), 0.12),
            solid(Role::Ink, 1.4),
        );
    }
}

/// Number and name under each maneuver; where names would touch, a second line, then the number alone.
fn labels(drawing: &mut Drawing, debrief: &Debrief, axis: &TimeAxis, y: f64, narrow: bool) -> f64 {
    let mut below = y;
    let order = debrief
        .maneuvers
        .iter()
        .filter(|maneuver| maneuver.marked)
        .chain(debrief.maneuvers.iter().filter(|maneuver| !maneuver.marked));
    for maneuver in order {
        let face = if maneuver.marked {
            Face::SansBold
        } else {
            Face::Sans
        };
        let style = style(
            face,
            if narrow { 12.0 } else { 11.0 },
            if maneuver.marked {
                Role::Ink
            } else {
                Role::Ink2
            },
        );
        let x = axis.clamped(maneuver.start_s);
        let full = format!("{} {}", maneuver.number, short_title(maneuver));
        let number = maneuver.number.to_string();
        let choices: &[&str] = if narrow {
            &[&number]
        } else if maneuver.marked {
            &[&full, &number]
        } else {
            &[&number]
        };
        'placed: for words in choices {
            let width = text::width(style.face, style.size, words);
            let left = x.min(drawing.width - width);
            for line in 0..if narrow { 2 } else { 3 } {
                let base = y + 13.0 * f64::from(line);
                let wanted = Rect {
                    x0: left - 3.0,
                    y0: base - style.size * 0.7,
                    x1: left + width + 3.0,
                    y1: base + style.size * 0.22,
                };
                if drawing.is_free(&wanted) {
                    drawing.text((left, base), Anchor::Start, style, words);
                    below = below.max(base);
                    break 'placed;
                }
            }
        }
    }
    below
}

/// The kind in plain words, with the side of a turn.
fn short_title(maneuver: &ManeuverDebrief) -> String {
    let kind = maneuver.kind.replace('_', " ");
    match maneuver.direction.as_str() {
        "left" | "right" => format!("{kind}, {}", maneuver.direction),
        _ => kind,
    }
}

fn describe(debrief: &Debrief, watch: Watch) -> String {
    let mut out = String::new();
    let known: Vec<f64> = debrief
        .flight
        .strip_altitude_ft
        .iter()
        .flatten()
        .map(|value| f64::from(*value))
        .filter(|value| value.is_finite())
        .collect();
    let least = known.iter().copied().fold(f64::INFINITY, f64::min);
    let greatest = known.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if least <= greatest {
        out.push_str(&format!(
            "Between {} and {}. ",
            words::with_unit(least, 0, "ft"),
            words::with_unit(greatest, 0, "ft")
        ));
    }
    for maneuver in &debrief.maneuvers {
        out.push_str(&format!(
            "{} {} at {}. ",
            maneuver.number,
            maneuver.title,
            watch.hm(maneuver.start_s)
        ));
    }
    out.trim_end().to_owned()
}
