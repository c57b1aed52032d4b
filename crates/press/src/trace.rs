//! Traces: what the aircraft did, drawn on the axis of the ribbons, with numbers where no line is in the way.

use crate::axis::{TimeAxis, spread};
use crate::frame::Frame;
use crate::palette::Role;
use crate::panel::Panel;
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, Rect, solid, style};
use crate::text::{self, Face};

/// Draws a panel with its top at `y`; gives the y below it.
pub fn draw(drawing: &mut Drawing, frame: &Frame, axis: &TimeAxis, panel: &Panel, y: f64) -> f64 {
    let top = if frame.narrow {
        narrow_name(drawing, frame, panel, y)
    } else {
        y
    };
    let plot = panel.height * frame.height;
    let level =
        |value: f64, (low, high): (f64, f64)| top + plot * (high - value) / (high - low).max(1e-9);
    let height = names(drawing, frame, panel, top);
    let mut ticks: Vec<(f64, &str)> = panel
        .ticks
        .iter()
        .map(|(value, words)| (level(*value, panel.scale), words.as_str()))
        .collect();
    ticks.retain(|(level, _)| *level > top - 2.0 && *level < top + plot + 2.0);
    let apart = frame.tick + 0.5;
    let mut kept: Vec<f64> = Vec::new();
    for (level, words) in &ticks {
        if kept.iter().all(|other| (other - level).abs() >= apart) {
            kept.push(*level);
            drawing.line(
                (frame.x0, *level),
                (frame.x1, *level),
                solid(Role::Rule, 0.6),
            );
            drawing.text(
                (frame.ticks(), level + frame.tick * 0.35),
                Anchor::End,
                frame.tick_style(),
                words,
            );
        }
    }
    let curves: Vec<Vec<Point>> = panel
        .lines
        .iter()
        .flat_map(|line| {
            line.runs.runs.iter().map(|run| {
                run.iter()
                    .map(|(x, value)| {
                        (
                            *x,
                            level(*value, line.scale.unwrap_or(panel.scale))
                                .clamp(top - 3.0, top + plot + 3.0),
                        )
                    })
                    .collect()
            })
        })
        .collect();
    let strokes = panel
        .lines
        .iter()
        .flat_map(|line| line.runs.runs.iter().map(|_| line.stroke));
    for (curve, stroke) in curves.iter().zip(strokes) {
        drawing.polyline(&sample::simplify(curve, 0.12), stroke);
    }
    for note in &panel.notes {
        let Some(x) = axis.x(note.t) else { continue };
        let point = (x, level(note.value, panel.scale));
        if note.dot {
            drawing.circle(point, 2.6, Some(Role::Ink), None);
        }
        write_note(
            drawing,
            frame,
            &curves,
            point,
            &note.words,
            note.near,
            (top - 6.0, top + plot + 6.0),
        );
    }
    margin(drawing, frame, panel, &kept, (top, top + plot), level);
    top + height.max(plot) + 8.0 * frame.height
}

fn names(drawing: &mut Drawing, frame: &Frame, panel: &Panel, top: f64) -> f64 {
    if frame.narrow {
        return 0.0;
    }
    drawing.text((0.0, top + 10.0), Anchor::Start, frame.name(), panel.name);
    let lines = text::wrap(
        Face::Sans,
        frame.label - 0.5,
        &panel.second,
        frame.names - 8.0,
    );
    for (index, line) in lines.iter().enumerate() {
        drawing.text(
            (0.0, top + 23.0 + 13.0 * index as f64),
            Anchor::Start,
            frame.second(),
            line,
        );
    }
    16.0 + 13.0 * lines.len() as f64
}

fn narrow_name(drawing: &mut Drawing, frame: &Frame, panel: &Panel, y: f64) -> f64 {
    drawing.rect(0.0, y - 2.0, frame.width, 19.0, Role::Paper);
    let after = drawing
        .text((0.0, y + 12.0), Anchor::Start, frame.name(), panel.name)
        .x1;
    let words = text::fit(
        Face::Sans,
        frame.label - 0.5,
        &panel.second,
        frame.width - after - 8.0,
    );
    drawing.text(
        (after + 8.0, y + 12.0),
        Anchor::Start,
        frame.second(),
        &words,
    );
    y + 24.0
}

/// Names of reference lines at the right, kept apart.
fn margin(
    drawing: &mut Drawing,
    frame: &Frame,
    panel: &Panel,
    drawn: &[f64],
    (top, bottom): (f64, f64),
    level: impl Fn(f64, (f64, f64)) -> f64,
) {
    if frame.narrow {
        return;
    }
    let mut named: Vec<(f64, &str)> = panel
        .margin
        .iter()
        .map(|(value, words)| (level(*value, panel.scale), words.as_str()))
        .collect();
    // A name without its line says nothing.
    named.retain(|(y, words)| {
        y.is_finite()
            && (words.ends_with("lost") || drawn.iter().any(|level| (level - y).abs() < 0.01))
    });
    named.sort_by(|a, b| a.0.total_cmp(&b.0));
    let wishes: Vec<f64> = named.iter().map(|(y, _)| *y).collect();
    let places = spread(&wishes, 12.5, top - 2.0, bottom + 4.0);
    for ((_, words), y) in named.iter().zip(places) {
        let bold = words.ends_with("lost");
        let style = if bold { frame.name() } else { frame.second() };
        let words = text::fit(style.face, style.size, words, frame.width - frame.right());
        drawing.text((frame.right(), y + 4.0), Anchor::Start, style, &words);
    }
}

/// Writes a number beside its point where neither a line nor another word is.
pub(crate) fn write_note(
    drawing: &mut Drawing,
    frame: &Frame,
    curves: &[Vec<Point>],
    (x, y): Point,
    words: &str,
    near: bool,
    (top, bottom): (f64, f64),
) {
    let style = style(Face::SansBold, frame.tick + 0.5, Role::Ink);
    let width = text::width(style.face, style.size, words);
    let tall = style.size;
    let lefts = [x - width - 5.0, x + 6.0, x - width / 2.0];
    let bases = [y - 5.0, y + tall + 2.0, y + 4.0];
    let mut choices: Vec<Point> = Vec::new();
    for base in bases {
        for left in lefts {
            // Level with the point only beside it, or the dot would be written over.
            if base != y + 4.0 || left != x - width / 2.0 {
                choices.push((left, base));
            }
        }
    }
    if near {
        choices = vec![
            (x + 3.0, y - 4.0),
            (x + 9.0, y - 4.0),
            (x + 4.0, y + tall + 1.0),
            (x - width - 4.0, y - 4.0),
        ];
    }
    for far in if near { &[][..] } else { &[18.0, 34.0][..] } {
        choices.extend([
            (x + far, y - 5.0),
            (x - width - far, y - 5.0),
            (x + far, y + tall + 2.0),
            (x - width - far, y + tall + 2.0),
        ]);
    }
    for (left, base) in choices {
        let wanted = Rect {
            x0: left,
            y0: base - tall * 0.72,
            x1: left + width,
            y1: base + tall * 0.1,
        };
        let inside = wanted.x0 >= frame.x0
            && wanted.x1 <= frame.x1
            && wanted.y0 >= top
            && wanted.y1 <= bottom;
        if inside
            && drawing.is_free(&wanted.grown(2.0))
            && !curves
                .iter()
                .any(|curve| crosses(curve, &wanted.grown(0.5)))
        {
            drawing.text((left, base), Anchor::Start, style, words);
            return;
        }
    }
}

/// Whether a line passes through a box.
fn crosses(curve: &[Point], wanted: &Rect) -> bool {
    curve.windows(2).any(|pair| {
        let [a, b] = pair else { return false };
        if a.0.max(b.0) < wanted.x0 || a.0.min(b.0) > wanted.x1 {
            return false;
        }
        let at = |x: f64| {
            if (b.0 - a.0).abs() < 1e-9 {
                a.1
            } else {
                a.1 + (b.1 - a.1) * (x - a.0) / (b.0 - a.0)
            }
        };
        let (from, to) = (
            at(wanted.x0.max(a.0.min(b.0))),
            at(wanted.x1.min(a.0.max(b.0))),
        );
        let steep = wanted.holds(*a) || wanted.holds(*b);
        steep || (from.min(to) < wanted.y1 && from.max(to) > wanted.y0)
    })
}
