//! The files that are measured: the demo recording repeated, thinned or stretched.

use std::fmt::Write as _;

/// The embedded demo lesson, 10 Hz, everything recorded.
pub struct Lesson {
    header: Vec<String>,
    rows: Vec<String>,
}

impl Lesson {
    /// Splits the text of the demo recording into its header and its rows.
    pub fn new(text: &str) -> Self {
        let (header, rows) = text
            .lines()
            .partition(|line| line.starts_with('#') || line.starts_with("time"));
        let own = |lines: Vec<&str>| lines.into_iter().map(str::to_owned).collect();
        Self {
            header: own(header),
            rows: own(rows),
        }
    }

    /// The lesson over and over, `step` rows apart, with a clock that runs on.
    pub fn repeated(&self, rows: usize, step: usize, seconds_per_row: f64) -> String {
        let mut text = self.header.join("\n");
        text.push('\n');
        let kept: Vec<&String> = self.rows.iter().step_by(step).collect();
        for (index, row) in kept.iter().cycle().take(rows).enumerate() {
            let Some((_, rest)) = row.split_once(',') else {
                continue;
            };
            let _ = writeln!(text, "{},{rest}", stamp(index as f64 * seconds_per_row));
        }
        text
    }

    /// Only the columns a glass panel writes: no flaps, controls, angle of attack or horn.
    pub fn panel(&self, rows: usize) -> String {
        let whole = self.repeated(rows, 10, 1.0);
        let mut kept: Vec<usize> = Vec::new();
        let mut text = String::new();
        for line in whole.lines().filter(|line| !line.starts_with('#')) {
            let cells: Vec<&str> = line.split(',').collect();
            if kept.is_empty() {
                let hidden = [
                    "aoa",
                    "stall_warn",
                    "flap",
                    "elev",
                    "ail",
                    "rudder",
                    "ptrim",
                    "throttle",
                    "mp",
                ];
                kept = (0..cells.len())
                    .filter(|index| !hidden.iter().any(|name| cells[*index].starts_with(name)))
                    .collect();
            }
            let row: Vec<&str> = kept
                .iter()
                .filter_map(|index| cells.get(*index).copied())
                .collect();
            let _ = writeln!(text, "{}", row.join(","));
        }
        text
    }
}

/// ISO time of a second count from an invented morning.
fn stamp(seconds: f64) -> String {
    let tenths = (seconds * 10.0).round() as u64;
    let (day, rest) = (tenths / 864_000, tenths % 864_000);
    let (hour, minute, second) = (rest / 36_000, rest / 600 % 60, rest % 600);
    format!(
        "2025-09-{:02}T{hour:02}:{minute:02}:{:02}.{}00Z",
        4 + day,
        second / 10,
        second % 10
    )
}
