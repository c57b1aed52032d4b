//! Writes lessons of an odd structure with their truth into a folder, for the score: slow flight that a
//! stall begins out of, no clearing turns, half lazy eights alone, chained attempts, strong wind, rough air; in some of
//! them a figure by ground reference, in some a landing at the end.
//!
//! `cargo run --release --package practice --example odd_lessons FOLDER [FLIGHTS] [SEED]`, then
//! `make score RECORDINGS=FOLDER`; `make odd` does both. The same seed writes the same lessons.

mod lesson;
mod parts;

use dynamics::parse;
use std::error::Error;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

const USAGE: &str = "usage: odd_lessons FOLDER [FLIGHTS, default 8] [SEED, default 1]";

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
    let (folder, flights, seed) = asked(std::env::args().skip(1))?;
    std::fs::create_dir_all(&folder)?;
    let base = parse(
        include_str!("../../../../data/airframes/demo.toml"),
        "demo.toml",
    )?;
    for flight in 0..flights {
        let fit = usize::try_from(flight % 4)?;
        let number = seed.wrapping_mul(1000).wrapping_add(flight);
        let lesson = lesson::fly(&base, fit, number)?;
        write(&folder, &lesson)?;
    }
    Ok(())
}

fn asked(mut args: impl Iterator<Item = String>) -> Result<(PathBuf, u64, u64), String> {
    let folder = args.next().ok_or(USAGE)?;
    let mut number = |what: &str, otherwise: u64| match args.next() {
        None => Ok(otherwise),
        Some(text) => text
            .parse()
            .map_err(|_| format!("{what} must be a whole number, not \"{text}\"\n{USAGE}")),
    };
    let (flights, seed) = (number("FLIGHTS", 8)?, number("SEED", 1)?);
    match args.next() {
        Some(more) => Err(format!("\"{more}\" is one too many\n{USAGE}")),
        None => Ok((folder.into(), flights, seed)),
    }
}

fn write(folder: &Path, lesson: &lesson::Lesson) -> Result<(), Box<dyn Error>> {
    let name = &lesson.name;
    std::fs::write(folder.join(format!("{name}.csv")), &lesson.recording)?;
    let truth = serde_json::to_string_pretty(&lesson.truth)?;
    std::fs::write(folder.join(format!("{name}.truth.json")), truth)?;
    std::fs::write(
        folder.join(format!("{name}.aircraft.toml")),
        &lesson.aircraft,
    )?;
    Ok(())
}
