//! Lessons flown from a few lines, for the checks.
#![allow(dead_code)] // each test program uses its own part

use practice::log::{Flown, Sample};
use practice::recorder::Fit;
use practice::script::{Flight, Script, default_airframe};

/// Flies a script; calm air and no wandering unless it says otherwise.
pub fn flown(text: &str, fit: Fit, seed: u64) -> Flight {
    let head = "schema = \"proofwing-script-1\"\n";
    let script = Script::parse(&format!("{head}{text}"), "check.toml");
    let script = script.unwrap_or_else(|problem| panic!("{problem}"));
    let airframe = default_airframe().expect("the demonstration's airframe reads");
    script
        .fly(&airframe, fit, seed)
        .unwrap_or_else(|problem| panic!("{problem}"))
}

/// One maneuver of a kind with more entries, without clearing turns where that is possible.
pub fn one(kind: &str, entries: &str) -> Flight {
    let start = "[start]\nheight_ft = 3500\nheading_deg = 30\n[pilot]\nwander = 0.3\n";
    flown(
        &format!("{start}[[fly]]\nkind = \"{kind}\"\n{entries}\n"),
        Fit::Rich,
        5,
    )
}

/// The maneuver of a kind.
pub fn of<'l>(flight: &'l Flight, kind: &str) -> &'l Flown {
    let found = flight.log.flown.iter().find(|one| one.kind == kind);
    found.expect("it was flown")
}

/// A moment of it.
pub fn at(flown: &Flown, name: &str) -> f64 {
    let found = flown.moments.get(name).copied();
    found.unwrap_or_else(|| panic!("{name} of {:?}", flown.moments))
}

/// Samples between two times.
pub fn between(flight: &Flight, from_s: f64, to_s: f64) -> Vec<&Sample> {
    let within = |sample: &&Sample| (from_s..=to_s).contains(&sample.seen.t);
    flight.log.samples.iter().filter(within).collect()
}

/// Mean of something over samples.
pub fn mean(samples: &[&Sample], of: impl Fn(&Sample) -> f64) -> f64 {
    samples.iter().map(|sample| of(sample)).sum::<f64>() / samples.len().max(1) as f64
}

/// Greatest of something over samples.
pub fn most(samples: &[&Sample], of: impl Fn(&Sample) -> f64) -> f64 {
    samples
        .iter()
        .map(|sample| of(sample))
        .fold(f64::NEG_INFINITY, f64::max)
}
