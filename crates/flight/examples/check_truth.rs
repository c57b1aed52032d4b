//! Compares flights with what really happened, by instrument fit.
//!
//! `cargo run --release -p flight --example check_truth FOLDER AIRCRAFT_FOLDER [NAME_PART]`
//!
//! The folder holds recordings `NAME.csv.gz` or `NAME.gpx`, each with a `NAME.truth.json` (maneuvers with
//! extremes of the noise-free motion, wind at the field and its change with height).

use std::collections::BTreeMap;
use std::path::Path;

use flight::{Flight, Series};
use serde_json::Value;

const FT: f64 = 0.3048;
const KT: f64 = 1852.0 / 3600.0;

/// Errors by fit and quantity, each with its 1-σ where claimed.
type Tally = BTreeMap<(String, &'static str), Vec<(f64, f64)>>;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut arguments = std::env::args().skip(1);
    let (Some(folder), Some(fleet)) = (arguments.next(), arguments.next()) else {
        return Err("usage: check_truth FOLDER AIRCRAFT_FOLDER [NAME_PART]".into());
    };
    let only = arguments.next().unwrap_or_default();
    let mut names: Vec<_> = std::fs::read_dir(&folder)?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(".truth.json").map(str::to_owned))
        .filter(|name| name.contains(&only))
        .collect();
    names.sort();
    let mut tally = Tally::new();
    for name in names {
        let path = Path::new(&folder).join(&name);
        let truth: Value =
            serde_json::from_slice(&std::fs::read(path.with_extension("truth.json"))?)?;
        let file = path.with_file_name(truth["file"].as_str().unwrap_or_default());
        let read = recording::read(
            &name,
            &std::fs::read(&file)?,
            &recording::ReadOptions::default(),
        )?;
        let aircraft_name = truth["aircraft"]["name"].as_str().unwrap_or_default();
        let aircraft_file = Path::new(&fleet).join(format!("{aircraft_name}.toml"));
        let text = std::fs::read_to_string(&aircraft_file)?;
        let (aircraft, _) =
            aircraft::parse(&text, aircraft_name).map_err(|problems| format!("{problems:?}"))?;
        let terrain = number(&truth["field"], "terrain_elevation_ft") * FT;
        let recording = read.recordings.first().ok_or("nothing recorded")?;
        let surroundings = flight::Surroundings {
            terrain_m: Some(terrain),
        };
        let flight = flight::build(recording, &aircraft, &surroundings);
        let fit = truth["fit"].as_str().unwrap_or("?").to_owned();
        let before = tally.values().map(Vec::len).sum::<usize>();
        let air = truth["environment"]["turbulence"].as_str().unwrap_or("?");
        let rows = compare(&flight, &truth, terrain);
        let mut by_name: BTreeMap<&'static str, Vec<f64>> = BTreeMap::new();
        for (quantity, error, sigma) in rows {
            by_name.entry(quantity).or_default().push(error);
            tally
                .entry((fit.clone(), quantity))
                .or_default()
                .push((error, sigma));
        }
        let line: Vec<String> = by_name
            .iter()
            .map(|(name, errors)| format!("{name} {:.1}", rms(errors)))
            .collect();
        println!(
            "{name} {fit:<8} {air:<8} {:?} gust {:.2} step {} | {}",
            flight.air,
            flight.gust_mps,
            flight.clock.step_s,
            line.join(", ")
        );
        for (start, end, words) in &flight.remarks {
            println!("    {start:.0}-{end:.0} s: {words}");
        }
        let _ = before;
    }
    println!("\nfit      quantity            n    bias     rms  median     p90    within 1 σ  2 σ");
    for ((fit, quantity), all) in &tally {
        let mut sizes: Vec<f64> = all.iter().map(|(error, _)| error.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let errors: Vec<f64> = all.iter().map(|(error, _)| *error).collect();
        let share = |k: f64| {
            let inside = all
                .iter()
                .filter(|(error, sigma)| error.abs() <= k * sigma)
                .count();
            100.0 * inside as f64 / all.len() as f64
        };
        let claimed = all.iter().any(|(_, sigma)| sigma.is_finite());
        println!(
            "{fit:<8} {quantity:<18} {:>4} {:>7.2} {:>7.2} {:>7.2} {:>7.2}    {}",
            all.len(),
            errors.iter().sum::<f64>() / all.len() as f64,
            rms(&errors),
            sizes[sizes.len() / 2],
            sizes[(sizes.len() * 9 / 10).min(sizes.len() - 1)],
            if claimed {
                format!("{:.0} % {:.0} %", share(1.0), share(2.0))
            } else {
                String::new()
            }
        );
    }
    Ok(())
}

fn rms(values: &[f64]) -> f64 {
    (values.iter().map(|value| value * value).sum::<f64>() / values.len().max(1) as f64).sqrt()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap_or(f64::NAN)
}

/// Seconds from the truth's zero to the first sample.
fn zero(flight: &Flight, truth: &Value) -> f64 {
    let words = truth["start_utc"].as_str().unwrap_or_default();
    let clock: Vec<f64> = words
        .split(['T', 'Z'])
        .nth(1)
        .unwrap_or_default()
        .split(':')
        .filter_map(|part| part.parse().ok())
        .collect();
    match (flight.start_unix_s, clock.as_slice()) {
        (Some(unix), [h, m, s]) => {
            let shift = (unix - (h * 3600.0 + m * 60.0 + s)).rem_euclid(86_400.0);
            if shift < 60.0 { shift } else { 0.0 }
        }
        _ => 0.0,
    }
}

fn compare(flight: &Flight, truth: &Value, terrain: f64) -> Vec<(&'static str, f64, f64)> {
    let mut out = Vec::new();
    wind(flight, truth, terrain, &mut out);
    let shift = zero(flight, truth);
    for maneuver in truth["maneuvers"].as_array().into_iter().flatten() {
        let span = (
            number(maneuver, "t_start") - shift,
            number(maneuver, "t_end") - shift,
        );
        let extremes = &maneuver["extremes"];
        heights(flight, maneuver, extremes, span, shift, &mut out);
        speeds(flight, maneuver, extremes, span, shift, &mut out);
        angles(flight, maneuver, extremes, span, shift, &mut out);
    }
    out
}

fn wind(flight: &Flight, truth: &Value, terrain: f64, out: &mut Vec<(&'static str, f64, f64)>) {
    let (Some(east), Some(north), Some(height)) =
        (&flight.wind_east, &flight.wind_north, &flight.height)
    else {
        return;
    };
    let environment = &truth["environment"];
    for i in (0..flight.clock.len).step_by((20.0 / flight.clock.step_s) as usize) {
        let thousands = ((height.at(i) - terrain) / FT / 1000.0).max(0.0);
        if flight.on_ground[i] || thousands < 0.3 {
            continue;
        }
        let from = (number(environment, "wind_from_true_deg")
            + thousands * number(environment, "wind_veer_deg_per_1000ft"))
        .to_radians();
        let speed =
            number(environment, "wind_kt") + thousands * number(environment, "wind_kt_per_1000ft");
        let error =
            (east.at(i) / KT + speed * from.sin()).hypot(north.at(i) / KT + speed * from.cos());
        let sigma = east.sigma_at(i).hypot(north.sigma_at(i)) / KT;
        if error.is_finite() {
            out.push(("wind vector kt", error, sigma));
        }
    }
}

fn window(flight: &Flight, span: (f64, f64)) -> std::ops::Range<usize> {
    flight.clock.index(span.0)..flight.clock.index(span.1) + 1
}

fn least(series: &Series, range: std::ops::Range<usize>) -> Option<usize> {
    range
        .filter(|i| series.at(*i).is_finite())
        .min_by(|a, b| series.at(*a).total_cmp(&series.at(*b)))
}

fn most(series: &Series, range: std::ops::Range<usize>) -> Option<usize> {
    range
        .filter(|i| series.at(*i).is_finite())
        .max_by(|a, b| series.at(*a).total_cmp(&series.at(*b)))
}

fn heights(
    flight: &Flight,
    maneuver: &Value,
    extremes: &Value,
    span: (f64, f64),
    shift: f64,
    out: &mut Vec<(&'static str, f64, f64)>,
) {
    let kind = maneuver["kind"].as_str().unwrap_or_default();
    if let Some(agl) = &flight.agl
        && let Some(truth) = extremes["min_agl_ft"].as_f64()
        && (kind == "steep_turn" || kind.contains("point") || kind == "s_turns")
        && let Some(at) = least(agl, window(flight, span))
    {
        out.push((
            "least AGL ft",
            agl.at(at) / FT - truth,
            agl.sigma_at(at) / FT,
        ));
    }
    let Some(height) = &flight.height else { return };
    if let (Some(lost), Some(stall)) = (
        extremes["altitude_lost_ft"].as_f64(),
        maneuver["phases"]["full_stall"].as_f64(),
    ) {
        let end = maneuver["phases"]["positive_climb"]
            .as_f64()
            .map_or(span.1, |at| at - shift);
        let start = flight.clock.index(stall - shift);
        if let Some(low) = least(height, start..flight.clock.index(end) + 1) {
            out.push((
                "height lost ft",
                (height.at(start) - height.at(low)) / FT - lost,
                f64::NAN,
            ));
        }
        let truth = number(extremes, "altitude_at_stall_ft");
        out.push((
            "height at stall ft",
            height.at(start) / FT - truth,
            height.sigma_at(start) / FT,
        ));
    }
    if kind == "steep_turn" {
        let entry = height.at(flight.clock.index(span.0));
        let range = window(flight, span);
        if let (Some(low), Some(high)) = (least(height, range.clone()), most(height, range)) {
            let dev = &extremes["altitude_dev"];
            out.push((
                "height dev ft",
                (height.at(low) - entry) / FT - number(dev, "raw_low"),
                f64::NAN,
            ));
            out.push((
                "height dev ft",
                (height.at(high) - entry) / FT - number(dev, "raw_high"),
                f64::NAN,
            ));
        }
    }
}

fn speeds(
    flight: &Flight,
    maneuver: &Value,
    extremes: &Value,
    span: (f64, f64),
    shift: f64,
    out: &mut Vec<(&'static str, f64, f64)>,
) {
    if let Some(power) = &flight.power
        && let Some(truth) = extremes["power_percent_at_stall"].as_f64()
        && let Some(stall) = maneuver["phases"]["full_stall"].as_f64()
    {
        let at = flight.clock.index(stall - shift);
        if std::env::var_os("POWER").is_some() {
            println!(
                "   {} truth {truth} power {:.0} {:?}",
                maneuver["kind"],
                power.at(at) * 100.0,
                flight.power_state[at]
            );
        }
        out.push((
            "power at stall %",
            power.at(at) * 100.0 - truth,
            power.sigma_at(at) * 100.0,
        ));
    }
    let Some(ias) = &flight.ias else { return };
    if let Some(truth) = extremes["ias_min"].as_f64()
        && maneuver["kind"]
            .as_str()
            .is_some_and(|kind| kind.ends_with("stall"))
        && let Some(at) = least(ias, window(flight, span))
    {
        out.push((
            "least IAS kt",
            ias.at(at) / KT - truth,
            ias.sigma_at(at) / KT,
        ));
    }
    if let (Some(truth), Some(stall)) = (
        extremes["ias_at_stall"].as_f64(),
        maneuver["phases"]["full_stall"].as_f64(),
    ) {
        let at = flight.clock.index(stall - shift);
        out.push((
            "IAS at stall kt",
            ias.at(at) / KT - truth,
            ias.sigma_at(at) / KT,
        ));
    }
}

fn angles(
    flight: &Flight,
    maneuver: &Value,
    extremes: &Value,
    span: (f64, f64),
    shift: f64,
    out: &mut Vec<(&'static str, f64, f64)>,
) {
    let kind = maneuver["kind"].as_str().unwrap_or_default();
    let phases = &maneuver["phases"];
    if let (Some(bank), "steep_turn") = (&flight.bank, kind)
        && let (Some(from), Some(to)) = (
            phases["bank_established"].as_f64(),
            phases["roll_out_start"].as_f64(),
        )
    {
        let range = window(flight, (from - shift, to - shift));
        let sizes: Vec<f64> = range
            .clone()
            .map(|i| bank.at(i).abs().to_degrees())
            .filter(|b| b.is_finite())
            .collect();
        let mut sizes = sizes;
        sizes.sort_by(f64::total_cmp);
        let mean = sizes.get(sizes.len() / 2).copied().unwrap_or(f64::NAN);
        let middle = (range.start + range.end) / 2;
        out.push((
            "steep bank deg",
            mean - number(&extremes["bank"], "mean"),
            bank.sigma_at(middle).to_degrees(),
        ));
    }
    if let Some(bank) = &flight.bank
        && let Some(truth) = extremes["bank"]["raw_high"]
            .as_f64()
            .or(extremes["bank_to_stall"]["raw_high"].as_f64())
        && matches!(
            kind,
            "s_turns" | "turns_around_a_point" | "eights_on_pylons" | "rectangular_course"
        )
        && let Some(at) = most(bank, window(flight, span))
    {
        out.push((
            "greatest bank deg",
            bank.at(at).to_degrees() - truth,
            bank.sigma_at(at).to_degrees(),
        ));
    }
    if let (Some(heading), Some(truth)) = (&flight.heading, extremes["heading_turned"].as_f64()) {
        let turned =
            heading.at(flight.clock.index(span.1)) - heading.at(flight.clock.index(span.0));
        if turned.is_finite() && kind == "steep_turn" {
            out.push(("turned deg", turned.to_degrees() - truth, f64::NAN));
        }
    }
    if let (Some(pitch), Some(truth)) = (&flight.pitch, extremes["pitch_max_deg"].as_f64())
        && let Some(at) = most(pitch, window(flight, span))
    {
        out.push((
            "greatest pitch deg",
            pitch.at(at).to_degrees() - truth,
            pitch.sigma_at(at).to_degrees(),
        ));
    }
    if let (Some(aoa), Some(truth)) = (&flight.aoa, extremes["alpha_max_deg"].as_f64())
        && let Some(at) = most(aoa, window(flight, span))
    {
        out.push((
            "greatest AoA deg",
            aoa.at(at).to_degrees() - truth,
            aoa.sigma_at(at).to_degrees(),
        ));
    }
}
