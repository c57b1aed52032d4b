//! How often the intervals of the fit of the day hold the truth, over airplanes that nothing was set by.
//!
//! `cargo run --release -p performance --example fit_coverage -- [--flights N] [--seed S]` draws airplanes, lessons, air and
//! recorders, flies them in the model of `dynamics` and fits. `... -- --pairs FOLDER [--each N]` takes the flights of
//! `recovery_pairs` instead, N of every pair. `--rows` prints every figure.
//!
//! True best speeds are those of steady flight in the equations of the airplane itself (`dynamics::figures`), with its mass and the
//! density of the day. Each flight is fitted with two aircraft files: `bare` without best speeds and `usual` with those in the
//! proportions usual for trainers, rounded, whatever this airplane does: the rows must be the same.

mod airplane;
mod lesson;
mod pairs;
mod score;

use aircraft::Aircraft;
use dynamics::Airframe;
use flight::{Flight, Surroundings};
use practice::recorder::Fit;
use rand::SeedableRng;
use rand_pcg::Pcg64;
use score::Score;

/// A recording and what it is a recording of.
pub struct Case {
    /// As it flies.
    pub airframe: Airframe,
    /// The recording.
    pub text: String,
    /// The recorder.
    pub kind: Fit,
    /// What the aircraft files are called and are.
    pub files: Vec<(&'static str, Aircraft)>,
    /// Of the ground, m.
    pub elevation_m: f64,
    /// For the screen.
    pub name: String,
}

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let after = |name: &str| {
        let at = words.iter().position(|word| word == name)?;
        words.get(at + 1)
    };
    let number = |name: &str, otherwise: u64| {
        after(name)
            .and_then(|text| text.parse().ok())
            .unwrap_or(otherwise)
    };
    let rows = words.iter().any(|word| word == "--rows");
    let base = dynamics::parse(
        include_str!("../../../../data/airframes/demo.toml"),
        "demo.toml",
    )
    .expect("the demonstration's airframe reads");
    let mut score = Score::default();
    if let Some(folder) = after("--pairs") {
        let cases = pairs::cases(&base, folder.as_ref(), number("--each", 2));
        for case in cases {
            one(&case, rows, &mut score);
        }
    } else {
        for flight in 0..number("--flights", 40) {
            let mut dice = Pcg64::seed_from_u64((number("--seed", 1) << 32) ^ flight);
            if let Some(case) = lesson::draw(&base, flight, &mut dice) {
                one(&case, rows, &mut score);
            }
        }
    }
    score.print();
}

fn one(case: &Case, rows: bool, score: &mut Score) {
    let read = recording::read(
        "flight.csv",
        case.text.as_bytes(),
        &recording::ReadOptions::default(),
    );
    let Some(recording) = read
        .ok()
        .and_then(|read| read.recordings.into_iter().next())
    else {
        eprintln!("{}: the recording does not read", case.name);
        return;
    };
    for (file, aircraft) in &case.files {
        let around = Surroundings {
            terrain_m: Some(case.elevation_m),
        };
        let flight: Flight = flight::build(&recording, aircraft, &around);
        let found = maneuver::maneuvers(&flight, aircraft);
        let fit = performance::fit(&flight, &found, aircraft, &[]);
        if rows {
            println!(
                "{} {file} {:?} gust {:.2} noise {:.4} effective {:.0}",
                case.name, case.kind, flight.gust_mps, fit.support.noise, fit.support.effective
            );
        }
        score.take(case, file, &fit, rows);
    }
}
