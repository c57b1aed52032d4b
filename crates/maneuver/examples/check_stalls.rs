//! How near the moments of stalls come to the truth, and how many second stalls are found.
//!
//! `cargo run --release --package maneuver --example check_stalls FOLDER... [--each]`
//!
//! A folder is what the example `recovery_pairs` of `practice` writes. For every flight the stall under test is looked
//! for; by recorder and kind stand its full stall, its recovery and the time between against the truth, s, and second
//! stalls found, of those that were flown, and told where the wing never stalled again.

use aircraft::Aircraft;
use maneuver::Maneuver;
use serde_json::Value;
use std::collections::BTreeMap;
use std::process::ExitCode;

/// A stall is the one under test where it is told no further from the true moment, s.
const NEAR_S: f64 = 8.0;

#[derive(Default)]
struct Row {
    flights: usize,
    missed: usize,
    full: Vec<f64>,
    recovery: Vec<f64>,
    stalled: Vec<f64>,
    second: Vec<f64>,
    seconds: usize,
    told: usize,
    none: usize,
    wrong: usize,
}

fn main() -> ExitCode {
    let (options, folders): (Vec<String>, Vec<String>) =
        std::env::args().skip(1).partition(|a| a.starts_with("--"));
    let each = options.iter().any(|option| option == "--each");
    if folders.is_empty() {
        eprintln!("usage: check_stalls FOLDER... [--each]");
        return ExitCode::from(2);
    }
    let mut rows: BTreeMap<String, Row> = BTreeMap::new();
    for folder in &folders {
        if let Err(why) = read(folder, each, &mut rows) {
            eprintln!("{why}");
            return ExitCode::from(3);
        }
    }
    print(&rows);
    ExitCode::SUCCESS
}

fn read(folder: &str, each: bool, rows: &mut BTreeMap<String, Row>) -> Result<(), String> {
    let text = |name: &str| {
        std::fs::read_to_string(format!("{folder}/{name}"))
            .map_err(|error| format!("{folder}/{name}: {error}"))
    };
    let truth: Value = serde_json::from_str(&text("truth.json")?)
        .map_err(|error| format!("{folder}/truth.json: {error}"))?;
    for pair in truth["pairs"].as_array().ok_or("truth.json: no pairs")? {
        let file = word(&pair["aircraft"]);
        let (aircraft, _) = aircraft::parse(&text(file)?, file)
            .map_err(|_| format!("{folder}/{file}: cannot be read"))?;
        let faulty = pair["flights"].as_array().into_iter().flatten();
        for flight in std::iter::once(&pair["clean"]).chain(faulty) {
            let name = word(&flight["file"]);
            let found = found(&text(name)?, name, &aircraft)?;
            let fit = word(&pair["fit"]);
            let words = one(flight, &found, [fit, word(&pair["kind"])], rows);
            if each {
                let faults: Vec<&str> = flight["faults"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .map(|fault| word(&fault["id"]))
                    .collect();
                let air = word(&pair["turbulence"]);
                println!(
                    "{folder}/{name} {fit:5} {:17} {air:8} {words} {}",
                    word(&pair["kind"]),
                    faults.join("+")
                );
            }
        }
    }
    Ok(())
}

fn word(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

fn found(recorded: &str, name: &str, aircraft: &Aircraft) -> Result<Vec<Maneuver>, String> {
    let options = recording::ReadOptions::default();
    let read = recording::read(name, recorded.as_bytes(), &options).map_err(|e| e.to_string())?;
    let first = read.recordings.first().ok_or("no recording")?;
    let flight = flight::build(first, aircraft, &flight::Surroundings::default());
    Ok(maneuver::maneuvers(&flight, aircraft))
}

/// Adds one flight to its rows, and says what was told.
fn one(
    flight: &Value,
    found: &[Maneuver],
    [fit, kind]: [&str; 2],
    rows: &mut BTreeMap<String, Row>,
) -> String {
    let at = |m: &Maneuver, name: &str| {
        let event = m.events.iter().find(|event| event.name == name)?;
        Some(event.at_s)
    };
    let stalled = |m: &Maneuver| at(m, "full_stall").or_else(|| at(m, "first_cue"));
    let moments = &flight["moments"];
    let truth = |name: &str| moments[name].as_f64();
    let full_s = truth("full_stall").unwrap_or(f64::NAN);
    let nearest = found
        .iter()
        .filter(|m| m.kind.id().ends_with("_stall"))
        .filter_map(|m| Some((m, (stalled(m)? - full_s).abs())))
        .filter(|(_, off)| *off <= NEAR_S)
        .min_by(|a, b| a.1.total_cmp(&b.1));
    let second = truth("secondary_stall");
    // Where the wing stalled again by itself, nothing is asked.
    let never = second.is_none() && flight["stalled_again"] != Value::Bool(true);
    let told = nearest.and_then(|(m, _)| at(m, "secondary_stall"));
    let mut words = String::new();
    for key in [format!("{fit} {kind}"), format!("{fit} all")] {
        let row = rows.entry(key).or_default();
        row.flights += 1;
        row.seconds += usize::from(second.is_some());
        row.none += usize::from(never);
        let Some((m, _)) = nearest else {
            row.missed += 1;
            words = "MISSED".to_owned();
            continue;
        };
        let off = |name: &str| Some(at(m, name)? - truth(name)?);
        let (full, recovery) = (off("full_stall"), off("recovery_start"));
        row.full.extend(full);
        row.recovery.extend(recovery);
        row.stalled
            .extend(full.zip(recovery).map(|(full, recovery)| recovery - full));
        row.told += usize::from(second.is_some() && told.is_some());
        row.second.extend(second.zip(told).map(|(is, t)| t - is));
        row.wrong += usize::from(never && told.is_some());
        let number = |value: Option<f64>| value.map_or("    -".to_owned(), |v| format!("{v:+5.1}"));
        words = format!(
            "full {full_s:.1} {} recovery {} as {:17} second {} after, told {}",
            number(full),
            number(recovery),
            m.kind.id(),
            number(second.zip(truth("recovery_start")).map(|(s, r)| s - r)),
            match (second, told) {
                (Some(is), Some(told)) => number(Some(told - is)),
                (None, Some(told)) if never => format!("FALSE at {:+.1}", told - full_s),
                (None, Some(told)) => format!("by itself at {:+.1}", told - full_s),
                (Some(_), None) => "NOTHING".to_owned(),
                (None, None) => number(None),
            }
        );
    }
    words
}

fn print(rows: &BTreeMap<String, Row>) {
    println!(
        "                        flights missed  full med p90 (mean)    recovery med p90 (mean)  stalled for med p90 (mean)  second told/flown  med p90  wrongly"
    );
    for (key, row) in rows {
        println!(
            "{key:25} {:5} {:5}   {}       {}         {}            {:3}/{:3}   {}   {}/{}",
            row.flights,
            row.missed,
            quantiles(&row.full),
            quantiles(&row.recovery),
            quantiles(&row.stalled),
            row.told,
            row.seconds,
            quantiles(&row.second),
            row.wrong,
            row.none,
        );
    }
}

fn quantiles(values: &[f64]) -> String {
    let mut sizes: Vec<f64> = values.iter().map(|v| v.abs()).collect();
    sizes.sort_by(f64::total_cmp);
    let at = |q: f64| {
        let index = (sizes.len().max(1) - 1) as f64 * q;
        sizes.get(index.round() as usize).copied()
    };
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    match (at(0.5), at(0.9)) {
        (Some(middle), Some(most)) => format!("{middle:4.2} {most:5.2} ({mean:+5.2})"),
        _ => "   -".to_owned(),
    }
}
