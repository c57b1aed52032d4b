//! Which columns are the clock, and what they say.

use crate::cell::{Cell, Date, classify};
use crate::civil::days_from_civil;
use crate::names::by_words;
use crate::table::{Column, Kind, Table};
use crate::vocabulary::{Dimension, Unit, VOCABULARY};
use crate::words::{HeaderWords, split_header};

#[path = "digits.rs"]
mod digits;

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

/// A column of numbers that rises like a clock.
fn numeric(table: &Table, words: &[HeaderWords], preamble: &[(String, String)]) -> Option<Clock> {
    let mut best: Option<(f64, usize)> = None;
    for (index, (column, words)) in table.columns.iter().zip(words).enumerate() {
        if column.kind != Kind::Number {
            continue;
        }
        let Some(rising) = rising_share(&column.values) else {
            continue;
        };
        let named = ["time", "elapsed", "unix", "millisecond", "second", "utc"]
            .iter()
            .any(|concept| says(words, concept))
            || time_unit(words).is_some();
        // Message types that alternate repeat each stamp; only a name makes such a column a clock.
        if rising < if named { 0.6 } else { 0.9 } {
            continue;
        }
        // A latitude or an engine speed may rise all the time, too.
        if !named && by_words(words).first().is_some_and(|best| best.2 >= 3.5) {
            continue;
        }
        // Sample numbers rise too, one by one; anything with a time's name comes first.
        let counter = says(words, "not_here");
        let score = rising + if named { 2.0 } else { 0.0 } - if counter { 1.0 } else { 0.0 };
        if best.is_none_or(|(known, _)| score > known + 1e-9) {
            best = Some((score, index));
        }
    }
    let (score, index) = best?;
    numeric_column(table, words, preamble, index, score)
}

fn time_unit(words: &HeaderWords) -> Option<&Unit> {
    words
        .unit
        .as_ref()
        .or(words.trailing_unit.as_ref().map(|(unit, _)| unit))
        .filter(|unit| unit.dimension == Dimension::Time)
}

/// Share of the steps that rise, repeats counted half; `None` with fewer than one step.
#[allow(clippy::cast_precision_loss)]
pub(crate) fn rising_share(values: &[f64]) -> Option<f64> {
    let (mut points, mut steps) = (0.0, 0_usize);
    let mut last = f64::NAN;
    for &value in values.iter().filter(|value| !value.is_nan()) {
        if !last.is_nan() {
            steps += 1;
            points += if value > last { 1.0 } else { 0.0 };
            points += if (value - last).abs() < f64::EPSILON {
                0.5
            } else {
                0.0
            };
        }
        last = value;
    }
    (steps > 0).then(|| points / steps as f64)
}

fn numeric_column(
    table: &Table,
    words: &[HeaderWords],
    preamble: &[(String, String)],
    index: usize,
    score: f64,
) -> Option<Clock> {
    let column = table.columns.get(index)?;
    let confidence: f64 = if score > 2.0 { 0.95 } else { 0.5 };
    let mut known: Vec<f64> = column
        .values
        .iter()
        .copied()
        .filter(|value| !value.is_nan())
        .collect();
    let middle = known.len() / 2;
    let typical = *known.get(middle)?;
    let mut steps: Vec<f64> = known
        .windows(2)
        .filter_map(|pair| Some(pair.get(1)? - pair.first()?))
        .filter(|step| *step > 0.0)
        .collect();
    let at = steps.len() / 2;
    let step = if steps.is_empty() {
        1.0
    } else {
        *steps.select_nth_unstable_by(at, f64::total_cmp).1
    };
    // 2000 to 2100, in whatever part of a second.
    for (factor, unit) in [(1.0, "s"), (1e-3, "ms"), (1e-6, "µs"), (1e-9, "ns")] {
        if (946_684_800.0..4_102_444_800.0).contains(&(typical * factor)) && step * factor < 7200.0
        {
            let mut clock = scaled(table, index, factor, unit, None, confidence.max(0.9))?;
            clock.absolute = true;
            clock.how = format!("{unit} since 1970, UTC");
            return Some(clock);
        }
    }
    // Days since the end of 1899, as spreadsheets count.
    if (36_526.0..73_050.0).contains(&typical)
        && step < 0.1
        && known.iter().any(|value| value.fract() != 0.0)
    {
        let mut clock = scaled(
            table,
            index,
            86_400.0,
            "days",
            Some(-25_569.0 * 86_400.0),
            confidence,
        )?;
        clock.how = "days since 1899-12-30, as spreadsheets count".to_owned();
        return Some(clock);
    }
    known.clear();
    let start = start_in(preamble);
    if let Some(unit) = words.get(index).and_then(time_unit) {
        return scaled(table, index, unit.factor, &unit.id, start, confidence);
    }
    let whole = column
        .values
        .iter()
        .all(|value| value.is_nan() || value.fract() == 0.0);
    let (factor, unit) = match step {
        step if whole && step >= 10_000.0 => (1e-6, "us"),
        step if whole && step >= 15.0 => (1e-3, "ms"),
        // A sixtieth of a minute is a second; nobody records at 60 to 2000 Hz.
        step if step < 5e-5 => (86_400.0, "days"),
        step if step < 6e-4 => (3600.0, "h"),
        step if step < 0.0175 => (60.0, "min"),
        _ => (1.0, "s"),
    };
    scaled(table, index, factor, unit, start, confidence * 0.9)
}

fn scaled(
    table: &Table,
    index: usize,
    factor: f64,
    unit: &str,
    start: Option<f64>,
    confidence: f64,
) -> Option<Clock> {
    let column = table.columns.get(index)?;
    let shift = start.unwrap_or(0.0);
    Some(Clock {
        columns: vec![index],
        seconds: column
            .values
            .iter()
            .map(|value| value * factor + shift)
            .collect(),
        absolute: start.is_some(),
        period_s: 0.0,
        how: format!(
            "elapsed time in {unit}{}",
            if start.is_some() {
                ", start from the lines above"
            } else {
                ""
            }
        ),
        confidence,
    })
}

/// When the clock stands still over several rows, a finer counter in the table tells where they lie.
fn finer(table: &Table, words: &[HeaderWords], mut clock: Clock) -> Clock {
    let stands = clock
        .seconds
        .windows(2)
        .filter(|pair| matches!(pair, [a, b] if (b - a).abs() < 1e-9))
        .count();
    if stands * 2 < clock.seconds.len() {
        return clock;
    }
    for (index, (column, words)) in table.columns.iter().zip(words).enumerate() {
        if column.kind != Kind::Number || clock.columns.contains(&index) || says(words, "not_here")
        {
            continue;
        }
        let pairs: Vec<(f64, f64)> = clock
            .seconds
            .iter()
            .zip(&column.values)
            .filter(|(second, value)| second.is_finite() && value.is_finite())
            .map(|(&second, &value)| (second, value))
            .collect();
        if pairs.len() * 10 < clock.seconds.len() * 9
            || !pairs
                .windows(2)
                .all(|pair| matches!(pair, [a, b] if b.1 > a.1))
        {
            continue;
        }
        for (factor, unit) in [(1.0, "s"), (1e-3, "ms"), (1e-6, "µs"), (60.0, "min")] {
            // A clock of whole seconds is behind the counter by 0 to 1 s all along.
            let lags = pairs.iter().map(|(second, value)| second - value * factor);
            let low = lags.clone().fold(f64::INFINITY, f64::min);
            let high = lags.fold(f64::NEG_INFINITY, f64::max);
            if high - low <= 1.2 {
                for (second, value) in clock.seconds.iter_mut().zip(&column.values) {
                    *second = value * factor + high;
                }
                clock.columns.push(index);
                clock.how = format!(
                    "{}; within the second by \"{}\" in {unit}",
                    clock.how, column.name
                );
                return clock;
            }
        }
    }
    clock
}

/// Start of the recording as the lines above the table tell it, s since 1970.
pub(crate) fn start_in(preamble: &[(String, String)]) -> Option<f64> {
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
pub(crate) type Order = [usize; 3];

fn date_order(column: &Column) -> Option<Order> {
    let dates: Vec<Date> = column.dates.iter().map(|&(_, date)| date).collect();
    order_of(&dates, None)
}

/// The order that makes all dates real dates: year by its four digits, month as a word, a part over 12
/// is no month. Of those left, the usual ones first.
pub(crate) fn order_of(dates: &[Date], preferred: Option<Order>) -> Option<Order> {
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

pub(crate) fn to_days(date: Date, order: Order) -> Option<i64> {
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
