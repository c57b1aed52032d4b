//! One column of a table while it is read.

use crate::cell::{Cell, Date};

/// What the cells of a column are, found from the first cell that says something.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Kind {
    /// Nothing said yet.
    #[default]
    Unknown,
    /// Numbers.
    Number,
    /// Date and time of day; values are seconds since midnight.
    DateTime,
    /// Dates; values are 0.
    Date,
    /// Times of day; values are seconds since midnight.
    Clock,
    /// Offsets from UTC, s.
    Offset,
    /// N, S, E, W as ±1.
    Hemisphere,
    /// Text.
    Text,
}

/// One column of the table as it was read.
#[derive(Clone, Debug, Default)]
pub struct Column {
    /// Name, possibly empty.
    pub name: String,
    /// Cell of the units row, possibly empty.
    pub unit_cell: String,
    /// What the cells are.
    pub kind: Kind,
    /// One value a kept row; NaN = none.
    pub values: Vec<f64>,
    /// Dates with the row from which on they hold.
    pub dates: Vec<(usize, Date)>,
    /// Offsets from UTC with the row from which on they hold.
    pub offsets: Vec<(usize, Option<i32>)>,
    /// Most decimals seen.
    pub texts: Vec<String>,
    /// Cells that did not fit the kind.
    pub misfits: usize,
    /// Times of day with one colon only (minutes and seconds, as spreadsheets leave them).
    pub short: bool,
    /// Bytes of the last date, to know it again at a glance.
    pub prefix: [u8; 10],
}

impl Column {
    /// The value of a cell for this column; `None`: the cell does not fit.
    pub fn take(&mut self, row: usize, cell: &Cell, raw: &[u8]) -> Option<f64> {
        if self.kind == Kind::Unknown || (self.kind == Kind::Text && *cell != Cell::Text) {
            self.kind = match cell {
                Cell::Blank => return None,
                Cell::Number(_) => Kind::Number,
                Cell::DateTime(..) => Kind::DateTime,
                Cell::Date(_) => Kind::Date,
                Cell::Clock(..) => Kind::Clock,
                Cell::Offset(_) => Kind::Offset,
                Cell::Hemisphere(_) => Kind::Hemisphere,
                Cell::Text => Kind::Text,
            };
        }
        match (self.kind, cell) {
            (Kind::Number, Cell::Number(value)) | (Kind::Hemisphere, Cell::Hemisphere(value)) => {
                Some(*value)
            }
            (Kind::DateTime, Cell::DateTime(date, seconds, offset)) => {
                self.set_date(row, *date, raw);
                self.set_offset(row, *offset);
                Some(*seconds)
            }
            (Kind::Date, Cell::Date(date)) => {
                self.set_date(row, *date, raw);
                Some(0.0)
            }
            (Kind::Clock, Cell::Clock(seconds, offset)) => {
                if self.offsets.is_empty() {
                    self.short = raw.iter().filter(|&&byte| byte == b':').count() == 1;
                }
                self.set_offset(row, *offset);
                Some(*seconds)
            }
            (Kind::Offset, Cell::Offset(offset)) => Some(f64::from(*offset)),
            (Kind::Text, _) => {
                if self.texts.len() < 8 {
                    let text = crate::head::text(raw);
                    if !self.texts.contains(&text) {
                        self.texts.push(text);
                    }
                }
                None
            }
            _ => None,
        }
    }

    fn set_date(&mut self, row: usize, date: Date, raw: &[u8]) {
        if self.dates.last().is_none_or(|&(_, known)| known != date) {
            self.dates.push((row, date));
        }
        // Only a date of ten bytes can be compared in one go on the fast path.
        if let Some(prefix) = raw.get(..10)
            && prefix
                .iter()
                .all(|byte| byte.is_ascii_digit() || matches!(byte, b'-' | b'/' | b'.'))
        {
            self.prefix.copy_from_slice(prefix);
        }
    }

    fn set_offset(&mut self, row: usize, offset: Option<i32>) {
        if self
            .offsets
            .last()
            .is_none_or(|&(_, known)| known != offset)
        {
            self.offsets.push((row, offset));
        }
    }
}
