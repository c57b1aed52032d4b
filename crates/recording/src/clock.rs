//! Which columns are the clock, and what they say.

use crate::cell::{Cell, Date, classify};
use crate::civil::days_from_civil;
use crate::table::{Column, Kind, Table};
use crate::vocabulary::{Dimension, VOCABULARY};
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

/// Finds the clock.
pub fn find_clock(table: &Table, preamble: &[(String, String)]) -> Option<Clock> {
    let words: Vec<HeaderWords> = table
        .columns
        .iter()
        .map(|column| split_header(&column.name, &column.unit_cell))
        .collect();
    date_time_column(table, &words)
        .or_else(|| date_and_clock(table, &words))
        .or_else(|| clock_alone(table, &words, preamble))
        .or_else(|| numeric(table, &words, preamble))
}

fn says(words: &HeaderWords, concept: &str) -> bool {
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
    Some(Clock {
        columns: vec![index],
        seconds,
        absolute: true,
        period_s: 0.0,
        how: how.to_owned(),
        confidence: if known || words.get(index).is_some_and(|words| says(words, "utc")) {
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
    Some(Clock {
        columns,
        seconds,
        absolute: true,
        period_s: 0.0,
        how: format!(
            "date, time{}",
            if known {
                " and offset"
            } else {
                ", taken as UTC"
            }
        ),
        confidence: if known || utc { 1.0 } else { 0.8 },
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
    let start = start_in(preamble);
    let absolute = start.is_some();
    if let Some(start) = start {
        let midnight = (start / 86_400.0).floor() * 86_400.0;
        let first = seconds
            .iter()
            .copied()
            .find(|value| !value.is_nan())
            .unwrap_or(0.0);
        // A first row earlier than the start by hours belongs to the next day.
        let day = if midnight + first < start - 43_200.0 {
            86_400.0
        } else {
            0.0
        };
        for value in &mut seconds {
            *value += midnight + day;
        }
    }
    Some(Clock {
        columns: vec![index],
        seconds,
        absolute,
        period_s: 86_400.0,
        how: if absolute {
            "time of day, date from the lines above"
        } else {
            "time of day without a date"
        }
        .to_owned(),
        confidence: if absolute { 0.9 } else { 0.7 },
    })
}

fn numeric(table: &Table, words: &[HeaderWords], preamble: &[(String, String)]) -> Option<Clock> {
    let mut best: Option<(f64, usize)> = None;
    for (index, (column, words)) in table.columns.iter().zip(words).enumerate() {
        if column.kind != Kind::Number {
            continue;
        }
        let mut rising = 0.0_f64;
        let mut steps = 0.0_f64;
        let mut last = f64::NAN;
        for &value in column
            .values
            .iter()
            .filter(|value| !value.is_nan())
            .take(5000)
        {
            if !last.is_nan() {
                steps += 1.0;
                rising +=
                    f64::from(u8::from(value > last)) + 0.5 * f64::from(u8::from(value == last));
            }
            last = value;
        }
        if steps < 1.0 || rising / steps < 0.9 {
            continue;
        }
        let named = ["time", "elapsed", "unix", "millisecond"]
            .iter()
            .any(|concept| says(words, concept))
            || words
                .unit
                .as_ref()
                .or(words.trailing_unit.as_ref().map(|(unit, _)| unit))
                .is_some_and(|unit| unit.dimension == Dimension::Time);
        let score = rising / steps + if named { 2.0 } else { 0.0 };
        if best.is_none_or(|(known, _)| score > known + 1e-9) {
            best = Some((score, index));
        }
    }
    let (score, index) = best?;
    let column = table.columns.get(index)?;
    let words = words.get(index)?;
    let written = words
        .unit
        .as_ref()
        .or(words.trailing_unit.as_ref().map(|(unit, _)| unit))
        .filter(|unit| unit.dimension == Dimension::Time);
    let first = column
        .values
        .iter()
        .copied()
        .find(|value| !value.is_nan())?;
    let epoch = [(1.0, "s"), (1e-3, "ms"), (1e-6, "µs"), (1e-9, "ns")]
        .into_iter()
        .find(|(factor, _)| {
            // 2000 to 2100.
            (946_684_800.0..4_102_444_800.0).contains(&(first * factor))
        });
    if let Some((factor, unit)) = epoch {
        return Some(Clock {
            columns: vec![index],
            seconds: column.values.iter().map(|value| value * factor).collect(),
            absolute: true,
            period_s: 0.0,
            how: format!("{unit} since 1970, UTC"),
            confidence: 1.0,
        });
    }
    let factor = written.map_or(1.0, |unit| unit.factor);
    let start = start_in(preamble);
    Some(Clock {
        columns: vec![index],
        seconds: column
            .values
            .iter()
            .map(|value| value * factor + start.unwrap_or(0.0))
            .collect(),
        absolute: start.is_some(),
        period_s: 0.0,
        how: format!(
            "elapsed time in {}",
            written.map_or("s", |unit| unit.id.as_str())
        ),
        confidence: if score > 2.0 { 0.95 } else { 0.5 },
    })
}

/// Start of the recording as the lines above the table tell it, s since 1970.
fn start_in(preamble: &[(String, String)]) -> Option<f64> {
    let mut date: Option<i64> = None;
    let mut clock = None;
    for (key, value) in preamble {
        for text in [value.as_str(), key.as_str()] {
            match classify(text.as_bytes(), b'.') {
                Cell::DateTime(written, seconds, offset) => {
                    let order = order_of(&[written], None)?;
                    #[allow(clippy::cast_precision_loss)]
                    let day = to_days(written, order)? as f64 * 86_400.0;
                    return Some(day + seconds - f64::from(offset.unwrap_or(0)));
                }
                Cell::Date(written) => {
                    date = date
                        .or(order_of(&[written], None).and_then(|order| to_days(written, order)));
                }
                Cell::Clock(seconds, offset) => {
                    clock = clock.or(Some(seconds - f64::from(offset.unwrap_or(0))));
                }
                _ => {}
            }
        }
    }
    #[allow(clippy::cast_precision_loss)]
    date.map(|days| days as f64 * 86_400.0 + clock.unwrap_or(0.0))
}

/// Order of the parts of a date: index of year, month, day.
type Order = [usize; 3];

fn date_order(column: &Column) -> Option<Order> {
    let dates: Vec<Date> = column.dates.iter().map(|&(_, date)| date).collect();
    order_of(&dates, None)
}

/// The order that makes all dates real dates: year by its four digits, month as a word, a part over 12
/// is no month. Of those left, the usual ones first.
fn order_of(dates: &[Date], preferred: Option<Order>) -> Option<Order> {
    const ORDERS: [Order; 4] = [[0, 1, 2], [2, 1, 0], [2, 0, 1], [0, 2, 1]];
    preferred
        .into_iter()
        .chain(ORDERS)
        .find(|&order| dates.iter().all(|&date| to_days(date, order).is_some()))
        .or_else(|| {
            ORDERS.into_iter().max_by_key(|&order| {
                dates
                    .iter()
                    .filter(|&&date| to_days(date, order).is_some())
                    .count()
            })
        })
}

fn to_days(date: Date, order: Order) -> Option<i64> {
    let [year, month, day] = order.map(|index| date.get(index).copied().unwrap_or(0));
    let year = match year {
        10_000.. => year - 10_000,
        // Two digits: recorders are younger than 1970.
        70..=99 => 1900 + year,
        0..=69 => 2000 + year,
        _ => return None,
    };
    let month = if month > 1000 && month < 10_000 {
        month - 1000
    } else {
        month
    };
    days_from_civil(year, month, day)
}

fn add_dates(seconds: &mut [f64], column: &Column, order: Order) {
    let mut next = column.dates.iter().peekable();
    let mut midnight = f64::NAN;
    for (row, value) in seconds.iter_mut().enumerate() {
        while let Some((_, date)) = next.next_if(|&&(from, _)| from <= row) {
            #[allow(clippy::cast_precision_loss)]
            let day = to_days(*date, order).map_or(f64::NAN, |days| days as f64 * 86_400.0);
            midnight = day;
        }
        *value += midnight;
    }
}

/// Takes the written offsets off; true when there are any.
fn add_offsets(seconds: &mut [f64], column: &Column) -> bool {
    let mut next = column.offsets.iter().peekable();
    let mut offset = None;
    let mut known = false;
    for (row, value) in seconds.iter_mut().enumerate() {
        while let Some(&(_, written)) = next.next_if(|&&(from, _)| from <= row) {
            offset = written;
            known |= written.is_some();
        }
        *value -= f64::from(offset.unwrap_or(0));
    }
    known
}
