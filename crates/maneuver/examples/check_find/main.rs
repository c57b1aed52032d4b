//! Finds the maneuvers of recordings with known truth and compares:
//! `cargo run --release -p maneuver --example check_find DIR [--aircraft DIR] [--only 001,002]
//! [--as panel|gps_att|gps|sparse] [--hz 1] [--totals] [--bare]`.
//!
//! DIR holds `NAME.csv.gz` (or `.csv`, `.gpx`) with `NAME.truth.json` beside it. `--aircraft` names a folder
//! with one file for each aircraft in the truth; without it the flight alone must do. `--as` takes
//! channels away, `--hz` thins the samples. `--totals` keeps the misses to itself (for flights held out).

mod support;

use support::{Case, Options, Tally};

fn main() {
    let options = match Options::parse(std::env::args().skip(1)) {
        Ok(options) => options,
        Err(message) => {
            eprintln!("{message}");
            std::process::exit(2);
        }
    };
    let mut tally = Tally::default();
    for path in options.truths() {
        match Case::load(&path, &options) {
            Ok(case) => tally.add(&case, &options),
            Err(message) => eprintln!("{}: {message}", path.display()),
        }
    }
    tally.print();
}
