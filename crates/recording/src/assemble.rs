//! From one text to recordings and the report on it.

use crate::clock::{Clock, find_clock};
use crate::error::{Cause, ReadError};
use crate::head::{Head, read_head};
use crate::options::ReadOptions;
use crate::recognize::{Taken, recognize};
use crate::report::{Notes, Report};
use crate::sample::Sample;
use crate::sequence::{Segment, segments, step_at};
use crate::table::{Table, read_rows};
use crate::words::{HeaderWords, split_header};
use crate::world::unit_priors;
use crate::{Account, Channel, Read, Recording, clean, gpx, map, normalize, summary};

/// Reads one text: GPX, or one or several tables below each other.
pub fn read_text(
    name: &str,
    bytes: &[u8],
    mut notes: Notes,
    options: &ReadOptions,
) -> Result<Read, ReadError> {
    let fail = |line: u64, cause| ReadError {
        file: name.to_owned(),
        line,
        column: 0,
        cause,
    };
    if bytes
        .iter()
        .all(|byte| byte.is_ascii_whitespace() || *byte == 0)
    {
        return Err(fail(0, Cause::Empty));
    }
    if gpx::is_gpx(bytes) {
        let track = gpx::read(bytes, &mut notes).map_err(|cause| fail(0, cause))?;
        if track.points.is_empty() {
            return Err(fail(
                0,
                Cause::Gpx("there is no track point in it".to_owned()),
            ));
        }
        let format = format!("GPX {}", track.version);
        let (head, table) = gpx::table(track);
        return understand(name, &head, table, &format, notes, options)
            .map_err(|cause| fail(0, cause));
    }
    let mut out: Option<Read> = None;
    let mut at = 0;
    let mut line = 1;
    let mut first_error = None;
    while let Some(head) = read_head(bytes, at, line) {
        let mut notes_here = std::mem::take(&mut notes);
        let table = read_rows(bytes, &head, &mut notes_here);
        let next = table.next_table;
        match understand(name, &head, table, "table", notes_here, options) {
            Ok(read) => join(&mut out, read),
            Err(cause) => {
                first_error.get_or_insert(fail(head.rows_line, cause));
            }
        }
        match next {
            Some((next_at, next_line)) if next_at > at => (at, line) = (next_at, next_line),
            _ => break,
        }
    }
    out.ok_or_else(|| first_error.unwrap_or_else(|| fail(0, not_a_table(bytes))))
}

/// Whether the line at byte `at` is the head of a table: as many names as the rows below have cells, and
/// a clock among them. Looks at a few kilobytes only.
pub fn table_begins(bytes: &[u8], at: usize) -> bool {
    const LOOK: usize = 8192;
    let part = bytes
        .get(at..bytes.len().min(at + LOOK))
        .unwrap_or_default();
    let Some(head) = read_head(part, 0, 1) else {
        return false;
    };
    if head.header_line != 1 || !head.names_fit || head.rows_line > 4 {
        return false;
    }
    let table = read_rows(part, &head, &mut Notes::default());
    table.rows >= 2 && find_clock(&table, &head.preamble, None).is_some()
}

/// Why nothing like a table was found.
fn not_a_table(bytes: &[u8]) -> Cause {
    let head = bytes.get(..bytes.len().min(4096)).unwrap_or_default();
    let odd = head
        .iter()
        .filter(|&&byte| byte < 9 || (14..32).contains(&byte))
        .count();
    if odd * 10 > head.len() {
        Cause::NotText("it holds bytes that no text has".to_owned())
    } else {
        Cause::NoTable
    }
}

/// Adds another table's recordings; the report stays that of the first, with the notes of all.
pub fn join(out: &mut Option<Read>, mut read: Read) {
    match out {
        None => *out = Some(read),
        Some(first) => {
            first.recordings.append(&mut read.recordings);
            first
                .report
                .power_cycles
                .append(&mut read.report.power_cycles);
            first.report.rows_kept += read.report.rows_kept;
            first.report.rows_lost += read.report.rows_lost;
            first.report.notes.append(&mut read.report.notes);
            first.report.notes_dropped += read.report.notes_dropped;
        }
    }
}

fn understand(
    name: &str,
    head: &Head,
    mut table: Table,
    format: &str,
    mut notes: Notes,
    options: &ReadOptions,
) -> Result<Read, Cause> {
    let applied = map::apply(&options.map, &table)?;
    normalize::positions(&mut table, &mut notes);
    let mut sentinels = normalize::no_values(&mut table, &mut notes);
    // A track without times has no other column that could be the clock.
    let gpx_time = (format != "table").then(|| {
        table
            .columns
            .iter()
            .position(|column| column.name == "time")
            .ok_or(Cause::NoTime)
    });
    let gpx_time = gpx_time.transpose()?.map(|index| (index, None));
    let forced = applied
        .time
        .as_ref()
        .map(|(index, unit)| (*index, unit.as_ref()))
        .or(gpx_time);
    let mut clock = find_clock(&table, &head.preamble, forced).ok_or(Cause::NoTime)?;
    normalize::join_alternating(&mut table, &mut clock, &mut notes);
    let parts = segments(&table, &clock, &mut notes);
    if parts.is_empty() {
        return Err(Cause::NoTime);
    }
    let words: Vec<HeaderWords> = table
        .columns
        .iter()
        .map(|column| split_header(&column.name, &column.unit_cell))
        .collect();
    let sample = Sample::new(&table, &parts, clock.absolute);
    let fixed = fixed_columns(&table, &words, &sample, &applied);
    let mut left_out = clock.columns.clone();
    left_out.extend(&applied.ignored);
    let taken = recognize(&table, &words, &sample, &fixed, &left_out);
    for (total, count) in sentinels
        .iter_mut()
        .zip(clean::impossible(&mut table, &taken, &parts, &mut notes))
    {
        *total += count;
    }
    let mut report = Report {
        name: name.to_owned(),
        format: format.to_owned(),
        ..Report::default()
    };
    summary::fill(
        &mut report,
        head,
        &table,
        &clock,
        &taken,
        &parts,
        &sentinels,
    );
    let recordings = build(name, head, table, &clock, &taken, parts, &notes);
    report.notes = notes.list;
    report.notes_dropped = notes.dropped;
    Ok(Read { recordings, report })
}

/// Columns that the map names; a unit that it does not give is the written one, else the likeliest.
fn fixed_columns(
    table: &Table,
    words: &[HeaderWords],
    sample: &Sample,
    applied: &map::Applied,
) -> Vec<Option<Taken>> {
    let mut fixed = vec![None; table.columns.len()];
    for (index, quantity, unit) in &applied.columns {
        let written = words.get(*index).and_then(|words| {
            let trailing = words.trailing_unit.as_ref().map(|(unit, _)| unit);
            words
                .unit
                .as_ref()
                .or(trailing)
                .filter(|unit| crate::names::fits(unit, quantity.dimension()))
        });
        let facts = sample.facts.get(*index).and_then(Option::as_ref);
        let by_numbers = || {
            unit_priors(*quantity)
                .iter()
                .filter_map(|&(id, prior)| {
                    let unit = crate::vocabulary::VOCABULARY.unit(id)?;
                    let points = facts.map_or(0.0, |facts| {
                        crate::plausible::points(*quantity, unit, facts).0
                    });
                    Some((prior + points, unit))
                })
                .max_by(|a, b| a.0.total_cmp(&b.0))
                .map(|(_, unit)| unit)
        };
        let (unit, origin) = match (unit, written) {
            (Some(unit), _) => (unit.clone(), "map"),
            (None, Some(unit)) => (unit.clone(), "written"),
            (None, None) => match by_numbers() {
                Some(unit) => (unit.clone(), "by the numbers"),
                None => continue,
            },
        };
        if let Some(slot) = fixed.get_mut(*index) {
            *slot = Some(map::taken(*quantity, unit, origin));
        }
    }
    fixed
}

fn build(
    name: &str,
    head: &Head,
    mut table: Table,
    clock: &Clock,
    taken: &[Option<Taken>],
    parts: Vec<Segment>,
    notes: &Notes,
) -> Vec<Recording> {
    let mut out = Vec::with_capacity(parts.len());
    let several = parts.len() > 1;
    for (number, part) in parts.into_iter().enumerate() {
        let first = part.seconds.first().copied().unwrap_or(0.0);
        let mut time_s = part.seconds;
        time_s.iter_mut().for_each(|second| *second -= first);
        let mut channels = Vec::new();
        for (column, taken) in table.columns.iter_mut().zip(taken) {
            let Some(taken) = taken else { continue };
            // The usual case of one recording and no row lost moves the column instead of copying it.
            let mut values = if !several && part.rows.len() == column.values.len() {
                std::mem::take(&mut column.values)
            } else {
                part.rows
                    .iter()
                    .map(|&row| column.values.get(row).copied().unwrap_or(f64::NAN))
                    .collect()
            };
            let (factor, offset) = (taken.unit.factor, taken.unit.offset);
            values
                .iter_mut()
                .for_each(|value| *value = *value * factor + offset);
            if values.iter().any(|value| !value.is_nan()) {
                channels.push(channel(&column.name, taken, values));
            }
        }
        channels.sort_by(|a, b| {
            a.quantity
                .cmp(&b.quantity)
                .then(b.confidence.total_cmp(&a.confidence))
        });
        let name = if several {
            format!("{name} (part {})", number + 1)
        } else {
            name.to_owned()
        };
        out.push(Recording {
            name,
            start_unix_s: clock.absolute.then_some(first),
            interval_s: step_at(&time_s, 50),
            account: Account {
                rows_kept: time_s.len(),
                notes: notes.list.clone(),
                notes_dropped: notes.dropped,
                gaps: part
                    .gaps
                    .iter()
                    .map(|(from, to)| (from - first, to - first))
                    .collect(),
            },
            time_s,
            channels,
            preamble: head.preamble.clone(),
        });
    }
    out
}

fn channel(column: &str, taken: &Taken, values: Vec<f64>) -> Channel {
    Channel {
        quantity: taken.quantity,
        column: column.to_owned(),
        unit: taken.unit.id.clone(),
        resolution: resolution(&values),
        values,
        because: taken.because.clone(),
        confidence: taken.confidence,
    }
}

/// Smallest step between different neighbors, from the first rows.
fn resolution(values: &[f64]) -> f64 {
    let mut least = f64::INFINITY;
    for pair in values.windows(2).take(10_000) {
        if let &[a, b] = pair {
            let step = (b - a).abs();
            if step > 1e-12 * a.abs().max(1e-6) && step < least {
                least = step;
            }
        }
    }
    if least.is_finite() { least } else { 0.0 }
}

/// Milliseconds of each stage, for the example that measures.
pub fn time_stages(name: &str, bytes: &[u8]) -> Vec<(&'static str, f64)> {
    let mut out = Vec::new();
    let mut last = std::time::Instant::now();
    let mut lap = |what: &'static str| {
        out.push((what, last.elapsed().as_secs_f64() * 1e3));
        last = std::time::Instant::now();
    };
    let mut notes = Notes::default();
    let Some(head) = read_head(bytes, 0, 1) else {
        return Vec::new();
    };
    lap("head");
    let mut table = read_rows(bytes, &head, &mut notes);
    lap("rows to columns");
    normalize::positions(&mut table, &mut notes);
    let sentinels = normalize::no_values(&mut table, &mut notes);
    lap("positions, no values");
    let Some(mut clock) = find_clock(&table, &head.preamble, None) else {
        return Vec::new();
    };
    lap("clock");
    normalize::join_alternating(&mut table, &mut clock, &mut notes);
    let parts = segments(&table, &clock, &mut notes);
    lap("time base");
    let words: Vec<HeaderWords> = table
        .columns
        .iter()
        .map(|column| split_header(&column.name, &column.unit_cell))
        .collect();
    let sample = Sample::new(&table, &parts, clock.absolute);
    lap("sample");
    let fixed = vec![None; table.columns.len()];
    let taken = recognize(&table, &words, &sample, &fixed, &clock.columns);
    lap("recognition");
    clean::impossible(&mut table, &taken, &parts, &mut notes);
    lap("impossible values");
    let mut report = Report::default();
    summary::fill(
        &mut report,
        &head,
        &table,
        &clock,
        &taken,
        &parts,
        &sentinels,
    );
    lap("report");
    build(name, &head, table, &clock, &taken, parts, &notes);
    lap("to SI");
    out
}
