//! Holds the height ledger against flights whose true costs are known.
//!
//! `cargo run --release --package pipeline --example check_ledger FOLDER [--each]`
//!
//! FOLDER is what the example `recovery_pairs` of `practice` writes: the same stall out of the same state, recovered
//! well and with faults, and what each fault truly cost at both readings. The ledger sees the faulty recording alone.
//! A pair counts where the true cost is over 40 ft; it is right within 25 % or 20 ft. Beside it stands what a fixed
//! table of typical costs by fault would have said (each fault's mean over all the other airplanes of the folder).

use serde_json::Value;
use std::collections::BTreeMap;
use std::process::ExitCode;

const COUNTS_FT: f64 = 40.0;
const WITHIN: (f64, f64) = (0.25, 20.0);
const READINGS: [&str; 2] = ["lowest_ft", "after_30_s_ft"];

/// One faulty flight at one reading.
struct Case {
    pair: usize,
    fit: String,
    air: String,
    faults: String,
    reading: usize,
    truth_ft: f64,
    said_ft: f64,
    sigma_ft: f64,
}

fn main() -> ExitCode {
    let mut arguments = std::env::args().skip(1);
    let Some(folder) = arguments.next() else {
        eprintln!("usage: check_ledger FOLDER [--each]");
        return ExitCode::from(2);
    };
    let each = arguments.any(|word| word == "--each");
    match read(&folder) {
        Ok((cases, clean, missed)) => {
            report(&cases, &clean, missed, each);
            ExitCode::SUCCESS
        }
        Err(why) => {
            eprintln!("{why}");
            ExitCode::from(3)
        }
    }
}

type Read = (Vec<Case>, Vec<f64>, usize);

fn read(folder: &str) -> Result<Read, String> {
    let text = |name: &str| {
        std::fs::read_to_string(format!("{folder}/{name}"))
            .map_err(|error| format!("{folder}/{name}: {error}"))
    };
    let truth: Value = serde_json::from_str(&text("truth.json")?)
        .map_err(|error| format!("{folder}/truth.json: {error}"))?;
    let (mut cases, mut clean, mut missed) = (Vec::new(), Vec::new(), 0);
    let pairs = truth["pairs"].as_array().ok_or("truth.json: no pairs")?;
    for (number, pair) in pairs.iter().enumerate() {
        let aircraft = text(word(&pair["aircraft"]))?;
        let charged = |flight: &Value| -> Option<[(f64, f64); 2]> {
            let name = word(&flight["file"]);
            ledger_of(
                &text(name).ok()?,
                &aircraft,
                flight["full_stall_s"].as_f64()?,
            )
        };
        match charged(&pair["clean"]) {
            Some(said) => clean.push(said[0].0.abs().max(said[1].0.abs())),
            None => missed += 1,
        }
        for flight in pair["flights"].as_array().into_iter().flatten() {
            let Some(said) = charged(flight) else {
                missed += 1;
                continue;
            };
            for (reading, name) in READINGS.iter().enumerate() {
                let Some(truth_ft) = flight["cost_ft"][name].as_f64() else {
                    continue;
                };
                let faults: Vec<&str> = flight["faults"]
                    .as_array()
                    .into_iter()
                    .flatten()
                    .map(|fault| word(&fault["id"]))
                    .collect();
                cases.push(Case {
                    pair: number,
                    fit: word(&pair["fit"]).to_owned(),
                    air: word(&pair["turbulence"]).to_owned(),
                    faults: faults.join("+"),
                    reading,
                    truth_ft,
                    said_ft: said[reading].0,
                    sigma_ft: said[reading].1,
                });
            }
        }
    }
    Ok((cases, clean, missed))
}

fn word(value: &Value) -> &str {
    value.as_str().unwrap_or_default()
}

/// What a recording's ledger charges to causes at both readings, and the 1-σ of that, ft; of the stall nearest to a time.
fn ledger_of(recording: &str, aircraft: &str, stall_s: f64) -> Option<[(f64, f64); 2]> {
    let document: Value =
        serde_json::from_str(&pipeline::json_of(recording, aircraft).ok()?).ok()?;
    let stall = document["maneuvers"].as_array()?.iter().filter_map(|m| {
        let at = |name: &str| {
            let event = m["events"].as_array()?.iter().find(|e| e["name"] == name)?;
            event["at_s"].as_f64()
        };
        let stalled = at("full_stall").or_else(|| at("first_cue"))?;
        m["height_ledger"]["readings"].as_array()?;
        Some(((stalled - stall_s).abs(), m))
    });
    let (off, stall) = stall.min_by(|a, b| a.0.total_cmp(&b.0))?;
    if off > 8.0 {
        return None;
    }
    let reading = |k: usize| -> Option<(f64, f64)> {
        let reading = &stall["height_ledger"]["readings"][k];
        let lost = reading["lost"]["value"].as_f64()?;
        let any = &reading["any_recovery"];
        Some((lost - any["value"].as_f64()?, any["sigma"].as_f64()?))
    };
    Some([reading(0)?, reading(1)?])
}

fn right(case: &Case, said_ft: f64) -> bool {
    (said_ft - case.truth_ft).abs() <= (WITHIN.0 * case.truth_ft.abs()).max(WITHIN.1)
}

/// What a table of typical costs would say: the mean of the same faults in the other pairs.
fn table(cases: &[Case], of: &Case) -> f64 {
    let same: Vec<f64> = cases
        .iter()
        .filter(|c| c.pair != of.pair && c.reading == of.reading && c.faults == of.faults)
        .map(|c| c.truth_ft)
        .collect();
    let singles = || {
        let parts = of.faults.split('+').map(|fault| {
            let alone: Vec<f64> = cases
                .iter()
                .filter(|c| c.pair != of.pair && c.reading == of.reading && c.faults == fault)
                .map(|c| c.truth_ft)
                .collect();
            mean(&alone)
        });
        parts.sum()
    };
    if same.is_empty() {
        singles()
    } else {
        mean(&same)
    }
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len().max(1) as f64
}

fn report(cases: &[Case], clean: &[f64], missed: usize, each: bool) {
    if each {
        for c in cases {
            println!(
                "pair {:03} {:5} {:8} {:>9}  true {:6.0} ft  said {:6.0} ± {:3.0}  {}",
                c.pair,
                c.fit,
                c.air,
                if c.reading == 0 { "lowest" } else { "30 s" },
                c.truth_ft,
                c.said_ft,
                c.sigma_ft,
                c.faults
            );
        }
    }
    let counted: Vec<&Case> = cases
        .iter()
        .filter(|c| c.truth_ft.abs() > COUNTS_FT)
        .collect();
    println!("                         right  of         mean error   of a table");
    let mut rows: BTreeMap<String, Vec<&Case>> = BTreeMap::new();
    for case in &counted {
        let reading = ["lowest", "30 s"][case.reading];
        let double = case.faults.contains('+');
        let fault = if double { "two faults" } else { &case.faults };
        for key in [
            format!("1 {}, {reading}", case.fit),
            format!("2 {} air", case.air),
            format!("3 {fault}"),
        ] {
            rows.entry(key).or_default().push(case);
        }
    }
    for (key, row) in rows {
        line(&key[2..], &row, cases);
    }
    line("all", &counted, cases);
    let inside = cases
        .iter()
        .filter(|c| (c.said_ft - c.truth_ft).abs() <= 1.96 * c.sigma_ft)
        .count();
    println!(
        "95 % intervals hold the true cost in {inside} of {} ({:.1} %)",
        cases.len(),
        100.0 * inside as f64 / cases.len().max(1) as f64
    );
    let good = clean.iter().filter(|ft| **ft <= 20.0).count();
    println!(
        "clean recoveries charged 20 ft or less: {good} of {}; the most {:.0} ft",
        clean.len(),
        clean.iter().copied().fold(0.0, f64::max)
    );
    println!("flights whose stall or ledger was not found: {missed}");
}

fn line(name: &str, row: &[&Case], cases: &[Case]) {
    let hits = row.iter().filter(|c| right(c, c.said_ft)).count();
    let error = mean(
        &row.iter()
            .map(|c| (c.said_ft - c.truth_ft).abs())
            .collect::<Vec<_>>(),
    );
    let fixed = mean(
        &row.iter()
            .map(|c| (table(cases, c) - c.truth_ft).abs())
            .collect::<Vec<_>>(),
    );
    println!(
        "{name:24} {hits:4}  {:4}  {:4.0} %  {error:8.0} ft  {fixed:8.0} ft",
        row.len(),
        100.0 * hits as f64 / row.len().max(1) as f64
    );
}
