//! How near the fit of the day comes to the aircraft of simulated flights.
//!
//! `cargo run --release -p performance --example check_fit -- FOLDER [FLIGHT]`
//!
//! Reads every `*.truth.json` of a folder with its recording and aircraft file, fits, and prints for each figure the
//! value as flown, its σ, the truth's, and the error in σ; at the end the errors by figure. The aircraft files
//! are also read with their best speeds taken out (`bare`), so that it shows what the flight alone says.
//!
//! The stated best speeds of such a truth may have been set and not measured. So VY is told a second way, from the recording's own climbs
//! at full power with flaps up and no law of drag and thrust: a parabola of the climb rate over speed, with a term for density
//! (`climbs`), against what is stated and what is fitted.

use aircraft::Aircraft;
use performance::regress::{self, Belief, Row};
use performance::{DayFit, Measure};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const KT: f64 = 1852.0 / 3600.0;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).collect();
    let Some(folder) = words.first() else {
        eprintln!("name the folder with the recordings");
        return;
    };
    let mut truths: Vec<PathBuf> = std::fs::read_dir(folder)
        .into_iter()
        .flatten()
        .flatten()
        .map(|entry| entry.path())
        .filter(|path| path.to_string_lossy().ends_with(".truth.json"))
        .filter(|path| {
            words
                .get(1)
                .is_none_or(|only| path.to_string_lossy().contains(only.as_str()))
        })
        .collect();
    truths.sort();
    let mut errors: BTreeMap<String, Vec<(f64, f64)>> = BTreeMap::new();
    for path in truths {
        if let Err(error) = one(&path, &mut errors) {
            eprintln!("{}: {error}", path.display());
        }
    }
    println!("\nfigure: count, mean error, rms error (kt), rms of error/σ, within 1.64 σ");
    for (name, all) in &errors {
        let count = all.len() as f64;
        let mean = all.iter().map(|(e, _)| e).sum::<f64>() / count;
        let rms = (all.iter().map(|(e, _)| e * e).sum::<f64>() / count).sqrt();
        let share = (all.iter().map(|(e, s)| (e / s).powi(2)).sum::<f64>() / count).sqrt();
        let within = all.iter().filter(|(e, s)| e.abs() < 1.645 * s).count();
        println!(
            "{name:36} {:3} {mean:+6.2} {rms:6.2} {share:6.2} {within}",
            all.len()
        );
    }
}

fn one(path: &Path, errors: &mut BTreeMap<String, Vec<(f64, f64)>>) -> Result<(), String> {
    let text = std::fs::read_to_string(path).map_err(|error| error.to_string())?;
    let truth: Value = serde_json::from_str(&text).map_err(|error| error.to_string())?;
    let file = truth["file"].as_str().unwrap_or_default();
    let bytes = std::fs::read(path.with_file_name(file)).map_err(|error| error.to_string())?;
    let name = truth["aircraft"]["name"].as_str().unwrap_or_default();
    let own =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../data/aircraft/{name}.toml"));
    let aircraft = match std::fs::read_to_string(own) {
        Ok(text) => {
            aircraft::parse(&text, name)
                .map_err(|p| format!("{p:?}"))?
                .0
        }
        Err(_) => of_truth(&truth),
    };
    let read = recording::read(file, &bytes, &recording::ReadOptions::default())
        .map_err(|error| error.to_string())?;
    let recording = read.recordings.first().ok_or("nothing in it")?;
    let terrain_m = truth["field"]["terrain_elevation_ft"]
        .as_f64()
        .map(|ft| ft * 0.3048);
    let flight = flight::build(recording, &aircraft, &flight::Surroundings { terrain_m });
    let found = maneuver::maneuvers(&flight, &aircraft);
    println!(
        "\n{file} {name} {} air {:?} gust {:.2}",
        truth["fit"], flight.air, flight.gust_mps
    );
    let mut bare = aircraft.clone();
    (
        bare.speeds.vx_mps,
        bare.speeds.vy_mps,
        bare.speeds.best_glide_mps,
    ) = (None, None, None);
    for (what, aircraft) in [("file", &aircraft), ("bare", &bare)] {
        let fit = performance::fit(&flight, &found, aircraft, &[]);
        if what == "file" {
            for words in &fit.support.words {
                println!("  {words}");
            }
        }
        println!(
            "  {what}: effective {:.0} noise {:.4} law {}",
            fit.support.effective,
            fit.support.noise,
            law(&fit)
        );
        compare(&fit, &truth, what, errors);
        if what == "bare" {
            own_climbs(&flight, aircraft, &fit, &truth, errors);
        }
    }
    Ok(())
}

/// Least pieces of four seconds at full power for a parabola.
const LEAST: usize = 20;

fn own_climbs(
    flight: &flight::Flight,
    aircraft: &Aircraft,
    fit: &DayFit,
    truth: &Value,
    errors: &mut BTreeMap<String, Vec<(f64, f64)>>,
) {
    let scales = performance::prior::Scales::of(aircraft);
    let pieces = performance::samples::pieces(flight, aircraft, &scales, &fit.stall.mean);
    let climbs: Vec<_> = pieces
        .iter()
        .filter(|p| p.detent == 0 && p.share > 0.92 && (0.9..1.1).contains(&p.load))
        .filter(|p| (1.25..1.95).contains(&p.u))
        .collect();
    let mut last = f64::NEG_INFINITY;
    let rows: Vec<Row> = climbs
        .iter()
        .map(|p| {
            let (v, less) = (p.u - 1.5, p.density_ratio - fit.density_ratio);
            let joins = p.at_s - last < 6.0;
            last = p.at_s;
            Row {
                x: vec![1.0, v, v * v, less],
                y: p.excess * p.tas_mps,
                relative: 1.0,
                joins,
            }
        })
        .collect();
    if rows.len() < LEAST {
        return;
    }
    let wide = Belief::independent(&[(3.0, 30.0), (0.0, 30.0), (-5.0, 30.0), (0.0, 30.0)]);
    let found = regress::fit(&rows, &wide, 0.02).belief;
    let (slope, bent) = (found.mean[1], found.mean[2]);
    let v = -slope / (2.0 * bent);
    let sigma = found.sigma(&[0.0, 1.0, 2.0 * v, 0.0]) / (2.0 * bent).abs();
    if bent >= 0.0 || !(-0.25..0.45).contains(&v) {
        return;
    }
    let kt = |u: f64| aircraft.indicated_mps(u * fit.vs1_cas_mps, 0.0) / KT;
    let (vy, sigma) = (kt(1.5 + v), sigma * fit.vs1_cas_mps / KT);
    let stated = truth["aircraft"]["vy_kias"].as_f64().unwrap_or(f64::NAN);
    println!(
        "    vy by the climbs alone {vy:7.2} ± {sigma:.2}, stated {stated:.1}, {} pieces",
        rows.len()
    );
    errors
        .entry("vy stated against the climbs alone".to_owned())
        .or_default()
        .push((stated - vy, sigma));
    let fitted = fit.speeds().into_iter().find(|row| row.id == "vy");
    if let Some((value, own)) = fitted.and_then(|row| row.flown) {
        errors
            .entry("vy fitted against the climbs alone".to_owned())
            .or_default()
            .push((value / KT - vy, sigma.hypot(own / KT)));
    }
}

fn law(fit: &DayFit) -> String {
    let sigma = |k: usize| fit.law.cov.at(k, k).max(0.0).sqrt();
    let all: Vec<String> = fit
        .law
        .mean
        .iter()
        .enumerate()
        .map(|(k, value)| format!("{value:.4}±{:.4}", sigma(k)))
        .collect();
    all.join(" ")
}

fn compare(
    fit: &DayFit,
    truth: &Value,
    what: &str,
    errors: &mut BTreeMap<String, Vec<(f64, f64)>>,
) {
    let own = &truth["aircraft"];
    for row in fit.speeds() {
        let key = match row.id.as_str() {
            "vy" => "vy_kias",
            "vx" => "vx_kias",
            "best_glide" => "best_glide_kias",
            "stall_0" => "vs1_kias",
            "stall_40" | "stall_30" => "vs0_kias",
            _ => "",
        };
        let by = if row.measure == Measure::Airspeed {
            KT
        } else {
            1.0
        };
        let told = own[key].as_f64().unwrap_or(f64::NAN);
        match (row.flown, row.reason) {
            (Some((value, sigma)), _) => {
                let (value, sigma) = (value / by, sigma / by);
                println!(
                    "    {:16} {value:7.2} ± {sigma:5.2}  true {told:6.1}  {:+5.2} σ",
                    row.id,
                    (value - told) / sigma
                );
                if told.is_finite() {
                    errors
                        .entry(format!("{} ({what})", row.id))
                        .or_default()
                        .push((value - told, sigma));
                }
            }
            (None, reason) => println!("    {:16} - {}", row.id, reason.unwrap_or_default()),
        }
    }
}

/// What the truth says of an aircraft that has no file.
fn of_truth(truth: &Value) -> Aircraft {
    let own = &truth["aircraft"];
    let kt = |key: &str| own[key].as_f64().map(|v| v * KT);
    let mut aircraft = Aircraft::unknown();
    aircraft.speeds.vs0_mps = kt("vs0_kias");
    aircraft.speeds.vs1_mps = kt("vs1_kias");
    aircraft.speeds.vfe_mps = kt("vfe_kias");
    aircraft.speeds.vno_mps = kt("vno_kias");
    aircraft.speeds.vne_mps = kt("vne_kias");
    aircraft.speeds.va_mps = kt("va_kias");
    aircraft.speeds.vx_mps = kt("vx_kias");
    aircraft.speeds.vy_mps = kt("vy_kias");
    aircraft.speeds.best_glide_mps = kt("best_glide_kias");
    let angles = own["flap_notches_deg"]
        .as_array()
        .cloned()
        .unwrap_or_default();
    aircraft.flaps = angles
        .iter()
        .filter_map(Value::as_f64)
        .map(|angle| aircraft::Detent {
            angle_rad: angle.to_radians(),
            ..Default::default()
        })
        .collect();
    aircraft.completed()
}
