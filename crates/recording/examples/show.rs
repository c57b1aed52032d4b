//! Prints what the reader understood of each file named: a check by eye.

fn main() {
    for path in std::env::args().skip(1) {
        let Ok(bytes) = std::fs::read(&path) else {
            eprintln!("{path}: cannot be opened");
            continue;
        };
        match recording::read(&path, &bytes, &recording::ReadOptions::default()) {
            Ok(read) => show(&read),
            Err(error) => println!("{error}"),
        }
    }
}

fn show(read: &recording::Read) {
    let report = &read.report;
    println!(
        "== {} | {} | {} | {} | separator {} decimal {} | header {} units {} | time {} {}",
        report.name,
        report.container,
        report.encoding,
        report.format,
        report.separator,
        report.decimal,
        report.header_line,
        report.units_line,
        report.time.how,
        report.time.start_utc,
    );
    for recording in &read.recordings {
        println!(
            "-- {} rows, {:.1} s, every {:.3} s, start {:?}",
            recording.time_s.len(),
            recording.time_s.last().copied().unwrap_or(0.0),
            recording.interval_s,
            recording.start_unix_s,
        );
        for channel in &recording.channels {
            let first = channel.values.iter().copied().find(|value| !value.is_nan());
            println!(
                "   {:24} {:>8} {:12.6} {:10.3e} {:.2} {:?}: {}",
                channel.quantity.id(),
                channel.unit,
                first.unwrap_or(f64::NAN),
                channel.resolution,
                channel.confidence,
                channel.column,
                channel.because,
            );
        }
    }
    for column in read.report.columns.iter().filter(|column| !column.chosen) {
        println!(
            "   column {} {:?}: {} {}",
            column.number, column.name, column.taken_for, column.because
        );
    }
    for note in read.report.notes.iter().take(12) {
        println!(
            "   line {} column {}: {}; {}",
            note.line, note.column, note.what, note.done
        );
    }
}
