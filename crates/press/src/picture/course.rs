//! Rectangular course: plan with its legs, where the nose pointed on each, and the corners.

use super::Scene;
use super::map::{self, Map};
use super::span;
use crate::frame::Frame;
use crate::palette::Role;
use crate::svg::{Drawing, Point, dashed, solid};
use crate::words;
use flight::Origin;

/// A leg is flown with less bank than this, rad, for this long, s: a correction is not a corner.
const STRAIGHT_RAD: f64 = 0.14;
const LEG_S: f64 = 8.0;

/// A straight stretch.
struct Leg {
    first: usize,
    last: usize,
    /// Track over the ground, degrees true.
    track: f64,
    /// Nose right of the track, degrees.
    crab: Option<f64>,
}

fn legs(scene: Scene<'_>) -> Vec<Leg> {
    let (Some(bank), Some(track)) = (&scene.flight.bank, &scene.flight.track) else {
        return Vec::new();
    };
    let (first, last) = scene.bounds();
    let least = (LEG_S / scene.flight.clock.step_s).ceil() as usize;
    let mut out = Vec::new();
    let mut from = None;
    for index in first..=last + 1 {
        let level = index <= last && span::at(scene.flight, bank, index).abs() < STRAIGHT_RAD;
        match (level, from) {
            (true, None) => from = Some(index),
            (false, Some(start)) => {
                if index - start >= least {
                    out.extend(leg(scene, track, start, index - 1));
                }
                from = None;
            }
            _ => {}
        }
    }
    out
}

fn leg(scene: Scene<'_>, track: &flight::Series, first: usize, last: usize) -> Option<Leg> {
    let value = |series: &flight::Series, index: usize| span::at(scene.flight, series, index);
    let along = span::median((first..=last).map(|index| value(track, index)))?;
    let crab = scene.flight.heading.as_ref().and_then(|heading| {
        span::median(
            (first..=last)
                .map(|index| air::units::wrap_pi(value(heading, index) - value(track, index))),
        )
    });
    Some(Leg {
        first,
        last,
        track: along.to_degrees().rem_euclid(360.0),
        crab: crab.map(f64::to_degrees),
    })
}

/// Draws it.
pub(super) fn draw(scene: Scene<'_>, frame: &Frame) -> Option<Drawing> {
    let (first, last) = scene.bounds();
    let path = scene.ground(first, last)?;
    let legs = legs(scene);
    let mut drawing = Drawing::new(frame.width, 0.0);
    let derived = scene
        .flight
        .heading
        .as_ref()
        .is_some_and(|heading| heading.origin != Origin::Measured);
    let mut key = vec!["over the ground".to_owned()];
    let crab = |leg: &Leg| {
        leg.crab.map(|crab| {
            let size = words::with_unit(crab.abs(), 0, "deg");
            if size == "0°" {
                "nose along it".to_owned()
            } else {
                format!("nose {size} {}", if crab < 0.0 { "left" } else { "right" })
            }
        })
    };
    let mut said = Vec::new();
    for (number, leg) in legs.iter().enumerate() {
        let mut line = format!("{}: track {:03.0}°", number + 1, leg.track);
        if let Some(crab) = crab(leg) {
            line.push_str(&format!(", {crab}"));
        }
        said.push(line);
    }
    key.extend(said.iter().cloned());
    if legs.iter().any(|leg| leg.crab.is_some()) {
        key.push(if derived {
            "short line: where the nose points, derived".to_owned()
        } else {
            "short line: where the nose points".to_owned()
        });
    }
    key.push("filled: in; open: out".to_owned());
    let (left, wide, tall) = if frame.narrow {
        (6.0, frame.width - 12.0, 280.0)
    } else {
        (
            frame.x0 + 50.0,
            frame.width - frame.x0 - 60.0,
            260.0 * frame.height,
        )
    };
    let mut column = *frame;
    column.x0 += 40.0;
    let map = Map::fit(&path, 0.0, (left + 24.0, 20.0, wide - 48.0, tall - 40.0))?;
    let under = map::key(&mut drawing, scene, &column, &map, &key, "north up", 0.0);
    let top = if frame.narrow { under + 8.0 } else { 0.0 };
    let map = Map::fit(
        &path,
        0.0,
        (left + 24.0, top + 20.0, wide - 48.0, tall - 40.0),
    )?;
    let mut curves = map.path(&mut drawing, &path, solid(Role::Ink, 1.6));
    map.ends(&mut drawing, &path);
    let size = frame.tick + 1.5;
    for (number, leg) in legs.iter().enumerate() {
        let middle = (leg.first + leg.last) / 2;
        let Some(at) = spot(&path, first, middle) else {
            continue;
        };
        let (x, y) = map.px(at);
        if let Some(crab) = leg.crab {
            let (dx, dy) = map.toward((leg.track + crab).to_radians());
            let nose = [(x, y), (x + 30.0 * dx, y + 30.0 * dy)];
            drawing.polyline(&nose, solid(Role::Deviation, 2.4));
            curves.push(nose.to_vec());
        }
        drawing.circle((x, y), 2.6, Some(Role::Ink), None);
        let words = (number + 1).to_string();
        let area = (left, top, wide, tall);
        map::label(&mut drawing, &curves, (x, y), &words, (size, true), area);
    }
    for event in scene.events("corner") {
        let index = scene.flight.clock.index(event.at_s);
        if let Some(at) = spot(&path, first, index) {
            let (x, y) = map.px(at);
            for (dx, dy) in [(3.5, 3.5), (3.5, -3.5)] {
                drawing.line((x - dx, y - dy), (x + dx, y + dy), dashed(Role::Ink2, 1.0));
            }
        }
    }
    drawing.height = (top + tall).max(under) + 8.0;
    "plan with its legs".clone_into(&mut drawing.title);
    drawing.desc = format!(
        "{} legs. {}. {}",
        legs.len(),
        said.join("; "),
        scene
            .wind_words()
            .map_or(String::new(), |wind| format!("{}.", words::capital(&wind)))
    );
    Some(drawing)
}

fn spot(path: &[Point], first: usize, index: usize) -> Option<Point> {
    let point = path.get(index.checked_sub(first)?)?;
    (point.0.is_finite() && point.1.is_finite()).then_some(*point)
}
