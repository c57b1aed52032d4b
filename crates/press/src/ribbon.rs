//! Ribbons: each element as deviation ÷ tolerance over time, so that ±1 is the limit of every quantity.
//!
//! All rows share one px per tolerance. The band is what the standard allows, over the graded span only; hatching
//! stands only where an excursion is decided, that is where its peak less 1.645 σ is still outside (one-sided 95 %,
//! JCGM 106:2012, 8.3.2).

use crate::axis::TimeAxis;
use crate::frame::Frame;
use crate::glyph;
use crate::palette::Role;
use crate::ribbon_row::{MOST, SCALE, clock_row, graded_values, line_row, moments_row, unrecorded};
use crate::svg::{Anchor, Drawing};
use crate::text::{self, Face};
use crate::words;
use standard::{Mark, RibbonStyle, Verdict};
/// A row is at least this tall, px.
const ROW_MIN: f64 = 29.0;
const LINE: f64 = 13.0;

/// Whether a mark is drawn as a row: it has a ribbon, or it would have one had the recorder carried it.
#[must_use]
pub fn has_row(mark: &Mark) -> bool {
    const OVER_TIME: [&str; 8] = [
        "heading",
        "altitude",
        "airspeed",
        "bank",
        "coordination",
        "pitch_up_smooth",
        "flap_extension_speed",
        "no_stall_warning",
    ];
    match mark.mark {
        Verdict::ForInstructor => false,
        Verdict::NotRecorded => OVER_TIME.contains(&mark.criterion.as_str()),
        // A count has no place on a time axis, and a one-sided limit that was never come near says all in one
        // number: both go to the list.
        _ => {
            mark.unit != "steps"
                && !is_far_inside(mark)
                && mark
                    .ribbon
                    .as_ref()
                    .is_some_and(|ribbon| !ribbon.deviation.is_empty())
        }
    }
}

/// Whether a one-sided limit was met with more than a whole tolerance to spare all along.
fn is_far_inside(mark: &Mark) -> bool {
    let Some(ribbon) = mark
        .ribbon
        .as_ref()
        .filter(|ribbon| ribbon.style == RibbonStyle::Line)
    else {
        return false;
    };
    let sign = match (mark.low, mark.high) {
        (Some(_), None) => 1.0,
        (None, Some(_)) => -1.0,
        _ => return false,
    };
    mark.mark == Verdict::Met
        && graded_values(ribbon)
            .iter()
            .all(|(_, value)| !value.is_finite() || value * sign > 0.0)
}

/// Draws a row with its top at `y`; gives the y below it.
pub fn draw(
    drawing: &mut Drawing,
    frame: &Frame,
    axis: &TimeAxis,
    mark: &Mark,
    left_turn: bool,
    y: f64,
) -> f64 {
    let (up, down) = extent(mark);
    let name = text::wrap(
        Face::SansBold,
        frame.label,
        &words::capital(&mark.quantity),
        frame.names,
    );
    let limits = text::wrap(
        Face::Sans,
        frame.label - 0.5,
        &words::limits(mark),
        frame.names,
    );
    let (top, row) = if frame.narrow {
        (
            heading_above(drawing, frame, mark, left_turn, &name, &limits, y),
            up + down + 6.0,
        )
    } else {
        let left = LINE * (name.len() + limits.len()) as f64 + 3.0;
        let right = right_lines(frame, mark, left_turn);
        let right_height = LINE * (right.len() + 1) as f64 + 3.0;
        let row = (up + down + 6.0).max(ROW_MIN).max(left).max(right_height);
        let text_top = y + (row - left) / 2.0;
        let mut base = text_top + 11.0;
        for line in &name {
            drawing.text((0.0, base), Anchor::Start, frame.name(), line);
            base += LINE;
        }
        for line in &limits {
            drawing.text((0.0, base), Anchor::Start, frame.second(), line);
            base += LINE;
        }
        beside(drawing, frame, mark, &right, y + (row - right_height) / 2.0);
        (y, row)
    };
    let middle = top + (row - up - down) / 2.0 + up;
    match (&mark.ribbon, mark.mark) {
        (_, Verdict::NotRecorded) | (None, _) => unrecorded(drawing, frame, mark, middle),
        (Some(ribbon), _) => match ribbon.style {
            RibbonStyle::Line => line_row(drawing, frame, axis, mark, ribbon, middle),
            RibbonStyle::Moments => moments_row(drawing, frame, axis, mark, ribbon, middle),
            RibbonStyle::Clock => clock_row(drawing, axis, mark, ribbon, middle),
        },
    }
    top + row + if frame.narrow { 10.0 } else { 3.0 }
}

/// Room above and below the middle, px.
fn extent(mark: &Mark) -> (f64, f64) {
    let (mut up, mut down) = (1.0_f64, 1.0_f64);
    let Some(ribbon) = mark
        .ribbon
        .as_ref()
        .filter(|ribbon| ribbon.style != RibbonStyle::Clock)
    else {
        return (SCALE, SCALE);
    };
    for deviation in ribbon
        .deviation
        .iter()
        .flatten()
        .map(|value| f64::from(*value))
    {
        if deviation.is_finite() {
            up = up.max(deviation.min(MOST));
            down = down.max((-deviation).min(MOST));
        }
    }
    // What only the thin line outside the graded span does may cost two tolerances of paper, not more.
    let graded = graded_values(ribbon);
    let peak = |sign: f64| {
        graded
            .iter()
            .map(|(_, value)| value * sign)
            .fold(1.0, f64::max)
            .min(MOST)
    };
    (
        SCALE * up.min(peak(1.0).max(2.0)),
        SCALE * down.min(peak(-1.0).max(2.0)),
    )
}

/// Lines of the right column below the word: worst ± σ, or why there is none.
fn right_lines(frame: &Frame, mark: &Mark, left_turn: bool) -> Vec<String> {
    let room = frame.width - frame.right() - 24.0;
    let words = words::worst(mark, left_turn).unwrap_or_default();
    let mut lines = text::wrap(Face::Sans, frame.label - 0.5, &words, room);
    lines.truncate(2);
    lines
}

fn pin_below(mark: &Mark) -> bool {
    match (mark.worst, mark.low, mark.high) {
        (Some(worst), Some(low), Some(high)) => {
            words::deviation(mark).map_or(worst < (low + high) / 2.0, |off| {
                off < mark
                    .target
                    .map_or(0.0, |target| (low + high) / 2.0 - target)
            })
        }
        (_, Some(_), None) => true,
        _ => false,
    }
}

/// The side of the limit that the pin of a mark goes through.
#[must_use]
pub fn is_below(mark: &Mark) -> bool {
    pin_below(mark)
}

fn beside(drawing: &mut Drawing, frame: &Frame, mark: &Mark, lines: &[String], y: f64) {
    let x = frame.right();
    glyph::draw(drawing, (x, y + 2.0), 17.0, mark.mark, pin_below(mark));
    drawing.text(
        (x + 24.0, y + 11.0),
        Anchor::Start,
        frame.name(),
        words::mark(mark.mark),
    );
    for (index, line) in lines.iter().enumerate() {
        drawing.text(
            (x + 24.0, y + 11.0 + LINE * (index + 1) as f64),
            Anchor::Start,
            frame.second(),
            line,
        );
    }
}

/// On a narrow page: name, limits, glyph, word and worst above the band. Gives the y where the band may begin.
fn heading_above(
    drawing: &mut Drawing,
    frame: &Frame,
    mark: &Mark,
    left_turn: bool,
    name: &[String],
    limits: &[String],
    y: f64,
) -> f64 {
    let mut base = y + 12.0;
    let mut cursor = 0.0;
    let short = limits.join(" ");
    let one = name.len() == 1
        && text::width(
            Face::SansBold,
            frame.label,
            name.first().map_or("", String::as_str),
        ) + 10.0
            + text::width(Face::Sans, frame.label - 0.5, &short)
            < frame.width;
    let lines = name.len() + 1 + if one { 0 } else { limits.len() };
    // Words on plain paper: the columns of the phases run behind the bands only.
    drawing.rect(
        0.0,
        y - 3.0,
        frame.width,
        16.0 * lines as f64 + 5.0,
        Role::Paper,
    );
    for line in name {
        cursor = drawing
            .text((0.0, base), Anchor::Start, frame.name(), line)
            .x1;
        base += 16.0;
    }
    if one {
        drawing.text(
            (cursor + 10.0, base - 16.0),
            Anchor::Start,
            frame.second(),
            &short,
        );
    } else {
        for line in limits {
            drawing.text((0.0, base), Anchor::Start, frame.second(), line);
            base += 16.0;
        }
    }
    glyph::draw(
        drawing,
        (0.0, base - 10.0),
        18.0,
        mark.mark,
        pin_below(mark),
    );
    let after = drawing
        .text(
            (26.0, base),
            Anchor::Start,
            frame.name(),
            words::mark(mark.mark),
        )
        .x1;
    let worst = words::worst(mark, left_turn).unwrap_or_default();
    drawing.text(
        (after + 8.0, base),
        Anchor::Start,
        frame.second(),
        &text::fit(
            Face::Sans,
            frame.label - 0.5,
            &worst,
            frame.width - after - 8.0,
        ),
    );
    base + 8.0
}
