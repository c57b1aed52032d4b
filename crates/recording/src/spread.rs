//! Rows that share a stamp, or have none, are given their places between the stamps around them.

use crate::report::Notes;
use crate::sequence::{Segment, median};
use crate::table::Table;

/// Rows with one stamp apart, rows without a stamp between their neighbors; strictly rising at the end.
pub fn spread(table: &Table, stamps: &[f64], offset: usize, notes: &mut Notes) -> Segment {
    if stamps
        .windows(2)
        .all(|pair| matches!(pair, [a, b] if a < b && b.is_finite()))
        && stamps.first().is_some_and(|stamp| stamp.is_finite())
    {
        // The usual case: nothing to be spread.
        return Segment {
            rows: (offset..offset + stamps.len()).collect(),
            seconds: stamps.to_vec(),
            ..Segment::default()
        };
    }
    let runs = runs_of(stamps);
    let mut lengths: Vec<f64> = runs.iter().map(|run| run.rows as f64).collect();
    let usual = median(&mut lengths).unwrap_or(1.0);
    let mut steps: Vec<f64> = runs
        .windows(2)
        .filter_map(|pair| Some(pair.get(1)?.stamp - pair.first()?.stamp))
        .collect();
    let step = median(&mut steps).unwrap_or(1.0);
    if usual >= 2.0 {
        notes.add(
            table.line_of(offset),
            0,
            format!("about {usual} rows for each time stamp of {step} s"),
            "spread evenly over the time between the stamps",
        );
    }
    let mut placed = vec![f64::NAN; stamps.len()];
    for (index, run) in runs.iter().enumerate() {
        let next = runs.get(index + 1).map(|run| run.stamp);
        let place = Place {
            usual,
            step,
            first: index == 0,
            next,
        };
        place_run(table, stamps, run, &place, offset, &mut placed, notes);
    }
    fill_between(&mut placed, stamps, step / usual);
    let mut segment = Segment::default();
    let mut last = f64::NEG_INFINITY;
    for (index, &second) in placed.iter().enumerate() {
        if second.is_finite() && second > last {
            last = second;
            segment.rows.push(offset + index);
            segment.seconds.push(second);
        } else if stamps.get(index).is_some_and(|stamp| stamp.is_nan()) {
            notes.add(
                table.line_of(offset + index),
                0,
                "no time",
                "the row was left out",
            );
        }
    }
    segment
}

/// Rows that follow each other with one stamp (rows without a stamp between them do not end a run).
struct Run {
    stamp: f64,
    start: usize,
    rows: usize,
    end: usize,
}

fn runs_of(stamps: &[f64]) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    for (index, &stamp) in stamps.iter().enumerate() {
        if !stamp.is_finite() {
            continue;
        }
        match runs.last_mut() {
            #[allow(clippy::float_cmp)]
            Some(run) if run.stamp == stamp => {
                run.rows += 1;
                run.end = index + 1;
            }
            _ => runs.push(Run {
                stamp,
                start: index,
                rows: 1,
                end: index + 1,
            }),
        }
    }
    runs
}

/// What stands around a run.
struct Place {
    usual: f64,
    step: f64,
    first: bool,
    next: Option<f64>,
}

#[allow(clippy::cast_precision_loss)]
fn place_run(
    table: &Table,
    stamps: &[f64],
    run: &Run,
    place: &Place,
    offset: usize,
    placed: &mut [f64],
    notes: &mut Notes,
) {
    let rows = run.rows as f64;
    let room = place.next.map_or(place.step, |next| next - run.stamp);
    let inner = place.step / place.usual;
    if run.rows == 1 {
        // A lone row of a first second that began before the recording stands at its end.
        let late = if place.first && place.usual >= 2.0 {
            (place.usual - 1.0) * inner
        } else {
            0.0
        };
        if let Some(slot) = placed.get_mut(run.start) {
            *slot = run.stamp + late;
        }
        return;
    }
    if place.usual < 2.0 && room < 0.7 * rows * place.step {
        // No room for all of them: a row written twice. The first counts.
        for row in run.start..run.end {
            let Some(slot) = placed.get_mut(row) else {
                continue;
            };
            if row == run.start {
                *slot = run.stamp;
            } else if stamps.get(row).is_some_and(|stamp| stamp.is_finite()) {
                *slot = f64::INFINITY;
                notes.add(
                    table.line_of(offset + row),
                    0,
                    "the time stamp is written twice",
                    "the second row was left out",
                );
            }
        }
        return;
    }
    let (begin, pitch) = if place.usual >= 2.0 && rows < place.usual && place.first {
        (run.stamp + (place.usual - rows) * inner, inner)
    } else if rows <= place.usual && (place.next.is_none() || room > 1.5 * place.step) {
        (run.stamp, inner)
    } else {
        // A clock frozen over many rows catches up in one jump: the rows share the time of the jump.
        let share = if room > 1.5 * place.step && rows < 1.5 * place.usual {
            place.step
        } else {
            room
        };
        (run.stamp, share / rows)
    };
    if place.usual < 2.0 {
        notes.add(
            table.line_of(offset + run.start),
            0,
            format!("{} rows with one time stamp", run.rows),
            "spread evenly up to the next stamp",
        );
    }
    let mut count = 0.0;
    for row in run.start..run.end {
        if stamps.get(row).is_some_and(|stamp| stamp.is_finite())
            && let Some(slot) = placed.get_mut(row)
        {
            *slot = begin + count * pitch;
            count += 1.0;
        }
    }
}

/// Gives rows without a stamp (NaN; rows to be left out are infinite) a place between their neighbors,
/// where there is room for them; before the first stamp they are counted back.
#[allow(clippy::cast_precision_loss)]
fn fill_between(placed: &mut [f64], stamps: &[f64], step: f64) {
    let dead = |index: usize| stamps.get(index).is_some_and(|stamp| stamp.is_infinite());
    let Some(first) = placed.iter().position(|value| value.is_finite()) else {
        return;
    };
    let start = placed.get(first).copied().unwrap_or(0.0);
    let mut back = 0.0;
    for index in (0..first).rev() {
        if !dead(index)
            && let Some(slot) = placed.get_mut(index)
        {
            back += 1.0;
            *slot = start - back * step;
        }
    }
    let mut before = first;
    while let Some(after) = (before + 1..placed.len())
        .find(|&index| placed.get(index).is_some_and(|value| value.is_finite()))
    {
        let holes: Vec<usize> = (before + 1..after)
            .filter(|&index| !dead(index) && placed.get(index).is_some_and(|value| value.is_nan()))
            .collect();
        if !holes.is_empty() {
            let (from, to) = (
                placed.get(before).copied().unwrap_or(0.0),
                placed.get(after).copied().unwrap_or(0.0),
            );
            let pitch = ((to - from) / (holes.len() as f64 + 1.0)).min(step.max(1e-3) * 3.0);
            for (count, index) in holes.into_iter().enumerate() {
                if let Some(slot) = placed.get_mut(index) {
                    *slot = from + (count as f64 + 1.0) * pitch;
                }
            }
        }
        before = after;
    }
    let mut ahead = 0.0;
    let end = placed.get(before).copied().unwrap_or(0.0);
    for index in before + 1..placed.len() {
        if !dead(index)
            && let Some(slot) = placed.get_mut(index).filter(|slot| slot.is_nan())
        {
            ahead += 1.0;
            *slot = end + ahead * step;
        }
    }
}
