//! Times and dates written as one number: 140443, 140443.20, 20250904, 40925.

use crate::calendar::{order_of, to_days};
use crate::cell::Date;
use crate::clock::{Clock, says, with_day};
use crate::counters::rising_share;
use crate::table::{Column, Kind, Table};
use crate::vocabulary::VOCABULARY;
use crate::words::HeaderWords;

/// A column of hhmmss numbers, with a column of yyyymmdd or ddmmyy numbers if there is one.
pub fn packed(
    table: &Table,
    words: &[HeaderWords],
    preamble: &[(String, String)],
) -> Option<Clock> {
    let (index, column) = table.columns.iter().enumerate().find(|(index, column)| {
        is_packed_time(column) && words.get(*index).is_none_or(may_be_time)
    })?;
    let seconds: Vec<f64> = column.values.iter().map(|&value| unpack(value)).collect();
    let mut columns = vec![index];
    let mut midnight = None;
    for (at, column) in table.columns.iter().enumerate() {
        let named = words.get(at).is_some_and(|words| says(words, "date"));
        if at != index
            && (named || at + 1 == index || at == index + 1)
            && let Some(days) = packed_date(column)
        {
            columns.push(at);
            midnight = Some(days * 86_400.0);
            break;
        }
    }
    Some(with_day(
        columns,
        seconds,
        midnight,
        preamble,
        "time of day as one number (hhmmss)",
    ))
}

/// Named as a time, or without any word that is known.
fn may_be_time(words: &HeaderWords) -> bool {
    ["time", "utc", "local"]
        .iter()
        .any(|concept| says(words, concept))
        || words
            .words
            .iter()
            .all(|word| VOCABULARY.concepts_of(word).is_empty())
}

fn unpack(value: f64) -> f64 {
    let hours = (value / 10_000.0).trunc();
    let minutes = (value / 100.0).trunc() - hours * 100.0;
    hours * 3600.0 + minutes * 60.0 + value % 100.0
}

/// A counter of seconds soon passes 60 within its last two digits; a time of day never does.
fn is_packed_time(column: &Column) -> bool {
    if column.kind != Kind::Number {
        return false;
    }
    let known = || {
        column
            .values
            .iter()
            .copied()
            .filter(|value| !value.is_nan())
    };
    let fits = known().all(|value| {
        (0.0..240_000.0).contains(&value)
            && value % 100.0 < 60.0
            && (value / 100.0).trunc() % 100.0 < 60.0
    });
    let carries = column
        .values
        .windows(2)
        .any(|pair| matches!(pair, [a, b] if (b - a) >= 40.0));
    let unpacked: Vec<f64> = known().map(unpack).collect();
    let small = unpacked
        .windows(2)
        .filter(|pair| matches!(pair, [a, b] if (0.0..120.0).contains(&(b - a))))
        .count();
    fits && carries
        && known().any(|value| value > 100.0)
        && rising_share(&column.values).is_some_and(|share| share >= 0.45)
        && small * 20 >= unpacked.len().saturating_sub(1) * 19
}

/// Days since 1970 of a column that holds one date, or two around midnight.
fn packed_date(column: &Column) -> Option<f64> {
    if column.kind != Kind::Number {
        return None;
    }
    let first = column
        .values
        .iter()
        .copied()
        .find(|value| !value.is_nan())?;
    if first.fract() != 0.0 || !(10_100.0..=21_001_231.0).contains(&first) {
        return None;
    }
    #[allow(clippy::cast_possible_truncation)]
    let value = first as i32;
    let parts: Date = if value > 1_000_000 {
        let long = [value / 10_000 + 10_000, value / 100 % 100, value % 100];
        // 04092025 has its year behind.
        if (11_990..12_100).contains(&long[0]) {
            long
        } else {
            [
                value / 1_000_000,
                value / 10_000 % 100,
                value % 10_000 + 10_000,
            ]
        }
    } else {
        [value / 10_000, value / 100 % 100, value % 100]
    };
    // Six digits in satellite receivers' order: day, month, year.
    let preferred = if value > 1_000_000 {
        None
    } else {
        Some([2, 1, 0])
    };
    #[allow(clippy::cast_precision_loss)]
    order_of(&[parts], preferred)
        .and_then(|order| to_days(parts, order))
        .map(|days| days as f64)
}
