//! `proofwing fly`: a practice lesson from its script to the recording, the truth and the aircraft file.

use crate::args::{FlyArgs, Recorder};
use crate::failure::Failure;
use crate::{fly_figures, output};
use air::units::M_PER_FT;
use dynamics::Airframe;
use practice::recorder::Fit;
use practice::script::{Flight, Script, default_airframe};
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

/// What is said with every flight of the model.
pub const SAFETY: &str = "A training aid for use on the ground, and no model of any real aircraft. The \
    aircraft's approved flight manual, the regulations in force, the published standard and a licensed \
    instructor's judgment come first. Not for use in flight or for navigation.";

/// Runs the command.
pub fn run(args: &FlyArgs) -> Result<(), Failure> {
    if args.figures {
        let airframe = match &args.airframe {
            Some(path) => airframe(path)?,
            None => demo()?,
        };
        return output::print(&fly_figures::text(&airframe));
    }
    let Some(path) = &args.script else {
        return Err(Failure::Usage("name a script".to_owned()));
    };
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::Usage(Failure::opening(path, &error)))?;
    let usage = |problem: aircraft::Problem| Failure::Usage(problem.to_string());
    let script = Script::parse(&text, &path.display().to_string()).map_err(usage)?;
    let files = Files::of(args.out.as_deref(), path)?;
    files.free(args.force)?;
    let beside = |name: &String| path.parent().unwrap_or(Path::new("")).join(name);
    let airframe = match (&args.airframe, &script.airframe) {
        (Some(given), _) => airframe(given)?,
        (None, Some(name)) => airframe(&beside(name))?,
        (None, None) => demo()?,
    };
    let fit = args
        .recorder
        .map_or(script.recorder.unwrap_or(Fit::Rich), fit);
    output::progress("flying …");
    let mut flight = script.fly(&airframe, fit, args.seed).map_err(usage)?;
    flight.truth["file"] = files.name(&files.recording).into();
    let truth = serde_json::to_string_pretty(&flight.truth)
        .map_err(|error| Failure::Output(error.to_string()))?;
    // The recording last: where it stands, the others do.
    output::write(&files.truth, format!("{truth}\n").as_bytes())?;
    output::write(&files.aircraft, flight.aircraft.as_bytes())?;
    output::write(&files.recording, flight.recording.as_bytes())?;
    output::print(&told(&script, &flight, &files))
}

fn demo() -> Result<Airframe, Failure> {
    default_airframe().map_err(|problem| Failure::Usage(problem.to_string()))
}

fn airframe(path: &Path) -> Result<Airframe, Failure> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::Usage(Failure::opening(path, &error)))?;
    dynamics::parse(&text, &path.display().to_string())
        .map_err(|problem| Failure::Usage(problem.to_string()))
}

fn fit(recorder: Recorder) -> Fit {
    match recorder {
        Recorder::Rich => Fit::Rich,
        Recorder::Panel => Fit::Panel,
        Recorder::GpsAtt => Fit::GnssAttitude,
        Recorder::Gps => Fit::Gnss,
    }
}

/// The three files of a flight.
struct Files {
    recording: PathBuf,
    truth: PathBuf,
    aircraft: PathBuf,
}

impl Files {
    fn of(out: Option<&Path>, script: &Path) -> Result<Files, Failure> {
        let Some(out) = out else {
            let stem = script.file_stem().unwrap_or_default().to_string_lossy();
            return Err(Failure::Usage(format!(
                "where shall the recording go?\nhint: add --out {stem}.csv; the truth and the aircraft file go beside it"
            )));
        };
        let csv = out
            .extension()
            .is_some_and(|end| end.eq_ignore_ascii_case("csv"));
        if !csv || out.is_dir() {
            return Err(Failure::Usage(format!(
                "--out {}: a recording is a table\nhint: name a file that ends in .csv",
                out.display()
            )));
        }
        Ok(Files {
            recording: out.to_owned(),
            truth: out.with_extension("truth.json"),
            aircraft: out.with_extension("aircraft.toml"),
        })
    }

    fn free(&self, force: bool) -> Result<(), Failure> {
        let there = [&self.recording, &self.truth, &self.aircraft]
            .into_iter()
            .find(|path| path.exists());
        match there {
            Some(path) if !force => Err(Failure::Usage(format!(
                "{} is there already\nhint: choose another name, or add --force to write over it",
                path.display()
            ))),
            _ => Ok(()),
        }
    }

    fn name(&self, path: &Path) -> String {
        path.file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned()
    }
}

/// What was flown, and what to do with it.
fn told(script: &Script, flight: &Flight, files: &Files) -> String {
    let clock = |seconds: f64| {
        let whole = seconds.max(0.0) as u64;
        format!("{:>3}:{:02}", whole / 60, whole % 60)
    };
    let length = flight.log.samples.last().map_or(0.0, |last| last.seen.t);
    let mut text = String::new();
    let words = format!(
        "{}, {} min {:02} s, flown by the model",
        script.name,
        length as u64 / 60,
        length as u64 % 60
    );
    proofwing::layout::wrapped(&mut text, "", "  ", &words);
    for one in &flight.log.flown {
        let faults = if one.faults.is_empty() {
            String::new()
        } else {
            format!(": {}", one.faults.join(", "))
        };
        let words = format!("{}{faults}", one.kind);
        let first = format!("  {}-{}  ", clock(one.start_s), clock(one.end_s));
        proofwing::layout::wrapped(&mut text, &first, "                 ", &words);
    }
    text.push('\n');
    for path in [&files.recording, &files.truth, &files.aircraft] {
        let _ = writeln!(text, "wrote {}", path.display());
    }
    let [from, to] = flight.runway_deg;
    let feet = (script.elevation_m / M_PER_FT).round();
    let _ = writeln!(
        text,
        "\nproofwing debrief {} \\\n  --aircraft {} --standard faa-private \\\n  --terrain-ft {feet} --runway {:.6},{:.6},{:.6},{:.6},{feet}\n",
        files.recording.display(),
        files.aircraft.display(),
        from[0],
        from[1],
        to[0],
        to[1]
    );
    proofwing::layout::wrapped(&mut text, "", "", SAFETY);
    text
}
