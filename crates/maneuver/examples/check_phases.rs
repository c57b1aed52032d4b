//! How near phases, events and figures come to the truth of simulated flights.
//!
//! `cargo run --release -p maneuver --example check_phases -- DIR [half] [verbose]`
//!
//! Reads every `*.truth.json` of a folder with its recording and aircraft file, takes the *true* spans
//! with their ends moved by up to 5 s and the stall's moment by up to 2 s (the same every run), works them
//! out, and prints by recorder fit: errors of start, end, each event, each figure; how often ±1.96 σ holds
//! the truth; full stall against recovery at the cue. `half` is `setting` (odd flights, which constants
//! were looked at with), `held` (even flights) or `all`.

use maneuver::{Agreement, Direction, Kind, Maneuver, Span};
use serde_json::Value;
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

const FT: f64 = 0.3048;
const KT: f64 = 1852.0 / 3600.0;
const DEG: f64 = std::f64::consts::PI / 180.0;

/// Our figure, the path of the true one, SI per unit of the truth, unit for print.
const FIGURES: &[(&str, &str, f64, &str)] = &[
    ("altitude_lost", "altitude_lost_ft", FT, "ft"),
    ("ias_at_stall", "ias_at_stall", KT, "kt"),
    ("ias_min", "ias_min", KT, "kt"),
    ("ias_max_before_climb", "ias_max_before_climb", KT, "kt"),
    ("pitch_max", "pitch_max_deg", DEG, "deg"),
    ("pitch_rate_max", "pitch_rate_max_deg_s", DEG, "deg/s"),
    ("aoa_max", "alpha_max_deg", DEG, "deg"),
    ("seconds_stalled", "seconds_stalled", 1.0, "s"),
    ("lateral_before_stall", "lateral_g_before_stall", 1.0, "g"),
    ("power_share_at_stall", "power_percent_at_stall", 0.01, "%"),
    (
        "power_of_rated_at_stall",
        "power_percent_of_rated_at_stall",
        0.01,
        "%",
    ),
    ("steady_descent_duration", "steady_descent_s", 1.0, "s"),
    (
        "heading_change_to_stall_low",
        "heading_change_to_stall.low",
        DEG,
        "deg",
    ),
    (
        "heading_change_to_stall_high",
        "heading_change_to_stall.high",
        DEG,
        "deg",
    ),
    ("bank_to_stall_low", "bank_to_stall.low", DEG, "deg"),
    ("bank_to_stall_high", "bank_to_stall.high", DEG, "deg"),
    ("lowest_agl", "min_agl_ft", FT, "ft"),
    ("altitude_low", "altitude_dev.low", FT, "ft"),
    ("altitude_high", "altitude_dev.high", FT, "ft"),
    ("ias_low", "ias_dev.low", KT, "kt"),
    ("ias_high", "ias_dev.high", KT, "kt"),
    ("bank_low", "bank.low", DEG, "deg"),
    ("bank_high", "bank.high", DEG, "deg"),
    ("bank_mean", "bank.mean", DEG, "deg"),
    ("heading_turned", "heading_turned", DEG, "deg"),
    ("rollout_error", "rollout_error_deg", DEG, "deg"),
    ("first_turn", "first_turn_deg", DEG, "deg"),
    ("second_turn", "second_turn_deg", DEG, "deg"),
    ("bank_max", "bank_max", DEG, "deg"),
    ("stall_warning", "stall_warning_s", 1.0, "s"),
    ("heading_low", "heading_dev.low", DEG, "deg"),
    ("heading_high", "heading_dev.high", DEG, "deg"),
    ("power_delay", "@power_delay", 1.0, "s"),
    ("flap_at_entry", "@flaps", DEG, "deg"),
    ("flap_steps_up", "@steps_up", 1.0, ""),
    ("ias_low+", "@slow_low", KT, "kt"),
    ("ias_high+", "@slow_high", KT, "kt"),
];

#[derive(Default)]
struct Tally {
    /// Error and σ in print units.
    errors: BTreeMap<String, Vec<(f64, f64)>>,
    /// Events: true and found, true and not found, found and not true.
    events: BTreeMap<String, (usize, usize, usize)>,
    /// Full or cue: [truth cue, truth full] x [cue, cannot tell, full].
    confusion: BTreeMap<String, [[usize; 3]; 2]>,
}

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let Some(dir) = arguments.first() else {
        eprintln!("check_phases DIR [setting|held|all] [verbose]");
        std::process::exit(2);
    };
    let half = arguments.get(1).map_or("all", String::as_str);
    let verbose = arguments.iter().any(|argument| argument == "verbose");
    let mut truths: Vec<PathBuf> = std::fs::read_dir(dir)
        .map(|entries| entries.flatten().map(|entry| entry.path()).collect())
        .unwrap_or_default();
    truths.retain(|path| path.to_string_lossy().ends_with(".truth.json"));
    truths.sort();
    let mut tally = Tally::default();
    for path in truths {
        let stem = path.to_string_lossy().replace(".truth.json", "");
        let number: usize = stem
            .chars()
            .rev()
            .take(3)
            .collect::<String>()
            .chars()
            .rev()
            .collect::<String>()
            .parse()
            .unwrap_or(0);
        if (half == "setting" && number.is_multiple_of(2))
            || (half == "held" && !number.is_multiple_of(2))
        {
            continue;
        }
        if let Err(error) = one_flight(Path::new(&stem), &path, verbose, &mut tally) {
            eprintln!("{stem}: {error}");
        }
    }
    report(&tally);
}

fn one_flight(stem: &Path, truth: &Path, verbose: bool, tally: &mut Tally) -> Result<(), String> {
    let text = std::fs::read_to_string(truth).map_err(|error| error.to_string())?;
    let truth: Value = serde_json::from_str(&text).map_err(|error| error.to_string())?;
    let stem_name = stem
        .file_name()
        .map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let beside = [".csv.gz", ".gpx"]
        .map(|end| stem_name.clone() + end)
        .into_iter()
        .find(|name| stem.with_file_name(name).exists());
    let file = truth["file"]
        .as_str()
        .map(str::to_owned)
        .or(beside)
        .unwrap_or_default();
    let file = file.as_str();
    let bytes = std::fs::read(stem.with_file_name(file)).map_err(|error| error.to_string())?;
    let aircraft = aircraft_of(&truth, stem)?;
    let flight = build(file, &bytes, &aircraft, &truth)?;
    let mut fit = truth["fit"].as_str().unwrap_or("?").to_owned();
    if !matches!(
        truth["environment"]["turbulence"].as_str(),
        Some("none" | "light")
    ) {
        fit += " rough";
    }
    let shift =
        flight.start_unix_s.unwrap_or(0.0) - unix(truth["start_utc"].as_str().unwrap_or(""));
    let empty = Vec::new();
    let maneuvers = truth["maneuvers"].as_array().unwrap_or(&empty);
    let spans: Vec<(Span, &Value)> = maneuvers
        .iter()
        .filter_map(|m| Some((span(m, shift)?, m)))
        .collect();
    let all: Vec<Span> = spans.iter().map(|(span, _)| span.clone()).collect();
    let air = format!("{:?}", flight.air).to_lowercase();
    for (span, true_one) in &spans {
        let found = maneuver::phases::detail(&flight, &aircraft, span, &all);
        compare(&fit, &air, file, true_one, &found, shift, verbose, tally);
    }
    Ok(())
}

/// The aircraft file beside the recordings, else the repository's.
fn aircraft_of(truth: &Value, beside: &Path) -> Result<aircraft::Aircraft, String> {
    let name = truth["aircraft"]["name"].as_str().unwrap_or_default();
    let own =
        Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("../../data/aircraft/{name}.toml"));
    let path = Some(beside.with_file_name(format!("{name}.toml")))
        .filter(|path| path.exists())
        .unwrap_or(own);
    let text = std::fs::read_to_string(&path).map_err(|error| format!("{name}: {error}"))?;
    aircraft::parse(&text, name)
        .map(|(aircraft, _)| aircraft)
        .map_err(|p| format!("{p:?}"))
}

fn build(
    name: &str,
    bytes: &[u8],
    aircraft: &aircraft::Aircraft,
    truth: &Value,
) -> Result<flight::Flight, String> {
    let read = recording::read(name, bytes, &recording::ReadOptions::default())
        .map_err(|error| error.to_string())?;
    let terrain_m = truth["field"]["terrain_elevation_ft"]
        .as_f64()
        .map(|ft| ft * FT);
    let surroundings = flight::Surroundings { terrain_m };
    let recording = read.recordings.iter().max_by_key(|one| one.time_s.len());
    recording
        .map(|recording| flight::build(recording, aircraft, &surroundings))
        .ok_or_else(|| format!("{name}: nothing in it"))
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

/// A number in -1..1 that is the same every run.
fn noise(seed: f64, salt: u64) -> f64 {
    let mut x = seed
        .to_bits()
        .wrapping_add(salt.wrapping_mul(0x9E37_79B9_7F4A_7C15));
    x = (x ^ (x >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    x = (x ^ (x >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    ((x ^ (x >> 31)) >> 11) as f64 / (1u64 << 52) as f64 - 1.0
}

fn span(m: &Value, shift: f64) -> Option<Span> {
    let kind = Kind::from_id(m["kind"].as_str()?)?;
    let (start, end) = (m["t_start"].as_f64()?, m["t_end"].as_f64()?);
    let direction = match m["direction"].as_str().unwrap_or("none") {
        "left" => Direction::Left,
        "right" => Direction::Right,
        "straight" => Direction::Straight,
        "left_right" => Direction::LeftRight,
        "right_left" => Direction::RightLeft,
        _ => Direction::None,
    };
    let phases = &m["phases"];
    let moment = phases["full_stall"]
        .as_f64()
        .or(phases["first_cue"].as_f64())
        .or(phases["recovery_start"].as_f64());
    Some(Span {
        kind,
        direction,
        start_s: start - shift + 5.0 * noise(start, 1),
        end_s: end - shift + 5.0 * noise(end, 2),
        score: 5.0,
        agreement: Agreement::Both,
        anchor_s: moment.map(|at| at - shift + 2.0 * noise(at, 3)),
        bounds: maneuver::Bounds::Sought,
    })
}

#[allow(clippy::too_many_arguments)]
fn compare(
    fit: &str,
    air: &str,
    file: &str,
    m: &Value,
    found: &Maneuver,
    shift: f64,
    verbose: bool,
    tally: &mut Tally,
) {
    let kind = m["kind"].as_str().unwrap_or("?");
    let judged = [
        "clearing_turns",
        "slow_flight",
        "steep_turn",
        "power_off_stall",
        "power_on_stall",
        "accelerated_stall",
    ];
    if !judged.contains(&kind) {
        return;
    }
    let group = if kind.ends_with("off_stall") || kind.ends_with("on_stall") {
        "stall"
    } else {
        kind
    };
    let key = |what: &str| format!("{group:<17} {what:<28} {fit}");
    let mut line = format!("{file} {kind} {} {air}:", m["id"]);
    let mut time = |what: &str, ours: f64, sigma: f64, truth: f64| {
        tally
            .errors
            .entry(key(&format!("t {what} s")))
            .or_default()
            .push((ours - truth, sigma));
        line += &format!(" {what} {:+.1}", ours - truth);
    };
    time(
        "start",
        found.start_s + shift,
        f64::NAN,
        m["t_start"].as_f64().unwrap_or(f64::NAN),
    );
    time(
        "end",
        found.end_s + shift,
        f64::NAN,
        m["t_end"].as_f64().unwrap_or(f64::NAN),
    );
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    let mut ours: BTreeMap<String, (f64, f64)> = BTreeMap::new();
    for event in &found.events {
        let count = seen.entry(event.name.to_owned()).or_default();
        *count += 1;
        let name = if event.name.starts_with("flap_") {
            format!("{}_{count}", event.name)
        } else {
            event.name.to_owned()
        };
        ours.entry(name)
            .or_insert((event.at_s + shift, event.sigma_s));
    }
    let none = serde_json::Map::new();
    let phases = m["phases"].as_object().unwrap_or(&none);
    for (name, at) in phases
        .iter()
        .filter(|(name, _)| !name.starts_with("clearing"))
    {
        let at = at.as_f64().unwrap_or(f64::NAN);
        let counted = tally.events.entry(key(name)).or_default();
        match ours.get(name) {
            Some((mine, sigma)) => {
                counted.0 += 1;
                time(name, *mine, *sigma, at);
            }
            None => counted.1 += 1,
        }
    }
    for name in ours
        .keys()
        .filter(|name| !phases.contains_key(*name) && *name != "vx_reached")
    {
        tally.events.entry(key(name)).or_default().2 += 1;
        line += &format!(" FALSE:{name}");
    }
    for (name, path, unit, print) in FIGURES.iter().copied() {
        let (Some(fact), Some(truth)) = (
            found.facts.get(name.trim_end_matches('+')),
            figure(m, path, kind),
        ) else {
            continue;
        };
        let error = (fact.value - truth * unit) / unit;
        tally
            .errors
            .entry(key(&format!("f {name} {print}")))
            .or_default()
            .push((error, fact.sigma / unit));
        line += &format!(" | {name} {:.1} ({:+.1})", fact.value / unit, error);
    }
    if group == "stall" || kind == "accelerated_stall" {
        let full = usize::from(phases.contains_key("full_stall"));
        let p = found.fact("full_stall_probability");
        let answer = if p > 0.9 {
            2
        } else if p < 0.1 {
            0
        } else {
            1
        };
        tally.confusion.entry(format!("{group} {fit}")).or_default()[full][answer] += 1;
        line += &format!(
            " P(full) {p:.2} truth {full} P(second) {:.2}",
            found.fact("secondary_stall_probability")
        );
    }
    if verbose {
        for phase in &found.phases {
            line += &format!(
                " [{} {:.1}-{:.1}]",
                phase.name,
                phase.start_s + shift,
                phase.end_s + shift
            );
        }
        println!("{line}");
    }
}

fn figure(m: &Value, path: &str, kind: &str) -> Option<f64> {
    let phases = &m["phases"];
    match path {
        "@power_delay" => Some(phases["full_power"].as_f64()? - phases["recovery_start"].as_f64()?),
        "@flaps" => m["params"]["flaps"].as_f64(),
        "@steps_up" => m["flap_retractions"].as_array().map(|steps| {
            let end = m["t_end"].as_f64().unwrap_or(f64::MAX);
            steps
                .iter()
                .filter(|step| step["t"].as_f64().is_some_and(|at| at < end))
                .count() as f64
        }),
        // Slow flight's speeds are ours as such, the truth's relative to the target.
        "@slow_low" | "@slow_high" if kind == "slow_flight" => {
            let which = if path.ends_with("low") { "low" } else { "high" };
            Some(m["extremes"]["ias_dev"][which].as_f64()? + m["params"]["target_ias"].as_f64()?)
        }
        _ if path.starts_with('@') || path.is_empty() => None,
        "ias_dev.low" | "ias_dev.high" if kind == "slow_flight" => None,
        _ => path
            .split('.')
            .try_fold(&m["extremes"], |value, part| value.get(part))
            .and_then(Value::as_f64),
    }
}

fn report(tally: &Tally) {
    println!(
        "{:<62} {:>4} {:>8} {:>8} {:>8} {:>6}",
        "what", "n", "bias", "med|e|", "p90|e|", "±1.96σ"
    );
    for (name, errors) in &tally.errors {
        let mut sizes: Vec<f64> = errors
            .iter()
            .map(|(error, _)| error.abs())
            .filter(|e| e.is_finite())
            .collect();
        sizes.sort_by(f64::total_cmp);
        let mut signed: Vec<f64> = errors
            .iter()
            .map(|(error, _)| *error)
            .filter(|e| e.is_finite())
            .collect();
        signed.sort_by(f64::total_cmp);
        let at = |list: &[f64], share: f64| {
            list.get((share * list.len().saturating_sub(1) as f64).round() as usize)
                .copied()
                .unwrap_or(f64::NAN)
        };
        let inside = errors
            .iter()
            .filter(|(error, sigma)| error.abs() <= 1.96 * sigma)
            .count();
        let with_sigma = errors.iter().filter(|(_, sigma)| sigma.is_finite()).count();
        let cover = if with_sigma > 0 {
            format!("{:.0} %", 100.0 * inside as f64 / with_sigma as f64)
        } else {
            String::new()
        };
        println!(
            "{name:<62} {:>4} {:>8.2} {:>8.2} {:>8.2} {:>6}",
            errors.len(),
            at(&signed, 0.5),
            at(&sizes, 0.5),
            at(&sizes, 0.9),
            cover
        );
    }
    println!("\nevents: found / missed / false");
    for (name, (found, missed, wrong)) in &tally.events {
        println!("{name:<62} {found} / {missed} / {wrong}");
    }
    println!("\nfull stall or recovery at the cue: answers cue / cannot tell / full");
    for (name, [cue, full]) in &tally.confusion {
        println!("{name:<40} true cue {cue:?}  true full {full:?}");
    }
}
