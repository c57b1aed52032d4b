//! The report on a table that was understood.

use crate::Quantity;
use crate::civil::iso_utc;
use crate::clock::Clock;
use crate::head::Head;
use crate::recognize::Taken;
use crate::report::{ColumnReport, Report};
use crate::sequence::{Segment, step_at};
use crate::table::{Column, Kind, Table};
use crate::vocabulary::fold;

/// Fills in everything but the notes.
pub fn fill(
    report: &mut Report,
    head: &Head,
    table: &Table,
    clock: &Clock,
    taken: &[Option<Taken>],
    parts: &[Segment],
    sentinels: &[usize],
) {
    report.separator = separator_name(head.separator).to_owned();
    report.decimal = if head.decimal == b',' {
        "comma"
    } else {
        "point"
    }
    .to_owned();
    report.header_line = head.header_line;
    report.units_line = head.units_line;
    report.header_signature = signature(head);
    report.preamble.clone_from(&head.preamble);
    report.rows_kept = parts.iter().map(|part| part.rows.len()).sum();
    report.rows_lost = table.rows_lost + table.rows - report.rows_kept.min(table.rows);
    time(report, table, clock, parts);
    let length_s: f64 = parts
        .iter()
        .filter_map(|part| Some(part.seconds.last()? - part.seconds.first()?))
        .sum();
    for (index, (column, taken_here)) in table.columns.iter().zip(taken).enumerate() {
        let sentinels = sentinels.get(index).copied().unwrap_or(0);
        let mut row = column_report(index, column, taken_here.as_ref(), length_s, sentinels);
        if clock.columns.contains(&index) {
            row.taken_for = "time".to_owned();
            row.chosen = true;
            row.confidence = clock.confidence;
            row.because.clone_from(&clock.how);
        }
        if let Some(this) = taken_here {
            row.chosen = is_choice(index, this, taken);
        }
        report.columns.push(row);
    }
}

/// Whether this column is the best of those with its quantity; the same rule orders the channels.
fn is_choice(index: usize, this: &Taken, taken: &[Option<Taken>]) -> bool {
    taken.iter().enumerate().all(|(at, other)| {
        other.as_ref().is_none_or(|other| {
            at == index
                || other.quantity != this.quantity
                || other.confidence < this.confidence
                || (other.confidence <= this.confidence && at > index)
        })
    })
}

fn separator_name(separator: u8) -> &'static str {
    match separator {
        b',' => "comma",
        b';' => "semicolon",
        b'\t' => "tab",
        b'|' => "bar",
        b' ' => "blanks",
        _ => "",
    }
}

fn time(report: &mut Report, table: &Table, clock: &Clock, parts: &[Segment]) {
    let first = parts
        .first()
        .and_then(|part| part.seconds.first())
        .copied()
        .unwrap_or(0.0);
    let last = parts
        .last()
        .and_then(|part| part.seconds.last())
        .copied()
        .unwrap_or(first);
    let longest = parts.iter().max_by_key(|part| part.rows.len());
    report.time.interval_s = longest.map_or(0.0, |part| step_at(&part.seconds, 50));
    report.time.columns = clock
        .columns
        .iter()
        .filter_map(|&index| table.columns.get(index).map(|column| column.name.clone()))
        .collect();
    report.time.how.clone_from(&clock.how);
    report.time.start_utc = if clock.absolute {
        iso_utc(first)
    } else {
        String::new()
    };
    report.time.length_s = last - first;
    report.time.confidence = clock.confidence;
    for part in parts {
        let begin = part.seconds.first().copied().unwrap_or(first);
        report.power_cycles.push((
            part.rows.first().map_or(0, |&row| table.line_of(row)),
            begin - first,
        ));
        report.gaps.extend(
            part.gaps
                .iter()
                .map(|(from, to)| (from - first, to - first)),
        );
    }
}

/// Smallest and largest value, and how many are none, in eight lanes that the processor does at once.
fn extremes(values: &[f64]) -> (f64, f64, usize) {
    const LANES: usize = 8;
    let (mut low, mut high, mut none) = (
        [f64::INFINITY; LANES],
        [f64::NEG_INFINITY; LANES],
        [0_u64; LANES],
    );
    for chunk in values.chunks(LANES) {
        for (((value, low), high), none) in chunk.iter().zip(&mut low).zip(&mut high).zip(&mut none)
        {
            *low = if *value < *low { *value } else { *low };
            *high = if *value > *high { *value } else { *high };
            *none += u64::from(value.is_nan());
        }
    }
    let count = none.iter().sum::<u64>();
    (
        low.into_iter().fold(f64::INFINITY, f64::min),
        high.into_iter().fold(f64::NEG_INFINITY, f64::max),
        usize::try_from(count).unwrap_or(usize::MAX),
    )
}

fn column_report(
    index: usize,
    column: &Column,
    taken: Option<&Taken>,
    length_s: f64,
    sentinels: usize,
) -> ColumnReport {
    let mut row = ColumnReport {
        number: u32::try_from(index + 1).unwrap_or(0),
        name: column.name.clone(),
        sentinels,
        ..ColumnReport::default()
    };
    let (low, high, blanks) = extremes(&column.values);
    row.blanks = blanks;
    #[allow(clippy::float_cmp)]
    let changes: u32 = column
        .values
        .windows(2)
        .map(|pair| matches!(pair, [a, b] if a != b && !b.is_nan()))
        .map(u32::from)
        .sum();
    if low <= high && column.kind == Kind::Number {
        (row.low, row.high) = (Some(low), Some(high));
    }
    row.rate_hz = if length_s > 0.0 {
        f64::from(changes) / length_s
    } else {
        0.0
    };
    match (taken, column.kind) {
        (Some(taken), _) => {
            row.taken_for = taken.quantity.id().to_owned();
            row.unit.clone_from(&taken.unit.id);
            taken.unit_origin.clone_into(&mut row.unit_origin);
            row.because.clone_from(&taken.because);
            row.confidence = taken.confidence;
        }
        (None, Kind::Unknown) => row.taken_for = "empty".to_owned(),
        (None, Kind::Text) => {
            row.taken_for = "text".to_owned();
            row.because = column.texts.join(", ");
        }
        (None, Kind::Number) => row.taken_for = Quantity::Other.id().to_owned(),
        (None, _) => row.taken_for = "time".to_owned(),
    }
    row
}

/// Names and units of the header, folded, as 64-bit FNV-1a in hex: the same for every file of a recorder.
///
/// Source: Fowler, Noll, Vo, "The FNV Non-Cryptographic Hash Algorithm", IETF draft eastlake-fnv.
fn signature(head: &Head) -> String {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    for (name, unit) in head.names.iter().zip(&head.units) {
        for byte in fold(name.trim())
            .bytes()
            .chain([0x1f])
            .chain(fold(unit.trim()).bytes())
            .chain([0x1e])
        {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0000_0100_0000_01b3);
        }
    }
    format!("{hash:016x}")
}
