//! How near takeoffs, landings and go-arounds come to the truth of simulated flights.
//!
//! `cargo run --release -p maneuver --example check_contacts -- DIR [FLIGHT FROM_S TO_S]`
//!
//! Reads every `*.truth.json` of a folder that has one of these kinds, with its recording and aircraft file,
//! finds the maneuvers from nothing, and prints for each true one every event's error and σ and what was
//! figured out. With a flight and two times it prints the quantities between them instead.

use maneuver::Maneuver;
use serde_json::Value;
use std::path::{Path, PathBuf};

const KINDS: [&str; 6] = [
    "takeoff",
    "landing",
    "go_around",
    "power_off_180",
    "forward_slip",
    "traffic_pattern",
];

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let Some(folder) = words.first() else {
        eprintln!("name the folder with the recordings");
        return;
    };
    let look = (
        words.get(1),
        words.get(2).and_then(|w| w.parse::<f64>().ok()),
        words.get(3).and_then(|w| w.parse::<f64>().ok()),
    );
    let mut truths: Vec<PathBuf> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.to_string_lossy().ends_with(".truth.json"))
        .filter(|path| {
            look.0
                .is_none_or(|only| path.to_string_lossy().contains(only.as_str()))
        })
        .collect();
    truths.sort();
    for path in truths {
        let span = match look {
            (_, Some(from), Some(to)) => Some((from, to)),
            _ => None,
        };
        if let Err(error) = one(&path, span) {
            eprintln!("{}: {error}", path.display());
        }
    }
}

fn one(path: &Path, look: Option<(f64, f64)>) -> Result<(), String> {
    let text = std::fs::read_to_string(path).map_err(|error| error.to_string())?;
    let truth: Value = serde_json::from_str(&text).map_err(|error| error.to_string())?;
    let empty = Vec::new();
    let wanted: Vec<&Value> = truth["maneuvers"]
        .as_array()
        .unwrap_or(&empty)
        .iter()
        .filter(|one| KINDS.contains(&one["kind"].as_str().unwrap_or("")))
        .collect();
    if wanted.is_empty() {
        return Ok(());
    }
    let file = truth["file"].as_str().unwrap_or_default();
    let bytes = std::fs::read(path.with_file_name(file)).map_err(|error| error.to_string())?;
    let name = truth["aircraft"]["name"].as_str().unwrap_or_default();
    let own =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../data/aircraft/{name}.toml"));
    let text = std::fs::read_to_string(own).map_err(|error| error.to_string())?;
    let (aircraft, _) = aircraft::parse(&text, name).map_err(|p| format!("{p:?}"))?;
    let read = recording::read(file, &bytes, &recording::ReadOptions::default())
        .map_err(|error| error.to_string())?;
    let recording = read.recordings.first().ok_or("nothing in it")?;
    let surroundings = flight::Surroundings { terrain_m: None };
    let flight = flight::build(recording, &aircraft, &surroundings);
    let shift =
        flight.start_unix_s.unwrap_or(0.0) - unix(truth["start_utc"].as_str().unwrap_or(""));
    if let Some((from, to)) = look {
        print_series(&flight, from, to);
        return Ok(());
    }
    println!(
        "{file} {} step {:.2} s, shift {shift:.2} s",
        truth["fit"], flight.clock.step_s
    );
    let found = maneuver::maneuvers(&flight, &aircraft);
    for one in &wanted {
        compare(one, &found, shift);
    }
    Ok(())
}

fn compare(truth: &Value, found: &[Maneuver], shift: f64) {
    let kind = truth["kind"].as_str().unwrap_or("");
    let (start, end) = (
        truth["t_start"].as_f64().unwrap_or(f64::NAN) - shift,
        truth["t_end"].as_f64().unwrap_or(f64::NAN) - shift,
    );
    let hit = found.iter().find(|one| {
        one.kind.id() == kind && one.end_s.min(end) - one.start_s.max(start) > 0.5 * (end - start)
    });
    let Some(hit) = hit else {
        println!("  {kind} {start:.1} to {end:.1}: not found");
        return;
    };
    println!(
        "  {kind} {start:.1} to {end:.1}: start {:+.1}, end {:+.1}, {}",
        hit.start_s - start,
        hit.end_s - end,
        hit.direction.id()
    );
    for (name, at) in truth["phases"].as_object().into_iter().flatten() {
        let at = at.as_f64().unwrap_or(f64::NAN) - shift;
        match hit.event(name) {
            Some(event) => println!(
                "      {name:16} {:+6.2} s, σ {:.2}",
                event.at_s - at,
                event.sigma_s
            ),
            None => println!("      {name:16} -"),
        }
    }
    let told: Vec<String> = hit
        .facts
        .iter()
        .map(|(name, fact)| format!("{name} {:.3}±{:.3} {}", fact.value, fact.sigma, fact.unit))
        .collect();
    println!("      {}", told.join("; "));
    for event in &hit.events {
        print!(" {}@{:.1}", event.name, event.at_s);
    }
    println!();
    for (name, why) in &hit.missing {
        println!("      {name}: {why}");
    }
    for variant in &hit.variants {
        println!(
            "      variant {} {:.2}: {}",
            variant.name, variant.probability, variant.why
        );
    }
    println!(
        "      true: {} {}",
        truth["params"], truth["extremes"]["ias_dev"]
    );
    println!("      true: {}", truth["verdict"]["private"]);
}

fn print_series(flight: &flight::Flight, from: f64, to: f64) {
    let (first, last) = (flight.clock.index(from), flight.clock.index(to));
    let at = |series: &Option<flight::Series>, i: usize| {
        series.as_ref().map_or(f64::NAN, |series| series.at(i))
    };
    println!(
        "t ias kt, gs kt, alt ft, hgt ft, climb fpm, pitch, bank, load, lat, hdg, trk, pwr, tas_rate, ground"
    );
    for i in first..=last {
        println!(
            "{:.1} {:6.1} {:6.1} {:7.1} {:7.1} {:6.0} {:5.1} {:5.1} {:6.3} {:6.3} {:6.1} {:6.1} {:5.2} {:6.2} {}",
            flight.clock.time_s(i),
            at(&flight.ias, i) / 0.514_444,
            at(&flight.ground_speed, i) / 0.514_444,
            at(&flight.altitude, i) / 0.3048,
            at(&flight.height, i) / 0.3048,
            at(&flight.climb, i) / 0.00508,
            at(&flight.pitch, i).to_degrees(),
            at(&flight.bank, i).to_degrees(),
            at(&flight.load, i),
            at(&flight.lateral, i),
            at(&flight.heading, i).to_degrees(),
            at(&flight.track, i).to_degrees(),
            at(&flight.power, i),
            at(&flight.tas_rate, i),
            flight.on_ground.get(i).copied().unwrap_or(false)
        );
    }
}

/// Seconds since 1970 of an ISO time in UTC without a fraction.
fn unix(text: &str) -> f64 {
    let part = |from: usize, to: usize| {
        text.get(from..to)
            .and_then(|t| t.parse::<i64>().ok())
            .unwrap_or(0)
    };
    let (y, m, d) = (part(0, 4), part(5, 7), part(8, 10));
    let (y2, m2) = if m <= 2 { (y - 1, m + 9) } else { (y, m - 3) };
    let days = 365 * y2 + y2.div_euclid(4) - y2.div_euclid(100)
        + y2.div_euclid(400)
        + (m2 * 306 + 5) / 10
        + d
        - 1
        - 719_468;
    (days * 86_400 + part(11, 13) * 3_600 + part(14, 16) * 60 + part(17, 19)) as f64
}
