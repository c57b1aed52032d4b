//! Plain readers of the same file, as a measure of what reading alone costs.

use std::path::Path;
use std::process::Command;
use std::time::Duration;

/// Parses every numeric cell to f64 columns with a SIMD CSV reader; returns the number of columns.
pub fn by_simd_csv(bytes: &[u8]) -> usize {
    let start = bytes
        .windows(5)
        .position(|window| window == b"\ntime")
        .map_or(0, |at| at + 1);
    let mut reader =
        simd_csv::ZeroCopyReaderBuilder::new().from_reader(bytes.get(start..).unwrap_or_default());
    let mut columns: Vec<Vec<f64>> = Vec::new();
    while let Ok(Some(record)) = reader.read_byte_record() {
        columns.resize_with(columns.len().max(record.len()), Vec::new);
        for (column, cell) in columns.iter_mut().zip(record.iter()) {
            column.push(fast_float2::parse(cell).unwrap_or(f64::NAN));
        }
    }
    columns.len()
}

/// Seconds that pandas takes, or nothing where Python with pandas is absent.
pub fn by_pandas(file: &Path) -> Option<Duration> {
    let script = "import sys, time, pandas as p\n\
        best = 9e9\n\
        for _ in range(5):\n\
        \x20   t = time.perf_counter(); p.read_csv(sys.argv[1], comment='#'); best = min(best, time.perf_counter() - t)\n\
        print(best)";
    let output = Command::new("python3")
        .args(["-c", script])
        .arg(file)
        .output()
        .ok()?;
    let seconds: f64 = String::from_utf8(output.stdout).ok()?.trim().parse().ok()?;
    Some(Duration::from_secs_f64(seconds))
}
