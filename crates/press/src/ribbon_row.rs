//! The plot of one ribbon row: a line, moments, a clock, or nothing where nothing was recorded.

use crate::axis::TimeAxis;
use crate::frame::Frame;
use crate::glyph;
use crate::palette::Role;
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, dashed, solid};
use crate::text::{self, Face};
use crate::words;
use standard::{Mark, Ribbon, RibbonStyle, Verdict};

/// px per tolerance.
pub(crate) const SCALE: f64 = 10.0;
/// Tolerances that a row grows to; a value beyond breaks the line.
pub(crate) const MOST: f64 = 4.5;
/// One-sided 95 %.
pub(crate) const DECIDED: f64 = 1.645;

pub(crate) fn graded_values(ribbon: &Ribbon) -> Vec<(f64, f64)> {
    values(ribbon)
        .into_iter()
        .filter(|(t, _)| *t >= ribbon.graded_from_s - 1e-6 && *t <= ribbon.graded_to_s + 1e-6)
        .collect()
}

fn values(ribbon: &Ribbon) -> Vec<(f64, f64)> {
    let time = |index: usize| match ribbon.style {
        RibbonStyle::Moments => ribbon.moments_s.get(index).copied().unwrap_or(f64::NAN),
        _ => ribbon.start_s + index as f64 * ribbon.step_s,
    };
    ribbon
        .deviation
        .iter()
        .enumerate()
        .map(|(index, value)| (time(index), value.map_or(f64::NAN, f64::from)))
        .collect()
}

/// No channel: dashed limits, an empty band, one line of words.
pub(crate) fn unrecorded(drawing: &mut Drawing, frame: &Frame, mark: &Mark, middle: f64) {
    for level in [middle - SCALE, middle + SCALE] {
        drawing.line(
            (frame.x0, level),
            (frame.x1, level),
            dashed(Role::Ink3, 1.0),
        );
    }
    let why = if mark.note.is_empty() {
        "the recorder did not carry it"
    } else {
        mark.note.as_str()
    };
    let words = text::fit(
        Face::Sans,
        frame.label - 0.5,
        why,
        frame.x1 - frame.x0 - 16.0,
    );
    drawing.text(
        (frame.x0 + 8.0, middle + 4.0),
        Anchor::Start,
        frame.second(),
        &words,
    );
}

/// The band over the graded span with its limits and their labels.
fn band(drawing: &mut Drawing, frame: &Frame, mark: &Mark, from: f64, to: f64, middle: f64) {
    drawing.rect(from, middle - SCALE, to - from, 2.0 * SCALE, Role::Band);
    let style = frame.tick_style();
    for (limit, level, sign) in [
        (mark.high, middle - SCALE, 1.0),
        (mark.low, middle + SCALE, -1.0),
    ] {
        let Some(limit) = limit else { continue };
        drawing.line((from, level), (to, level), solid(Role::Ink2, 1.0));
        let signed = mark
            .target
            .zip(mark.low)
            .zip(mark.high)
            .filter(|((target, low), high)| {
                ((high - target) - (target - low)).abs() < 1e-6 * high.abs().max(1.0)
            });
        let (lead, value) = match signed {
            Some(((target, _), _)) => (if sign > 0.0 { "+" } else { "−" }, (limit - target).abs()),
            None => ("", limit),
        };
        let mut words = format!("{lead}{}", words::plain(value, &mark.unit));
        let mut width = text::width(style.face, style.size, &words);
        let outside = from - 4.0 - width < frame.x0;
        let x = if outside { frame.ticks() } else { from - 4.0 };
        let gutter = frame.ticks() - if frame.narrow { 0.0 } else { frame.names };
        if outside && width > gutter {
            // The unit stands with the name of the row.
            words = format!("{lead}{}", words::bare(value));
            width = text::width(style.face, style.size, &words);
        }
        if !outside || width <= gutter {
            drawing.text((x, level + 3.6), Anchor::End, style, &words);
        }
    }
}

pub(crate) fn line_row(
    drawing: &mut Drawing,
    frame: &Frame,
    axis: &TimeAxis,
    mark: &Mark,
    ribbon: &Ribbon,
    middle: f64,
) {
    let (from, to) = (
        axis.clamped(ribbon.graded_from_s),
        axis.clamped(ribbon.graded_to_s),
    );
    let one_sided = mark.low.is_none() || mark.high.is_none();
    band(drawing, frame, mark, from, to, middle);
    drawing.line(
        (frame.x0, middle),
        (frame.x1, middle),
        solid(Role::Rule, 0.75),
    );
    let level = |deviation: f64| middle - SCALE * deviation;
    let all = values(ribbon);
    let fits = |value: f64| value.is_finite() && value.abs() <= MOST + 0.3;
    // Outside the span: thin, and for one-sided limits only before it.
    let outer: Vec<(f64, f64)> = all
        .iter()
        .map(|(t, value)| {
            let shown = *t <= ribbon.graded_from_s + ribbon.step_s
                || (!one_sided && *t >= ribbon.graded_to_s - ribbon.step_s);
            (
                *t,
                if shown && value.abs() <= 1.9 {
                    *value
                } else {
                    f64::NAN
                },
            )
        })
        .collect();
    for run in runs(axis, &outer, level) {
        drawing.polyline(&sample::simplify(&run, 0.1), solid(Role::Deviation, 0.75));
    }
    let graded: Vec<(f64, f64)> = graded_values(ribbon)
        .into_iter()
        .map(|(t, value)| (t, if fits(value) { value } else { f64::NAN }))
        .collect();
    let sigma = f64::from(ribbon.sigma).clamp(0.0, 2.0);
    for run in runs(axis, &graded, level) {
        let half = SCALE * if sigma.is_finite() { sigma } else { 0.0 };
        let mut outline: Vec<Point> = run.iter().map(|(x, y)| (*x, y - half)).collect();
        outline.extend(run.iter().rev().map(|(x, y)| (*x, y + half)));
        drawing.area(&outline, Role::Sigma);
    }
    for (limit, sign) in [(mark.high, 1.0), (mark.low, -1.0)] {
        if limit.is_some() {
            drawing.line(
                (from, level(sign)),
                (to, level(sign)),
                solid(Role::Ink2, 1.0),
            );
        }
    }
    for run in runs(axis, &graded, level) {
        drawing.polyline(&sample::simplify(&run, 0.1), solid(Role::Deviation, 1.6));
    }
    for sign in [1.0, -1.0] {
        // Where the mark says that it cannot be decided, no peak may say otherwise.
        let limited = (if sign > 0.0 { mark.high } else { mark.low }).is_some();
        if limited && mark.mark != Verdict::TooClose {
            beyond(drawing, axis, &graded, sign, sigma, level);
        }
    }
}

/// Hatches the decided excursions on one side and draws them heavy.
fn beyond(
    drawing: &mut Drawing,
    axis: &TimeAxis,
    graded: &[(f64, f64)],
    sign: f64,
    sigma: f64,
    level: impl Fn(f64) -> f64 + Copy,
) {
    let limit = level(sign);
    for run in runs(axis, graded, level) {
        for part in excursions(&run, |y| (limit - y) * sign) {
            let peak = part
                .iter()
                .map(|(_, y)| (limit - y) * sign / SCALE)
                .fold(0.0, f64::max);
            if peak <= DECIDED * sigma {
                continue;
            }
            let (Some(first), Some(last)) = (part.first(), part.last()) else {
                continue;
            };
            let mut outline = vec![(first.0, limit)];
            outline.extend(part.iter().copied());
            outline.push((last.0, limit));
            drawing.path(
                glyph::hatching(&outline),
                None,
                Some(solid(Role::Beyond, 0.9)),
            );
            drawing.polyline(&sample::simplify(&part, 0.1), solid(Role::Beyond, 2.4));
        }
    }
}

/// Parts of a run where `height` is positive, cut where it crosses zero.
pub(crate) fn excursions(run: &[Point], height: impl Fn(f64) -> f64) -> Vec<Vec<Point>> {
    let mut parts = Vec::new();
    let mut part: Vec<Point> = Vec::new();
    let mut before: Option<Point> = None;
    for point in run {
        let outside = height(point.1) > 0.0;
        if let Some(last) = before {
            let (a, b) = (height(last.1), height(point.1));
            if (a > 0.0) != (b > 0.0) {
                let share = a / (a - b);
                part.push((
                    last.0 + share * (point.0 - last.0),
                    last.1 + share * (point.1 - last.1),
                ));
                if !outside {
                    parts.push(std::mem::take(&mut part));
                }
            }
        }
        if outside {
            part.push(*point);
        }
        before = Some(*point);
    }
    if part.len() > 1 {
        parts.push(part);
    }
    parts
}

/// Unbroken runs in px: a value that is not finite and a seam of the axis both break the line.
fn runs(axis: &TimeAxis, values: &[(f64, f64)], level: impl Fn(f64) -> f64) -> Vec<Vec<Point>> {
    let mut out: Vec<Vec<Point>> = Vec::new();
    let mut run: Vec<Point> = Vec::new();
    let mut last_piece = None;
    for (t, value) in values {
        let piece = axis.piece(*t);
        if !value.is_finite() || piece.is_none() || piece != last_piece {
            if run.len() > 1 {
                out.push(std::mem::take(&mut run));
            }
            run.clear();
        }
        last_piece = piece;
        if let (true, Some(x)) = (value.is_finite(), axis.x(*t)) {
            run.push((x, level(*value)));
        }
    }
    if run.len() > 1 {
        out.push(run);
    }
    out
}

/// Moments: dots with ±σ and no line between them.
pub(crate) fn moments_row(
    drawing: &mut Drawing,
    frame: &Frame,
    axis: &TimeAxis,
    mark: &Mark,
    ribbon: &Ribbon,
    middle: f64,
) {
    let from = axis.clamped(ribbon.graded_from_s);
    let to = axis.clamped(ribbon.graded_to_s).max(from + 8.0);
    drawing.line(
        (frame.x0, middle),
        (frame.x1, middle),
        solid(Role::Rule, 0.75),
    );
    band(drawing, frame, mark, from, to, middle);
    let sigma = f64::from(ribbon.sigma);
    for (t, value) in values(ribbon) {
        let Some(x) = axis.x(t).filter(|_| value.is_finite()) else {
            continue;
        };
        let y = middle - SCALE * value.clamp(-MOST, MOST);
        let outside = (mark.high.is_some() && value - DECIDED * sigma > 1.0)
            || (mark.low.is_some() && value + DECIDED * sigma < -1.0);
        let role = if outside {
            Role::Beyond
        } else {
            Role::Deviation
        };
        let half = SCALE * sigma.clamp(0.0, 2.0);
        if half.is_finite() && half > 0.5 {
            drawing.line((x, y - half), (x, y + half), solid(role, 1.6));
        }
        // Outside is a square, as on the pin, so that gray paper tells it too.
        if outside {
            drawing.rect(x - 3.2, y - 3.2, 6.4, 6.4, role);
        } else {
            drawing.circle((x, y), 3.2, Some(role), None);
        }
    }
}

/// A clock: bar = taken, band = allowed (or asked for, where the limit is a least one).
pub(crate) fn clock_row(
    drawing: &mut Drawing,
    axis: &TimeAxis,
    mark: &Mark,
    ribbon: &Ribbon,
    middle: f64,
) {
    let limit = mark.high.or(mark.low).unwrap_or(ribbon.step_s);
    let Some(taken) = mark.worst.or_else(|| {
        ribbon
            .deviation
            .first()
            .copied()
            .flatten()
            .map(|share| f64::from(share) * limit)
    }) else {
        return;
    };
    // A least time ends at its moment (30 s settled before the pull), a longest one begins there.
    let way = if mark.high.is_none() { -1.0 } else { 1.0 };
    let at = |seconds: f64| axis.clamped(ribbon.graded_from_s + way * seconds.max(0.0));
    let bar = |drawing: &mut Drawing, a: f64, b: f64, half: f64, role: Role| {
        drawing.rect(
            a.min(b),
            middle - half,
            (a - b).abs().max(1.0),
            2.0 * half,
            role,
        )
    };
    let (from, to, end) = (at(0.0), at(limit), at(taken));
    bar(drawing, from, to, 8.0, Role::Band);
    let sigma = mark.sigma.filter(|sigma| sigma.is_finite() && *sigma > 0.0);
    if let Some(sigma) = sigma {
        bar(
            drawing,
            at(taken - sigma),
            at(taken + sigma),
            8.0,
            Role::Sigma,
        );
    }
    drawing.line(
        (to, middle - 8.0),
        (to, middle + 8.0),
        solid(Role::Ink2, 1.0),
    );
    bar(drawing, from, end, 2.5, Role::Deviation);
    let over = mark.high.is_some() && taken - DECIDED * sigma.unwrap_or(0.0) > limit;
    if over {
        let outline = [
            (to, middle - 8.0),
            (end, middle - 8.0),
            (end, middle + 8.0),
            (to, middle + 8.0),
        ];
        drawing.path(
            glyph::hatching(&outline),
            None,
            Some(solid(Role::Beyond, 0.9)),
        );
        drawing.rect(to, middle - 2.5, (end - to).max(1.0), 5.0, Role::Beyond);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prop_excursions_are_cut_at_the_limit() {
        let run = [(0.0, 0.0), (1.0, 2.0), (2.0, 2.0), (3.0, 0.0), (4.0, 0.0)];
        let parts = excursions(&run, |y| y - 1.0);
        assert_eq!(
            parts,
            vec![vec![(0.5, 1.0), (1.0, 2.0), (2.0, 2.0), (2.5, 1.0)]]
        );
    }
}
