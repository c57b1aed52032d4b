//! Writes stalls in pairs into a folder: the same lesson, the same air, the same hand, the same stall, once recovered
//! well and once with one or two faults, so that what a fault cost in height is known and not estimated.
//!
//! `cargo run --release --package practice --example recovery_pairs FOLDER [--pairs N] [--seed S] [--plant model|jsbsim]`
//!
//! With `--plant jsbsim` an independent flight dynamics library moves the same airplanes (`dynamics::outside`); begin the line
//! with `.ci/jsbsim`, which installs it.
//!
//! `pair_NNN_00.csv` is the lesson with the clean recovery, `pair_NNN_MM.csv` one with faults; `pair_NNN.aircraft.toml` is
//! what the school knows of the airplane, `truth.json` what really happened. Up to the full stall the flights of a
//! pair are one and the same motion; what the recorder makes of it has errors of its own in every flight.

mod airplane;
mod day;
mod fault;
mod lesson;
mod pair;
mod truth;

use dynamics::parse;
use std::error::Error;
use std::path::PathBuf;
use std::process::ExitCode;

const USAGE: &str = "usage: recovery_pairs FOLDER [--pairs N, default 8] [--seed S, default 1] [--plant model|jsbsim]";

/// What is asked for on the command line.
struct Asked {
    folder: PathBuf,
    pairs: u64,
    seed: u64,
    plant: Moves,
}

/// What moves the airplanes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Moves {
    Model,
    Jsbsim,
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
    let asked = asked(std::env::args().skip(1))?;
    std::fs::create_dir_all(&asked.folder)?;
    let base = parse(
        include_str!("../../../../data/airframes/demo.toml"),
        "demo.toml",
    )?;
    let plant = match asked.plant {
        Moves::Model => "model",
        Moves::Jsbsim => "jsbsim",
    };
    let mut pairs = Vec::new();
    for number in 0..asked.pairs {
        let pair = match pair::fly(&base, number, asked.seed, asked.plant) {
            Ok(pair) => pair,
            // The others stand; a number that is missing is told.
            Err(why) => {
                eprintln!("{why}");
                continue;
            }
        };
        for (name, text) in &pair.files {
            std::fs::write(asked.folder.join(name), text)?;
        }
        println!("{}", pair.line);
        pairs.push(pair.truth);
        // After every pair: whoever stops it early keeps what was flown.
        let all = serde_json::json!({ "seed": asked.seed, "plant": plant, "about": truth::ABOUT, "pairs": pairs });
        let text = serde_json::to_string_pretty(&all)?;
        std::fs::write(asked.folder.join("truth.json"), text)?;
    }
    // Nothing is there when our own model flew.
    let _ = std::fs::remove_dir_all(pair::plant_folder());
    if pairs.is_empty() {
        return Err("no pair was flown".into());
    }
    Ok(())
}

fn asked(mut args: impl Iterator<Item = String>) -> Result<Asked, String> {
    let mut asked = Asked {
        folder: args.next().ok_or(USAGE)?.into(),
        pairs: 8,
        seed: 1,
        plant: Moves::Model,
    };
    while let Some(name) = args.next() {
        let text = args
            .next()
            .ok_or(format!("{name} needs a value\n{USAGE}"))?;
        let whole = || {
            text.parse()
                .map_err(|_| format!("{name} must be a whole number, not \"{text}\"\n{USAGE}"))
        };
        match name.as_str() {
            "--pairs" => asked.pairs = whole()?,
            "--seed" => asked.seed = whole()?,
            "--plant" if text == "model" => asked.plant = Moves::Model,
            "--plant" if text == "jsbsim" => asked.plant = Moves::Jsbsim,
            _ => return Err(format!("{name} is not known\n{USAGE}")),
        }
    }
    Ok(asked)
}
