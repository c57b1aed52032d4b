//! A drawing as SVG text: short, well formed, with every hostile character escaped.

use crate::svg::{Dash, Item, Point, Segment};
use std::fmt::Write as _;

/// A number for a page: one decimal, no trailing zero. A tenth of a px is under a printer's dot.
#[must_use]
pub fn number(value: f64) -> String {
    let tenths = (value * 10.0).round() as i64;
    tenths_text(tenths)
}

fn tenths_text(tenths: i64) -> String {
    let sign = if tenths < 0 { "-" } else { "" };
    let (whole, rest) = (tenths.abs() / 10, tenths.abs() % 10);
    match (whole, rest) {
        (_, 0) => format!("{sign}{whole}"),
        (0, _) => format!("{sign}.{rest}"),
        _ => format!("{sign}{whole}.{rest}"),
    }
}

/// `&`, `<`, `>` and quotes for XML and HTML; control characters become blanks, which no XML 1.0 document may hold.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            '\u{FFFE}' | '\u{FFFF}' => out.push(' '),
            other if other.is_control() => out.push(' '),
            other => out.push(other),
        }
    }
    out
}

pub(crate) fn write_item(out: &mut String, item: &Item) {
    match item {
        Item::Path {
            segments,
            fill,
            stroke,
        } => {
            out.push_str("<path class=\"");
            if let Some(role) = fill {
                let _ = write!(out, "f-{}", role.css());
            }
            if let Some(stroke) = stroke {
                let gap = if fill.is_some() { " " } else { "" };
                let _ = write!(out, "{gap}s-{}", stroke.role.css());
                if stroke.dash == Dash::Dashed {
                    out.push_str(" dash");
                }
            }
            out.push('"');
            if let Some(stroke) = stroke {
                let _ = write!(out, " stroke-width=\"{}\"", hundredths(stroke.width));
            }
            out.push_str(" d=\"");
            write_segments(out, segments);
            out.push_str("\"/>");
        }
        Item::Text {
            at, style, text, ..
        } => {
            let face = ["a", "b", "c", "d"].get(style.face.index()).unwrap_or(&"a");
            let _ = write!(
                out,
                "<text class=\"{face} f-{}\" x=\"{}\" y=\"{}\" font-size=\"{}\">",
                style.role.css(),
                number(at.0),
                number(at.1),
                number(style.size)
            );
            out.push_str(&escape(text));
            out.push_str("</text>");
        }
    }
}

fn hundredths(value: f64) -> String {
    let text = format!("{value:.2}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// Relative steps in tenths of a px keep a trace of a thousand points to a few kilobytes; the running point is
/// kept in whole tenths, so that rounding does not add up.
pub(crate) fn write_segments(out: &mut String, segments: &[Segment]) {
    let tenths = |(x, y): Point| ((x * 10.0).round() as i64, (y * 10.0).round() as i64);
    let (mut here, mut start) = ((0_i64, 0_i64), (0_i64, 0_i64));
    let pair = |out: &mut String, (x, y): (i64, i64)| {
        out.push_str(&tenths_text(x));
        if y >= 0 {
            out.push(' ');
        }
        out.push_str(&tenths_text(y));
    };
    for segment in segments {
        match segment {
            Segment::Move(point) => {
                here = tenths(*point);
                start = here;
                out.push('M');
                pair(out, here);
            }
            Segment::Line(point) => {
                let next = tenths(*point);
                out.push('l');
                pair(out, (next.0 - here.0, next.1 - here.1));
                here = next;
            }
            Segment::Cubic(a, b, c) => {
                out.push('c');
                for (index, point) in [a, b, c].into_iter().enumerate() {
                    let next = tenths(*point);
                    if index > 0 {
                        out.push(' ');
                    }
                    pair(out, (next.0 - here.0, next.1 - here.1));
                }
                here = tenths(*c);
            }
            Segment::Close => {
                out.push('z');
                here = start;
            }
        }
    }
}
