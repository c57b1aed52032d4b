//! What can be put right in the columns before anybody asks what they mean: hemispheres in cells of
//! their own, degrees and minutes in one number, whole 1e-7 degrees, marks for "no value", and rows of
//! two message types that share a stamp.

use crate::clock::Clock;
use crate::report::Notes;
use crate::table::{Column, Kind, Table};
use crate::vocabulary::VOCABULARY;
use crate::words::split_header;

/// Positions into signed degrees.
pub fn positions(table: &mut Table, notes: &mut Notes) {
    hemispheres(table, notes);
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get_mut(index) else {
            continue;
        };
        if column.kind != Kind::Number {
            continue;
        }
        let words = split_header(&column.name, &column.unit_cell).words;
        let says = |concept: &str| words.iter().any(|word| VOCABULARY.means(word, concept));
        let limit = if says("latitude") {
            90.0
        } else if says("longitude") {
            180.0
        } else {
            continue;
        };
        degrees(column, index, limit, notes);
    }
}

/// N, S, E, W in a cell of its own belongs to the number beside it.
fn hemispheres(table: &mut Table, notes: &mut Notes) {
    for index in 0..table.columns.len() {
        if table
            .columns
            .get(index)
            .is_none_or(|column| column.kind != Kind::Hemisphere)
        {
            continue;
        }
        let signs = table
            .columns
            .get(index)
            .map(|column| column.values.clone())
            .unwrap_or_default();
        let number = |at: Option<usize>, table: &Table| {
            at.filter(|&at| {
                table
                    .columns
                    .get(at)
                    .is_some_and(|column| column.kind == Kind::Number)
            })
        };
        let Some(target) =
            number(index.checked_sub(1), table).or_else(|| number(Some(index + 1), table))
        else {
            continue;
        };
        if let Some(column) = table.columns.get_mut(target) {
            for (value, sign) in column.values.iter_mut().zip(&signs) {
                if *sign < 0.0 {
                    *value = -value.abs();
                }
            }
            notes.add(
                0,
                u32::try_from(index + 1).unwrap_or(0),
                "letters for the hemisphere",
                "taken as the sign of the number beside them",
            );
        }
    }
}

/// A coordinate beyond its limit is written as degrees and minutes (ddmm.mmm) or in small units.
fn degrees(column: &mut Column, index: usize, limit: f64, notes: &mut Notes) {
    let known: Vec<f64> = column
        .values
        .iter()
        .copied()
        .filter(|value| value.is_finite())
        .collect();
    let over = known
        .iter()
        .filter(|value| value.abs() > limit * 1.01)
        .count();
    if known.is_empty() || over * 2 < known.len() {
        return;
    }
    let number = u32::try_from(index + 1).unwrap_or(0);
    let minutes_fit = known
        .iter()
        .filter(|value| value.abs() % 100.0 < 60.0 && value.abs() < limit * 100.0 + 60.0)
        .count();
    if minutes_fit * 100 >= known.len() * 99 {
        for value in &mut column.values {
            let whole = (value.abs() / 100.0).trunc();
            *value = (whole + (value.abs() - whole * 100.0) / 60.0).copysign(*value);
        }
        notes.add(
            0,
            number,
            format!("\"{}\" is in degrees and minutes (ddmm.mmm)", column.name),
            "turned into degrees",
        );
        return;
    }
    for (factor, text) in [(1e-7, "1e-7"), (1e-6, "1e-6"), (1e-9, "1e-9")] {
        if known
            .iter()
            .all(|value| (value * factor).abs() <= limit || value.abs() > 2e9)
        {
            column.values.iter_mut().for_each(|value| *value *= factor);
            notes.add(
                0,
                number,
                format!("\"{}\" is in units of {text} degree", column.name),
                "turned into degrees",
            );
            return;
        }
    }
}

/// Numbers that recorders write for "no value", when they stand far from everything else in the column.
/// From the lists of real recorders; a number counts only when it repeats exactly or is absurd.
const MARKS: [f64; 24] = [
    -9999.0,
    -999.0,
    9999.0,
    99999.0,
    999.0,
    -99999.0,
    -99.0,
    -999.9,
    999.9,
    9999.9,
    -9999.9,
    -16000.0,
    -2040.0,
    -32768.0,
    32767.0,
    65535.0,
    -2147483648.0,
    2147483647.0,
    4294967295.0,
    -1.0,
    255.0,
    -67.0,
    -58.0,
    -40.0,
];

/// Takes marks for "no value" out of the number columns; gives how many, a column.
pub fn no_values(table: &mut Table, notes: &mut Notes) -> Vec<usize> {
    let mut counts = vec![0; table.columns.len()];
    let mut found: Vec<(usize, usize, f64)> = Vec::new();
    for (index, (column, count)) in table.columns.iter_mut().zip(&mut counts).enumerate() {
        if column.kind != Kind::Number {
            continue;
        }
        let Some((low, high)) = usual_range(&column.values) else {
            continue;
        };
        let room = (high - low).max(1e-3 * (low.abs() + high.abs()));
        let (far_low, far_high) = (low - 3.0 * room, high + 3.0 * room);
        let moves = high > low;
        let real = excursions(&column.values, (low, high), (far_low, far_high));
        let mut first = None;
        for (row, value) in column.values.iter_mut().enumerate() {
            if !(*value < far_low || *value > far_high) {
                continue;
            }
            // In a column that hardly moves any small number is far away: then only the large ones count.
            #[allow(clippy::float_cmp)]
            let mark =
                strong_mark(*value) || (moves && MARKS.contains(value) && !real.contains(value));
            if mark || value.abs() >= 1e20 {
                first.get_or_insert((row, *value));
                *value = f64::NAN;
                *count += 1;
            }
        }
        if let Some((row, value)) = first {
            found.push((index, row, value));
        }
    }
    for (index, row, value) in found {
        let times = counts.get(index).copied().unwrap_or(0);
        notes.add(
            table.line_of(row),
            u32::try_from(index + 1).unwrap_or(0),
            format!("{value} stands for \"no value\" {times} times"),
            "read as no value",
        );
    }
    counts
}

/// Small marks that a column truly passes through: a control moved to −40 % stands between −31 and −46 or is on its way
/// there and back, a mark for "no value" comes out of the usual range in one step and nothing lies beyond it.
#[allow(clippy::float_cmp)]
fn excursions(values: &[f64], usual: (f64, f64), far: (f64, f64)) -> Vec<f64> {
    /// One wild sample proves nothing.
    const BEYOND: usize = 2;
    let sound = |value: f64| value.is_finite() && value.abs() < 1e20 && !MARKS.contains(&value);
    let small = MARKS.iter().copied().filter(|mark| !strong_mark(*mark));
    small
        .filter(|mark| *mark < far.0 || *mark > far.1)
        .filter(|mark| {
            let below = *mark < far.0;
            let past = |value: f64, level: f64| {
                sound(value) && if below { value < level } else { value > level }
            };
            let half_way = 0.5 * (mark + if below { usual.0 } else { usual.1 });
            let beyond = values.iter().filter(|value| past(**value, *mark)).count();
            let beside = values.windows(2).any(|pair| match *pair {
                [a, b] => (a == *mark && past(b, half_way)) || (b == *mark && past(a, half_way)),
                _ => false,
            });
            beyond >= BEYOND || beside
        })
        .collect()
}

/// Marks that may fill a good part of a column (before the first fix), and so must not count as usual.
#[allow(clippy::float_cmp)]
fn strong_mark(value: f64) -> bool {
    value.abs() > 900.0 && MARKS.contains(&value)
}

/// Fifth to ninety-fifth percentile of a sample.
fn usual_range(values: &[f64]) -> Option<(f64, f64)> {
    let stride = (values.len() / 1000).max(1);
    let mut sample: Vec<f64> = values
        .iter()
        .step_by(stride)
        .copied()
        .filter(|value| value.is_finite() && value.abs() < 1e20 && !strong_mark(*value))
        .collect();
    if sample.len() < 3 {
        return None;
    }
    sample.sort_by(f64::total_cmp);
    let at = |share: usize| sample.get((sample.len() - 1) * share / 100).copied();
    Some((at(5)?, at(95)?))
}

/// Joins rows that share a stamp and never say the same thing: message types that alternate.
pub fn join_alternating(table: &mut Table, clock: &mut Clock, notes: &mut Notes) {
    let columns: Vec<usize> = (0..table.columns.len())
        .filter(|index| !clock.columns.contains(index))
        .collect();
    let says = |table: &Table, index: usize, row: usize| {
        table
            .columns
            .get(index)
            .and_then(|column| column.values.get(row))
            .is_some_and(|value| !value.is_nan())
    };
    let mut pairs = Vec::new();
    let mut into = 0;
    for row in 1..clock.seconds.len() {
        let (Some(&here), Some(&there)) = (clock.seconds.get(row), clock.seconds.get(into)) else {
            break;
        };
        #[allow(clippy::float_cmp)]
        if here != there {
            into = row;
            continue;
        }
        let both = columns
            .iter()
            .any(|&index| says(table, index, row) && says(table, index, into));
        let any = columns.iter().any(|&index| says(table, index, row));
        if both || !any {
            into = row;
        } else {
            pairs.push((row, into));
        }
    }
    if pairs.len() * 20 < clock.seconds.len() {
        return;
    }
    for &(row, into) in &pairs {
        for &index in &columns {
            if let Some(column) = table.columns.get_mut(index)
                && let Some(&value) = column.values.get(row)
                && !value.is_nan()
                && let Some(slot) = column.values.get_mut(into)
            {
                *slot = value;
            }
        }
        if let Some(stamp) = clock.seconds.get_mut(row) {
            *stamp = f64::INFINITY;
        }
    }
    if let Some(&(row, _)) = pairs.first() {
        notes.add(
            table.line_of(row),
            0,
            format!(
                "{} rows share a stamp with the row before and fill its empty cells",
                pairs.len()
            ),
            "joined into one row each",
        );
    }
}
