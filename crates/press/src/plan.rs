//! Plan view: the path through the air (solid) and over the ground (dashed), north up, with a scale bar.
//!
//! The path through the air is the path over the ground less the wind's own drift since the first instant:
//! r_air(t) = r(t) − ∫ w dt. In a steady turn it is a circle, whatever the wind.

use crate::frame::Frame;
use crate::palette::Role;
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, dashed, solid, style};
use crate::text::Face;
use crate::words;
use air::units::{M_PER_FT, MPS_PER_KT};
use debrief::{Debrief, ManeuverDebrief};
use flight::Flight;

/// A path, m east and m north of its first point.
#[derive(Clone, Debug, Default)]
pub struct Paths {
    /// Over the ground.
    pub ground: Vec<Point>,
    /// Through the air; empty where the wind is not known.
    pub air: Vec<Point>,
}

impl Paths {
    /// From the flight, between two times in s. `None` without positions.
    #[must_use]
    pub fn new(debrief: &Debrief, flight: &Flight, from_s: f64, to_s: f64) -> Option<Self> {
        let (east, north) = (flight.east.as_ref()?, flight.north.as_ref()?);
        let mean = mean_wind(debrief);
        let mut paths = Self::default();
        let mut origin: Option<Point> = None;
        let (mut drift_east, mut drift_north) = (0.0, 0.0);
        let mut known = true;
        for index in flight.clock.index(from_s)..=flight.clock.index(to_s) {
            let wind = match (&flight.wind_east, &flight.wind_north) {
                (Some(e), Some(n)) if e.at(index).is_finite() && n.at(index).is_finite() => {
                    Some((e.at(index), n.at(index)))
                }
                _ => mean,
            };
            match wind {
                Some((e, n)) if origin.is_some() => {
                    drift_east += e * flight.clock.step_s;
                    drift_north += n * flight.clock.step_s;
                }
                Some(_) => {}
                None => known = false,
            }
            let (x, y) = (east.at(index), north.at(index));
            if !(x.is_finite()
                && y.is_finite()
                && flight.known.get(index).copied().unwrap_or(false))
            {
                continue;
            }
            let (x0, y0) = *origin.get_or_insert((x, y));
            paths.ground.push((x - x0, y - y0));
            paths.air.push((x - x0 - drift_east, y - y0 - drift_north));
        }
        if !known {
            paths.air.clear();
        }
        (paths.ground.len() > 2).then_some(paths)
    }

    /// Least and greatest east and north, m.
    #[must_use]
    pub fn bounds(&self) -> (f64, f64, f64, f64) {
        self.ground
            .iter()
            .chain(&self.air)
            .fold((0.0, 0.0, 0.0, 0.0), |(w, e, s, n), (x, y)| {
                (
                    f64::min(w, *x),
                    f64::max(e, *x),
                    f64::min(s, *y),
                    f64::max(n, *y),
                )
            })
    }
}

/// The debrief's mean wind, m/s east and north.
fn mean_wind(debrief: &Debrief) -> Option<(f64, f64)> {
    let (from, speed) = (
        debrief.flight.wind_from_deg?.to_radians(),
        debrief.flight.wind_kt? * MPS_PER_KT,
    );
    Some((-speed * from.sin(), -speed * from.cos()))
}

/// The wind in words: `wind 280° 14 ± 2 kt`.
#[must_use]
pub fn wind_words(debrief: &Debrief) -> Option<String> {
    let (from, speed) = (debrief.flight.wind_from_deg?, debrief.flight.wind_kt?);
    if !(from.is_finite() && speed.is_finite()) {
        return None;
    }
    let from = (from / 5.0).round() * 5.0;
    let from = if from.rem_euclid(360.0) == 0.0 {
        360.0
    } else {
        from.rem_euclid(360.0)
    };
    Some(format!(
        "wind {from:03.0}°\u{A0}{}",
        words::with_sigma(speed, debrief.flight.wind_sigma_kt, "kt")
    ))
}

/// Feet per px that fit all paths into boxes of a width and height, px.
#[must_use]
pub fn scale(all: &[&Paths], width: f64, height: f64) -> f64 {
    all.iter()
        .map(|paths| {
            let (west, east, south, north) = paths.bounds();
            ((east - west) / width.max(1.0)).max((north - south) / height.max(1.0))
        })
        .fold(0.1, f64::max)
        / M_PER_FT
        * 1.04
}

/// Draws a path centered in a box.
pub fn draw(
    drawing: &mut Drawing,
    paths: &Paths,
    feet_per_px: f64,
    (x, y): Point,
    width: f64,
    height: f64,
) {
    let (west, east, south, north) = paths.bounds();
    let per_px = feet_per_px * M_PER_FT;
    let place = |(e, n): &Point| {
        (
            x + width / 2.0 + (e - (east + west) / 2.0) / per_px,
            y + height / 2.0 - (n - (north + south) / 2.0) / per_px,
        )
    };
    let ground: Vec<Point> = paths.ground.iter().map(place).collect();
    drawing.polyline(&sample::simplify(&ground, 0.15), dashed(Role::Ink2, 1.1));
    let air: Vec<Point> = paths.air.iter().map(place).collect();
    drawing.polyline(&sample::simplify(&air, 0.15), solid(Role::Ink, 1.6));
    let shown = if air.is_empty() { &ground } else { &air };
    if let (Some(first), Some(last)) = (shown.first(), shown.last()) {
        drawing.circle(*last, 3.4, Some(Role::Paper), Some(solid(Role::Ink, 1.4)));
        drawing.circle(*first, 3.2, Some(Role::Ink), None);
    }
}

/// A scale bar of a round length that is not longer than `width` px, with its words below; gives the y below.
pub fn scale_bar(drawing: &mut Drawing, feet_per_px: f64, at: Point, width: f64, size: f64) -> f64 {
    scale_bar_of(drawing, feet_per_px, at, width, size, "north up")
}

/// The same with words of one's own for what points up.
pub(crate) fn scale_bar_of(
    drawing: &mut Drawing,
    feet_per_px: f64,
    (x, y): Point,
    width: f64,
    size: f64,
    up: &str,
) -> f64 {
    const LENGTHS: [f64; 10] = [
        100.0, 200.0, 500.0, 1000.0, 2000.0, 3000.0, 5000.0, 10_000.0, 20_000.0, 50_000.0,
    ];
    let length = LENGTHS
        .iter()
        .copied()
        .rfind(|length| length / feet_per_px <= width)
        .unwrap_or(100.0);
    let bar = length / feet_per_px;
    drawing.line((x, y), (x + bar, y), solid(Role::Ink2, 1.0));
    for end in [x, x + bar] {
        drawing.line((end, y - 3.0), (end, y + 3.0), solid(Role::Ink2, 1.0));
    }
    let words = format!("{}\u{A0}ft, {up}", words::number(length, 0));
    drawing.text(
        (x, y + 16.0),
        Anchor::Start,
        style(Face::Sans, size, Role::Ink2),
        &words,
    );
    y + 20.0
}

/// The plan of one maneuver as a figure of its own. `None` without positions.
#[must_use]
pub fn figure(
    debrief: &Debrief,
    maneuver: &ManeuverDebrief,
    flight: &Flight,
    frame: &Frame,
) -> Option<Drawing> {
    let paths = Paths::new(debrief, flight, maneuver.start_s, maneuver.end_s)?;
    let mut drawing = Drawing::new(frame.width, 0.0);
    let (x0, width, height) = if frame.narrow {
        (0.0, frame.width, 130.0)
    } else {
        (frame.x0, frame.width - frame.x0, 96.0 * frame.height)
    };
    let feet_per_px = scale(&[&paths], width - 20.0, height - 12.0);
    let known = !paths.air.is_empty();
    let mut key = 12.0;
    drawing.text((0.0, key), Anchor::Start, frame.name(), "Plan");
    let mut lines = vec![
        if known {
            "solid: through the air".to_owned()
        } else {
            "wind not known".to_owned()
        },
        "dashed: over the ground".to_owned(),
    ];
    lines.extend(wind_words(debrief).filter(|_| known));
    for line in &lines {
        key += frame.label + 2.0;
        drawing.text((0.0, key), Anchor::Start, frame.second(), line);
    }
    key = scale_bar(
        &mut drawing,
        feet_per_px,
        (0.0, key + 11.0),
        110.0,
        frame.label - 0.5,
    ) + frame.label
        - 2.0;
    drawing.text(
        (0.0, key),
        Anchor::Start,
        frame.second(),
        "filled: in; open: out",
    );
    let top = if frame.narrow { key + 8.0 } else { 2.0 };
    draw(
        &mut drawing,
        &paths,
        feet_per_px,
        (x0 + 10.0, top + 6.0),
        width - 20.0,
        height - 12.0,
    );
    drawing.height = (top + height).max(key + 6.0);
    drawing.title = format!("{}: plan view", maneuver.title);
    let (west, east, south, north) = paths.bounds();
    drawing.desc = format!(
        "Path {} and over the ground, north up; {} wide, {} high{}.",
        if known {
            "through the air"
        } else {
            "unknown through the air"
        },
        words::with_unit((east - west) / M_PER_FT, 0, "ft"),
        words::with_unit((north - south) / M_PER_FT, 0, "ft"),
        wind_words(debrief)
            .map(|wind| format!("; {wind}"))
            .unwrap_or_default()
    );
    Some(drawing)
}
