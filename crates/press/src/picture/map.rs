//! A plan whose upward direction may be chosen, with words that keep off each other and a wind arrow.

use super::Scene;
use super::span;
use crate::frame::Frame;
use crate::palette::Role;
use crate::plan;
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, Rect, Segment, Stroke, solid, style};
use crate::text::{self, Face};
use air::units::M_PER_FT;

/// From m east and north to px.
pub(super) struct Map {
    /// True bearing that points up, rad.
    up: f64,
    /// What lies in the middle, turned: right and up, m.
    middle: Point,
    /// Where the middle is drawn, px.
    at: Point,
    m_per_px: f64,
}

/// m right and up of the origin when a bearing points up.
pub(super) fn turned((east, north): Point, up: f64) -> Point {
    (
        east * up.cos() - north * up.sin(),
        east * up.sin() + north * up.cos(),
    )
}

impl Map {
    /// Fits points into a box (left, top, width, height in px). `None` without points.
    pub(super) fn fit(points: &[Point], up: f64, area: (f64, f64, f64, f64)) -> Option<Self> {
        let (x, y, width, height) = area;
        let placed = || points.iter().map(|point| turned(*point, up));
        let (west, east) = span::range(placed().map(|(x, _)| x))?;
        let (south, north) = span::range(placed().map(|(_, y)| y))?;
        // 60 m at least: an aircraft that hardly moves needs no microscope.
        let m_per_px = ((east - west).max(60.0) / width.max(20.0))
            .max((north - south).max(60.0) / height.max(20.0));
        Some(Self {
            up,
            middle: ((west + east) / 2.0, (south + north) / 2.0),
            at: (x + width / 2.0, y + height / 2.0),
            m_per_px,
        })
    }

    pub(super) fn px(&self, point: Point) -> Point {
        let (right, up) = turned(point, self.up);
        (
            self.at.0 + (right - self.middle.0) / self.m_per_px,
            self.at.1 - (up - self.middle.1) / self.m_per_px,
        )
    }

    pub(super) fn length(&self, m: f64) -> f64 {
        m / self.m_per_px
    }

    pub(super) fn feet_per_px(&self) -> f64 {
        self.m_per_px / M_PER_FT
    }

    /// Unit vector on paper of a true bearing, rad.
    pub(super) fn toward(&self, bearing: f64) -> Point {
        let (right, up) = turned((bearing.sin(), bearing.cos()), self.up);
        (right, -up)
    }

    /// A path, broken in holes; gives the pieces in px.
    pub(super) fn path(
        &self,
        drawing: &mut Drawing,
        points: &[Point],
        stroke: Stroke,
    ) -> Vec<Vec<Point>> {
        let mut out = Vec::new();
        for run in points
            .split(|(x, y)| !(x.is_finite() && y.is_finite()))
            .filter(|run| run.len() > 1)
        {
            let placed: Vec<Point> = run.iter().map(|point| self.px(*point)).collect();
            drawing.polyline(&sample::simplify(&placed, 0.15), stroke);
            out.push(placed);
        }
        out
    }

    /// Filled where a path begins, open where it ends.
    pub(super) fn ends(&self, drawing: &mut Drawing, points: &[Point]) {
        let known = |(x, y): &&Point| x.is_finite() && y.is_finite();
        if let (Some(first), Some(last)) =
            (points.iter().find(known), points.iter().rev().find(known))
        {
            let ink = Some(solid(Role::Ink, 1.4));
            drawing.circle(self.px(*last), 3.4, Some(Role::Paper), ink);
            drawing.circle(self.px(*first), 3.2, Some(Role::Ink), None);
        }
    }

    /// A circle about a point, in short dashes where it is only what is asked for.
    pub(super) fn ring(&self, drawing: &mut Drawing, center: Point, radius_m: f64, stroke: Stroke) {
        let points: Vec<Point> = (0..=120)
            .map(|step| {
                let angle = f64::from(step) * std::f64::consts::TAU / 120.0;
                self.px((
                    center.0 + radius_m * angle.sin(),
                    center.1 + radius_m * angle.cos(),
                ))
            })
            .collect();
        drawing.polyline(&points, stroke);
    }
}

/// A word beside a point, where neither a line nor another word is; left out where there is no room.
pub(super) fn label(
    drawing: &mut Drawing,
    curves: &[Vec<Point>],
    (x, y): Point,
    words: &str,
    (size, bold): (f64, bool),
    area: (f64, f64, f64, f64),
) {
    if words.is_empty() {
        return;
    }
    let face = if bold { Face::SansBold } else { Face::Sans };
    let style = style(face, size, if bold { Role::Ink } else { Role::Ink2 });
    let width = text::width(face, size, words);
    for far in [7.0, 12.0, 19.0, 28.0, 40.0] {
        for step in 0..16 {
            let angle = f64::from(step) * std::f64::consts::TAU / 16.0 - 0.6;
            let (cos, sin) = (angle.cos(), angle.sin());
            let middle = (x + cos * (far + width / 2.0), y + sin * (far + size * 0.46));
            let wanted = Rect {
                x0: middle.0 - width / 2.0,
                y0: middle.1 - size * 0.46,
                x1: middle.0 + width / 2.0,
                y1: middle.1 + size * 0.46,
            };
            let inside = wanted.x0 >= area.0
                && wanted.y0 >= area.1
                && wanted.x1 <= area.0 + area.2
                && wanted.y1 <= area.1 + area.3;
            let clear = wanted.grown(1.5);
            if inside
                && drawing.is_free(&wanted.grown(2.0))
                && !curves.iter().any(|curve| meets(curve, &clear))
            {
                let base = wanted.y0 + size * 0.70;
                drawing.text((wanted.x0, base), Anchor::Start, style, words);
                return;
            }
        }
    }
}

/// Whether a line comes into a box: every px of it is looked at.
fn meets(curve: &[Point], wanted: &Rect) -> bool {
    curve.windows(2).any(|pair| {
        let [a, b] = pair else { return false };
        let steps = ((b.0 - a.0).hypot(b.1 - a.1) / 2.0)
            .ceil()
            .clamp(1.0, 400.0) as u32;
        (0..=steps).any(|step| {
            let share = f64::from(step) / f64::from(steps);
            wanted.holds((a.0 + (b.0 - a.0) * share, a.1 + (b.1 - a.1) * share))
        })
    })
}

/// An arrow the way the wind blows, around a point.
fn arrow(drawing: &mut Drawing, (x, y): Point, (dx, dy): Point, long: f64) {
    let tip = (x + dx * long / 2.0, y + dy * long / 2.0);
    let tail = (x - dx * long / 2.0, y - dy * long / 2.0);
    drawing.line(tail, tip, solid(Role::Ink, 1.4));
    let wing = |side: f64| {
        (
            tip.0 - dx * 8.0 - dy * 4.5 * side,
            tip.1 - dy * 8.0 + dx * 4.5 * side,
        )
    };
    drawing.path(
        vec![
            Segment::Move(tip),
            Segment::Line(wing(1.0)),
            Segment::Line(wing(-1.0)),
            Segment::Close,
        ],
        Some(Role::Ink),
        None,
    );
}

/// Name, words, scale bar and wind of a plan in the column at the left (above the plan on a narrow page); gives the
/// y below.
pub(super) fn key(
    drawing: &mut Drawing,
    scene: Scene<'_>,
    frame: &Frame,
    map: &Map,
    lines: &[String],
    up: &str,
    top: f64,
) -> f64 {
    let size = frame.label - 0.5;
    let mut y = top + 13.0;
    drawing.text((0.0, y), Anchor::Start, frame.name(), "Plan");
    let room = if frame.narrow {
        drawing.width - 2.0
    } else {
        frame.x0 - 16.0
    };
    let wrapped: Vec<String> = if frame.narrow {
        text::wrap(Face::Sans, size, &lines.join("; "), room)
    } else {
        lines
            .iter()
            .flat_map(|line| text::wrap(Face::Sans, size, line, room))
            .collect()
    };
    for line in wrapped {
        y += frame.label + 2.5;
        drawing.text((0.0, y), Anchor::Start, frame.second(), &line);
    }
    y = plan::scale_bar_of(drawing, map.feet_per_px(), (0.5, y + 13.0), 110.0, size, up);
    if let (Some((from, speed, sigma)), Some(words)) = (scene.wind(), scene.wind_words()) {
        // A wind that may be none has no direction.
        let felt = speed >= 1.0 && sigma.is_none_or(|sigma| speed > sigma);
        if felt {
            let to = map.toward(from.to_radians() + std::f64::consts::PI);
            arrow(drawing, (14.0, y + 15.0), to, 26.0);
            let mut base = y + 19.0;
            for line in text::wrap(Face::Sans, size, &words, room - 34.0) {
                drawing.text((34.0, base), Anchor::Start, frame.second(), &line);
                base += frame.label + 2.0;
            }
            y = (base - frame.label + 4.0).max(y + 32.0);
        } else {
            y += frame.label + 2.0;
            drawing.text((0.0, y), Anchor::Start, frame.second(), "wind light");
        }
    } else {
        y += frame.label + 2.0;
        drawing.text((0.0, y), Anchor::Start, frame.second(), "wind not known");
    }
    y
}
