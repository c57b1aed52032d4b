//! `--earlier`: what earlier debriefs of the same aircraft left for the fit of the day.

use crate::failure::Failure;
use aircraft::Aircraft;
use debrief::Debrief;
use jiff::Timestamp;
use proofwing::pipeline::{self, Carried};
use recording::Recording;
use serde_json::Value;
use std::path::{Path, PathBuf};

/// An earlier flight.
#[derive(Debug)]
struct Earlier {
    /// When it began and ended, s since 1970; none = its recording does not say.
    span_s: Option<(f64, f64)>,
    /// Name of its recording.
    name: String,
    carried: Carried,
}

/// The earlier flights of an aircraft, oldest first.
#[derive(Debug, Default)]
pub struct EarlierFlights {
    all: Vec<Earlier>,
}

impl EarlierFlights {
    /// Reads debrief documents.
    ///
    /// # Errors
    /// A file that is no debrief, one of another aircraft or by another version of the program, one that leaves nothing.
    pub fn read(paths: &[PathBuf], aircraft: &Aircraft) -> Result<EarlierFlights, Failure> {
        let mut all: Vec<Earlier> = Vec::new();
        for path in paths {
            for document in documents(path)? {
                let one = earlier(path, document, aircraft)?;
                // The same flight named twice says no more than once.
                if !all.iter().any(|known| known.is(&one)) {
                    all.push(one);
                }
            }
        }
        let start = |one: &Earlier| one.span_s.map_or(f64::NEG_INFINITY, |span| span.0);
        all.sort_by(|a, b| start(a).total_cmp(&start(b)));
        Ok(EarlierFlights { all })
    }

    /// What was left by those that were over when this flight began. Where either does not say its day, the person who named
    /// the file is believed.
    pub fn before(&self, flight: &Recording) -> Vec<Carried> {
        let before = |one: &&Earlier| match (one.span_s, flight.start_unix_s) {
            (Some((_, end_s)), Some(start_s)) => end_s <= start_s,
            _ => one.name != flight.name,
        };
        let left = self.all.iter().filter(before);
        left.map(|one| one.carried.clone()).collect()
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.all.len()
    }
}

impl Earlier {
    fn is(&self, other: &Earlier) -> bool {
        match (self.span_s, other.span_s) {
            (Some(a), Some(b)) => a.0 < b.1 && b.0 < a.1,
            _ => self.carried == other.carried,
        }
    }
}

/// The documents of a file: one, or the array that several flights give.
fn documents(path: &Path) -> Result<Vec<Debrief>, Failure> {
    let text = std::fs::read_to_string(path)
        .map_err(|error| Failure::Usage(Failure::opening(path, &error)))?;
    let none = || {
        unusable(
            path,
            "is no debrief",
            "--earlier takes what `proofwing debrief RECORDING --json FILE` wrote; recordings come before it",
        )
    };
    let values = match serde_json::from_str(&text).map_err(|_| none())? {
        Value::Array(values) => values,
        value => vec![value],
    };
    if values.is_empty() {
        return Err(none());
    }
    let document = |value: Value| {
        if value.get("schema").and_then(Value::as_str) != Some(debrief::SCHEMA) {
            return Err(none());
        }
        serde_json::from_value(value).map_err(|error| {
            unusable(
                path,
                &format!("does not read as a debrief: {error}"),
                "debrief that recording again",
            )
        })
    };
    values.into_iter().map(document).collect()
}

fn earlier(path: &Path, document: Debrief, aircraft: &Aircraft) -> Result<Earlier, Failure> {
    if document.program != pipeline::VERSION {
        return Err(unusable(
            path,
            &format!(
                "was written by Proofwing {}, this is {}",
                document.program,
                pipeline::VERSION
            ),
            "debrief that recording again with this one",
        ));
    }
    if document.aircraft.name != aircraft.name {
        return Err(unusable(
            path,
            &format!(
                "is of `{}`, the aircraft file of `{}`",
                document.aircraft.name, aircraft.name
            ),
            "name debriefs of the same aircraft, made with the same aircraft file",
        ));
    }
    let recording = document.recording;
    let start_s = recording
        .start_utc
        .as_deref()
        .and_then(|text| text.parse::<Timestamp>().ok())
        .map(|at| at.as_millisecond() as f64 / 1000.0);
    let carried = document.fit_of_the_day.and_then(|fit| fit.carried);
    let carried = carried.ok_or_else(|| {
        unusable(
            path,
            &format!(
                "{} says nothing of its aircraft's drag, thrust and stall speeds",
                recording.name
            ),
            "leave it out",
        )
    })?;
    Ok(Earlier {
        span_s: start_s.map(|start_s| (start_s, start_s + recording.duration_s)),
        name: recording.name,
        carried,
    })
}

fn unusable(path: &Path, what: &str, mend: &str) -> Failure {
    Failure::Usage(format!(
        "--earlier {}: {what}\nhint: {mend}",
        path.display()
    ))
}
