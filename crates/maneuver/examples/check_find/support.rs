//! Reading the cases and adding up.

use aircraft::Aircraft;
use maneuver::{Kind, Span};
use recording::{Quantity, Recording};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::Instant;

/// What the command line asks for.
#[derive(Default)]
pub struct Options {
    folder: PathBuf,
    aircraft: Option<PathBuf>,
    only: Vec<String>,
    fit: Option<String>,
    hertz: Option<f64>,
    totals: bool,
    verbose: bool,
}

impl Options {
    /// From the words after the program's name.
    pub fn parse(mut words: impl Iterator<Item = String>) -> Result<Options, String> {
        let mut options = Options::default();
        while let Some(word) = words.next() {
            let mut value = || words.next().ok_or(format!("{word} needs a value"));
            match word.as_str() {
                "--aircraft" => options.aircraft = Some(value()?.into()),
                "--only" => options.only = value()?.split(',').map(str::to_owned).collect(),
                "--as" => options.fit = Some(value()?),
                "--hz" => options.hertz = Some(value()?.parse().map_err(|e| format!("--hz: {e}"))?),
                "--totals" => options.totals = true,
                "--verbose" => options.verbose = true,
                other if other.starts_with("--") => return Err(format!("unknown option {other}")),
                folder => options.folder = folder.into(),
            }
        }
        if options.folder.as_os_str().is_empty() {
            return Err("name the folder with the recordings".to_owned());
        }
        Ok(options)
    }

    /// The truth files, in order.
    pub fn truths(&self) -> Vec<PathBuf> {
        let entries = std::fs::read_dir(&self.folder)
            .into_iter()
            .flatten()
            .flatten();
        let mut paths: Vec<PathBuf> = entries
            .map(|entry| entry.path())
            .filter(|path| path.to_string_lossy().ends_with(".truth.json"))
            .filter(|path| {
                let name = path.to_string_lossy().into_owned();
                self.only.is_empty()
                    || self
                        .only
                        .iter()
                        .any(|only| name.contains(&format!("{only}.truth")))
            })
            .collect();
        paths.sort();
        paths
    }
}

/// One true span.
pub struct Truth {
    kind: String,
    direction: String,
    start_s: f64,
    end_s: f64,
    optional: bool,
    filler: bool,
    note: String,
}

/// One recording with its truth and what was found.
pub struct Case {
    name: String,
    fit: String,
    hours: f64,
    truths: Vec<Truth>,
    found: Vec<Span>,
    offset_s: f64,
}

impl Case {
    /// Reads, builds, finds.
    pub fn load(path: &Path, options: &Options) -> Result<Case, String> {
        let text = std::fs::read_to_string(path).map_err(|e| e.to_string())?;
        let json: serde_json::Value = serde_json::from_str(&text).map_err(|e| e.to_string())?;
        let word = |name: &str| json[name].as_str().unwrap_or_default().to_owned();
        let file = path.with_file_name(word("file"));
        let bytes = std::fs::read(&file).map_err(|e| format!("{}: {e}", file.display()))?;
        let read = recording::read(&word("file"), &bytes, &recording::ReadOptions::default())
            .map_err(|e| e.to_string())?;
        let mut recordings = read.recordings;
        for one in &mut recordings {
            thin(one, options.hertz);
            if let Some(fit) = &options.fit {
                strip(one, fit);
            }
        }
        let aircraft = aircraft(
            options,
            json["aircraft"]["name"].as_str().unwrap_or_default(),
        )?;
        let field = json["field"]["terrain_elevation_ft"].as_f64();
        let around = flight::Surroundings {
            terrain_m: field.map(|ft| ft * 0.3048),
        };
        let first = recordings.first().ok_or("no recording")?;
        let offset_s = first.start_unix_s.unwrap_or(f64::NAN) - unix(&word("start_utc"));
        let begun = Instant::now();
        let flight = flight::build(first, &aircraft, &around);
        let built = begun.elapsed();
        let begun = Instant::now();
        let features = maneuver::features::Features::new(&flight, &aircraft);
        let featured = begun.elapsed();
        let found = maneuver::find_in(&features);
        let decoded = begun.elapsed() - featured;
        if options.verbose {
            eprintln!(
                "{}: build {built:?}, features {featured:?}, decode {decoded:?}; scale {:?}",
                word("flight"),
                features.scale
            );
        }
        if let Ok(range) = std::env::var("TRACE") {
            trace(&features, offset_s, &range);
        }
        if std::env::var("DUMP").is_ok() {
            dump(&features, offset_s);
        }
        let fit = options.fit.clone().unwrap_or_else(|| word("fit"));
        Ok(Case {
            name: word("flight"),
            fit,
            hours: json["duration_s"].as_f64().unwrap_or(0.0) / 3600.0,
            truths: truths(&json),
            found,
            offset_s: if offset_s.is_finite() { offset_s } else { 0.0 },
        })
    }
}

/// The features themselves over `from,to,step`, s.
fn trace(features: &maneuver::features::Features, offset_s: f64, range: &str) {
    let numbers: Vec<f64> = range.split(',').filter_map(|n| n.parse().ok()).collect();
    let [from, to, step] = numbers[..] else {
        return;
    };
    let mut t = from;
    while t <= to {
        let at = |series: &[f64]| features.at(series, t - offset_s);
        println!(
            "    {t:7.1} v {:.2} dv {:+.2} alt {:5.0} c {:+5.0} bank {:+3.0} pitch {:+3.0} E {:+5.0} pw {:.2} hdg {:.0} agl {:.0} gs {:.0} flap {:.1}",
            at(&features.ias) / features.scale.vs1_mps,
            at(&features.ias_rate),
            at(&features.altitude) / 0.3048,
            at(&features.climb) * 196.85,
            at(&features.bank).to_degrees(),
            at(&features.pitch).to_degrees(),
            at(&features.energy_rate) * 196.85,
            at(&features.power),
            at(&features.heading).to_degrees(),
            at(&features.agl) / 0.3048,
            at(&features.ground_speed) * 1.944,
            at(&features.flaps_out),
        );
        t += step;
    }
}

/// Everything the decoder was offered, for looking at one flight.
fn dump(features: &maneuver::features::Features, offset_s: f64) {
    let mut all = maneuver::kinds::proposals(features);
    all.sort_by(|a, b| a.start_s.total_cmp(&b.start_s));
    for c in all.iter().filter(|c| c.score > -8.0) {
        println!(
            "    {:7.1} {:7.1} {:6.2} {:?}",
            c.start_s + offset_s,
            c.end_s + offset_s,
            c.score,
            c.label
        );
    }
    for dip in &features.dips {
        println!("    {:.1} {dip:?}", dip.at_s + offset_s);
        let b = |t: f64| features.at(&features.bank, dip.at_s + t).to_degrees();
        let n = |t: f64| features.at(&features.load, dip.at_s + t);
        let l = |t: f64| features.at(&features.lift_ratio, dip.at_s + t);
        let times: Vec<f64> = (-14..=4).step_by(2).map(f64::from).collect();
        println!(
            "      raw {:.2} bank {:?} load {:?} lift {:?}",
            dip.ias_mps / features.scale.vs1_mps,
            times.iter().map(|t| b(*t).round()).collect::<Vec<_>>(),
            times
                .iter()
                .map(|t| (n(*t) * 100.0).round())
                .collect::<Vec<_>>(),
            times
                .iter()
                .map(|t| (l(*t) * 100.0).round())
                .collect::<Vec<_>>(),
        );
    }
}

fn aircraft(options: &Options, name: &str) -> Result<Aircraft, String> {
    let Some(folder) = &options.aircraft else {
        return Ok(Aircraft::default());
    };
    let path = folder.join(format!("{name}.toml"));
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    match aircraft::parse(&text, name) {
        Ok((aircraft, _)) => Ok(aircraft),
        Err(problems) => Err(problems
            .iter()
            .map(ToString::to_string)
            .collect::<Vec<_>>()
            .join("; ")),
    }
}

/// Keeps about so many samples a second.
fn thin(recording: &mut Recording, hertz: Option<f64>) {
    let Some(hertz) = hertz else { return };
    let every = ((1.0 / hertz) / recording.interval_s).round().max(1.0) as usize;
    recording.time_s = recording.time_s.iter().copied().step_by(every).collect();
    for channel in &mut recording.channels {
        channel.values = channel.values.iter().copied().step_by(every).collect();
    }
    recording.interval_s *= every as f64;
}

/// Takes away what a lesser recorder would not have had.
fn strip(recording: &mut Recording, fit: &str) {
    use Quantity as Q;
    let gnss = [
        Q::Latitude,
        Q::Longitude,
        Q::AltitudeGnss,
        Q::GroundSpeed,
        Q::TrackTrue,
    ];
    let attitude = [
        Q::Pitch,
        Q::Bank,
        Q::HeadingMagnetic,
        Q::HeadingTrue,
        Q::LoadNormal,
        Q::LoadLateral,
    ];
    let rich = [
        Q::AngleOfAttack,
        Q::StallWarning,
        Q::Flap,
        Q::Elevator,
        Q::Aileron,
        Q::Rudder,
        Q::PitchTrim,
        Q::Throttle,
        Q::PowerShare,
        Q::Sideslip,
        Q::AirspeedTrue,
        Q::ManifoldPressure,
    ];
    recording.channels.retain(|channel| {
        let q = channel.quantity;
        match fit {
            "panel" => !rich.contains(&q),
            "gps_att" => gnss.contains(&q) || attitude.contains(&q),
            "gps" => gnss.contains(&q),
            // Air data and attitude without position, heading or engine.
            "sparse" => matches!(
                q,
                Q::AltitudeIndicated
                    | Q::AltitudePressure
                    | Q::AirspeedIndicated
                    | Q::VerticalSpeed
                    | Q::Pitch
                    | Q::Bank
                    | Q::LoadNormal
            ),
            _ => true,
        }
    });
}

fn truths(json: &serde_json::Value) -> Vec<Truth> {
    let list = |name: &str, filler: bool| -> Vec<Truth> {
        let all = json[name].as_array().cloned().unwrap_or_default();
        let one = |m: &serde_json::Value| Truth {
            kind: m["kind"]
                .as_str()
                .or(m["name"].as_str())
                .unwrap_or_default()
                .to_owned(),
            direction: m["direction"].as_str().unwrap_or("none").to_owned(),
            start_s: m["t_start"].as_f64().unwrap_or(f64::NAN),
            end_s: m["t_end"].as_f64().unwrap_or(f64::NAN),
            optional: m["optional"].as_bool().unwrap_or(false),
            filler,
            note: m["injected_errors"].to_string(),
        };
        all.iter().map(one).collect()
    };
    let mut all = list("maneuvers", false);
    all.extend(list("fillers", true));
    all
}

/// Seconds since 1970 of `YYYY-MM-DDTHH:MM:SSZ` (days from civil: Howard Hinnant, 2013).
fn unix(text: &str) -> f64 {
    let number = |range: std::ops::Range<usize>| {
        text.get(range)
            .and_then(|t| t.parse::<i64>().ok())
            .unwrap_or(0)
    };
    let (mut y, m, d) = (number(0..4), number(5..7), number(8..10));
    if m <= 2 {
        y -= 1;
    }
    let era = y.div_euclid(400);
    let yoe = y - era * 400;
    let doy = (153 * (m + if m > 2 { -3 } else { 9 }) + 2) / 5 + d - 1;
    let days = era * 146_097 + yoe * 365 + yoe / 4 - yoe / 100 + doy - 719_468;
    let rest: f64 = text
        .get(17..)
        .map_or(0.0, |t| t.trim_end_matches('Z').parse().unwrap_or(0.0));
    (days * 86_400 + number(11..13) * 3600 + number(14..16) * 60) as f64 + rest
}

/// Counts of one row.
#[derive(Default, Clone)]
struct Row {
    truth: usize,
    found: usize,
    wrong: usize,
    directions: usize,
    both: usize,
    starts: Vec<f64>,
    ends: Vec<f64>,
}

/// All counts.
#[derive(Default)]
pub struct Tally {
    rows: BTreeMap<(String, String), Row>,
    hours: BTreeMap<String, f64>,
}

impl Tally {
    /// Compares one case.
    pub fn add(&mut self, case: &Case, options: &Options) {
        *self.hours.entry(case.fit.clone()).or_default() += case.hours;
        let mut used = vec![false; case.found.len()];
        for truth in case.truths.iter().filter(|t| !t.filler && !t.optional) {
            let row = self
                .rows
                .entry((case.fit.clone(), truth.kind.clone()))
                .or_default();
            row.truth += 1;
            let mut best: Option<(usize, f64)> = None;
            for (i, span) in case.found.iter().enumerate() {
                let share = overlap(truth, span, case.offset_s);
                if !used[i]
                    && span.kind.id() == truth.kind
                    && share >= 0.5
                    && best.is_none_or(|(_, s)| share > s)
                {
                    best = Some((i, share));
                }
            }
            let Some((i, _)) = best else {
                if !options.totals {
                    println!(
                        "{} missed {} {:.0}-{:.0} {} {}",
                        case.name,
                        truth.kind,
                        truth.start_s,
                        truth.end_s,
                        truth.direction,
                        truth.note
                    );
                }
                continue;
            };
            used[i] = true;
            let span = &case.found[i];
            row.found += 1;
            row.starts
                .push(span.start_s + case.offset_s - truth.start_s);
            row.ends.push(span.end_s + case.offset_s - truth.end_s);
            row.directions += usize::from(span.direction.id() == truth.direction);
            row.both += usize::from(span.agreement == maneuver::Agreement::Both);
            let off = (span.start_s + case.offset_s - truth.start_s)
                .abs()
                .max((span.end_s + case.offset_s - truth.end_s).abs());
            if off > 8.0 && !options.totals {
                println!(
                    "{} rough {} {:.0}-{:.0}: {:.0}-{:.0} {}",
                    case.name,
                    truth.kind,
                    truth.start_s,
                    truth.end_s,
                    span.start_s + case.offset_s,
                    span.end_s + case.offset_s,
                    truth.note
                );
            }
        }
        for (i, span) in case.found.iter().enumerate().filter(|(i, _)| !used[*i]) {
            let _ = i;
            if weak(span.kind)
                || case.truths.iter().any(|t| {
                    t.optional && t.kind == span.kind.id() && overlap(t, span, case.offset_s) > 0.2
                })
            {
                continue;
            }
            self.rows
                .entry((case.fit.clone(), span.kind.id().to_owned()))
                .or_default()
                .wrong += 1;
            if !options.totals {
                let within: Vec<String> = case
                    .truths
                    .iter()
                    .filter(|t| {
                        t.start_s < span.end_s + case.offset_s
                            && t.end_s > span.start_s + case.offset_s
                    })
                    .map(|t| {
                        format!(
                            "{}{} {:.0}-{:.0}",
                            if t.filler { "~" } else { "" },
                            t.kind,
                            t.start_s,
                            t.end_s
                        )
                    })
                    .collect();
                println!(
                    "{} false {} {:.0}-{:.0} score {:.1} {:?} in {}",
                    case.name,
                    span.kind.id(),
                    span.start_s + case.offset_s,
                    span.end_s + case.offset_s,
                    span.score,
                    span.agreement,
                    within.join(", ")
                );
            }
        }
    }

    /// Prints the tables.
    pub fn print(&self) {
        println!(
            "fit      kind                        found/truth +false  dir both  R     P     |start| med p90  |end| med p90"
        );
        let fits: Vec<String> = self.hours.keys().cloned().collect();
        let mut everything = Row::default();
        for fit in &fits {
            let mut all = Row::default();
            for ((f, kind), row) in &self.rows {
                if f == fit {
                    print_row(fit, kind, row);
                    add(&mut all, row);
                }
            }
            print_row(fit, "ALL", &all);
            println!(
                "         false an hour {:.2}",
                all.wrong as f64 / self.hours[fit]
            );
            add(&mut everything, &all);
        }
        let hours: f64 = self.hours.values().sum();
        for kind in Kind::ALL {
            let mut sum = Row::default();
            self.rows
                .iter()
                .filter(|((_, k), _)| k == kind.1)
                .for_each(|(_, row)| add(&mut sum, row));
            if sum.truth + sum.wrong > 0 {
                print_row("every", kind.1, &sum);
            }
        }
        print_row("every", "ALL", &everything);
        println!(
            "         false an hour {:.2} over {hours:.1} h",
            everything.wrong as f64 / hours
        );
    }
}

fn add(sum: &mut Row, row: &Row) {
    sum.truth += row.truth;
    sum.found += row.found;
    sum.wrong += row.wrong;
    sum.directions += row.directions;
    sum.both += row.both;
    sum.starts.extend(&row.starts);
    sum.ends.extend(&row.ends);
}

fn print_row(fit: &str, kind: &str, row: &Row) {
    let share = |a: usize, b: usize| {
        if b == 0 {
            f64::NAN
        } else {
            a as f64 / b as f64
        }
    };
    let quantile = |values: &[f64], q: f64| {
        let mut v: Vec<f64> = values.iter().map(|x| x.abs()).collect();
        v.sort_by(f64::total_cmp);
        v.get(((v.len().max(1) - 1) as f64 * q).round() as usize)
            .copied()
            .unwrap_or(f64::NAN)
    };
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    println!(
        "{fit:8} {kind:28} {:3}/{:3} +{:<3} {:3} {:3}  {:.3} {:.3}  {:5.1} {:5.1} ({:+.1})  {:5.1} {:5.1} ({:+.1})",
        row.found,
        row.truth,
        row.wrong,
        row.directions,
        row.both,
        share(row.found, row.truth),
        share(row.found, row.found + row.wrong),
        quantile(&row.starts, 0.5),
        quantile(&row.starts, 0.9),
        mean(&row.starts),
        quantile(&row.ends, 0.5),
        quantile(&row.ends, 0.9),
        mean(&row.ends),
    );
}

fn weak(kind: Kind) -> bool {
    matches!(
        kind,
        Kind::ConstantAirspeedClimb
            | Kind::ConstantAirspeedDescent
            | Kind::TurnToHeading
            | Kind::StraightAndLevel
            | Kind::TrafficPattern
    )
}

/// Overlap as a share of the longer of the two: the strict reading of "at least half".
fn overlap(truth: &Truth, span: &Span, offset_s: f64) -> f64 {
    let (a, b) = (span.start_s + offset_s, span.end_s + offset_s);
    let common = b.min(truth.end_s) - a.max(truth.start_s);
    common.max(0.0) / (b - a).max(truth.end_s - truth.start_s)
}
