//! Around a point or two pylons: plan with rings, and what the wind asks for against bearing.
//!
//! Bank that holds a circle over the ground: tan φ = GS² / (g·R) (coordinated level turn). Pivotal altitude:
//! GS² / 11.3 in ft above the pylon with GS in kt (FAA-H-8083-3C, Airplane Flying Handbook, chapter 7).

use super::Scene;
use super::chart::{self, Allowed, Axis, Line, Row};
use super::map::{self, Map};
use super::span::{self, feet, knots};
use crate::frame::Frame;
use crate::palette::Role;
use crate::svg::{Anchor, Drawing, Point, dashed, solid, style};
use crate::text::Face;
use crate::words;
use air::units::{G0_MPS2, M_PER_FT};
use maneuver::phases::circle;
use std::f64::consts::TAU;

/// Bank below which an aircraft between two pylons flies straight, rad (assumed: half of the least bank of a turn).
const STRAIGHT_RAD: f64 = 0.13;

/// A stretch about one center.
struct Round {
    first: usize,
    /// Center, m.
    center: Point,
    radius_m: f64,
    path: Vec<Point>,
    /// Bearing from the center, continuous, rad.
    bearing: Vec<f64>,
}

impl Round {
    fn new(scene: Scene<'_>, first: usize, last: usize, center: Option<Point>) -> Option<Self> {
        let path = scene.ground(first, last)?;
        let fitted = circle::fit(&path)?;
        let center = center.unwrap_or((fitted.east_m, fitted.north_m));
        let mut last: Option<f64> = None;
        let bearing: Vec<f64> = path
            .iter()
            .map(|(e, n)| {
                let raw = (e - center.0).atan2(n - center.1);
                if !raw.is_finite() {
                    return f64::NAN;
                }
                let next = last.map_or(raw, |last| last + air::units::wrap_pi(raw - last));
                last = Some(next);
                next
            })
            .collect();
        Some(Self {
            first,
            center,
            radius_m: fitted.radius_m,
            path,
            bearing,
        })
    }

    fn clockwise(&self) -> bool {
        let known = || {
            self.bearing
                .iter()
                .copied()
                .filter(|value| value.is_finite())
        };
        known().next_back().unwrap_or(0.0) >= known().next().unwrap_or(0.0)
    }

    fn distance(&self) -> impl Iterator<Item = f64> {
        self.path
            .iter()
            .map(|(e, n)| (e - self.center.0).hypot(n - self.center.1))
    }

    /// Values by sample as lines over bearing, one a turn, broken where north is passed.
    fn turns(&self, values: &[f64]) -> Vec<Vec<Point>> {
        let start = self.bearing.iter().copied().find(|value| value.is_finite());
        let Some(start) = start else {
            return Vec::new();
        };
        // The last bit of a turn, in which it is rolled out, belongs to the one before.
        let whole = self
            .bearing
            .iter()
            .filter(|value| value.is_finite())
            .map(|value| (value - start).abs() / TAU)
            .fold(0.0, f64::max);
        let most = (whole - 0.15).max(0.0) as usize;
        let mut out: Vec<Vec<Point>> = Vec::new();
        let mut before: Option<f64> = None;
        for (bearing, value) in self.bearing.iter().zip(values) {
            if !bearing.is_finite() {
                continue;
            }
            let lap = (((bearing - start).abs() / TAU) as usize).min(most);
            while out.len() <= lap {
                out.push(Vec::new());
            }
            let around = bearing.rem_euclid(TAU).to_degrees();
            if let Some(points) = out.get_mut(lap) {
                if before.is_some_and(|before| (before - around).abs() > 180.0) {
                    points.push((f64::NAN, f64::NAN));
                }
                points.push((around, *value));
            }
            before = Some(around);
        }
        out
    }
}

/// Ground speed by sample, m/s.
fn ground_speed(scene: Scene<'_>, round: &Round) -> Option<Vec<f64>> {
    let series = scene.flight.ground_speed.as_ref()?;
    Some(
        (0..round.path.len())
            .map(|offset| span::at(scene.flight, series, round.first + offset))
            .collect(),
    )
}

fn axis(name: &str) -> Axis {
    Axis {
        from: 0.0,
        to: 360.0,
        ticks: [
            (0.0, "N"),
            (90.0, "E"),
            (180.0, "S"),
            (270.0, "W"),
            (360.0, "N"),
        ]
        .iter()
        .map(|(value, words)| (*value, (*words).to_owned()))
        .collect(),
        name: name.to_owned(),
    }
}

/// Turns get heavier, so that they can be told apart without color.
fn weight(turn: usize, all: usize) -> f64 {
    if all < 2 {
        1.6
    } else {
        0.7 + 1.3 * turn as f64 / (all - 1) as f64
    }
}

/// Plan at the left and rows at the right, under each other on a narrow page.
struct Sides {
    /// Frame of the rows.
    rows: Frame,
    /// Where the rows' drawing goes.
    x: f64,
    /// Box of the plan.
    plan: (f64, f64, f64, f64),
}

fn sides(frame: &Frame) -> Sides {
    if frame.narrow {
        return Sides {
            rows: *frame,
            x: 0.0,
            plan: (12.0, 0.0, frame.width - 24.0, 250.0),
        };
    }
    let mut rows = *frame;
    (rows.width, rows.x0, rows.x1, rows.names, rows.narrow) = (415.0, 44.0, 408.0, 408.0, true);
    Sides {
        rows,
        x: 280.0,
        plan: (10.0, 8.0, 240.0, 225.0 * frame.height),
    }
}

/// Draws plan and rows; gives the drawing.
fn compose(
    scene: Scene<'_>,
    frame: &Frame,
    rounds: &[Round],
    rows: &[Row],
    axis: &Axis,
    rings: &[f64],
    lines: &[String],
) -> Option<Drawing> {
    let sides = sides(frame);
    let mut drawing = Drawing::new(frame.width, 0.0);
    let (first, last) = scene.bounds();
    let whole = scene.ground(first, last)?;
    let mut extent: Vec<Point> = whole.clone();
    for round in rounds {
        let most = round.radius_m * rings.iter().copied().fold(1.0, f64::max);
        extent.extend(
            [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)]
                .map(|(e, n)| (round.center.0 + e * most, round.center.1 + n * most)),
        );
    }
    let (mut area, mut under) = (sides.plan, 0.0);
    let map = Map::fit(&extent, 0.0, area)?;
    if frame.narrow {
        // The scale bar needs the scale, which does not hang on where the plan stands.
        under = map::key(&mut drawing, scene, frame, &map, lines, "north up", 0.0) + 10.0;
        area.1 = under;
    }
    let map = Map::fit(&extent, 0.0, area)?;
    for (index, round) in rounds.iter().enumerate() {
        for ring in rings {
            let stroke = if (*ring - 1.0).abs() < 1e-9 {
                solid(Role::Ink3, 0.9)
            } else {
                dashed(Role::Ink2, 0.9)
            };
            map.ring(&mut drawing, round.center, round.radius_m * ring, stroke);
        }
        let (x, y) = map.px(round.center);
        for (dx, dy) in [(4.0, 0.0), (0.0, 4.0)] {
            drawing.line((x - dx, y - dy), (x + dx, y + dy), solid(Role::Ink, 1.4));
        }
        if rounds.len() > 1 {
            drawing.text(
                (x + 7.0, y - 4.0),
                Anchor::Start,
                style(Face::SansBold, frame.tick + 0.5, Role::Ink),
                &(index + 1).to_string(),
            );
        }
    }
    map.path(&mut drawing, &whole, solid(Role::Ink, 1.5));
    map.ends(&mut drawing, &whole);
    under = if frame.narrow {
        under + area.3 + 12.0
    } else {
        let mut column = *frame;
        column.x0 = 276.0;
        map::key(
            &mut drawing,
            scene,
            &column,
            &map,
            lines,
            "north up",
            area.1 + area.3 + 8.0,
        )
    };
    let mut right = Drawing::new(sides.rows.width, 0.0);
    let top = if frame.narrow { under } else { 0.0 };
    let bottom = chart::draw(&mut right, &sides.rows, axis, rows, 0.0);
    drawing.place(&right, sides.x, top);
    drawing.height = (top + bottom).max(under) + 8.0;
    Some(drawing)
}

/// Where along the circle the aircraft flies straight downwind: fastest over the ground, so banked most.
fn downwind_at(scene: Scene<'_>, round: &Round) -> Option<f64> {
    let (from, speed, sigma) = scene.wind()?;
    let felt = speed >= 1.0 && sigma.is_none_or(|sigma| speed > sigma);
    let side = if round.clockwise() { 90.0 } else { -90.0 };
    felt.then_some((from + side).rem_euclid(360.0))
}

/// Turns around a point, a steep spiral.
pub(super) fn point(scene: Scene<'_>, frame: &Frame) -> Option<Drawing> {
    let clock = scene.flight.clock;
    let (from_s, to_s) = (
        scene
            .event("bank_established")
            .unwrap_or(scene.maneuver.start_s),
        scene
            .event("roll_out_start")
            .unwrap_or(scene.maneuver.end_s),
    );
    let known = scene
        .fact("point_east_ft")
        .zip(scene.fact("point_north_ft"))
        .map(|(e, n)| (e * M_PER_FT, n * M_PER_FT));
    let mut round = Round::new(scene, clock.index(from_s), clock.index(to_s), known)?;
    if let Some(mean) = scene.fact("radius_mean_ft") {
        round.radius_m = mean * M_PER_FT;
    }
    let distance: Vec<f64> = round.distance().map(feet).collect();
    let turns = round.turns(&distance);
    let count = turns.len();
    let mut rows = vec![Row::new(
        "Distance",
        "ft from the point".to_owned(),
        58.0,
        200.0,
    )];
    let mean = feet(round.radius_m);
    let half = ["radius_variation", "radius_constant"]
        .iter()
        .find_map(|name| scene.mark(name)?.high)
        .map(|high| high / 2.0)
        .filter(|half| *half > 0.0 && *half < 0.9);
    if let Some(row) = rows.first_mut() {
        row.lines = lines(turns, false);
        row.levels.push((mean, "mean".to_owned()));
        row.second = format!("ft from the point, mean {}", words::number(mean, 0));
        if let Some(half) = half {
            row.allowed.push(Allowed {
                from: 0.0,
                to: 360.0,
                low: Some(mean * (1.0 - half)),
                high: Some(mean * (1.0 + half)),
            });
        }
        row.places.extend(downwind_at(scene, &round));
    }
    let speed = ground_speed(scene, &round);
    if let Some(series) = &scene.flight.bank {
        let second = span::origin("degrees", series);
        let mut row = Row::new("Bank", second, 68.0, 20.0);
        let flown: Vec<f64> = (0..round.path.len())
            .map(|offset| {
                span::at(scene.flight, series, round.first + offset)
                    .to_degrees()
                    .abs()
            })
            .collect();
        row.lines = lines(round.turns(&flown), false);
        if let Some(speed) = &speed {
            let needed: Vec<f64> = speed
                .iter()
                .map(|speed| {
                    (speed * speed / (G0_MPS2 * round.radius_m))
                        .atan()
                        .to_degrees()
                })
                .collect();
            row.lines.extend(lines(round.turns(&needed), true));
            row.second = format!("{}; dashed: what the mean distance asks for", row.second);
        }
        row.places.extend(downwind_at(scene, &round));
        rows.push(row);
    }
    if let Some(speed) = &speed {
        let mut row = Row::new("Ground speed", "kt".to_owned(), 50.0, 20.0);
        let speed: Vec<f64> = speed.iter().map(|speed| knots(*speed)).collect();
        row.lines = lines(round.turns(&speed), false);
        row.places.extend(downwind_at(scene, &round));
        rows.push(row);
    }
    let mut rings = vec![1.0];
    rings.extend(
        half.map(|half| [1.0 - half, 1.0 + half])
            .into_iter()
            .flatten(),
    );
    let mut key = vec![format!(
        "over the ground; ring: mean distance {}",
        words::with_unit(mean, 0, "ft")
    )];
    if half.is_some() {
        key.push("dashed: most that it may vary".to_owned());
    }
    key.push("filled: in; open: out".to_owned());
    let mut name = "bearing from the point".to_owned();
    if downwind_at(scene, &round).is_some() {
        name.push_str("; upright dashes: flying downwind");
    }
    if count > 1 {
        name.push_str("; thin to heavy: first to last turn");
    }
    let mut drawing = compose(scene, frame, &[round], &rows, &axis(&name), &rings, &key)?;
    "plan about the point, and against bearing".clone_into(&mut drawing.title);
    let least_most = span::range(distance.iter().copied())?;
    drawing.desc = format!(
        "Distance from the point {} to {}, mean {}, over {count} turns. {}",
        words::with_unit(least_most.0, 0, "ft"),
        words::with_unit(least_most.1, 0, "ft"),
        words::with_unit(mean, 0, "ft"),
        scene
            .wind_words()
            .map_or("Wind not known.".to_owned(), |wind| {
                format!("{}.", words::capital(&wind))
            })
    );
    Some(drawing)
}

fn lines(turns: Vec<Vec<Point>>, asked: bool) -> Vec<Line> {
    let all = turns.len();
    turns
        .into_iter()
        .enumerate()
        .map(|(turn, points)| Line {
            points,
            stroke: if asked {
                dashed(Role::Deviation, 0.6 + 0.6 * weight(turn, all))
            } else {
                solid(Role::Ink, weight(turn, all))
            },
            sigma: None,
        })
        .collect()
}

/// Eights on pylons: a turn one way about each pylon.
pub(super) fn pylons(scene: Scene<'_>, frame: &Frame) -> Option<Drawing> {
    let bank = scene.flight.bank.as_ref()?;
    let (first, last) = scene.bounds();
    let mut rounds: Vec<Round> = Vec::new();
    let mut from: Option<(usize, f64)> = None;
    for index in first..=last {
        let value = span::at(scene.flight, bank, index);
        let side = if value.abs() > STRAIGHT_RAD {
            value.signum()
        } else {
            0.0
        };
        match from {
            Some((start, held)) if held != side || index == last => {
                // A quarter of a turn at least, or the center is anyone's guess.
                let round = Round::new(scene, start, index, None).filter(|round| {
                    span::range(round.bearing.iter().copied())
                        .is_some_and(|(low, high)| high - low > TAU / 4.0)
                });
                rounds.extend(round);
                from = (side != 0.0).then_some((index, side));
            }
            None if side != 0.0 => from = Some((index, side)),
            _ => {}
        }
    }
    rounds.truncate(8);
    if rounds.is_empty() {
        return None;
    }
    let mut height = Row::new("Height", "ft above ground".to_owned(), 84.0, 150.0);
    let mut speed = Row::new("Ground speed", "kt".to_owned(), 60.0, 20.0);
    let all = rounds.len();
    for (index, round) in rounds.iter().enumerate() {
        let width = weight(all - 1 - index, all);
        let add = |row: &mut Row, values: &[f64], asked: bool| {
            row.lines
                .extend(round.turns(values).into_iter().map(|points| Line {
                    points,
                    stroke: if asked {
                        dashed(Role::Deviation, width.min(1.3))
                    } else {
                        solid(Role::Ink, width)
                    },
                    sigma: None,
                }));
        };
        if let Some(agl) = &scene.flight.agl {
            let values: Vec<f64> = (0..round.path.len())
                .map(|offset| feet(span::at(scene.flight, agl, round.first + offset)))
                .collect();
            add(&mut height, &values, false);
        }
        if let Some(over) = ground_speed(scene, round) {
            let kt: Vec<f64> = over.iter().map(|speed| knots(*speed)).collect();
            let pivotal: Vec<f64> = kt.iter().map(|kt| kt * kt / 11.3).collect();
            add(&mut height, &pivotal, true);
            add(&mut speed, &kt, false);
        }
    }
    height.second = if scene.flight.agl.is_some() {
        "ft above ground; dashed: pivotal height of the ground speed".to_owned()
    } else {
        "dashed: pivotal height, ft; height above ground not known".to_owned()
    };
    let key = vec![
        "over the ground; rings: mean distance from the center of each turn".to_owned(),
        "filled: in; open: out".to_owned(),
    ];
    let mut drawing = compose(
        scene,
        frame,
        &rounds,
        &[height, speed],
        &axis("bearing from the pylon; heavy to thin: first to last turn"),
        &[1.0],
        &key,
    )?;
    "plan about the pylons, and height against bearing".clone_into(&mut drawing.title);
    drawing.desc = format!("{all} turns about the pylons.");
    Some(drawing)
}
