//! Flies the flights of the demo school and the lesson of the command line by the flight model, from the scripts in
//! `data/demo/scripts`, and writes them as the school's recorders do.
//!
//! `cargo run --package practice --example demo_school -- FOLDER [--scripts FOLDER] [ID …]`; `make demo-flights` writes
//! them where the repository keeps them. The same scripts write the same bytes on the same machine.

mod dialect;
mod engine;

use aircraft::Aircraft;
use dialect::{About, Dialect};
use dynamics::Airframe;
use flate2::Compression;
use flate2::write::GzEncoder;
use practice::recorder::{self, Fit};
use practice::script::{Script, default_airframe};
use serde::Deserialize;
use std::error::Error;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

const USAGE: &str = "usage: demo_school FOLDER [--scripts FOLDER] [ID …]";

/// `data/demo/scripts/flights.toml`.
#[derive(Deserialize)]
struct Flights {
    flight: Vec<Entry>,
}

/// One flight: its script is `ID.toml`.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    /// Name of the script.
    id: String,
    /// File that it becomes, below the folder.
    file: String,
    /// As the first line of the full recorder has it.
    #[serde(default)]
    airplane: String,
    recorder: Dialect,
    /// Rows a second: a divisor of ten.
    hertz: usize,
    /// Weather and hands.
    seed: u64,
}

fn main() -> ExitCode {
    match run() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("{error}");
            ExitCode::FAILURE
        }
    }
}

fn run() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1).peekable();
    let folder = PathBuf::from(args.next().ok_or(USAGE)?);
    let mut scripts = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo/scripts");
    if args.next_if(|word| word == "--scripts").is_some() {
        scripts = args.next().ok_or(USAGE)?.into();
    }
    let only: Vec<String> = args.collect();
    let flights: Flights = toml::from_str(&std::fs::read_to_string(scripts.join("flights.toml"))?)?;
    let airframe = default_airframe().map_err(|problem| problem.to_string())?;
    let file = include_str!("../../../../data/aircraft/demo.toml");
    let (aircraft, _) = aircraft::parse(file, "demo.toml").map_err(|all| format!("{all:?}"))?;
    let unknown = only
        .iter()
        .find(|id| flights.flight.iter().all(|entry| entry.id != **id));
    if let Some(id) = unknown {
        return Err(format!("flights.toml has no flight \"{id}\"\n{USAGE}").into());
    }
    for entry in &flights.flight {
        if only.is_empty() || only.contains(&entry.id) {
            let text = fly(&scripts, entry, &airframe, &aircraft)?;
            let path = folder.join(&entry.file);
            std::fs::create_dir_all(path.parent().unwrap_or(&folder))?;
            // No name and no time in the wrapping: the same flight gives the same bytes.
            let mut packed = GzEncoder::new(Vec::new(), Compression::best());
            packed.write_all(text.as_bytes())?;
            std::fs::write(&path, packed.finish()?)?;
        }
    }
    Ok(())
}

/// The recording of one flight.
fn fly(
    scripts: &Path,
    entry: &Entry,
    airframe: &Airframe,
    aircraft: &Aircraft,
) -> Result<String, Box<dyn Error>> {
    let name = format!("{}.toml", entry.id);
    let script = std::fs::read_to_string(scripts.join(&name))?;
    let script = Script::parse(&script, &name).map_err(|problem| problem.to_string())?;
    let flight = script
        .fly(airframe, Fit::Rich, entry.seed)
        .map_err(|problem| problem.to_string())?;
    let field = script.field();
    let mut rows = recorder::read(&flight.log, &field, Fit::Rich, 0.0, entry.seed);
    let every = (10 / entry.hertz.clamp(1, 10)).max(1);
    let mut index = 0;
    rows.retain(|_| {
        index += 1;
        (index - 1) % every == 0
    });
    let about = About {
        airplane: &entry.airplane,
        name: &script.name,
        hertz: entry.hertz,
        field,
        aircraft,
        airframe,
    };
    Ok(dialect::write(entry.recorder, &about, &rows))
}
