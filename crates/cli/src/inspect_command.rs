//! `proofwing inspect`: what was understood of a recording, and how sure.

use crate::args::InspectArgs;
use crate::debrief_command::read_file;
use crate::failure::Failure;
use crate::{maps, output};
use proofwing::layout::wrapped;
use recording::{ColumnReport, Report};
use std::fmt::Write as _;

/// Below this a person should look; the reader says the same of `ColumnReport::confidence`.
const SURE: f64 = 0.6;
const NOTES_SHOWN: usize = 12;

/// Runs the command.
pub fn run(args: &InspectArgs) -> Result<(), Failure> {
    let (read, remembered) = read_file(&args.recording, &args.mapping)?;
    let report = &read.report;
    let mut text = String::new();
    file(&mut text, report, remembered.as_deref());
    time(&mut text, report);
    columns(&mut text, report, args.all);
    holes(&mut text, report);
    notes(&mut text, report, args.all);
    output::print(&text)?;
    if let Some(name) = &args.save_map {
        let entries = maps::given(&args.mapping)?;
        if entries.is_empty() {
            return Err(Failure::Usage(
                "--save-map needs at least one --map to remember".to_owned(),
            ));
        }
        let path = maps::save(name, &report.header_signature, entries)?;
        output::print(&format!(
            "\nRemembered for this header as \"{name}\": {}\n",
            path.display()
        ))?;
    }
    Ok(())
}

fn file(out: &mut String, report: &Report, remembered: Option<&str>) {
    let _ = writeln!(out, "{}", report.name);
    let mut parts = vec![
        report.format.clone(),
        report.container.clone(),
        report.encoding.clone(),
    ];
    if !report.separator.is_empty() {
        parts.push(format!("separated by {}", report.separator));
        parts.push(format!("decimal {}", report.decimal));
    }
    if report.header_line > 0 {
        parts.push(format!("names in line {}", report.header_line));
    }
    if report.units_line > 0 {
        parts.push(format!("units in line {}", report.units_line));
    }
    parts.retain(|part| !part.is_empty());
    wrapped(out, "  ", "  ", &parts.join(", "));
    let _ = writeln!(
        out,
        "  {} rows kept, {} left out",
        report.rows_kept, report.rows_lost
    );
    if let Some(name) = remembered {
        let _ = writeln!(out, "  read with the remembered map \"{name}\"");
    }
    for (key, value) in report.preamble.iter().take(8) {
        let _ = writeln!(out, "  {key}: {value}");
    }
}

fn time(out: &mut String, report: &Report) {
    let time = &report.time;
    let start = if time.start_utc.is_empty() {
        "date not known"
    } else {
        &time.start_utc
    };
    let _ = writeln!(
        out,
        "\nTime  from {}; {}{}",
        time.columns.join(" + "),
        time.how,
        doubt(time.confidence)
    );
    let _ = writeln!(
        out,
        "      starts {start}, {:.0} s long, a sample every {} s",
        time.length_s,
        short(time.interval_s)
    );
}

fn columns(out: &mut String, report: &Report, all: bool) {
    let _ = writeln!(
        out,
        "\n{:<24}{:<21}{:<7}{:>5}  range, file's unit",
        "Channel", "Column", "Unit", "Hz"
    );
    let shown = report
        .columns
        .iter()
        .filter(|column| all || (column.chosen && column.taken_for != "time"));
    for column in shown {
        row(out, column);
    }
    let unused: Vec<&str> = report
        .columns
        .iter()
        .filter(|column| !column.chosen && !["time", "empty"].contains(&column.taken_for.as_str()))
        .map(|column| column.name.as_str())
        .collect();
    if !all && !unused.is_empty() {
        let _ = writeln!(out, "not used: {} (see --all)", unused.join(", "));
    }
}

fn row(out: &mut String, column: &ColumnReport) {
    let range = match (column.low, column.high) {
        (Some(low), Some(high)) if column.taken_for.ends_with("itude") => {
            format!("{low:.4} to {high:.4}")
        }
        (Some(low), Some(high)) => format!("{} to {}", short(low), short(high)),
        _ => "no values".to_owned(),
    };
    let _ = writeln!(
        out,
        "{:<24}{:<21}{:<7}{:>5}  {range}",
        cut(&column.taken_for, 23),
        cut(&column.name, 20),
        cut(&column.unit, 6),
        short(column.rate_hz)
    );
    let mut words = column.because.clone();
    if column.blanks > 0 {
        let _ = write!(words, "; {} cells blank", column.blanks);
    }
    if column.sentinels > 0 {
        let _ = write!(words, "; {} cells that mean no value", column.sentinels);
    }
    words.push_str(&doubt(column.confidence));
    wrapped(out, "    ", "    ", &words);
}

fn holes(out: &mut String, report: &Report) {
    if report.power_cycles.len() > 1 {
        let _ = writeln!(
            out,
            "\nPower cycles: {} recordings in this file",
            report.power_cycles.len()
        );
        for (line, at_s) in &report.power_cycles {
            let _ = writeln!(out, "  line {line}, {at_s:.0} s");
        }
    }
    if !report.gaps.is_empty() {
        let _ = writeln!(out, "\nGaps");
        for (start, end) in report.gaps.iter().take(NOTES_SHOWN) {
            let _ = writeln!(
                out,
                "  {start:.1} to {end:.1} s: {:.1} s missing",
                end - start
            );
        }
        if report.gaps.len() > NOTES_SHOWN {
            let _ = writeln!(out, "  and {} more", report.gaps.len() - NOTES_SHOWN);
        }
    }
}

fn notes(out: &mut String, report: &Report, all: bool) {
    if report.notes.is_empty() {
        return;
    }
    let _ = writeln!(out, "\nOdd things, and what was done");
    let limit = if all { usize::MAX } else { NOTES_SHOWN };
    for note in report.notes.iter().take(limit) {
        let place = match (note.line, note.column) {
            (0, _) => "file".to_owned(),
            (line, 0) => format!("line {line}"),
            (line, column) => format!("line {line}, column {column}"),
        };
        wrapped(
            out,
            "  ",
            "      ",
            &format!("{place}: {}; {}", note.what, note.done),
        );
    }
    let hidden = report.notes.len().saturating_sub(limit) + report.notes_dropped;
    if hidden > 0 {
        let _ = writeln!(
            out,
            "  and {hidden} more{}",
            if all { "" } else { " (see --all)" }
        );
    }
}

fn doubt(confidence: f64) -> String {
    if confidence < SURE {
        format!(" [unsure, {:.0} %: please check]", confidence * 100.0)
    } else {
        String::new()
    }
}

fn cut(text: &str, width: usize) -> String {
    if text.chars().count() <= width {
        text.to_owned()
    } else {
        text.chars().take(width - 1).chain(['…']).collect()
    }
}

fn short(value: f64) -> String {
    let digits = if value.abs() >= 1000.0 {
        0
    } else if value.abs() >= 10.0 {
        1
    } else {
        2
    };
    let text = format!("{value:.digits$}");
    if text.contains('.') {
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    } else {
        text
    }
}
