//! Stamps into a strictly rising time base.

use crate::clock::Clock;
use crate::report::Notes;
use crate::table::Table;

/// One stretch of rows with a common time base.
#[derive(Clone, Debug, Default)]
pub struct Segment {
    /// Kept rows of the table.
    pub rows: Vec<usize>,
    /// s, on the clock's own scale.
    pub seconds: Vec<f64>,
}

/// Sorts the stamps out.
pub fn segments(table: &Table, clock: &Clock, notes: &mut Notes) -> Vec<Segment> {
    let mut out = vec![Segment::default()];
    let mut last = f64::NAN;
    for (row, &value) in clock.seconds.iter().enumerate() {
        if value.is_nan() {
            notes.add(table.line_of(row), 0, "no time", "the row was left out");
            continue;
        }
        if value <= last {
            notes.add(
                table.line_of(row),
                0,
                "time does not rise",
                "the row was left out",
            );
            continue;
        }
        last = value;
        if let Some(segment) = out.last_mut() {
            segment.rows.push(row);
            segment.seconds.push(value);
        }
    }
    out.retain(|segment| !segment.rows.is_empty());
    out
}
