//! Stamps into a strictly rising time base: midnight, clocks that are set, frozen, repeated or wrong,
//! power cycles and holes.
//!
//! The rules, in the order in which they are applied (common practice, no source):
//!
//! 1. A time of day that falls by more than half a day, and then stands a little later, passed midnight.
//! 2. Stamps that leave the line and come back to it within a minute's worth of rows are wrong; the rows
//!    keep their place between their neighbors.
//! 3. A lasting fall is a restart when a counter begins anew, else a clock that was set back: the rows
//!    after it follow on with the usual interval.
//! 4. Several rows with one stamp are spread evenly when the clock shows whole seconds; a stamp that is
//!    repeated by itself is a row written twice.
//! 5. A hole longer than [`SPLIT_S`] ends a recording.

use crate::clock::Clock;
use crate::report::Notes;
use crate::spread::spread;
use crate::table::Table;

/// A hole longer than this is another flight or another power-up, s. A quarter of an hour: longer than
/// any hole that a smoother could bridge, shorter than a turnaround on the ground.
pub const SPLIT_S: f64 = 900.0;
/// A clock that is set back in flight is set by less than this; a longer fall is another recording.
const SET_BACK_S: f64 = 300.0;
/// Rows that wrong stamps may last before they are taken for the truth.
const WRONG_ROWS: usize = 60;

/// One stretch of rows with a common time base.
#[derive(Clone, Debug, Default)]
pub struct Segment {
    /// Kept rows of the table.
    pub rows: Vec<usize>,
    /// s, on the clock's own scale, strictly rising.
    pub seconds: Vec<f64>,
    /// Holes, s on the same scale: start and end.
    pub gaps: Vec<(f64, f64)>,
    /// Why it begins here, for all but the first.
    pub begins: &'static str,
}

/// Sorts the stamps out.
pub fn segments(table: &Table, clock: &Clock, notes: &mut Notes) -> Vec<Segment> {
    let mut stamps = clock.seconds.clone();
    drop_doubtful(table, &mut stamps, notes);
    let step = usual_step(&stamps);
    unwrap_period(&mut stamps, clock.period_s, table, notes);
    let cuts = straighten(&mut stamps, clock, step, table, notes);
    let mut out = Vec::new();
    for (index, &(start, begins)) in cuts.iter().enumerate() {
        let end = cuts.get(index + 1).map_or(stamps.len(), |&(next, _)| next);
        let part = stamps.get(start..end).unwrap_or_default();
        let mut segment = spread(table, part, start, notes);
        segment.begins = begins;
        find_gaps(&mut segment);
        if !segment.rows.is_empty() {
            out.push(segment);
        }
    }
    drop_scraps(&mut out, table, notes);
    out
}

/// A recording of a few rows beside a longer one is a scrap between two power-ups.
fn drop_scraps(parts: &mut Vec<Segment>, table: &Table, notes: &mut Notes) {
    const FEW: usize = 5;
    if !parts.iter().any(|part| part.rows.len() >= 4 * FEW) {
        return;
    }
    parts.retain(|part| {
        let scrap = part.rows.len() < FEW;
        if scrap {
            let line = part.rows.first().map_or(0, |&row| table.line_of(row));
            notes.add(
                line,
                0,
                format!("a recording of {} rows only", part.rows.len()),
                "left out",
            );
        }
        !scrap
    });
}

/// Rows that are looked through for a neighbor with a stamp.
const NEIGHBORS: usize = 1000;

/// Rows of an odd shape keep their stamp only when it fits between its neighbors.
fn drop_doubtful(table: &Table, stamps: &mut [f64], notes: &mut Notes) {
    for &row in &table.doubtful {
        let Some(&stamp) = stamps.get(row).filter(|stamp| !stamp.is_infinite()) else {
            continue;
        };
        let before = stamps.get(..row).and_then(|part| {
            part.iter()
                .rev()
                .take(NEIGHBORS)
                .find(|value| !value.is_nan())
        });
        let after = stamps
            .get(row + 1..)
            .and_then(|part| part.iter().take(NEIGHBORS).find(|value| !value.is_nan()));
        let fits = before.is_none_or(|&before| stamp >= before && stamp - before < SPLIT_S)
            && after.is_none_or(|&after| stamp <= after);
        if !fits {
            if let Some(slot) = stamps.get_mut(row) {
                *slot = f64::INFINITY;
            }
            notes.add(
                table.line_of(row),
                0,
                "a damaged row whose time does not fit",
                "left out",
            );
        }
    }
}

/// Median of the rising steps.
fn usual_step(stamps: &[f64]) -> f64 {
    let mut last = f64::NAN;
    let plain = step_at(stamps, 50);
    if plain.is_finite() && plain > 0.0 && stamps.iter().all(|stamp| stamp.is_finite()) {
        return plain;
    }
    let mut steps = Vec::with_capacity(stamps.len());
    for &stamp in stamps.iter().filter(|stamp| stamp.is_finite()) {
        if stamp > last {
            steps.push(stamp - last);
        }
        last = stamp;
    }
    median(&mut steps).unwrap_or(1.0)
}

/// A percentile of the steps of rising stamps, from 20,000 of them at most, evenly taken; 0 of nothing.
pub fn step_at(seconds: &[f64], percent: usize) -> f64 {
    let stride = (seconds.len() / 20_000).max(1);
    let mut steps: Vec<f64> = seconds
        .windows(2)
        .step_by(stride)
        .filter_map(|pair| Some(pair.get(1)? - pair.first()?))
        .collect();
    if steps.is_empty() {
        return 0.0;
    }
    let rank = (steps.len() * percent / 100).min(steps.len() - 1);
    *steps.select_nth_unstable_by(rank, f64::total_cmp).1
}

pub fn median(values: &mut [f64]) -> Option<f64> {
    let middle = values.len() / 2;
    (!values.is_empty()).then(|| *values.select_nth_unstable_by(middle, f64::total_cmp).1)
}

/// Takes out the falls of a whole period (midnight, the hour when only minutes and seconds are left).
fn unwrap_period(stamps: &mut [f64], period_s: f64, table: &Table, notes: &mut Notes) {
    if period_s <= 0.0 {
        return;
    }
    let mut shift = 0.0;
    let mut last = f64::NAN;
    for row in 0..stamps.len() {
        let Some(stamp) = stamps.get_mut(row).filter(|stamp| stamp.is_finite()) else {
            continue;
        };
        let fall = last - (*stamp + shift);
        if fall.abs() > period_s / 2.0 {
            let whole = (fall / period_s).round() * period_s;
            // After midnight the step must be short: a quarter of the period at most.
            if whole != 0.0 && (whole - fall).abs() < period_s / 4.0 {
                shift += whole;
                if period_s > 80_000.0 {
                    notes.add(
                        table.line_of(row),
                        0,
                        "the time of day passes midnight",
                        "counted on",
                    );
                }
            }
        }
        *stamp += shift;
        last = *stamp;
    }
}

/// Makes the stamps non-decreasing; wrong ones become NaN. Gives where recordings begin, and why.
fn straighten(
    stamps: &mut [f64],
    clock: &Clock,
    step: f64,
    table: &Table,
    notes: &mut Notes,
) -> Vec<(usize, &'static str)> {
    let mut cuts = vec![(0, "")];
    let mut restarts = table.restarts.iter().copied().peekable();
    let mut shift = 0.0;
    let mut last = f64::NAN;
    let mut begun = f64::NAN;
    let mut row = 0;
    while row < stamps.len() {
        let header_again = restarts.next_if(|&at| at <= row).is_some();
        let Some(&raw) = stamps.get(row).filter(|stamp| stamp.is_finite()) else {
            row += 1;
            continue;
        };
        let stamp = raw + shift;
        let rise = stamp - last;
        if last.is_nan() {
            begun = stamp;
        } else if rise < 0.0 || rise > (20.0 * step).max(5.0) {
            if let Some(back) = comes_back(stamps, row, shift, last, step) {
                notes.add(
                    table.line_of(row),
                    0,
                    format!(
                        "the time jumps by {rise:.3} s and back for {} rows",
                        back - row
                    ),
                    "these rows were placed evenly between their neighbors",
                );
                for wrong in stamps.get_mut(row..back).unwrap_or_default() {
                    *wrong = if wrong.is_finite() { f64::NAN } else { *wrong };
                }
                row = back;
                continue;
            }
            let counter_again = !clock.absolute
                && clock.period_s <= 0.0
                && rise < 0.0
                && raw <= begun + 60.0_f64.max(5.0 * step);
            if rise < -SET_BACK_S || (rise < 0.0 && (header_again || counter_again)) {
                cuts.push((row, "the clock begins anew"));
                notes.add(
                    table.line_of(row),
                    0,
                    format!("the time falls by {:.1} s", -rise),
                    "taken for another power-up: a recording of its own",
                );
                shift = 0.0;
                begun = raw;
                last = raw;
                row += 1;
                continue;
            }
            if rise < 0.0 {
                notes.add(
                    table.line_of(row),
                    0,
                    format!("the clock is set back by {:.1} s", -rise),
                    "the rows after it follow on with the usual interval",
                );
                shift += step - rise;
            } else if rise > 1e7 && row < 100_000 && cuts.len() == 1 {
                // The clock was set at the first fix; what came before is moved up to it.
                notes.add(
                    table.line_of(row),
                    0,
                    "the clock is set from its default date",
                    "the rows before were counted back from here",
                );
                for early in stamps.get_mut(..row).unwrap_or_default() {
                    *early += rise - step;
                }
            } else if rise > SPLIT_S {
                cuts.push((row, "a long hole"));
                notes.add(
                    table.line_of(row),
                    0,
                    format!("a hole of {:.1} min", rise / 60.0),
                    "a recording of its own begins here",
                );
            }
        }
        if let Some(slot) = stamps.get_mut(row) {
            *slot = raw + shift;
            last = *slot;
        }
        row += 1;
    }
    cuts
}

/// Whether the stamps from `row` on come back to the line through `last`: then the row where they do.
///
/// A stamp ahead of the line comes back when a later one is below it. One behind comes back by a jump:
/// a clock that was set back also passes `last` again, but by usual steps.
#[allow(clippy::cast_precision_loss)]
fn comes_back(stamps: &[f64], row: usize, shift: f64, last: f64, step: f64) -> Option<usize> {
    let here = stamps.get(row)? + shift;
    let mut before = here;
    for later in row + 1..(row + WRONG_ROWS).min(stamps.len()) {
        let Some(&stamp) = stamps.get(later).filter(|stamp| stamp.is_finite()) else {
            continue;
        };
        let stamp = stamp + shift;
        let near = stamp >= last && stamp <= last + (later - row + 1) as f64 * step * 3.0 + 2.0;
        let jump = stamp - before;
        let back = if here > last {
            stamp < here
        } else {
            jump > (0.5 * (last - here)).max(1.5 * step)
        };
        if near && back {
            return Some(later);
        }
        before = stamp;
    }
    None
}

/// A hole is a step of more than three and a half times the long usual steps, and over a second.
fn find_gaps(segment: &mut Segment) {
    let limit = (3.5 * step_at(&segment.seconds, 90)).max(1.0);
    for pair in segment.seconds.windows(2) {
        if let &[from, to] = pair
            && to - from > limit
        {
            segment.gaps.push((from, to));
        }
    }
}
