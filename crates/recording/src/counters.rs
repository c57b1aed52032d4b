//! Clocks that are plain numbers: counters since some beginning, or since 1970.

use crate::calendar::start_in;
use crate::clock::{Clock, says};
use crate::names::by_words;
use crate::table::{Kind, Table};
use crate::vocabulary::{Dimension, Unit};
use crate::words::HeaderWords;

/// A column of numbers that rises like a clock.
pub fn numeric(
    table: &Table,
    words: &[HeaderWords],
    preamble: &[(String, String)],
) -> Option<Clock> {
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
pub fn rising_share(values: &[f64]) -> Option<f64> {
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

pub fn numeric_column(
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

pub fn scaled(
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
pub fn finer(table: &Table, words: &[HeaderWords], mut clock: Clock) -> Clock {
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
