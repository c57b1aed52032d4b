//! `score DIR`: debriefs every recording of a folder whose truth is known, against the private and
//! the commercial standard, and prints how well that went, by instrument fit.
//!
//! A recording `NAME.csv.gz`, `.csv` or `.gpx` belongs to `NAME.truth.json`; the aircraft is that of `NAME.aircraft.toml`, if
//! there is one, else of the school's file of its name, else of the truth. What an examiner would
//! have briefed for a commercial test (recovery at the first indication or after a full stall) is
//! told to the debrief, since no recording shows it; nothing else of the truth is, unless
//! `--briefed` is given, which also tells bank, heading, speed and altitude.

mod briefing;
mod by_kind;
mod craft;
mod kind_table;
mod noise;
mod report;
mod tally;
mod truth;

use flight::Surroundings;
use proofwing::pipeline::{self, Setting};
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use tally::Tally;
use truth::Truth;

/// Meters in a foot.
const M_PER_FT: f64 = 0.3048;

fn main() -> ExitCode {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let told = words.iter().any(|word| word == "--briefed");
    let quiet = words.iter().any(|word| word == "--quiet");
    let Some(folder) = words
        .iter()
        .find(|word| !word.starts_with("--"))
        .map(PathBuf::from)
    else {
        eprintln!("usage: score DIR [--briefed] [--quiet]");
        return ExitCode::from(2);
    };
    match run(&folder, told, quiet) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("score: {error}");
            ExitCode::FAILURE
        }
    }
}

fn run(folder: &Path, told: bool, quiet: bool) -> Result<(), String> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder)
        .map_err(|error| format!("{}: {error}", folder.display()))?
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.to_string_lossy().ends_with(".truth.json"))
        .collect();
    files.sort();
    if files.is_empty() {
        return Err(format!("{}: no *.truth.json here", folder.display()));
    }
    let results: Vec<Result<(Truth, Vec<Scored>), String>> =
        files.par_iter().map(|path| one(path, told)).collect();
    let mut fits: BTreeMap<String, Tally> = BTreeMap::new();
    for result in results {
        let (truth, scored) = result?;
        let tally = fits.entry(truth.fit.clone()).or_default();
        for (index, scored) in scored.iter().enumerate() {
            tally.add(
                &truth,
                &scored.document,
                scored.offset_s,
                scored.standard,
                index == 0,
            );
        }
    }
    report::print(&fits);
    if !quiet {
        println!("\nWHERE IT WENT WRONG");
        for problem in fits.values().flat_map(|tally| &tally.problems) {
            println!("  {problem}");
        }
    }
    Ok(())
}

/// One flight debriefed against one standard.
struct Scored {
    standard: &'static str,
    document: debrief::Debrief,
    offset_s: f64,
}

fn one(path: &Path, told: bool) -> Result<(Truth, Vec<Scored>), String> {
    let fail = |what: &dyn std::fmt::Display| format!("{}: {what}", path.display());
    let text = std::fs::read_to_string(path).map_err(|error| fail(&error))?;
    let truth: Truth = serde_json::from_str(&text).map_err(|error| fail(&error))?;
    let recording_path =
        recording_of(path).ok_or_else(|| fail(&"no recording of this name beside it"))?;
    let bytes = std::fs::read(&recording_path).map_err(|error| fail(&error))?;
    let name = recording_path
        .file_name()
        .unwrap_or_default()
        .to_string_lossy()
        .into_owned();
    let read = recording::read(&name, &bytes, &recording::ReadOptions::default())
        .map_err(|error| fail(&error))?;
    let recording = read
        .recordings
        .first()
        .ok_or_else(|| fail(&"holds no flight"))?;
    // An aircraft file beside the truth speaks first.
    let beside = path
        .to_string_lossy()
        .replace(".truth.json", ".aircraft.toml");
    let craft = std::fs::read_to_string(beside)
        .unwrap_or_else(|_| craft::text(&truth.aircraft, Path::new("data/aircraft")));
    let (aircraft, _) = aircraft::parse(&craft, &truth.aircraft.name).map_err(|problems| {
        fail(
            &problems
                .first()
                .map_or_else(String::new, ToString::to_string),
        )
    })?;
    let start: jiff::Timestamp = truth.start_utc.parse().map_err(|error| fail(&error))?;
    // The recorder's clock is the only tie between the two; a recording without a date starts with the truth.
    let offset_s = recording
        .start_unix_s
        .map_or(0.0, |unix_s| unix_s - start.as_second() as f64);
    let mut scored = Vec::new();
    for (standard, id) in [("private", "faa-private"), ("commercial", "faa-commercial")] {
        let pack = standard::pack(id).map_err(|error| fail(&error))?;
        let briefed = briefing::briefed(&truth, offset_s, standard, told);
        let setting = Setting {
            aircraft: &aircraft,
            pack: &pack,
            briefed: &briefed,
            surroundings: Surroundings {
                terrain_m: Some(truth.field.terrain_elevation_ft * M_PER_FT),
            },
        };
        scored.push(Scored {
            standard,
            document: pipeline::debrief(recording, &setting).document,
            offset_s,
        });
    }
    Ok((truth, scored))
}

fn recording_of(truth: &Path) -> Option<PathBuf> {
    let stem = truth
        .to_string_lossy()
        .strip_suffix(".truth.json")?
        .to_owned();
    [".csv.gz", ".csv", ".gpx", ".gpx.gz", ".zip"]
        .iter()
        .map(|ending| PathBuf::from(format!("{stem}{ending}")))
        .find(|path| path.exists())
}
