//! Takeoff, landing, go-around, power-off 180: height and speed over distance along the runway, then the plan of the
//! legs.
//!
//! The 3° line is what most approach lights show (FAA Aeronautical Information Manual, 2-1-2); nobody has to fly it.

use super::chart::{self, Allowed, Axis, Line, Note, Row};
use super::map::{self, Map};
use super::span::{self, feet, knots};
use super::{Picture, Scene};
use crate::frame::Frame;
use crate::palette::Role;
use crate::panel;
use crate::svg::{Drawing, Point, solid};
use crate::words;
use flight::Series;

/// Where nobody worked out the touchdown or the lift-off, the last or first moment this far up stands for it, m.
const UP_M: f64 = 15.0 * 0.3048;
/// Track further than this off the runway's direction is another leg, rad.
const OFF_RAD: f64 = 0.52;
/// As much of a long final or climb-out as is shown, m.
const FAR_M: f64 = 4000.0;

/// What distance is counted from.
struct Anchor {
    index: usize,
    /// `touchdown`.
    words: &'static str,
    /// Height that counts as zero, m, and its name.
    zero_m: f64,
    above: &'static str,
}

fn anchor(scene: Scene<'_>, picture: Picture, height: &Series) -> Option<Anchor> {
    let clock = scene.flight.clock;
    let (first, last) = scene.bounds();
    let value = |index: usize| span::at(scene.flight, height, index);
    let seconds = |s: f64| (s / clock.step_s).round() as usize;
    let middle = |from: usize, to: usize| span::median((from..=to).map(value));
    match picture {
        Picture::ToRunway => {
            if let Some(t) = scene.event("touchdown") {
                let index = clock.index(t);
                let zero_m = middle(index, (index + seconds(3.0)).min(last.max(index)))?;
                return Some(Anchor {
                    index,
                    words: "touchdown",
                    zero_m,
                    above: "the runway",
                });
            }
            let zero_m = middle(last.saturating_sub(seconds(3.0)).max(first), last)?;
            let index = (first..=last).rev().find(|i| value(*i) > zero_m + UP_M)?;
            Some(Anchor {
                index,
                words: "last 15 ft up",
                zero_m,
                above: "the end",
            })
        }
        Picture::FromRunway => {
            if let Some(t) = scene.event("lift_off") {
                let index = clock.index(t);
                let zero_m = middle(index.saturating_sub(seconds(3.0)), index)?;
                return Some(Anchor {
                    index,
                    words: "lift-off",
                    zero_m,
                    above: "the runway",
                });
            }
            let zero_m = middle(first, (first + seconds(3.0)).min(last))?;
            let index = (first..=last).find(|i| value(*i) > zero_m + UP_M)?;
            Some(Anchor {
                index,
                words: "first 15 ft up",
                zero_m,
                above: "the start",
            })
        }
        _ => {
            let index = (first..=last)
                .filter(|i| value(*i).is_finite())
                .min_by(|a, b| value(*a).total_cmp(&value(*b)))?;
            Some(Anchor {
                index,
                words: "lowest point",
                zero_m: value(index),
                above: "the lowest point",
            })
        }
    }
}

/// Distance along the runway from the anchor, m, sample by sample from `first`.
struct Along {
    first: usize,
    x: Vec<f64>,
}

impl Along {
    fn new(scene: Scene<'_>, picture: Picture, anchor: &Anchor) -> Option<Self> {
        let (start, end) = scene.bounds();
        let track = scene.flight.track.as_ref()?;
        let clock = scene.flight.clock;
        let reach = (8.0 / clock.step_s).round() as usize;
        let near = match picture {
            Picture::FromRunway => (anchor.index, anchor.index + reach),
            Picture::ToRunway => (anchor.index.saturating_sub(reach), anchor.index),
            _ => (anchor.index.saturating_sub(reach), anchor.index + reach),
        };
        let value = |index: usize| span::at(scene.flight, track, index);
        let way = span::median((near.0.max(start)..=near.1.min(end)).map(value))?;
        let (east, north) = (scene.flight.east.as_ref()?, scene.flight.north.as_ref()?);
        let spot = |index: usize| {
            (
                span::at(scene.flight, east, index),
                span::at(scene.flight, north, index),
            )
        };
        let zero = spot(anchor.index);
        let along = |index: usize| {
            let (e, n) = spot(index);
            (e - zero.0) * way.sin() + (n - zero.1) * way.cos()
        };
        // On the ground, standing, a track says nothing.
        let slow = |index: usize| {
            scene
                .flight
                .ground_speed
                .as_ref()
                .is_some_and(|speed| span::at(scene.flight, speed, index) < 10.0)
        };
        let on = |index: &usize| {
            let off = air::units::wrap_pi(value(*index) - way).abs();
            let far = along(*index).abs();
            (slow(*index) || off.is_nan() || off <= OFF_RAD) && (far.is_nan() || far <= FAR_M)
        };
        let first = (start..=anchor.index).rev().take_while(on).last()?;
        let last = (anchor.index..=end).take_while(on).last()?;
        let x: Vec<f64> = (first..=last).map(along).collect();
        (x.iter().filter(|x| x.is_finite()).count() > 4).then_some(Self { first, x })
    }

    fn at(&self, index: usize) -> Option<f64> {
        let x = self.x.get(index.checked_sub(self.first)?).copied()?;
        x.is_finite().then_some(x)
    }

    fn curve(&self, scene: Scene<'_>, series: &Series, convert: impl Fn(f64) -> f64) -> Vec<Point> {
        self.x
            .iter()
            .enumerate()
            .map(|(offset, x)| {
                let value = span::at(scene.flight, series, self.first + offset);
                (feet(*x), convert(value))
            })
            .collect()
    }
}

/// Angle of a path, degrees, climbing positive: least squares of height on distance between two heights, ft.
fn angle(points: &[Point], side: f64, (low, high): (f64, f64)) -> Option<f64> {
    let within: Vec<&Point> = points
        .iter()
        .filter(|(x, y)| x.is_finite() && x * side > 0.0 && *y >= low && *y <= high)
        .collect();
    if within.len() < 5 {
        return None;
    }
    let count = within.len() as f64;
    let mean = (
        within.iter().map(|(x, _)| x).sum::<f64>() / count,
        within.iter().map(|(_, y)| y).sum::<f64>() / count,
    );
    let (mut xx, mut xy) = (0.0, 0.0);
    for (x, y) in within {
        xx += (x - mean.0).powi(2);
        xy += (x - mean.0) * (y - mean.1);
    }
    (xx > 1.0).then(|| (xy / xx).atan().to_degrees())
}

/// Draws it.
pub(super) fn draw(scene: Scene<'_>, frame: &Frame, picture: Picture) -> Option<Drawing> {
    let mut drawing = Drawing::new(frame.width, 0.0);
    let mut y = 4.0;
    if let Some(bottom) = profile(&mut drawing, scene, frame, picture, y) {
        y = bottom + 10.0;
    }
    let drawn = y > 4.0;
    // A straight path needs no plan.
    let bottom = if drawn && is_straight(scene) {
        y
    } else {
        plan(&mut drawing, scene, frame, y)?
    };
    drawing.height = bottom + 8.0;
    "height over distance, and plan".clone_into(&mut drawing.title);
    if drawing.desc.is_empty() {
        drawing.desc = "Plan of the legs.".to_owned();
    }
    Some(drawing)
}

fn profile(
    drawing: &mut Drawing,
    scene: Scene<'_>,
    frame: &Frame,
    picture: Picture,
    y: f64,
) -> Option<f64> {
    let height = scene.flight.altitude.as_ref()?;
    let anchor = anchor(scene, picture, height)?;
    let along = Along::new(scene, picture, &anchor)?;
    let (low, high) = span::range(along.x.iter().copied())?;
    let (low, high) = (feet(low), feet(high));
    let points = along.curve(scene, height, |raw| feet(raw - anchor.zero_m));
    let mut row = Row::new("Height", format!("ft above {}", anchor.above), 104.0, 120.0);
    let before = angle(&points, -1.0, (50.0, 400.0)).filter(|degrees| *degrees < -0.5);
    let after = angle(&points, 1.0, (50.0, 400.0)).filter(|degrees| *degrees > 0.5);
    let mut said = Vec::new();
    if picture != Picture::FromRunway
        && let Some(degrees) = before
    {
        said.push(format!(
            "flown down at {}° from 400 to 50\u{A0}ft",
            words::number(-degrees, 1)
        ));
    }
    if picture != Picture::ToRunway
        && let Some(degrees) = after
    {
        said.push(format!(
            "flown up at {}° from 50 to 400\u{A0}ft",
            words::number(degrees, 1)
        ));
    }
    if scene.maneuver.kind == "landing" {
        row.guides
            .push(vec![(low, -low * 3.0_f64.to_radians().tan()), (0.0, 0.0)]);
        row.second.push_str("; dashed: 3°");
    }
    for words in &said {
        row.second.push_str(&format!("; {words}"));
    }
    row.lines.push(Line {
        points: points.clone(),
        stroke: solid(Role::Ink, 1.7),
        sigma: None,
    });
    for event in &scene.maneuver.events {
        if !event.at_s.is_finite() || event.probability < 0.5 {
            continue;
        }
        let index = scene.flight.clock.index(event.at_s);
        if let (Some(x), value) = (along.at(index), span::at(scene.flight, height, index)) {
            row.notes.push(Note {
                at: (feet(x), feet(value - anchor.zero_m)),
                words: words::plain_id(&event.name),
            });
        }
    }
    row.notes.retain(|note| note.at.1.is_finite());
    let mut rows = vec![row];
    rows.extend(speed_row(scene, &along, (low, high)));
    let axis = Axis {
        from: low,
        to: high,
        ticks: panel::nice((low, high), if frame.narrow { 3 } else { 6 }),
        name: format!("ft from the {}, along the runway", anchor.words),
    };
    drawing.desc = format!(
        "Distances from the {}. {}",
        anchor.words,
        said.iter()
            .map(|words| format!("{}. ", words::capital(words)))
            .collect::<String>()
    );
    Some(chart::draw(drawing, frame, &axis, &rows, y))
}

/// Speed over the same distance, with what was asked for where it was graded.
fn speed_row(scene: Scene<'_>, along: &Along, (low, high): (f64, f64)) -> Option<Row> {
    let (series, name, unit) = scene.speed()?;
    let mut row = Row::new(name, unit.to_owned(), 62.0, 24.0);
    row.lines.push(Line {
        points: along.curve(scene, series, knots),
        stroke: solid(Role::Ink, 1.6),
        sigma: span::sigma(series, along.first, along.first + along.x.len()).map(knots),
    });
    if name != "Airspeed" {
        return Some(row);
    }
    for mark in &scene.maneuver.marks {
        let Some(ribbon) = mark.ribbon.as_ref().filter(|_| mark.unit == "kt") else {
            continue;
        };
        let place = |t: f64| along.at(scene.flight.clock.index(t)).map(feet);
        let from = place(ribbon.graded_from_s).unwrap_or(low);
        let to = place(ribbon.graded_to_s).unwrap_or(high);
        if (mark.low.is_some() || mark.high.is_some()) && to > from && row.allowed.is_empty() {
            row.allowed.push(Allowed {
                from,
                to,
                low: mark.low,
                high: mark.high,
            });
            if let Some(target) = mark.target {
                row.levels.push((target, "asked for".to_owned()));
            }
        }
    }
    Some(row)
}

/// Whether the track stayed within the direction of one leg while the aircraft moved.
fn is_straight(scene: Scene<'_>) -> bool {
    let (Some(track), Some(speed)) = (&scene.flight.track, &scene.flight.ground_speed) else {
        return false;
    };
    let (first, last) = scene.bounds();
    let moving = (first..=last)
        .filter(|index| span::at(scene.flight, speed, *index) > 15.0)
        .map(|index| span::at(scene.flight, track, index));
    span::range(moving).is_some_and(|(low, high)| high - low < OFF_RAD)
}

/// The legs from above, with what happened where.
fn plan(drawing: &mut Drawing, scene: Scene<'_>, frame: &Frame, y: f64) -> Option<f64> {
    let (first, last) = scene.bounds();
    let path = scene.ground(first, last)?;
    let key = [
        "over the ground".to_owned(),
        "filled: in; open: out".to_owned(),
    ];
    let (left, wide) = if frame.narrow {
        (4.0, frame.width - 8.0)
    } else {
        (frame.x0, frame.width - frame.x0 - 4.0)
    };
    let (east, north) = (
        span::range(path.iter().map(|(e, _)| *e))?,
        span::range(path.iter().map(|(_, n)| *n))?,
    );
    // A straight path needs no tall box.
    let shape = (north.1 - north.0) / (east.1 - east.0).max(60.0);
    let tall = (shape * (wide - 40.0) + 40.0).clamp(
        90.0,
        if frame.narrow {
            220.0
        } else {
            190.0 * frame.height
        },
    );
    let area = |top: f64| (left + 20.0, top + 20.0, wide - 40.0, tall - 40.0);
    let map = Map::fit(&path, 0.0, area(y))?;
    let under = map::key(drawing, scene, frame, &map, &key, "north up", y);
    let top = if frame.narrow { under + 8.0 } else { y };
    let map = Map::fit(&path, 0.0, area(top))?;
    let curves = map.path(drawing, &path, solid(Role::Ink, 1.5));
    map.ends(drawing, &path);
    for event in &scene.maneuver.events {
        if !event.at_s.is_finite() || event.probability < 0.5 {
            continue;
        }
        let index = scene.flight.clock.index(event.at_s);
        let Some(point) = index.checked_sub(first).and_then(|i| path.get(i)) else {
            continue;
        };
        if point.0.is_finite() && point.1.is_finite() {
            let at = map.px(*point);
            drawing.circle(at, 2.4, Some(Role::Ink), None);
            let words = words::plain_id(&event.name);
            let room = (left, top, wide, tall);
            map::label(
                drawing,
                &curves,
                at,
                &words,
                (frame.tick + 0.5, false),
                room,
            );
        }
    }
    Some((top + tall).max(under))
}
