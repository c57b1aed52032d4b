//! Dates: which part is the year, the month, the day; offsets from UTC; the start that a preamble tells.

use crate::cell::{Cell, Date, classify};
use crate::civil::days_from_civil;
use crate::table::Column;

/// Start of the recording as the lines above the table tell it, s since 1970.
pub fn start_in(preamble: &[(String, String)]) -> Option<f64> {
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
pub type Order = [usize; 3];

pub fn date_order(column: &Column) -> Option<Order> {
    let dates: Vec<Date> = column.dates.iter().map(|&(_, date)| date).collect();
    order_of(&dates, None)
}

/// Whether the dates are real both as day, month, year and as month, day, year, and differ. Nothing in
/// the column then tells which was meant.
pub fn two_ways(column: &Column) -> bool {
    let as_one_or_other = |date| {
        let (day_first, month_first) = (to_days(date, [2, 1, 0]), to_days(date, [2, 0, 1]));
        day_first.is_some() && month_first.is_some() && day_first != month_first
    };
    let mut dates = column.dates.iter().map(|&(_, date)| date).peekable();
    dates.peek().is_some() && dates.all(as_one_or_other)
}

/// What to say of dates that can be read two ways.
pub const TWO_WAYS: &str =
    "; read as day, month, year, but month, day, year fits as well: check the date";

/// The order that makes all dates real dates: year by its four digits, month as a word, a part over 12
/// is no month. Of those left, the usual ones first.
pub fn order_of(dates: &[Date], preferred: Option<Order>) -> Option<Order> {
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

pub fn to_days(date: Date, order: Order) -> Option<i64> {
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

pub fn add_dates(seconds: &mut [f64], column: &Column, order: Order) {
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
pub fn add_offsets(seconds: &mut [f64], column: &Column) -> bool {
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
