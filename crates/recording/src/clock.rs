//! Which columns are the clock, and what they say.

use crate::calendar::{
    TWO_WAYS, add_dates, add_offsets, date_order, order_of, start_in, to_days, two_ways,
};
use crate::counters::{finer, numeric, numeric_column, scaled};
use crate::digits;
use crate::table::{Column, Kind, Table};
use crate::vocabulary::{Dimension, Unit, VOCABULARY};
use crate::words::{HeaderWords, split_header};

/// The clock of a table.
#[derive(Clone, Debug, Default)]
pub struct Clock {
    /// Indices of the columns it is made of.
    pub columns: Vec<usize>,
    /// Seconds a row: since 1970 when `absolute`, else since some beginning. NaN = no stamp.
    pub seconds: Vec<f64>,
    /// Whether the seconds count from 1970.
    pub absolute: bool,
    /// Seconds after which the written time starts again (a day for a time of day), 0 = never.
    pub period_s: f64,
    /// In words.
    pub how: String,
    /// 0 to 1.
    pub confidence: f64,
}

/// Finds the clock: the first of these that the table has, best first. `forced` is the column that the
/// caller's map names, with a unit or without.
pub fn find_clock(
    table: &Table,
    preamble: &[(String, String)],
    forced: Option<(usize, Option<&Unit>)>,
) -> Option<Clock> {
    let words: Vec<HeaderWords> = table
        .columns
        .iter()
        .map(|column| split_header(&column.name, &column.unit_cell))
        .collect();
    if let Some((index, unit)) = forced {
        return forced_clock(table, &words, preamble, index, unit);
    }
    let clock = date_time_column(table, &words)
        .or_else(|| date_and_clock(table, &words))
        .or_else(|| three_columns(table, preamble))
        .or_else(|| clock_alone(table, &words, preamble))
        .or_else(|| digits::packed(table, &words, preamble))
        .or_else(|| numeric(table, &words, preamble))?;
    Some(finer(table, &words, clock))
}

fn forced_clock(
    table: &Table,
    words: &[HeaderWords],
    preamble: &[(String, String)],
    index: usize,
    unit: Option<&Unit>,
) -> Option<Clock> {
    let mut only = Table::default();
    only.rows = table.rows;
    for (at, column) in table.columns.iter().enumerate() {
        let keep = at == index
            || (column.kind == Kind::Date
                && table
                    .columns
                    .get(index)
                    .is_some_and(|forced| forced.kind == Kind::Clock));
        only.columns.push(if keep {
            column.clone()
        } else {
            Column::default()
        });
    }
    if let Some(unit) = unit.filter(|unit| unit.dimension == Dimension::Time) {
        let start = start_in(preamble);
        return scaled(table, index, unit.factor, &unit.id, start, 1.0);
    }
    date_time_column(&only, words)
        .or_else(|| date_and_clock(&only, words))
        .or_else(|| clock_alone(&only, words, preamble))
        .or_else(|| numeric_column(table, words, preamble, index, 3.0))
}

pub(crate) fn says(words: &HeaderWords, concept: &str) -> bool {
    words
        .words
        .iter()
        .any(|word| VOCABULARY.means(word, concept))
}

fn filled(column: &Column) -> usize {
    column.values.iter().filter(|value| !value.is_nan()).count()
}

fn date_time_column(table: &Table, words: &[HeaderWords]) -> Option<Clock> {
    let (index, column) = best_of(table, words, Kind::DateTime)?;
    let order = date_order(column)?;
    let mut seconds = column.values.clone();
    add_dates(&mut seconds, column, order);
    let known = add_offsets(&mut seconds, column);
    let how = if known {
        "date and time with offset"
    } else {
        "date and time, taken as UTC"
    };
    let doubtful = two_ways(column);
    Some(Clock {
        columns: vec![index],
        seconds,
        absolute: true,
        period_s: 0.0,
        how: format!("{how}{}", if doubtful { TWO_WAYS } else { "" }),
        confidence: if doubtful {
            0.5
        } else if known || words.get(index).is_some_and(|words| says(words, "utc")) {
            1.0
        } else {
            0.8
        },
    })
}

/// The column of a kind that is filled best; UTC before local time.
fn best_of<'a>(table: &'a Table, words: &[HeaderWords], kind: Kind) -> Option<(usize, &'a Column)> {
    table
        .columns
        .iter()
        .enumerate()
        .filter(|(_, column)| column.kind == kind)
        .max_by_key(|(index, column)| {
            let words = words.get(*index);
            let utc = words.is_some_and(|words| says(words, "utc"));
            let local = words.is_some_and(|words| says(words, "local"));
            filled(column) * 4 + 2 * usize::from(utc) + usize::from(!local)
        })
}

fn date_and_clock(table: &Table, words: &[HeaderWords]) -> Option<Clock> {
    let (date_index, date) = best_of(table, words, Kind::Date)?;
    let (clock_index, clock) = best_of(table, words, Kind::Clock)?;
    let order = date_order(date)?;
    let mut seconds = clock.values.clone();
    add_dates(&mut seconds, date, order);
    let mut columns = vec![date_index, clock_index];
    let mut known = add_offsets(&mut seconds, clock);
    let utc = words
        .get(clock_index)
        .is_some_and(|words| says(words, "utc"));
    if !known
        && !utc
        && let Some((zone_index, zone)) = best_of(table, words, Kind::Offset)
    {
        let mut last = f64::NAN;
        for (second, &offset) in seconds.iter_mut().zip(&zone.values) {
            last = if offset.is_nan() { last } else { offset };
            *second -= if last.is_nan() { 0.0 } else { last };
        }
        columns.push(zone_index);
        known = true;
    }
    let doubtful = two_ways(date);
    Some(Clock {
        columns,
        seconds,
        absolute: true,
        period_s: 0.0,
        how: format!(
            "date, time{}{}",
            if known {
                " and offset"
            } else {
                ", taken as UTC"
            },
            if doubtful { TWO_WAYS } else { "" }
        ),
        confidence: if doubtful {
            0.5
        } else if known || utc {
            1.0
        } else {
            0.8
        },
    })
}

fn clock_alone(
    table: &Table,
    words: &[HeaderWords],
    preamble: &[(String, String)],
) -> Option<Clock> {
    let (index, column) = best_of(table, words, Kind::Clock)?;
    let mut seconds = column.values.clone();
    add_offsets(&mut seconds, column);
    let mut clock = with_day(vec![index], seconds, None, preamble, "time of day");
    // Minutes and seconds alone start again every hour.
    if column
        .values
        .iter()
        .all(|value| value.is_nan() || *value < 3600.0)
        && column.offsets.len() == 1
        && column.texts.is_empty()
        && column.short
    {
        clock.period_s = 3600.0;
        clock.absolute = false;
        clock.how = "minutes and seconds without hours".to_owned();
        clock.confidence = 0.5;
    }
    Some(clock)
}

/// Hours, minutes and seconds (and year, month, day) in columns of their own, known by their numbers.
fn three_columns(table: &Table, preamble: &[(String, String)]) -> Option<Clock> {
    let number = |index: usize| {
        table
            .columns
            .get(index)
            .filter(|column| column.kind == Kind::Number)
    };
    let within = |column: &Column, low: f64, high: f64| {
        column
            .values
            .iter()
            .all(|&value| value.is_nan() || (value >= low && value <= high))
            && column.values.iter().any(|value| !value.is_nan())
    };
    let whole = |column: &Column| {
        column
            .values
            .iter()
            .all(|value| value.is_nan() || value.fract() == 0.0)
    };
    let last = table.columns.len().checked_sub(3)?;
    let index = (0..=last).find(|&index| {
        let (Some(h), Some(m), Some(s)) = (number(index), number(index + 1), number(index + 2))
        else {
            return false;
        };
        if !within(h, 0.0, 23.0)
            || !within(m, 0.0, 59.0)
            || !within(s, 0.0, 60.99)
            || !whole(h)
            || !whole(m)
        {
            return false;
        }
        let seconds = hms(h, m, s);
        let (mut rising, mut moving, mut steps) = (0_usize, 0_usize, 0_usize);
        for pair in seconds.windows(2) {
            let &[a, b] = pair else { continue };
            steps += usize::from(!(b - a).is_nan());
            rising += usize::from((0.0..=120.0).contains(&(b - a)));
            moving += usize::from(b > a);
        }
        steps > 0 && rising * 20 >= steps * 19 && moving * 40 > steps
    })?;
    let seconds = hms(number(index)?, number(index + 1)?, number(index + 2)?);
    let mut columns = vec![index, index + 1, index + 2];
    let day = (0..=last).find_map(|at| {
        let parts = [number(at)?, number(at + 1)?, number(at + 2)?];
        if (at..at + 3).any(|used| columns.contains(&used)) {
            return None;
        }
        let first = parts.map(|part| {
            part.values
                .iter()
                .copied()
                .find(|value| !value.is_nan())
                .unwrap_or(0.0)
        });
        let steady = parts.iter().zip(first).all(|(part, first)| {
            part.values
                .iter()
                .all(|value| value.is_nan() || (value - first).abs() <= 31.0)
        });
        #[allow(clippy::cast_possible_truncation)]
        let date = first.map(|value| {
            if value >= 1900.0 {
                value as i32 + 10_000
            } else {
                value as i32
            }
        });
        let has_year = first.iter().any(|value| (1990.0..2100.0).contains(value));
        (steady && has_year).then(|| {
            (
                at,
                order_of(&[date], None).and_then(|order| to_days(date, order)),
            )
        })
    });
    #[allow(clippy::cast_precision_loss)]
    let midnight = match day {
        Some((at, Some(days))) => {
            columns.extend([at, at + 1, at + 2]);
            Some(days as f64 * 86_400.0)
        }
        _ => None,
    };
    Some(with_day(
        columns,
        seconds,
        midnight,
        preamble,
        "hours, minutes and seconds in columns",
    ))
}

fn hms(h: &Column, m: &Column, s: &Column) -> Vec<f64> {
    h.values
        .iter()
        .zip(&m.values)
        .zip(&s.values)
        .map(|((h, m), s)| h * 3600.0 + m * 60.0 + s)
        .collect()
}

/// A time of day with the date from a column, from the lines above, or with none.
pub(crate) fn with_day(
    columns: Vec<usize>,
    mut seconds: Vec<f64>,
    midnight: Option<f64>,
    preamble: &[(String, String)],
    what: &str,
) -> Clock {
    let start = start_in(preamble);
    let first = seconds
        .iter()
        .copied()
        .find(|value| !value.is_nan())
        .unwrap_or(0.0);
    let (day, source) = match (midnight, start) {
        (Some(midnight), _) => (Some(midnight), "date from its column"),
        (None, Some(start)) => {
            let midnight = (start / 86_400.0).floor() * 86_400.0;
            // A first row earlier than the start by half a day belongs to the next day.
            let next = if midnight + first < start - 43_200.0 {
                86_400.0
            } else {
                0.0
            };
            (Some(midnight + next), "date from the lines above")
        }
        (None, None) => (None, "without a date"),
    };
    if let Some(day) = day {
        seconds.iter_mut().for_each(|second| *second += day);
    }
    Clock {
        columns,
        seconds,
        absolute: day.is_some(),
        period_s: 86_400.0,
        how: format!("{what}, {source}"),
        confidence: if day.is_some() { 0.9 } else { 0.7 },
    }
}
