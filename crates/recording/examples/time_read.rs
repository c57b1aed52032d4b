//! Times reading a file, cold and warm, beside plain parsing of the same cells.
//!
//! `cargo run --release -p recording --example time_read -- FILE [times]`

use std::time::Instant;

fn main() {
    let mut arguments = std::env::args().skip(1);
    let Some(path) = arguments.next() else {
        eprintln!("usage: time_read FILE [times]");
        std::process::exit(2);
    };
    let times: usize = arguments
        .next()
        .and_then(|text| text.parse().ok())
        .unwrap_or(7);
    let bytes = match std::fs::read(&path) {
        Ok(bytes) => bytes,
        Err(error) => {
            eprintln!("{path}: {error}");
            std::process::exit(3);
        }
    };
    let options = recording::ReadOptions::default();
    let mut best = f64::INFINITY;
    for run in 0..times {
        let start = Instant::now();
        let read = recording::read(&path, &bytes, &options);
        let ms = start.elapsed().as_secs_f64() * 1e3;
        best = best.min(ms);
        match read {
            Ok(read) if run == 0 => println!(
                "first {ms:.1} ms: {} rows, {} recordings, {} channels, {} notes",
                read.report.rows_kept,
                read.recordings.len(),
                read.recordings
                    .first()
                    .map_or(0, |recording| recording.channels.len()),
                read.report.notes.len(),
            ),
            Ok(_) => {}
            Err(error) => println!("{error}"),
        }
    }
    #[allow(clippy::cast_precision_loss)]
    let mb = bytes.len() as f64 / 1e6;
    println!(
        "best {best:.1} ms for {mb:.1} MB: {:.0} MB/s",
        mb / best * 1e3
    );
    for (name, ms) in recording::time_stages(&path, &bytes) {
        println!("  {name:24} {ms:7.2} ms");
    }
    let mut plain = f64::INFINITY;
    for _ in 0..times {
        let start = Instant::now();
        std::hint::black_box(parse_plainly(&bytes));
        plain = plain.min(start.elapsed().as_secs_f64() * 1e3);
    }
    println!("lines and commas split and parsed to f64 without asking anything: {plain:.1} ms");
    if let Some(kib) = peak_kib() {
        println!(
            "peak memory {:.1} MB, {:.1} times the file",
            kib / 1e3,
            kib / 1e3 / mb
        );
    }
}

/// The least that reading can be: cells to f64 columns, quotes and times not understood.
fn parse_plainly(bytes: &[u8]) -> Vec<Vec<f64>> {
    let mut columns: Vec<Vec<f64>> = vec![Vec::new(); 28];
    let mut start = 0;
    for end in memchr::memchr_iter(b'\n', bytes) {
        let line = &bytes[start..end];
        start = end + 1;
        let mut from = 0;
        let ends = memchr::memchr_iter(b',', line).chain(std::iter::once(line.len()));
        for (column, to) in ends.enumerate() {
            let value = fast_float2::parse::<f64, _>(&line[from..to]).unwrap_or(f64::NAN);
            if let Some(values) = columns.get_mut(column) {
                values.push(value);
            }
            from = to + 1;
        }
    }
    columns
}

/// Peak resident memory, where the system tells it.
fn peak_kib() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
