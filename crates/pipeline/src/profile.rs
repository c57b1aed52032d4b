//! From a file's text to the document in one call, and where the time goes.

use crate::{Reconstructed, RecordingHead, Setting, debrief, mark, to_json};
use aircraft::Aircraft;
use flight::Surroundings;
use recording::ReadOptions;
use standard::{Briefed, Pack};
use std::time::{Duration, Instant};

/// Reads, debriefs and writes a recording's text against the private standard.
///
/// # Errors
/// When the recording or the aircraft file cannot be read.
pub fn json_of(text: &str, aircraft: &str) -> Result<String, String> {
    let parts = Parts::new(aircraft)?;
    let read = recording::read("recording", text.as_bytes(), &ReadOptions::default())
        .map_err(|error| error.to_string())?;
    let recording = read.recordings.first().ok_or("the file holds no flight")?;
    to_json(&debrief(recording, &parts.setting()).document)
}

/// Time that each stage of [`json_of`] takes.
///
/// # Errors
/// As [`json_of`].
pub fn profile(text: &str, aircraft: &str) -> Result<Vec<(&'static str, Duration)>, String> {
    let parts = Parts::new(aircraft)?;
    let setting = parts.setting();
    let mut stages = Vec::new();
    let mut clock = Instant::now();
    let mut lap = |stage| {
        stages.push((stage, clock.elapsed()));
        clock = Instant::now();
    };
    let read = recording::read("recording", text.as_bytes(), &ReadOptions::default())
        .map_err(|error| error.to_string())?;
    let recording = read.recordings.first().ok_or("the file holds no flight")?;
    lap("recording: read");
    let flight = flight::build(recording, setting.aircraft, &setting.surroundings);
    lap("flight: reconstruct");
    let maneuver::Found {
        maneuvers: found,
        legs,
    } = maneuver::found(&flight, setting.aircraft);
    lap("maneuver: find, phases");
    let fit = performance::fit(&flight, &found, setting.aircraft, &[]);
    lap("performance: fit");
    let reconstructed = Reconstructed {
        fit,
        flight,
        found,
        legs,
        alone: None,
        earlier: Vec::new(),
    };
    let head = RecordingHead::from(recording);
    let document = mark(&head, &reconstructed, &setting, &[]);
    lap("standard, debrief: mark, explain");
    to_json(&document)?;
    lap("JSON");
    Ok(stages)
}

struct Parts {
    aircraft: Aircraft,
    pack: Pack,
    briefed: Briefed,
}

impl Parts {
    fn new(aircraft: &str) -> Result<Self, String> {
        let (aircraft, _) = aircraft::parse(aircraft, "aircraft.toml").map_err(|problems| {
            problems
                .first()
                .map_or_else(String::new, ToString::to_string)
        })?;
        let pack = standard::pack("faa-private").map_err(|error| error.to_string())?;
        Ok(Self {
            aircraft,
            pack,
            briefed: Briefed::default(),
        })
    }

    fn setting(&self) -> Setting<'_> {
        Setting {
            aircraft: &self.aircraft,
            pack: &self.pack,
            briefed: &self.briefed,
            surroundings: Surroundings::default(),
        }
    }
}
