//! From a table to recordings.

use crate::clock::{Clock, find_clock};
use crate::error::{Cause, ReadError};
use crate::head::{Head, read_head};
use crate::options::ReadOptions;
use crate::recognize::{Taken, recognize};
use crate::report::{ColumnReport, Notes, Report};
use crate::sequence::{Segment, segments};
use crate::table::{Table, read_rows};
use crate::{Account, Channel, Quantity, Read, Recording, gpx};

/// Reads one text: a table or a GPX file.
pub fn read_text(
    name: &str,
    bytes: &[u8],
    notes: Notes,
    _options: &ReadOptions,
) -> Result<Read, ReadError> {
    let fail = |cause| ReadError {
        file: name.to_owned(),
        line: 0,
        column: 0,
        cause,
    };
    let mut notes = notes;
    if bytes
        .iter()
        .all(|byte| byte.is_ascii_whitespace() || *byte == 0)
    {
        return Err(fail(Cause::Empty));
    }
    let (head, table, format) = if gpx::is_gpx(bytes) {
        let track = gpx::read(bytes, &mut notes).map_err(fail)?;
        let format = format!("GPX {}", track.version);
        let (head, table) = gpx_table(track);
        (head, table, format)
    } else {
        let head = read_head(bytes, 0, 1).ok_or_else(|| fail(Cause::NoTable))?;
        let table = read_rows(bytes, &head, &mut notes);
        (head, table, "table".to_owned())
    };
    let clock = find_clock(&table, &head.preamble).ok_or_else(|| fail(Cause::NoTime))?;
    let taken = recognize(&table, &clock.columns);
    let parts = segments(&table, &clock, &mut notes);
    if parts.is_empty() {
        return Err(fail(Cause::NoTime));
    }
    let recordings: Vec<Recording> = parts
        .iter()
        .map(|part| build(name, &head, &table, &clock, &taken, part, &notes))
        .collect();
    let mut report = Report {
        name: name.to_owned(),
        format,
        ..Report::default()
    };
    fill_report(&mut report, &head, &table, &clock, &taken);
    report.rows_kept = recordings
        .iter()
        .map(|recording| recording.time_s.len())
        .sum();
    report.notes = notes.list;
    report.notes_dropped = notes.dropped;
    Ok(Read { recordings, report })
}

/// A track as a table, so that the same rules read both.
fn gpx_table(track: gpx::Track) -> (Head, Table) {
    let mut head = Head {
        preamble: track.names,
        separator: 0,
        decimal: b'.',
        ..Head::default()
    };
    let pick: [(&str, &str, fn(&gpx::Point) -> f64); 8] = [
        ("time", "s", |point| point.unix_s),
        ("lat", "deg", |point| point.latitude_deg),
        ("lon", "deg", |point| point.longitude_deg),
        ("ele", "m", |point| point.elevation_m),
        ("ground speed", "m/s", |point| point.speed_mps),
        ("course", "deg", |point| point.course_deg),
        ("hdop", "", |point| point.hdop),
        ("magvar", "deg", |point| point.magvar_deg),
    ];
    let columns = pick
        .into_iter()
        .map(|(name, unit, value)| {
            (
                name,
                unit,
                track.points.iter().map(value).collect::<Vec<f64>>(),
            )
        })
        .filter(|(.., values)| values.iter().any(|value| !value.is_nan()))
        .collect::<Vec<_>>();
    head.names = columns
        .iter()
        .map(|(name, ..)| (*name).to_owned())
        .collect();
    head.units = columns
        .iter()
        .map(|(_, unit, _)| (*unit).to_owned())
        .collect();
    (head, Table::from_columns(columns))
}

fn build(
    name: &str,
    head: &Head,
    table: &Table,
    clock: &Clock,
    taken: &[Option<Taken>],
    part: &Segment,
    notes: &Notes,
) -> Recording {
    let first = part.seconds.first().copied().unwrap_or(0.0);
    let time_s: Vec<f64> = part.seconds.iter().map(|second| second - first).collect();
    let mut channels: Vec<Channel> = Vec::new();
    for (column, taken) in table.columns.iter().zip(taken) {
        let Some(taken) = taken else { continue };
        let values: Vec<f64> = part
            .rows
            .iter()
            .map(|&row| {
                let value = column.values.get(row).copied().unwrap_or(f64::NAN);
                value * taken.unit.factor + taken.unit.offset
            })
            .collect();
        channels.push(Channel {
            quantity: taken.quantity,
            column: column.name.clone(),
            unit: taken.unit.id.clone(),
            resolution: resolution(&values),
            values,
            because: taken.because.clone(),
            confidence: (taken.score / 6.0).clamp(0.0, 1.0),
        });
    }
    channels.sort_by(|a, b| {
        a.quantity
            .cmp(&b.quantity)
            .then(b.confidence.total_cmp(&a.confidence))
    });
    Recording {
        name: name.to_owned(),
        start_unix_s: clock.absolute.then_some(first),
        interval_s: median_step(&time_s),
        account: Account {
            rows_kept: time_s.len(),
            notes: notes.list.clone(),
            ..Account::default()
        },
        time_s,
        channels,
        preamble: head.preamble.clone(),
    }
}

/// Smallest step between different values, from a sample of the differences.
fn resolution(values: &[f64]) -> f64 {
    let mut least = f64::INFINITY;
    for pair in values.windows(2).take(20_000) {
        if let &[a, b] = pair {
            let step = (b - a).abs();
            if step > 1e-12 * a.abs().max(1e-6) && step < least {
                least = step;
            }
        }
    }
    if least.is_finite() { least } else { 0.0 }
}

fn median_step(time_s: &[f64]) -> f64 {
    let mut steps: Vec<f64> = time_s
        .windows(2)
        .filter_map(|pair| Some(pair.get(1)? - pair.first()?))
        .collect();
    let middle = steps.len() / 2;
    if steps.is_empty() {
        return 0.0;
    }
    *steps.select_nth_unstable_by(middle, f64::total_cmp).1
}

fn fill_report(
    report: &mut Report,
    head: &Head,
    table: &Table,
    clock: &Clock,
    taken: &[Option<Taken>],
) {
    report.separator = match head.separator {
        b',' => "comma",
        b';' => "semicolon",
        b'\t' => "tab",
        b'|' => "bar",
        b' ' => "blanks",
        _ => "",
    }
    .to_owned();
    report.decimal = if head.decimal == b',' {
        "comma"
    } else {
        "point"
    }
    .to_owned();
    report.header_line = head.header_line;
    report.units_line = head.units_line;
    report.preamble.clone_from(&head.preamble);
    report.time.how.clone_from(&clock.how);
    report.rows_lost = table.rows_lost;
    for (index, (column, taken)) in table.columns.iter().zip(taken).enumerate() {
        report.columns.push(ColumnReport {
            number: u32::try_from(index + 1).unwrap_or(0),
            name: column.name.clone(),
            taken_for: taken
                .as_ref()
                .map_or("other", |taken| taken.quantity.id())
                .to_owned(),
            unit: taken
                .as_ref()
                .map_or(String::new(), |taken| taken.unit.id.clone()),
            ..ColumnReport::default()
        });
    }
    let _ = Quantity::Other;
}
