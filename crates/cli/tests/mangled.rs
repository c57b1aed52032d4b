//! Whatever a recorder leaves behind, the way through ends in a document without a panic, a NaN or
//! an endless wait. (The reader has fuzz targets of its own; this is about the stages behind it.)

use flight::Surroundings;
use proofwing::pipeline::{self, Setting};
use recording::ReadOptions;
use standard::Briefed;

/// A small generator of repeatable chance (Marsaglia, Xorshift RNGs, 2003).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, limit: usize) -> usize {
        (self.next() % limit.max(1) as u64) as usize
    }

    fn one_in(&mut self, many: usize) -> bool {
        self.below(many) == 0
    }
}

/// Debriefs a text; a file that cannot be read is a fine answer, a panic is not.
fn debrief(text: &str, with_aircraft: bool) -> Option<debrief::Debrief> {
    let aircraft = if with_aircraft {
        aircraft::parse(proofwing::demo::AIRCRAFT, "demo.toml")
            .unwrap()
            .0
    } else {
        aircraft::Aircraft::unknown()
    };
    let pack = standard::pack("faa-commercial").unwrap();
    let setting = Setting {
        aircraft: &aircraft,
        pack: &pack,
        briefed: &Briefed::default(),
        surroundings: Surroundings { terrain_m: None },
    };
    let read = recording::read("mangled.csv", text.as_bytes(), &ReadOptions::default()).ok()?;
    let recording = read.recordings.first()?;
    let document = pipeline::debrief(recording, &setting).document;
    let json = pipeline::to_json(&document).unwrap();
    assert!(!json.contains("NaN"), "a number that is none, in words");
    // JSON has no NaN: one would be written as null and could not be read back as a number.
    let again: debrief::Debrief = serde_json::from_str(&json).unwrap();
    assert_eq!(again.maneuvers.len(), document.maneuvers.len());
    Some(document)
}

/// Header and rows of the demo lesson, every `step`th row.
fn lesson(step: usize) -> (Vec<String>, Vec<Vec<String>>) {
    let text = proofwing::demo::recording_text().unwrap();
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    let cells = |line: &str| line.split(',').map(str::to_owned).collect::<Vec<_>>();
    let header = cells(lines.next().unwrap());
    (header, lines.step_by(step).map(cells).collect())
}

fn table(header: &[String], rows: &[Vec<String>]) -> String {
    let mut text = header.join(",");
    for row in rows {
        text.push('\n');
        text.push_str(&row.join(","));
    }
    text
}

#[test]
fn prop_each_column_alone_with_the_time() {
    let (header, rows) = lesson(10);
    for column in 1..header.len() {
        let header = [header[0].clone(), header[column].clone()];
        let rows: Vec<Vec<String>> = rows
            .iter()
            .map(|row| vec![row[0].clone(), row[column].clone()])
            .collect();
        debrief(&table(&header, &rows), column % 2 == 0);
    }
}

#[test]
fn prop_each_column_missing() {
    let (header, rows) = lesson(10);
    for column in 1..header.len() {
        let without = |row: &[String]| -> Vec<String> {
            row.iter()
                .enumerate()
                .filter(|(index, _)| *index != column)
                .map(|(_, cell)| cell.clone())
                .collect()
        };
        let rows: Vec<Vec<String>> = rows.iter().map(|row| without(row)).collect();
        assert!(
            debrief(&table(&without(&header), &rows), true).is_some(),
            "without {}",
            header[column]
        );
    }
}

#[test]
fn prop_short_and_broken_files() {
    let (header, rows) = lesson(5);
    let mut chance = Chance(0x5eed_0001);
    for round in 0..40 {
        let length = [1, 2, 3, 5, 10, 30, 100, 400][chance.below(8)];
        let from = chance.below(rows.len() - length);
        let mut rows: Vec<Vec<String>> = rows[from..from + length].to_vec();
        for row in &mut rows {
            for cell in row.iter_mut().skip(1) {
                if chance.one_in(12) {
                    *cell = ["", "NaN", "1e30", "-9999", "0", "999999", "text", "-0.0"]
                        [chance.below(8)]
                    .to_owned();
                }
            }
        }
        // Rows missing by the dozen, and out of order.
        if chance.one_in(2) && rows.len() > 20 {
            let at = chance.below(rows.len() - 10);
            rows.drain(at..at + 10);
            let (one, other) = (chance.below(rows.len()), chance.below(rows.len()));
            rows.swap(one, other);
        }
        debrief(&table(&header, &rows), round % 2 == 0);
    }
}

#[test]
fn prop_wild_numbers_in_whole_columns() {
    let (header, rows) = lesson(10);
    let mut chance = Chance(0x5eed_0002);
    for _ in 0..30 {
        let mut rows = rows[..600].to_vec();
        for _ in 0..4 {
            let column = 1 + chance.below(header.len() - 1);
            let value = ["0", "-1", "1e9", "42", "", "359.9"][chance.below(6)];
            for row in &mut rows {
                row[column] = value.to_owned();
            }
        }
        debrief(&table(&header, &rows), true);
    }
}
