//! S-turns: plan turned to the reference line, half circles with their radii, and the bank along the line.

use super::Scene;
use super::chart::{self, Axis, Line, Row};
use super::map::{self, Map, turned};
use super::span::{self, feet};
use crate::frame::Frame;
use crate::palette::Role;
use crate::panel;
use crate::svg::{Anchor, Drawing, Point, dashed, solid, style};
use crate::text::Face;
use crate::words;

/// The line and where it was crossed.
struct Reference {
    /// A point of the line, m, and its bearing, rad.
    at: Point,
    bearing: f64,
    /// Samples of the crossings.
    crossings: Vec<usize>,
    worked_out: bool,
}

/// Through the crossings that were worked out, else through where the bank changes side.
fn reference(scene: Scene<'_>, path: &[Point], first: usize) -> Option<Reference> {
    let events = scene.events("crossing");
    let mut crossings: Vec<usize> = events
        .iter()
        .map(|event| scene.flight.clock.index(event.at_s))
        .collect();
    let worked_out = crossings.len() > 1;
    if !worked_out {
        crossings = reversals(scene);
    }
    let step_s = scene.flight.clock.step_s;
    let spots: Vec<Point> = if worked_out {
        let places = events.iter().map(|event| event.at_s / step_s);
        places
            .filter_map(|place| between(path, place - first as f64))
            .collect()
    } else {
        let places = crossings.iter().map(|index| *index as f64);
        places
            .filter_map(|place| between(path, place - first as f64))
            .collect()
    };
    let count = spots.len() as f64;
    if spots.len() < 2 {
        return None;
    }
    let at = (
        spots.iter().map(|(e, _)| e).sum::<f64>() / count,
        spots.iter().map(|(_, n)| n).sum::<f64>() / count,
    );
    // Direction of the greatest spread: half the angle whose tangent is 2·cov / (var − var).
    let (mut ee, mut nn, mut en) = (0.0, 0.0, 0.0);
    for (e, n) in &spots {
        let (e, n) = (e - at.0, n - at.1);
        (ee, nn, en) = (ee + e * e, nn + n * n, en + e * n);
    }
    let mut bearing = 0.5 * (2.0 * en).atan2(nn - ee);
    // The way along it that was flown.
    if let (Some(from), Some(to)) = (spots.first(), spots.last()) {
        let along = (to.0 - from.0) * bearing.sin() + (to.1 - from.1) * bearing.cos();
        if along < 0.0 {
            bearing += std::f64::consts::PI;
        }
    }
    Some(Reference {
        at,
        bearing,
        crossings,
        worked_out,
    })
}

/// Where a path was between two samples: over the line a step is all across it.
fn between(path: &[Point], place: f64) -> Option<Point> {
    if place.is_nan() || place < 0.0 {
        return None;
    }
    let (index, share) = (place.floor() as usize, place.fract());
    let a = path.get(index)?;
    let b = path.get(index + 1).unwrap_or(a);
    let at = (a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share);
    (at.0.is_finite() && at.1.is_finite()).then_some(at)
}

/// Samples where the bank changes side for good; start and end belong to them.
fn reversals(scene: Scene<'_>) -> Vec<usize> {
    const SURE_RAD: f64 = 0.12;
    let Some(bank) = scene.flight.bank.as_ref() else {
        return Vec::new();
    };
    let (first, last) = scene.bounds();
    let mut out = vec![first];
    let (mut side, mut passed) = (0.0, first);
    for index in first..=last {
        let value = span::at(scene.flight, bank, index);
        if value.is_finite() && side != 0.0 && value * side > 0.0 {
            passed = index;
        }
        if value.abs() > SURE_RAD && value.signum() != side {
            if side != 0.0 {
                out.push((passed + 1).min(index));
            }
            side = value.signum();
            passed = index;
        }
    }
    out.push(last);
    out
}

/// Draws it.
pub(super) fn draw(scene: Scene<'_>, frame: &Frame) -> Option<Drawing> {
    let (first, last) = scene.bounds();
    let path = scene.ground(first, last)?;
    let line = reference(scene, &path, first)?;
    // The line lies level and is flown from left to right.
    let up = line.bearing - std::f64::consts::FRAC_PI_2;
    let local = |point: &Point| turned((point.0 - line.at.0, point.1 - line.at.1), up);
    let placed: Vec<Point> = path.iter().map(local).collect();
    let (west, east) = span::range(placed.iter().map(|(x, _)| *x))?;
    let mut drawing = Drawing::new(frame.width, 0.0);
    let (x0, x1) = (frame.x0, frame.x1);
    let height = if frame.narrow {
        170.0
    } else {
        190.0 * frame.height
    };
    // One scale for plan and bank: the width decides, unless the plan would get too tall.
    let (low, high) = span::range(placed.iter().map(|(_, y)| *y))?;
    let m_per_px = ((east - west) / (x1 - x0 - 8.0))
        .max((high - low) / (height - 36.0))
        .max(0.05);
    let half = (x1 - x0) / 2.0 * m_per_px;
    let (from, to) = ((west + east) / 2.0 - half, (west + east) / 2.0 + half);
    let tall = (high - low) / m_per_px + 36.0;
    let corners: Vec<Point> = [(from, (low + high) / 2.0), (to, (low + high) / 2.0)]
        .iter()
        .map(|(x, y)| {
            let back = turned((*x, *y), -up);
            (back.0 + line.at.0, back.1 + line.at.1)
        })
        .collect();
    let words_of_line = if line.worked_out {
        "level: the reference line".to_owned()
    } else {
        "level: line through where the bank changes side, assumed".to_owned()
    };
    let key = [
        "over the ground".to_owned(),
        words_of_line,
        "dashed: half circle on each stretch of the line".to_owned(),
        "number: greatest distance from the line".to_owned(),
        "filled: in; open: out".to_owned(),
    ];
    let degrees = line.bearing.to_degrees().rem_euclid(360.0);
    let right = format!("{degrees:03.0}° true to the right");
    let area = |top: f64| (x0, top, x1 - x0, tall);
    let map = Map::fit(&corners, up, area(0.0))?;
    let under = map::key(&mut drawing, scene, frame, &map, &key, &right, 0.0);
    let top = if frame.narrow { under + 10.0 } else { 2.0 };
    let map = Map::fit(&corners, up, area(top))?;
    let level = map.px(line.at).1;
    drawing.line((x0, level), (x1, level), solid(Role::Ink2, 1.0));
    let mut curves = vec![vec![(x0, level), (x1, level)]];
    let radii = halves(
        &mut drawing,
        &map,
        &line,
        &placed,
        first,
        level,
        (from, m_per_px, x0),
    );
    curves.extend(map.path(&mut drawing, &path, solid(Role::Ink, 1.6)));
    map.ends(&mut drawing, &path);
    for (number, index) in line.crossings.iter().enumerate() {
        let Some((x, _)) = index.checked_sub(first).and_then(|i| placed.get(i)) else {
            continue;
        };
        let px = x0 + (x - from) / m_per_px;
        drawing.line((px, level - 5.0), (px, level + 5.0), solid(Role::Ink, 1.4));
        let size = frame.tick + 0.5;
        if line.worked_out {
            let words = (number + 1).to_string();
            map::label(
                &mut drawing,
                &curves,
                (px, level),
                &words,
                (size, true),
                area(top),
            );
        }
    }
    let radius_size = frame.tick + 0.5;
    let ink = style(Face::Sans, radius_size, Role::Ink);
    for ((middle, y), radius) in &radii {
        let words = words::with_unit((feet(*radius) / 10.0).round() * 10.0, 0, "ft");
        let at = (*middle, y + radius_size * 0.35);
        drawing.text(at, Anchor::Middle, ink, &words);
    }
    let mut y = (top + tall + 6.0).max(if frame.narrow { 0.0 } else { under + 8.0 });
    y = bank(&mut drawing, scene, frame, &placed, first, (from, to), y);
    drawing.height = y + 8.0;
    "plan turned to the line, and bank along it".clone_into(&mut drawing.title);
    let said: Vec<String> = radii
        .iter()
        .map(|(_, radius)| words::with_unit(feet(*radius), 0, "ft"))
        .collect();
    drawing.desc = format!(
        "{} half circles along {degrees:03.0}° true, greatest distances from the line {}. {}",
        said.len(),
        said.join(", "),
        scene
            .wind_words()
            .map_or(String::new(), |wind| format!("{}.", words::capital(&wind)))
    );
    Some(drawing)
}

/// The half circle on each stretch of the line, with its radius where there is room for the words.
fn halves(
    drawing: &mut Drawing,
    map: &Map,
    line: &Reference,
    placed: &[Point],
    first: usize,
    level: f64,
    (from, m_per_px, x0): (f64, f64, f64),
) -> Vec<(Point, f64)> {
    let mut out = Vec::new();
    for pair in line.crossings.windows(2) {
        let &[a, b] = pair else { continue };
        let (Some(a), Some(b)) = (a.checked_sub(first), b.checked_sub(first)) else {
            continue;
        };
        let piece = placed.get(a..=b.max(a)).unwrap_or_default();
        let (Some(start), Some(end)) = (piece.first(), piece.last()) else {
            continue;
        };
        let reach = piece
            .iter()
            .map(|(_, y)| *y)
            .filter(|y| y.is_finite())
            .fold(
                0.0,
                |most: f64, y| if y.abs() > most.abs() { y } else { most },
            );
        let radius = (end.0 - start.0).abs() / 2.0;
        if radius.is_nan() || radius <= 50.0 {
            continue;
        }
        let middle = x0 + ((start.0 + end.0) / 2.0 - from) / m_per_px;
        let px = map.length(radius);
        let arc: Vec<Point> = (0..=40)
            .map(|step| {
                let angle = f64::from(step) * std::f64::consts::PI / 40.0;
                (
                    middle - px * angle.cos(),
                    level - px * angle.sin() * reach.signum(),
                )
            })
            .collect();
        drawing.polyline(&arc, dashed(Role::Ink2, 1.0));
        out.push(((middle, level - 0.5 * px * reach.signum()), reach.abs()));
    }
    out
}

fn bank(
    drawing: &mut Drawing,
    scene: Scene<'_>,
    frame: &Frame,
    placed: &[Point],
    first: usize,
    (from, to): (f64, f64),
    y: f64,
) -> f64 {
    let Some(series) = scene.flight.bank.as_ref() else {
        return y;
    };
    let second = format!("{}, right above", span::origin("degrees", series));
    let mut row = Row::new("Bank", second, 66.0, 30.0);
    row.levels.push((0.0, String::new()));
    row.lines.push(Line {
        points: placed
            .iter()
            .enumerate()
            .map(|(offset, (x, _))| {
                let value = span::at(scene.flight, series, first + offset);
                (feet(*x), value.to_degrees())
            })
            .collect(),
        stroke: solid(Role::Ink, 1.6),
        sigma: span::sigma(series, first, first + placed.len()).map(f64::to_degrees),
    });
    let (from, to) = (feet(from), feet(to));
    let start = placed
        .iter()
        .map(|(x, _)| feet(*x))
        .find(|x| x.is_finite())
        .unwrap_or(0.0);
    let axis = Axis {
        from,
        to,
        ticks: panel::nice((from - start, to - start), if frame.narrow { 3 } else { 5 })
            .into_iter()
            .map(|(value, words)| (value + start, words))
            .collect(),
        name: "ft along the line".to_owned(),
    };
    chart::draw(drawing, frame, &axis, &[row], y)
}
