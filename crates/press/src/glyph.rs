//! The mark glyphs: two limit lines, and where the evidence lies. The word always stands beside them.
//!
//! | mark | drawn |
//! |---|---|
//! | `met` | a dot between the lines |
//! | `not met` | a pin from inside through the limit, square head outside, on the side that was broken |
//! | `too close` | an open ring on the limit line |
//! | `not recorded` | both lines dashed, nothing between |
//! | `for instructor` | an open box on a writing line, for a pen |
//!
//! Height is 0.64 × width, strokes are width / 11.

use crate::palette::Role;
use crate::svg::{Drawing, Point, Segment, Stroke, solid};
use standard::Verdict;

/// Height of a glyph of a width.
#[must_use]
pub fn height(width: f64) -> f64 {
    width * 0.64
}

/// Draws a glyph with its upper left corner at `at`. `below` puts the pin of `not met` through the lower limit.
pub fn draw(drawing: &mut Drawing, (x, y): Point, width: f64, mark: Verdict, below: bool) {
    let tall = height(width);
    let line = solid(Role::Ink, width / 11.0);
    let (middle, top, bottom) = (x + width / 2.0, y + tall * 0.12, y + tall * 0.88);
    match mark {
        Verdict::Met => {
            limits(drawing, x, width, top, bottom, line);
            drawing.circle(
                (middle, y + tall / 2.0),
                width * 0.145,
                Some(Role::Ink),
                None,
            );
        }
        Verdict::NotMet => {
            limits(drawing, x, width, top, bottom, line);
            let half = width * 0.17;
            let (limit, out) = if below { (bottom, 1.0) } else { (top, -1.0) };
            drawing.line(
                (middle, limit - out * tall * 0.42),
                (middle, limit + out * tall * 0.1),
                solid(Role::Beyond, width / 8.0),
            );
            let head = if below {
                limit + tall * 0.06
            } else {
                limit - tall * 0.06 - half * 2.0
            };
            drawing.rect(middle - half, head, half * 2.0, half * 2.0, Role::Beyond);
        }
        Verdict::TooClose => {
            let ring = width * 0.165;
            drawing.line((x, top), (middle - ring, top), line);
            drawing.line((middle + ring, top), (x + width, top), line);
            drawing.line((x, bottom), (x + width, bottom), line);
            drawing.circle((middle, top), ring, None, Some(line));
        }
        Verdict::NotRecorded => {
            for level in [top, bottom] {
                for dash in 0..4 {
                    let from = x + width * (f64::from(dash) * 0.28);
                    drawing.line(
                        (from, level),
                        ((from + width * 0.16).min(x + width), level),
                        line,
                    );
                }
            }
        }
        Verdict::ForInstructor => {
            let side = tall * 0.66;
            drawing.frame(
                x + width * 0.06,
                bottom - side - tall * 0.1,
                side,
                side,
                line,
            );
            drawing.line(
                (x, bottom + tall * 0.06),
                (x + width, bottom + tall * 0.06),
                line,
            );
        }
    }
}

fn limits(drawing: &mut Drawing, x: f64, width: f64, top: f64, bottom: f64, line: Stroke) {
    drawing.line((x, top), (x + width, top), line);
    drawing.line((x, bottom), (x + width, bottom), line);
}

/// The glyph alone as a small SVG that readers of the screen skip: the word beside it says it.
#[must_use]
pub fn svg(mark: Verdict, below: bool) -> String {
    let width = 18.0;
    // Head room for the pin, which stands outside the limits.
    let room = 6.0;
    let mut drawing = Drawing::new(width, height(width) + 2.0 * room);
    draw(&mut drawing, (0.0, room), width, mark, below);
    drawing.to_svg("", "glyph")
}

/// The hatching of a decided excursion: lines at 45°, 4 px apart (3 pt), inside a closed outline.
#[must_use]
pub fn hatching(outline: &[Point]) -> Vec<Segment> {
    const APART: f64 = 4.0;
    let mut segments = Vec::new();
    // Lines of constant u = x + y; along one, x − y runs from edge to edge.
    let along: Vec<(f64, f64)> = outline.iter().map(|(x, y)| (x + y, x - y)).collect();
    let (low, high) = along
        .iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (u, _)| {
            (low.min(*u), high.max(*u))
        });
    if !(low.is_finite() && high.is_finite()) || high - low > 20_000.0 {
        return segments;
    }
    let mut u = (low / APART).ceil() * APART + APART / 2.0;
    while u < high {
        let mut crossings: Vec<f64> = Vec::new();
        for (index, (u0, v0)) in along.iter().enumerate() {
            let Some((u1, v1)) = along.get((index + 1) % along.len()) else {
                continue;
            };
            if (*u0 <= u) != (*u1 <= u) {
                crossings.push(v0 + (v1 - v0) * (u - u0) / (u1 - u0));
            }
        }
        crossings.sort_by(f64::total_cmp);
        for pair in crossings.chunks_exact(2) {
            if let [from, to] = pair {
                segments.push(Segment::Move(((u + from) / 2.0, (u - from) / 2.0)));
                segments.push(Segment::Line(((u + to) / 2.0, (u - to) / 2.0)));
            }
        }
        u += APART;
    }
    segments
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every hatch line of a square stays inside it, and their length fills it: total length × spacing/√2 ≈ area.
    #[test]
    fn prop_hatching_fills_its_outline_and_no_more() {
        let square = [(10.0, 10.0), (90.0, 10.0), (90.0, 90.0), (10.0, 90.0)];
        let segments = hatching(&square);
        let mut length = 0.0;
        for pair in segments.chunks_exact(2) {
            let [Segment::Move(a), Segment::Line(b)] = pair else {
                panic!("pairs of move and line")
            };
            for (x, y) in [a, b] {
                assert!((9.99..=90.01).contains(x) && (9.99..=90.01).contains(y));
            }
            length += (a.0 - b.0).hypot(a.1 - b.1);
        }
        let area = length * 4.0 / std::f64::consts::SQRT_2;
        assert!((area / 6400.0 - 1.0).abs() < 0.05, "{area}");
    }
}
