//! A drawing: paths and words in px, written once and used twice, as SVG in the page and in the PDF.
//!
//! Frame: x right, y down, origin at the upper left corner; one px is 1/96 inch (0.75 pt).
//! Colors are roles, so that a page may be light or dark.

use crate::palette::Role;
use crate::svg_text::write_item;
pub use crate::svg_text::{escape, number};
use crate::text::{self, Face};
use std::fmt::Write as _;

/// A point, px.
pub type Point = (f64, f64);

/// How a line is dashed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dash {
    /// Drawn through.
    Solid,
    /// 5 on, 3 off: over the ground, flaps, limits of what was not recorded.
    Dashed,
}

/// A line's ink.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stroke {
    /// Color.
    pub role: Role,
    /// Width, px.
    pub width: f64,
    /// Dashes.
    pub dash: Dash,
}

/// A line drawn through.
#[must_use]
pub const fn solid(role: Role, width: f64) -> Stroke {
    Stroke {
        role,
        width,
        dash: Dash::Solid,
    }
}

/// A dashed line.
#[must_use]
pub const fn dashed(role: Role, width: f64) -> Stroke {
    Stroke {
        role,
        width,
        dash: Dash::Dashed,
    }
}

/// Where a word stands relative to its point.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// Begins there.
    Start,
    /// Is centered there.
    Middle,
    /// Ends there.
    End,
}

/// How words are set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Face.
    pub face: Face,
    /// Size, px.
    pub size: f64,
    /// Color.
    pub role: Role,
}

/// Shorthand for a style.
#[must_use]
pub const fn style(face: Face, size: f64, role: Role) -> Style {
    Style { face, size, role }
}

/// A step of a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Segment {
    /// Lifts the pen.
    Move(Point),
    /// Draws a line.
    Line(Point),
    /// Draws a cubic curve: two control points, then the end.
    Cubic(Point, Point, Point),
    /// Back to the last move.
    Close,
}

/// A box around words, for tests and for keeping labels apart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rect {
    /// Left, px.
    pub x0: f64,
    /// Top, px.
    pub y0: f64,
    /// Right, px.
    pub x1: f64,
    /// Bottom, px.
    pub y1: f64,
}

impl Rect {
    /// Whether two boxes share more than an edge.
    #[must_use]
    pub fn overlaps(&self, other: &Rect) -> bool {
        self.x0 < other.x1 && other.x0 < self.x1 && self.y0 < other.y1 && other.y0 < self.y1
    }
    /// The box, grown on every side.
    #[must_use]
    pub fn grown(&self, by: f64) -> Rect {
        Rect {
            x0: self.x0 - by,
            y0: self.y0 - by,
            x1: self.x1 + by,
            y1: self.y1 + by,
        }
    }
    /// Whether a point lies inside.
    #[must_use]
    pub fn holds(&self, (x, y): Point) -> bool {
        x > self.x0 && x < self.x1 && y > self.y0 && y < self.y1
    }
}

/// One thing drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A path, filled, stroked or both.
    Path {
        /// Steps.
        segments: Vec<Segment>,
        /// Fill.
        fill: Option<Role>,
        /// Line.
        stroke: Option<Stroke>,
    },
    /// Words.
    Text {
        /// Left end of the base line.
        at: Point,
        /// Width as measured, px.
        width: f64,
        /// How they are set.
        style: Style,
        /// The words.
        text: String,
    },
}

/// A drawing.
#[derive(Clone, Debug, Default)]
pub struct Drawing {
    /// Width, px.
    pub width: f64,
    /// Height, px.
    pub height: f64,
    /// What it is, for who cannot see it.
    pub title: String,
    /// What it says, in words.
    pub desc: String,
    /// What is drawn, back to front.
    pub items: Vec<Item>,
}

impl Drawing {
    /// An empty drawing.
    #[must_use]
    pub fn new(width: f64, height: f64) -> Self {
        Self {
            width,
            height,
            ..Self::default()
        }
    }

    /// A path; steps that are not finite are dropped, so that no NaN reaches a page.
    pub fn path(&mut self, segments: Vec<Segment>, fill: Option<Role>, stroke: Option<Stroke>) {
        let segments: Vec<Segment> = segments.into_iter().filter(finite).collect();
        if segments.len() > 1 {
            self.items.push(Item::Path {
                segments,
                fill,
                stroke,
            });
        }
    }

    /// A straight line.
    pub fn line(&mut self, from: Point, to: Point, stroke: Stroke) {
        self.path(
            vec![Segment::Move(from), Segment::Line(to)],
            None,
            Some(stroke),
        );
    }

    /// A line through points.
    pub fn polyline(&mut self, points: &[Point], stroke: Stroke) {
        self.path(open(points), None, Some(stroke));
    }

    /// A filled area.
    pub fn area(&mut self, points: &[Point], role: Role) {
        let mut segments = open(points);
        segments.push(Segment::Close);
        self.path(segments, Some(role), None);
    }

    /// A filled rectangle.
    pub fn rect(&mut self, x: f64, y: f64, width: f64, height: f64, role: Role) {
        if width > 0.0 && height > 0.0 {
            self.area(
                &[
                    (x, y),
                    (x + width, y),
                    (x + width, y + height),
                    (x, y + height),
                ],
                role,
            );
        }
    }

    /// The outline of a rectangle.
    pub fn frame(&mut self, x: f64, y: f64, width: f64, height: f64, stroke: Stroke) {
        let mut segments = open(&[
            (x, y),
            (x + width, y),
            (x + width, y + height),
            (x, y + height),
        ]);
        segments.push(Segment::Close);
        self.path(segments, None, Some(stroke));
    }

    /// A circle; the four curves miss a true one by 0.03 % of the radius.
    pub fn circle(
        &mut self,
        (x, y): Point,
        radius: f64,
        fill: Option<Role>,
        stroke: Option<Stroke>,
    ) {
        let k = radius * 0.552_284_75;
        let segments = vec![
            Segment::Move((x + radius, y)),
            Segment::Cubic((x + radius, y + k), (x + k, y + radius), (x, y + radius)),
            Segment::Cubic((x - k, y + radius), (x - radius, y + k), (x - radius, y)),
            Segment::Cubic((x - radius, y - k), (x - k, y - radius), (x, y - radius)),
            Segment::Cubic((x + k, y - radius), (x + radius, y - k), (x + radius, y)),
            Segment::Close,
        ];
        self.path(segments, fill, stroke);
    }

    /// Words; gives the box they take.
    pub fn text(&mut self, (x, y): Point, anchor: Anchor, style: Style, words: &str) -> Rect {
        let width = text::width(style.face, style.size, words);
        let left = match anchor {
            Anchor::Start => x,
            Anchor::Middle => x - width / 2.0,
            Anchor::End => x - width,
        };
        if !words.trim().is_empty() && left.is_finite() && y.is_finite() {
            self.items.push(Item::Text {
                at: (left, y),
                width,
                style,
                text: words.to_owned(),
            });
        }
        text_box((left, y), width, style)
    }

    /// Runs of words in several styles on one base line; gives the x after them.
    pub fn runs(&mut self, (x, y): Point, runs: &[(Style, &str)]) -> f64 {
        let mut cursor = x;
        for (style, words) in runs {
            self.text((cursor, y), Anchor::Start, *style, words);
            cursor += text::width(style.face, style.size, words);
        }
        cursor
    }

    /// Copies another drawing in at an offset.
    pub fn place(&mut self, other: &Drawing, dx: f64, dy: f64) {
        let shift = |(x, y): Point| (x + dx, y + dy);
        for item in &other.items {
            self.items.push(match item {
                Item::Path {
                    segments,
                    fill,
                    stroke,
                } => Item::Path {
                    segments: segments
                        .iter()
                        .map(|segment| map_segment(segment, shift))
                        .collect(),
                    fill: *fill,
                    stroke: *stroke,
                },
                Item::Text {
                    at,
                    width,
                    style,
                    text,
                } => Item::Text {
                    at: shift(*at),
                    width: *width,
                    style: *style,
                    text: text.clone(),
                },
            });
        }
    }

    /// Boxes of all words, with the words.
    pub fn labels(&self) -> impl Iterator<Item = (Rect, &str)> {
        self.items.iter().filter_map(|item| match item {
            Item::Text {
                at,
                width,
                style,
                text,
            } => Some((text_box(*at, *width, *style), text.as_str())),
            Item::Path { .. } => None,
        })
    }

    /// Whether a box is free of words so far.
    #[must_use]
    pub fn is_free(&self, wanted: &Rect) -> bool {
        !self.labels().any(|(taken, _)| taken.overlaps(wanted))
    }

    /// As SVG. `id` makes the ids of title and description unique in the page; `class` is for the style sheet.
    #[must_use]
    pub fn to_svg(&self, id: &str, class: &str) -> String {
        let mut out = String::with_capacity(self.items.len() * 80 + 400);
        let (width, height) = (number(self.width), number(self.height));
        let _ = write!(
            out,
            "<svg xmlns=\"http://www.w3.org/2000/svg\" class=\"{class}\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\""
        );
        if self.title.is_empty() {
            out.push_str(" aria-hidden=\"true\">");
        } else {
            let (title, desc) = (escape(&self.title), escape(&self.desc));
            let _ = write!(
                out,
                " role=\"img\" aria-labelledby=\"{id}-t {id}-d\"><title id=\"{id}-t\">{title}</title><desc id=\"{id}-d\">{desc}</desc>"
            );
        }
        for item in &self.items {
            write_item(&mut out, item);
        }
        out.push_str("</svg>");
        out
    }
}

/// Letters reach this far above and below the base line, as a share of the size: cap height and descender of both
/// families (0.67 and 0.24), with the accents left out.
fn text_box((x, y): Point, width: f64, style: Style) -> Rect {
    Rect {
        x0: x,
        y0: y - style.size * 0.70,
        x1: x + width,
        y1: y + style.size * 0.22,
    }
}

/// Steps as SVG path data.
#[must_use]
pub fn path_data(segments: &[Segment]) -> String {
    let mut out = String::new();
    crate::svg_text::write_segments(&mut out, segments);
    out
}

fn open(points: &[Point]) -> Vec<Segment> {
    let mut segments = Vec::with_capacity(points.len() + 1);
    for (index, point) in points.iter().enumerate() {
        segments.push(if index == 0 {
            Segment::Move(*point)
        } else {
            Segment::Line(*point)
        });
    }
    segments
}

fn finite(segment: &Segment) -> bool {
    let good = |(x, y): &Point| x.is_finite() && y.is_finite();
    match segment {
        Segment::Move(a) | Segment::Line(a) => good(a),
        Segment::Cubic(a, b, c) => good(a) && good(b) && good(c),
        Segment::Close => true,
    }
}

fn map_segment(segment: &Segment, map: impl Fn(Point) -> Point) -> Segment {
    match segment {
        Segment::Move(a) => Segment::Move(map(*a)),
        Segment::Line(a) => Segment::Line(map(*a)),
        Segment::Cubic(a, b, c) => Segment::Cubic(map(*a), map(*b), map(*c)),
        Segment::Close => Segment::Close,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::svg_text::write_segments;

    #[test]
    fn prop_relative_steps_add_up_to_the_points() {
        let points: Vec<Point> = (0..500)
            .map(|i| (f64::from(i) * 0.333, (f64::from(i) * 0.1).sin() * 20.0))
            .collect();
        let mut out = String::new();
        write_segments(&mut out, &open(&points));
        let (mut x, mut y) = (0.0, 0.0);
        let spaced = out.replace('-', " -");
        for (index, step) in spaced
            .split(['M', 'l'])
            .filter(|step| !step.is_empty())
            .enumerate()
        {
            let numbers: Vec<f64> = step
                .split_whitespace()
                .map(|word| word.parse().unwrap())
                .collect();
            x += numbers[0];
            y += numbers[1];
            assert!(
                (x - points[index].0).abs() < 0.06 && (y - points[index].1).abs() < 0.06,
                "point {index}"
            );
        }
    }

    #[test]
    fn prop_a_hostile_text_stays_text() {
        let mut drawing = Drawing::new(100.0, 20.0);
        drawing.title = "<script>".to_owned();
        drawing.text(
            (0.0, 10.0),
            Anchor::Start,
            style(Face::Sans, 12.0, Role::Ink),
            "</text><script>alert(1)</script>\u{0}&",
        );
        let svg = drawing.to_svg("x", "fig");
        assert!(roxmltree::Document::parse(&svg).is_ok(), "{svg}");
        assert!(!svg.contains("<script"));
    }

    #[test]
    fn prop_what_is_not_finite_is_not_drawn() {
        let mut drawing = Drawing::new(10.0, 10.0);
        drawing.polyline(
            &[
                (0.0, 0.0),
                (f64::NAN, 1.0),
                (2.0, f64::INFINITY),
                (3.0, 3.0),
            ],
            solid(Role::Ink, 1.0),
        );
        drawing.text(
            (f64::NAN, 0.0),
            Anchor::End,
            style(Face::Sans, 12.0, Role::Ink),
            "lost",
        );
        let svg = drawing.to_svg("x", "fig");
        assert!(!svg.contains("NaN") && !svg.contains("inf"), "{svg}");
    }
}
