//! Inferred flaps against the truth, by air and instrument fit.
//!
//! `cargo run --release -p flight --example check_flaps FOLDER AIRCRAFT_FOLDER [NAME_PART] [-v] [--vane]`
//!
//! The folder holds recordings with a `NAME.truth.json` each. Where flaps were recorded they are hidden,
//! with angle of attack (unless `--vane`), stall warning and controls; such a recording is looked at as it is and again
//! with one row a second. A step counts as found when a reported one of the same direction lies within
//! 3 s (5 s) of the lever; each reported step is used once, and what is left over is false, spans of
//! flapped filler without truth excepted. Steps on the ground are not counted.

use std::collections::BTreeMap;
use std::path::Path;
use std::time::Instant;

use aircraft::Aircraft;
use flight::Flight;
use recording::{Quantity, Recording};
use serde_json::Value;

const HIDDEN: [Quantity; 9] = [
    Quantity::Flap,
    Quantity::AngleOfAttack,
    Quantity::StallWarning,
    Quantity::Elevator,
    Quantity::Aileron,
    Quantity::Rudder,
    Quantity::PitchTrim,
    Quantity::Throttle,
    Quantity::Sideslip,
];
/// Maneuvers and fillers flown with flaps whose steps a truth file does not list.
const UNLISTED: [&str; 8] = [
    "takeoff",
    "landing",
    "go_around",
    "power_off_180",
    "approach_go_around",
    "flaps_descent",
    "traffic_pattern",
    "forward_slip",
];
/// Reported steps that count.
const SURE: f64 = 0.8;

#[derive(Default)]
struct Tally {
    flights: usize,
    steps: usize,
    within_3: usize,
    within_5: usize,
    wrong: usize,
    hours: f64,
    entry: [usize; 3],
    state: [usize; 3],
}

/// What really happened: steps (time, from, to), unlisted spans, stall entries (time, flaps out).
struct Truth {
    steps: Vec<(f64, f64, f64)>,
    spans: Vec<(f64, f64)>,
    entries: Vec<(f64, bool)>,
    /// Flap angle per second, where recorded.
    recorded: Option<(Vec<f64>, Vec<f64>)>,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let verbose = arguments.iter().any(|a| a == "-v");
    let vane = arguments.iter().any(|a| a == "--vane");
    let mut plain = arguments.iter().filter(|a| !a.starts_with('-'));
    let (Some(folder), Some(fleet)) = (plain.next(), plain.next()) else {
        return Err("usage: check_flaps FOLDER AIRCRAFT_FOLDER [NAME_PART] [-v] [--vane]".into());
    };
    let only = plain.next().cloned().unwrap_or_default();
    let mut names: Vec<_> = std::fs::read_dir(folder)?
        .filter_map(|entry| entry.ok()?.file_name().into_string().ok())
        .filter_map(|name| name.strip_suffix(".truth.json").map(str::to_owned))
        .filter(|name| name.contains(&only))
        .collect();
    names.sort();
    let mut tallies: BTreeMap<String, Tally> = BTreeMap::new();
    for name in names {
        let path = Path::new(folder).join(&name);
        let json: Value =
            serde_json::from_slice(&std::fs::read(path.with_extension("truth.json"))?)?;
        let file = path.with_file_name(json["file"].as_str().unwrap_or_default());
        let read = recording::read(
            &name,
            &std::fs::read(&file)?,
            &recording::ReadOptions::default(),
        )?;
        let type_name = json["aircraft"]["name"].as_str().unwrap_or_default();
        let text = std::fs::read_to_string(Path::new(fleet).join(format!("{type_name}.toml")))?;
        let (aircraft, _) =
            aircraft::parse(&text, type_name).map_err(|problems| format!("{problems:?}"))?;
        let whole = read.recordings.first().ok_or("nothing recorded")?;
        let air = json["environment"]["turbulence"].as_str().unwrap_or("?");
        let fit = json["fit"].as_str().unwrap_or("?");
        let truth = truth(&json, whole);
        let each = (1.0 / whole.interval_s).round().max(1.0) as usize;
        let mut kinds = vec![(fit.to_owned(), 1)];
        if fit == "rich" {
            kinds.push(("rich 1 Hz".to_owned(), each));
        }
        for (label, every) in kinds {
            let recording = hidden(whole, every, vane);
            let mut flight = flight::build(&recording, &aircraft, &flight::Surroundings::default());
            flight.flaps = None;
            let tally = tallies.entry(format!("{air:<9}{label}")).or_default();
            println!(
                "{name} {type_name} {air} {label}: {}",
                check(&flight, &aircraft, &truth, tally, verbose)
            );
        }
    }
    println!(
        "\nair      fit        flights steps  3 s  5 s  false/h  entry right wrong unknown  out right wrong unknown"
    );
    for (label, t) in &tallies {
        let share = |n: usize| n as f64 / t.steps.max(1) as f64;
        println!(
            "{label:<19} {:>6} {:>5} {:>4.2} {:>4.2} {:>7.1} {:>11} {:>5} {:>7} {:>11.3} {:>5.3} {:>6.3}",
            t.flights,
            t.steps,
            share(t.within_3),
            share(t.within_5),
            t.wrong as f64 / t.hours.max(1e-9),
            t.entry[0],
            t.entry[1],
            t.entry[2],
            part(&t.state, 0),
            part(&t.state, 1),
            part(&t.state, 2),
        );
    }
    Ok(())
}

fn part(counts: &[usize; 3], which: usize) -> f64 {
    counts[which] as f64 / counts.iter().sum::<usize>().max(1) as f64
}

/// The recording without what shows the flaps, one row in `every`.
fn hidden(recording: &Recording, every: usize, vane: bool) -> Recording {
    let mut out = recording.clone();
    let kept = |quantity| vane && quantity == Quantity::AngleOfAttack;
    out.channels
        .retain(|channel| kept(channel.quantity) || !HIDDEN.contains(&channel.quantity));
    if every > 1 {
        let thin = |values: &[f64]| values.iter().step_by(every).copied().collect::<Vec<f64>>();
        out.time_s = thin(&out.time_s);
        for channel in &mut out.channels {
            channel.values = thin(&channel.values);
        }
        out.interval_s *= every as f64;
    }
    out
}

fn truth(json: &Value, recording: &Recording) -> Truth {
    // Truth counts from the start that the file names; the recording from its first row.
    let offset = first_row_s(json, recording);
    let degrees = f64::to_radians(1.0);
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let all: Vec<Value> = list(&json["maneuvers"])
        .into_iter()
        .chain(list(&json["fillers"]))
        .collect();
    let number = |value: &Value| value.as_f64().unwrap_or(f64::NAN);
    let mut steps: Vec<(f64, f64, f64)> = all
        .iter()
        .flat_map(|m| {
            list(&m["flap_extensions"])
                .into_iter()
                .chain(list(&m["flap_retractions"]))
        })
        .map(|s| {
            (
                number(&s["t"]) - offset,
                number(&s["from_deg"]) * degrees,
                number(&s["to_deg"]) * degrees,
            )
        })
        .collect();
    let mut spans: Vec<(f64, f64)> = all
        .iter()
        .filter(|m| UNLISTED.contains(&m["kind"].as_str().unwrap_or_default()))
        .map(|m| {
            (
                number(&m["t_start"]) - offset - 10.0,
                number(&m["t_end"]) - offset + 10.0,
            )
        })
        .collect();
    let recorded = recording
        .values(Quantity::Flap)
        .map(|f| (recording.time_s.clone(), f.to_vec()));
    if let Some((times, flaps)) = &recorded {
        let detents = list(&json["aircraft"]["flap_notches_deg"]);
        let detents: Vec<f64> = detents.iter().map(|d| number(d) * degrees).collect();
        steps = lever(times, flaps, &detents);
        spans.clear();
    }
    steps.sort_by(|a, b| a.0.total_cmp(&b.0));
    let entries = all
        .iter()
        .filter(|m| m["kind"].as_str().unwrap_or_default().contains("stall"))
        .filter_map(|m| {
            m["phases"]["pitch_up"]
                .as_f64()
                .or(m["phases"]["first_cue"].as_f64())
        })
        .map(|at| {
            let at = at - offset;
            let last = steps.iter().rev().find(|step| step.0 < at);
            (at, last.is_some_and(|step| step.2 > 0.01))
        })
        .collect();
    Truth {
        steps,
        spans,
        entries,
        recorded,
    }
}

/// Time of the first row after the start that the truth counts from.
fn first_row_s(json: &Value, recording: &Recording) -> f64 {
    let stamp = json["start_utc"].as_str().unwrap_or_default();
    // Only the seconds of the minute matter: the first row is within a minute of the start.
    let seconds = stamp
        .get(17..19)
        .and_then(|s| s.parse::<f64>().ok())
        .unwrap_or(0.0);
    let first = recording.start_unix_s.unwrap_or(seconds);
    (first - seconds).rem_euclid(60.0)
}

/// When recorded flaps left a detent for another.
fn lever(times: &[f64], flaps: &[f64], detents: &[f64]) -> Vec<(f64, f64, f64)> {
    let mut steps = Vec::new();
    let mut rest: Option<(f64, f64)> = None;
    for (time, flap) in times.iter().zip(flaps) {
        let Some(detent) = detents.iter().find(|d| (*d - flap).abs() < 0.0105) else {
            continue;
        };
        if let Some((left, from)) = rest.filter(|(_, from)| from != detent) {
            steps.push((left, from, *detent));
        }
        rest = Some((*time, *detent));
    }
    steps
}

fn check(
    flight: &Flight,
    aircraft: &Aircraft,
    truth: &Truth,
    tally: &mut Tally,
    verbose: bool,
) -> String {
    let begin = Instant::now();
    let Some(flaps) = flight::flaps::infer(flight, aircraft) else {
        return "no flaps inferred".to_owned();
    };
    let took_ms = begin.elapsed().as_secs_f64() * 1e3;
    let clock = flight.clock;
    let in_air = |at: f64| {
        !flight
            .on_ground
            .get(clock.index(at))
            .copied()
            .unwrap_or(false)
    };
    let wanted: Vec<_> = truth.steps.iter().filter(|s| in_air(s.0)).collect();
    let found: Vec<_> = flaps
        .steps
        .iter()
        .filter(|s| s.probability >= SURE)
        .collect();
    let mut used = vec![false; found.len()];
    let (mut near, mut close, mut errors) = (0, 0, Vec::new());
    for step in &wanted {
        let same =
            |i: &usize| !used[*i] && (found[*i].to_rad > found[*i].from_rad) == (step.2 > step.1);
        let error = |i: usize| found[i].at_s - step.0;
        let best = (0..found.len())
            .filter(same)
            .min_by(|a, b| error(*a).abs().total_cmp(&error(*b).abs()));
        if verbose {
            println!(
                "    lever {:7.1} {:2.0}->{:2.0} found {:+.1}",
                step.0,
                step.1.to_degrees(),
                step.2.to_degrees(),
                best.map_or(f64::NAN, error)
            );
        }
        let Some(best) = best.filter(|i| error(*i).abs() <= 5.0) else {
            continue;
        };
        used[best] = true;
        near += 1;
        close += usize::from(error(best).abs() <= 3.0);
        errors.push(error(best));
    }
    let unlisted = |at: f64| truth.spans.iter().any(|(from, to)| at > *from && at < *to);
    let wrong: Vec<_> = (0..found.len())
        .filter(|i| !used[*i] && !unlisted(found[*i].at_s))
        .collect();
    if verbose {
        for i in &wrong {
            let s = found[*i];
            println!(
                "    FALSE {:7.1} ± {:.1} {:2.0}->{:2.0} chance {:.2}",
                s.at_s,
                s.sigma_s,
                s.from_rad.to_degrees(),
                s.to_rad.to_degrees(),
                s.probability
            );
        }
    }
    let flown = (0..clock.len)
        .filter(|i| flight.known[*i] && in_air(clock.time_s(*i)))
        .count();
    let mut entry = [0; 3];
    for (at, out) in &truth.entries {
        let answer = flaps.out.get(clock.index(*at)).copied().unwrap_or(f32::NAN);
        let which = if answer.is_nan() {
            2
        } else {
            usize::from((answer > 0.5) != *out)
        };
        entry[which] += 1;
        if verbose {
            println!("    entry {at:7.1} out {out} answer {answer:.2}");
        }
    }
    let mut state = [0; 3];
    if let Some((times, angles)) = &truth.recorded {
        for (time, angle) in times.iter().zip(angles).filter(|(time, _)| in_air(**time)) {
            let answer = flaps
                .out
                .get(clock.index(*time))
                .copied()
                .unwrap_or(f32::NAN);
            let which = if answer.is_nan() {
                2
            } else {
                usize::from((answer > 0.5) != (*angle > 0.05))
            };
            state[which] += 1;
        }
    }
    tally.flights += 1;
    tally.steps += wanted.len();
    tally.within_3 += close;
    tally.within_5 += near;
    tally.wrong += wrong.len();
    tally.hours += flown as f64 * clock.step_s / 3600.0;
    for i in 0..3 {
        tally.entry[i] += entry[i];
        tally.state[i] += state[i];
    }
    errors.sort_by(f64::total_cmp);
    format!(
        "steps {} within 3 s {close}, 5 s {near}, median error {:+.1} s; false {}; entry right {} wrong {} unknown {}; {took_ms:.1} ms",
        wanted.len(),
        errors.get(errors.len() / 2).copied().unwrap_or(f64::NAN),
        wrong.len(),
        entry[0],
        entry[1],
        entry[2],
    )
}
