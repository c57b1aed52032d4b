//! Chandelle and lazy eight against heading turned, with what the maneuver asks for at each point of the turn.
//!
//! Source of what is asked for: FAA-H-8083-3C, Airplane Flying Handbook, chapter 10. Chandelle: about 30° of bank,
//! constant for the first 90°, rolled out evenly over the second, wings level at 180° just above the stall. Lazy
//! eight: nose highest at 45°, steepest bank, level nose and least speed at 90°, nose lowest at 135°, wings level at
//! the height and speed of the entry at 180°.

use super::Scene;
use super::chart::{self, Allowed, Axis, Line, Note, Row};
use super::span::{self, feet, knots};
use crate::frame::Frame;
use crate::palette::Role;
use crate::panel;
use crate::svg::{Drawing, Point, Stroke, dashed, solid};
use crate::words;
use flight::Series;

/// Bank that a chandelle is entered with where nobody said another, degrees (FAA-H-8083-3C, chapter 10: "approximately 30°").
const CHANDELLE_BANK_DEG: f64 = 30.0;

/// One half turn.
struct Half {
    first: usize,
    /// +1 right, −1 left.
    sign: f64,
    /// Degrees turned since its start, positive the way of the turn.
    turned: Vec<f64>,
}

impl Half {
    fn new(scene: Scene<'_>, from_s: f64, to_s: f64) -> Option<Self> {
        let (heading, clock) = (scene.heading()?, scene.flight.clock);
        let (first, last) = (clock.index(from_s), clock.index(to_s));
        let value = |index: usize| span::at(scene.flight, heading, index);
        let mut known = (first..=last).map(value).filter(|value| value.is_finite());
        let start = known.next()?;
        let end = known.next_back()?;
        let sign = if end < start { -1.0 } else { 1.0 };
        if (end - start).abs() < 0.5 {
            return None;
        }
        let turned = (first..=last)
            .map(|index| (value(index) - start).to_degrees() * sign)
            .collect();
        Some(Self {
            first,
            sign,
            turned,
        })
    }

    fn side(&self) -> &'static str {
        if self.sign < 0.0 { "left" } else { "right" }
    }

    fn last(&self) -> usize {
        self.first + self.turned.len().saturating_sub(1)
    }

    fn curve(&self, scene: Scene<'_>, series: &Series, convert: impl Fn(f64) -> f64) -> Vec<Point> {
        self.turned
            .iter()
            .enumerate()
            .map(|(offset, turned)| {
                let value = span::at(scene.flight, series, self.first + offset);
                (*turned, convert(value))
            })
            .collect()
    }
}

/// A quantity of a turn.
struct Quantity<'a> {
    name: &'static str,
    second: String,
    height: f64,
    span: f64,
    series: &'a Series,
    convert: fn(f64) -> f64,
    signed: bool,
    from_entry: bool,
}

fn quantities(scene: Scene<'_>) -> Vec<Quantity<'_>> {
    let flight = scene.flight;
    let mut out = Vec::new();
    if let Some(series) = &flight.bank {
        out.push(Quantity {
            name: "Bank",
            second: span::origin("degrees, into the turn", series),
            height: 70.0,
            span: 20.0,
            series,
            convert: f64::to_degrees,
            signed: true,
            from_entry: false,
        });
    }
    if let Some(series) = &flight.pitch {
        out.push(Quantity {
            name: "Pitch",
            second: span::origin("degrees", series),
            height: 64.0,
            span: 12.0,
            series,
            convert: f64::to_degrees,
            signed: false,
            from_entry: false,
        });
    }
    if let Some(series) = &flight.altitude {
        out.push(Quantity {
            name: "Height",
            second: "ft above the entry".to_owned(),
            height: 60.0,
            span: 150.0,
            series,
            convert: feet,
            signed: false,
            from_entry: true,
        });
    }
    if let Some((series, name, unit)) = scene.speed() {
        out.push(Quantity {
            name,
            second: unit.to_owned(),
            height: 60.0,
            span: 24.0,
            series,
            convert: knots,
            signed: false,
            from_entry: false,
        });
    }
    out
}

fn row(scene: Scene<'_>, quantity: &Quantity<'_>, halves: &[(Half, Stroke)]) -> Row {
    let mut row = Row::new(
        quantity.name,
        quantity.second.clone(),
        quantity.height,
        quantity.span,
    );
    let entry = halves
        .first()
        .map(|(half, _)| half.curve(scene, quantity.series, quantity.convert))
        .and_then(|curve| curve.into_iter().map(|(_, v)| v).find(|v| v.is_finite()))
        .filter(|_| quantity.from_entry)
        .unwrap_or(0.0);
    for (half, stroke) in halves {
        let sign = if quantity.signed { half.sign } else { 1.0 };
        row.lines.push(Line {
            points: half.curve(scene, quantity.series, |raw| {
                ((quantity.convert)(raw) - entry) * sign
            }),
            stroke: *stroke,
            // The error of a height or a speed is nearly the same all along: it moves the line, not its shape.
            sigma: if quantity.from_entry {
                None
            } else {
                span::sigma(quantity.series, half.first, half.last()).map(quantity.convert)
            },
        });
    }
    row
}

fn axis(halves: &[(Half, Stroke)]) -> Axis {
    let ends = halves
        .iter()
        .flat_map(|(half, _)| half.turned.iter().copied());
    let (low, high) = span::range(ends).unwrap_or((0.0, 180.0));
    Axis {
        from: low.min(-4.0),
        to: high.max(186.0),
        ticks: [0.0, 45.0, 90.0, 135.0, 180.0]
            .iter()
            .map(|value: &f64| (*value, format!("{value:.0}°")))
            .collect(),
        name: "heading turned".to_owned(),
    }
}

fn extreme(points: &[Point], within: (f64, f64), sign: f64) -> Option<Point> {
    points
        .iter()
        .copied()
        .filter(|(x, v)| x.is_finite() && v.is_finite() && *x >= within.0 && *x <= within.1)
        .max_by(|a, b| (a.1 * sign).total_cmp(&(b.1 * sign)))
}

fn at_turned(points: &[Point], turned: f64) -> Option<Point> {
    points
        .iter()
        .copied()
        .filter(|(x, v)| x.is_finite() && v.is_finite())
        .min_by(|a, b| (a.0 - turned).abs().total_cmp(&(b.0 - turned).abs()))
        .filter(|(x, _)| (x - turned).abs() < 15.0)
}

/// A chandelle.
pub(super) fn half(scene: Scene<'_>, frame: &Frame) -> Option<Drawing> {
    let half = Half::new(scene, scene.maneuver.start_s, scene.maneuver.end_s)?;
    let side = half.side();
    let halves = [(half, solid(Role::Ink, 1.7))];
    let mut rows = Vec::new();
    let mut said = Vec::new();
    for quantity in quantities(scene) {
        let mut row = row(scene, &quantity, &halves);
        let points = row
            .lines
            .first()
            .map(|line| line.points.clone())
            .unwrap_or_default();
        match quantity.name {
            "Bank" => {
                let mark = scene.mark("bank_first_half");
                let size = |limit: Option<f64>| limit.map(f64::abs);
                let limits = mark.map(|mark| (size(mark.low), size(mark.high)));
                if let Some((Some(a), Some(b))) = limits {
                    row.allowed.push(Allowed {
                        from: 10.0,
                        to: 90.0,
                        low: Some(a.min(b)),
                        high: Some(a.max(b)),
                    });
                }
                let asked = mark
                    .and_then(|mark| size(mark.target))
                    .unwrap_or(CHANDELLE_BANK_DEG);
                row.guides
                    .push(vec![(10.0, asked), (90.0, asked), (180.0, 0.0)]);
                row.second = format!(
                    "{}; dashed: held to 90°, then rolled out evenly",
                    row.second
                );
                said.push(note(&mut row, at_turned(&points, 90.0), 1.0, "°", "at 90°"));
            }
            "Pitch" => {
                let top = extreme(&points, (0.0, 180.0), 1.0);
                row.places = vec![90.0];
                row.second = format!("{}; highest at 90°, then held", row.second);
                said.push(place_note(&mut row, top, "°"));
            }
            "Height" => said.push(note(
                &mut row,
                at_turned(&points, 180.0),
                1.0,
                "ft",
                "at 180°",
            )),
            _ => {
                if let Some(mark) = scene.mark("final_airspeed")
                    && quantity.name == "Airspeed"
                {
                    row.allowed.push(Allowed {
                        from: 168.0,
                        to: 186.0,
                        low: mark.low,
                        high: mark.high,
                    });
                }
                if let Some(stall) = panel::speed(scene.debrief, "vs1") {
                    row.levels.push((stall, "clean stall".to_owned()));
                }
                said.push(note(
                    &mut row,
                    at_turned(&points, 180.0),
                    1.0,
                    "kt",
                    "at 180°",
                ));
            }
        }
        rows.push(row);
    }
    let mut drawing = finish(frame, &axis(&halves), &rows)?;
    "against heading turned".clone_into(&mut drawing.title);
    drawing.desc = format!("Turn to the {side}. {}", said.concat());
    Some(drawing)
}

fn finish(frame: &Frame, axis: &Axis, rows: &[Row]) -> Option<Drawing> {
    if rows.is_empty() {
        return None;
    }
    let mut drawing = Drawing::new(frame.width, 0.0);
    drawing.height = chart::draw(&mut drawing, frame, axis, rows, 4.0) + 8.0;
    Some(drawing)
}

/// Writes a value at a place; gives it in words for who cannot see it.
fn note(row: &mut Row, at: Option<Point>, per: f64, unit: &str, place: &str) -> String {
    let Some(at) = at else { return String::new() };
    let number = words::with_unit(at.1 / per, 0, if unit == "°" { "deg" } else { unit });
    let name = row.name;
    row.notes.push(Note {
        at,
        words: number.clone(),
    });
    format!("{name} {number} {place}. ")
}

/// Writes an extreme with where it was.
fn place_note(row: &mut Row, at: Option<Point>, unit: &str) -> String {
    let Some(at) = at else { return String::new() };
    let number = words::with_unit(at.1, 0, if unit == "°" { "deg" } else { unit });
    let words = format!("{number} at {:.0}°", at.0);
    let said = format!("{} {words} of turn. ", row.name);
    row.notes.push(Note { at, words });
    said
}

/// The same extreme of both half turns: a dot on each, the words beside the first, solid before dashed.
fn pair_note(row: &mut Row, found: &[Point], unit: &str) -> String {
    let unit = if unit == "°" { "deg" } else { unit };
    let words: Vec<String> = found
        .iter()
        .map(|at| format!("{} at {:.0}°", words::with_unit(at.1, 0, unit), at.0))
        .collect();
    let words = words.join(", ");
    for (index, at) in found.iter().enumerate() {
        row.notes.push(Note {
            at: *at,
            words: if index == 0 {
                words.clone()
            } else {
                String::new()
            },
        });
    }
    format!("{} {words} of turn. ", row.name)
}

/// An extreme that is looked for: +1 greatest or −1 least, and between which degrees turned.
type Wanted = (f64, (f64, f64));

/// A lazy eight: the half turns over each other, so that one look shows whether they are alike.
pub(super) fn halves(scene: Scene<'_>, frame: &Frame) -> Option<Drawing> {
    let mut from = scene.maneuver.start_s;
    let mut halves = Vec::new();
    for event in scene.events("point_180") {
        let index = halves.len();
        if let Some(half) = Half::new(scene, from, event.at_s) {
            // The first one solid, the second dashed; more of them thinner.
            let width = if index < 2 { 1.7 } else { 1.0 };
            let stroke = if index % 2 == 0 {
                solid(Role::Ink, width)
            } else {
                dashed(Role::Deviation, width)
            };
            halves.push((half, stroke));
        }
        from = event.at_s;
    }
    let sides: Vec<&str> = halves.iter().map(|(half, _)| half.side()).collect();
    let key = match sides.as_slice() {
        [] => return None,
        [only] => format!("turn to the {only}"),
        [first, second, ..] => format!("solid: {first}; dashed: {second}"),
    };
    let mut rows = Vec::new();
    let mut said = Vec::new();
    for quantity in quantities(scene) {
        let mut row = row(scene, &quantity, &halves);
        let lines: Vec<Vec<Point>> = row.lines.iter().map(|line| line.points.clone()).collect();
        let (places, wanted, unit): (&[f64], &[Wanted], &str) = match quantity.name {
            "Bank" => (&[90.0], &[(1.0, (0.0, 180.0))], "°"),
            "Pitch" => (
                &[45.0, 135.0],
                &[(1.0, (0.0, 110.0)), (-1.0, (70.0, 180.0))],
                "°",
            ),
            "Height" => (&[90.0], &[(1.0, (0.0, 180.0))], "ft"),
            _ => (&[90.0], &[(-1.0, (0.0, 180.0))], "kt"),
        };
        row.places = places.to_vec();
        for (sign, within) in wanted {
            let found: Vec<Point> = lines
                .iter()
                .take(2)
                .filter_map(|points| extreme(points, *within, *sign))
                .collect();
            said.push(pair_note(&mut row, &found, unit));
        }
        match quantity.name {
            "Bank" => row.second = format!("{}; steepest at 90°", row.second),
            "Pitch" => row.second = format!("{}; highest at 45°, lowest at 135°", row.second),
            "Height" => {
                row.second = format!("{}; as entered at 180°", row.second);
                band(scene, &mut row, "altitude_at_180", 0.0);
            }
            _ => {
                row.second = format!("{}; least at 90°", row.second);
                if let Some(entry) = scene.fact("entry_ias_kt") {
                    band(scene, &mut row, "airspeed_at_180", entry);
                }
            }
        }
        rows.push(row);
    }
    let mut axis = axis(&halves);
    axis.name = format!("heading turned; {key}");
    let mut drawing = finish(frame, &axis, &rows)?;
    "the half turns against heading turned".clone_into(&mut drawing.title);
    drawing.desc = format!("{}. {}", words::capital(&key), said.concat());
    Some(drawing)
}

/// What is asked for at the end of each half, about the entry value.
fn band(scene: Scene<'_>, row: &mut Row, criterion: &str, entry: f64) {
    if let Some(mark) = scene.mark(criterion)
        && (mark.low.is_some() || mark.high.is_some())
    {
        row.allowed.push(Allowed {
            from: 170.0,
            to: 186.0,
            low: mark.low.map(|low| entry + low),
            high: mark.high.map(|high| entry + high),
        });
    }
}
