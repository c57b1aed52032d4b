//! One plot of a turn: a quantity against heading turned, with its band, and the roll-out.

use crate::frame::Frame;
use crate::glyph;
use crate::palette::Role;
use crate::panel;
use crate::ribbon_row::{DECIDED, excursions};
use crate::sample;
use crate::svg::{Anchor, Drawing, Point, dashed, solid};
use crate::trace;
use crate::turn::{Quantity, Turn, row_name, verdict};
use crate::words;
use flight::Flight;
use standard::{Mark, Verdict};

fn relative_limits(mark: &Mark) -> String {
    // Each turn has its own entry figure; the row's name says the tolerance once for both.
    match (mark.target, mark.low, mark.high) {
        (Some(target), Some(low), Some(high)) if mark.criterion != "bank" => {
            let (down, up) = (target - low, high - target);
            if (up - down).abs() < 1e-6 * up.abs().max(1.0) {
                format!("entry ±\u{A0}{}", words::plain(up, &mark.unit))
            } else {
                words::limits(mark)
            }
        }
        _ => words::limits(mark),
    }
}

/// Rolling in and out needs no paper: the plot of the bank begins two widths of the band below it.
fn bank_floor(quantity: &Quantity<'_>, marks: &[Option<&Mark>]) -> Option<f64> {
    let sizes = |mark: &&Mark| Some((mark.low?.abs(), mark.high?.abs()));
    let lows = marks
        .iter()
        .flatten()
        .filter_map(sizes)
        .map(|(a, b)| 3.0 * a.min(b) - 2.0 * a.max(b));
    if quantity.signed {
        lows.reduce(f64::min)
    } else {
        None
    }
}

#[allow(clippy::too_many_arguments)]
pub(crate) fn panel(
    drawing: &mut Drawing,
    turns: &[&Turn<'_>],
    flight: &Flight,
    frame: &Frame,
    plots: &[(f64, f64)],
    quantity: &Quantity<'_>,
    most: f64,
    y: f64,
) -> f64 {
    let marks: Vec<Option<&Mark>> = turns
        .iter()
        .map(|turn| turn.mark(quantity.criterion))
        .collect();
    let limits = marks
        .iter()
        .flatten()
        .next()
        .map(|mark| relative_limits(mark))
        .unwrap_or_default();
    let second = if limits.is_empty() && quantity.series.is_some() {
        words::unit(quantity.unit)
            .trim()
            .trim_matches('\u{A0}')
            .to_owned()
    } else {
        limits
    };
    let y = row_name(drawing, frame, quantity.name, &second, y);
    let y = if marks.iter().any(Option::is_some) {
        for ((turn, mark), (x0, x1)) in turns.iter().zip(&marks).zip(plots) {
            if let Some(mark) = mark {
                verdict(
                    drawing,
                    frame,
                    mark,
                    turn.sign < 0.0,
                    *x0 + 4.0,
                    y + 14.0,
                    x1 - x0,
                );
            }
        }
        y + 24.0
    } else {
        y + 8.0
    };
    let Some(series) = quantity.series else {
        for (x0, x1) in plots {
            for level in [y + 2.0, y + 18.0] {
                drawing.line((*x0, level), (*x1, level), dashed(Role::Ink3, 1.0));
            }
        }
        return y + 28.0;
    };
    let value = |turn: &Turn<'_>, raw: f64| {
        (quantity.convert)(raw) * if quantity.signed { turn.sign } else { 1.0 }
    };
    let mut curves: Vec<Vec<Point>> = turns
        .iter()
        .map(|turn| turn.curve(series, |raw| value(turn, raw)))
        .collect();
    let shift = |mark: Option<&Mark>| {
        if quantity.signed {
            None
        } else {
            mark.and_then(|mark| mark.target)
        }
    };
    // Same scale for both: each about its own entry value, unless the value itself is asked for.
    let range = curves
        .iter()
        .zip(&marks)
        .flat_map(|(curve, mark)| {
            let zero = shift(*mark).unwrap_or(0.0);
            let own = curve
                .iter()
                .map(|(_, value)| value - zero)
                .filter(|value| value.is_finite());
            own.chain(
                mark.iter()
                    .flat_map(|mark| [mark.low, mark.high])
                    .flatten()
                    .map(move |limit| {
                        limit.abs() * if quantity.signed { 1.0 } else { limit.signum() } - zero
                    }),
            )
            .collect::<Vec<f64>>()
        })
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    if !range.0.is_finite() || !range.1.is_finite() {
        return y + 8.0;
    }
    let mut range = panel::padded(range.0, range.1, quantity.span);
    if marks
        .iter()
        .flatten()
        .any(|mark| mark.mark == Verdict::NotMet)
    {
        // Room for the worst value in words, above or below the line.
        let more = (range.1 - range.0) * 0.16;
        range = (range.0 - more, range.1 + more);
    }
    if let Some(floor) = bank_floor(quantity, &marks) {
        range.0 = range.0.max(floor);
        // The line breaks where it leaves the plot; it is never clipped to a flat edge.
        for point in curves
            .iter_mut()
            .flatten()
            .filter(|point| point.1 < range.0)
        {
            point.1 = f64::NAN;
        }
    }
    for (((turn, curve), mark), (x0, x1)) in turns.iter().zip(&curves).zip(&marks).zip(plots) {
        let zero = shift(*mark).unwrap_or(0.0);
        let level = |value: f64| {
            y + quantity.height * frame.height * (range.1 - (value - zero)) / (range.1 - range.0)
        };
        let across = |turned: f64| x0 + (x1 - x0) * (turned + 6.0) / (most + 6.0);
        plot(
            drawing,
            frame,
            turn,
            flight,
            curve,
            *mark,
            quantity,
            &level,
            &across,
            (*x0, *x1, y, range, zero),
        );
    }
    y + quantity.height * frame.height + 23.0
}

#[allow(clippy::too_many_arguments)]
fn plot(
    drawing: &mut Drawing,
    frame: &Frame,
    turn: &Turn<'_>,
    flight: &Flight,
    curve: &[Point],
    mark: Option<&Mark>,
    quantity: &Quantity<'_>,
    level: &dyn Fn(f64) -> f64,
    across: &dyn Fn(f64) -> f64,
    (x0, x1, y, range, zero): (f64, f64, f64, (f64, f64), f64),
) {
    let bottom = y + quantity.height * frame.height;
    drawing.line((x0, bottom), (x1, bottom), solid(Role::Ink3, 1.0));
    for degrees in [0.0, 90.0, 180.0, 270.0, 360.0] {
        drawing.line(
            (across(degrees), bottom),
            (across(degrees), bottom + 3.0),
            solid(Role::Ink3, 1.0),
        );
        drawing.text(
            (across(degrees), bottom + 4.0 + frame.tick),
            Anchor::Middle,
            frame.tick_style(),
            &format!("{degrees:.0}°"),
        );
    }
    let limit =
        |limit: Option<f64>| limit.map(|limit| if quantity.signed { limit.abs() } else { limit });
    let (low, high) = mark.map_or((None, None), |mark| {
        let (a, b) = (limit(mark.low), limit(mark.high));
        match (a, b) {
            (Some(a), Some(b)) => (Some(a.min(b)), Some(a.max(b))),
            other => other,
        }
    });
    let span = mark
        .and_then(|mark| mark.ribbon.as_ref())
        .map(|ribbon| (ribbon.graded_from_s, ribbon.graded_to_s));
    let graded = span
        .and_then(|(from, to)| Some((turn.turned_at(flight, from)?, turn.turned_at(flight, to)?)));
    let mut ticks: Vec<(f64, f64)> = Vec::new();
    if let Some((from, to)) = graded {
        let (left, right) = (across(from), across(to));
        let (top, base) = (high.map_or(y, level), low.map_or(bottom, level));
        drawing.rect(left, top, right - left, base - top, Role::Band);
    }
    let target = mark.and_then(|mark| mark.target).map(|target| {
        if quantity.signed {
            target.abs()
        } else {
            target
        }
    });
    for value in [low, high, target].into_iter().flatten() {
        ticks.push((value, level(value)));
    }
    if ticks.is_empty() {
        ticks = panel::nice((range.0 + zero, range.1 + zero), 2)
            .iter()
            .map(|(value, _)| (*value, level(*value)))
            .collect();
    }
    let mut taken: Vec<f64> = Vec::new();
    for (value, place) in ticks {
        if taken
            .iter()
            .all(|other| (other - place).abs() >= frame.tick + 0.5)
            && place <= bottom + 2.0
            && place >= y - 2.0
        {
            taken.push(place);
            drawing.text(
                (x0 - 6.0, place + frame.tick * 0.35),
                Anchor::End,
                frame.tick_style(),
                &words::number(value, 0),
            );
            drawing.line((x0, place), (x1, place), solid(Role::Rule, 0.6));
        }
    }
    ink(
        drawing,
        frame,
        turn,
        flight,
        curve,
        mark,
        level,
        across,
        (graded, span, low, high),
        (x0, x1, y, bottom),
    );
}

type Graded = (
    Option<(f64, f64)>,
    Option<(f64, f64)>,
    Option<f64>,
    Option<f64>,
);

#[allow(clippy::too_many_arguments)]
fn ink(
    drawing: &mut Drawing,
    frame: &Frame,
    turn: &Turn<'_>,
    flight: &Flight,
    curve: &[Point],
    mark: Option<&Mark>,
    level: &dyn Fn(f64) -> f64,
    across: &dyn Fn(f64) -> f64,
    (graded, span, low, high): Graded,
    (x0, x1, y, bottom): (f64, f64, f64, f64),
) {
    let place = |points: &[Point]| -> Vec<Point> {
        points
            .iter()
            .map(|(turned, value)| (across(*turned), level(*value)))
            .collect()
    };
    let whole: Vec<Vec<Point>> = curve
        .split(|(turned, value)| !(turned.is_finite() && value.is_finite()))
        .filter(|run| run.len() > 1)
        .map(place)
        .collect();
    let inside: Vec<Vec<Point>> = match span {
        Some((from, to)) => {
            let (first, last) = (flight.clock.index(from), flight.clock.index(to));
            let offset = |index: usize| index.saturating_sub(turn.first);
            curve
                .get(offset(first)..=offset(last).min(curve.len().saturating_sub(1)))
                .unwrap_or_default()
                .split(|(turned, value)| !(turned.is_finite() && value.is_finite()))
                .filter(|run| run.len() > 1)
                .map(place)
                .collect()
        }
        None => Vec::new(),
    };
    let plain = if mark.is_some() {
        solid(Role::Deviation, 0.75)
    } else {
        solid(Role::Ink, 1.5)
    };
    for run in &whole {
        drawing.polyline(&sample::simplify(run, 0.12), plain);
    }
    let sigma = mark
        .and_then(|mark| mark.sigma)
        .filter(|sigma| sigma.is_finite())
        .unwrap_or(0.0);
    let half = (level(0.0) - level(sigma)).abs();
    for run in &inside {
        let mut outline: Vec<Point> = run.iter().map(|(x, y)| (*x, y - half)).collect();
        outline.extend(run.iter().rev().map(|(x, y)| (*x, y + half)));
        drawing.area(&sample::simplify(&outline, 0.1), Role::Sigma);
    }
    if let Some((from, to)) = graded {
        for limit in [low, high].into_iter().flatten() {
            drawing.line(
                (across(from), level(limit)),
                (across(to), level(limit)),
                solid(Role::Ink2, 1.0),
            );
        }
    }
    for run in &inside {
        drawing.polyline(&sample::simplify(run, 0.12), solid(Role::Deviation, 1.7));
    }
    for (limit, sign) in [(high, 1.0), (low, -1.0)] {
        let Some(limit) = limit else { continue };
        for run in &inside {
            for part in excursions(run, |y| (level(limit) - y) * sign) {
                let peak = part
                    .iter()
                    .map(|(_, y)| (level(limit) - y) * sign)
                    .fold(0.0, f64::max);
                if peak > DECIDED * half {
                    hatch(drawing, &part, level(limit));
                }
            }
        }
    }
    if let Some(mark) = mark.filter(|mark| mark.mark == Verdict::NotMet) {
        worst_note(
            drawing,
            frame,
            turn,
            flight,
            mark,
            &whole,
            level,
            across,
            (x0, x1, y, bottom),
        );
    }
}

fn hatch(drawing: &mut Drawing, part: &[Point], limit: f64) {
    let (Some(first), Some(last)) = (part.first(), part.last()) else {
        return;
    };
    let mut outline = vec![(first.0, limit)];
    outline.extend(part.iter().copied());
    outline.push((last.0, limit));
    drawing.path(
        glyph::hatching(&outline),
        None,
        Some(solid(Role::Beyond, 0.9)),
    );
    drawing.polyline(&sample::simplify(part, 0.12), solid(Role::Beyond, 2.4));
}

/// The worst value and where in the turn it was.
#[allow(clippy::too_many_arguments)]
fn worst_note(
    drawing: &mut Drawing,
    frame: &Frame,
    turn: &Turn<'_>,
    flight: &Flight,
    mark: &Mark,
    curves: &[Vec<Point>],
    level: &dyn Fn(f64) -> f64,
    across: &dyn Fn(f64) -> f64,
    (x0, x1, y, bottom): (f64, f64, f64, f64),
) {
    let (Some(worst), Some(at_s)) = (mark.worst, mark.at_s) else {
        return;
    };
    let Some(turned) = turn.turned_at(flight, at_s) else {
        return;
    };
    let value = if mark.criterion == "bank" {
        worst.abs()
    } else {
        worst
    };
    let places = words::decimals(mark.sigma, &mark.unit).min(1);
    let words = format!(
        "{} at {turned:.0}° of turn",
        words::with_unit(value, places, &mark.unit)
    );
    let mut within = *frame;
    (within.x0, within.x1) = (x0, x1);
    trace::write_note(
        drawing,
        &within,
        curves,
        (across(turned), level(value)),
        &words,
        false,
        (y - 2.0, bottom - 1.0),
    );
}

/// Roll-out: where the wings came level against the heading asked for.
pub(crate) fn rollout(
    drawing: &mut Drawing,
    turns: &[&Turn<'_>],
    frame: &Frame,
    plots: &[(f64, f64)],
    y: f64,
) -> f64 {
    let first = turns.iter().find_map(|turn| turn.mark("rollout_heading"));
    let second = first.map(|mark| {
        let half = mark
            .high
            .zip(mark.low)
            .map_or(10.0, |(high, low)| (high - low) / 2.0);
        let target = if turns.len() == 1 {
            mark.target.map_or("entry heading".to_owned(), |target| {
                format!("{:03.0}°", target.rem_euclid(360.0))
            })
        } else {
            "entry heading".to_owned()
        };
        format!("{target} ±\u{A0}{}", words::plain(half, "deg"))
    });
    let y = row_name(drawing, frame, "Roll-out", &second.unwrap_or_default(), y);
    for (turn, (x0, x1)) in turns.iter().zip(plots) {
        let Some(mark) = turn.mark("rollout_heading") else {
            continue;
        };
        verdict(
            drawing,
            frame,
            mark,
            turn.sign < 0.0,
            *x0 + 4.0,
            y + 14.0,
            x1 - x0,
        );
        rollout_plot(drawing, frame, turn, mark, (*x0, *x1), y + 24.0);
    }
    y + 68.0
}

fn rollout_plot(
    drawing: &mut Drawing,
    frame: &Frame,
    turn: &Turn<'_>,
    mark: &Mark,
    (x0, x1): (f64, f64),
    top: f64,
) {
    const SHORT: f64 = -35.0;
    const PAST: f64 = 25.0;
    let across =
        |degrees: f64| x0 + (x1 - x0) * (degrees.clamp(SHORT, PAST) - SHORT) / (PAST - SHORT);
    let half = mark
        .high
        .zip(mark.low)
        .map_or(10.0, |(high, low)| (high - low).abs() / 2.0);
    let (middle, bottom) = (top + 9.0, top + 18.0);
    drawing.rect(
        across(-half),
        top,
        across(half) - across(-half),
        18.0,
        Role::Band,
    );
    drawing.line((x0, middle), (x1, middle), solid(Role::Rule, 0.75));
    for edge in [-half, half] {
        drawing.line(
            (across(edge), top),
            (across(edge), bottom),
            solid(Role::Ink2, 1.0),
        );
    }
    drawing.line(
        (across(0.0), top),
        (across(0.0), bottom),
        solid(Role::Rule, 1.0),
    );
    for (degrees, words) in [
        (-30.0, "30° short"),
        (-half, ""),
        (0.0, "0°"),
        (half, "past"),
    ] {
        let words = match words {
            "" => format!("{half:.0}°"),
            "past" => format!("{half:.0}° past"),
            other => other.to_owned(),
        };
        drawing.text(
            (across(degrees), bottom + 2.0 + frame.tick),
            Anchor::Middle,
            frame.tick_style(),
            &words,
        );
    }
    let Some(off) = words::deviation(mark)
        .filter(|off| off.is_finite())
        .map(|off| off * turn.sign)
    else {
        return;
    };
    let sigma = mark.sigma.filter(|sigma| sigma.is_finite()).unwrap_or(0.0);
    let over = off.abs() - DECIDED * sigma > half && mark.mark == Verdict::NotMet;
    drawing.rect(
        across(off - sigma),
        top,
        across(off + sigma) - across(off - sigma),
        18.0,
        Role::Sigma,
    );
    if over {
        let edge = half * off.signum();
        let (left, right) = (across(off.min(edge)), across(off.max(edge)));
        drawing.path(
            glyph::hatching(&[(left, top), (right, top), (right, bottom), (left, bottom)]),
            None,
            Some(solid(Role::Beyond, 0.9)),
        );
    }
    drawing.rect(
        across(off) - 1.6,
        top,
        3.2,
        18.0,
        if over { Role::Beyond } else { Role::Deviation },
    );
}
