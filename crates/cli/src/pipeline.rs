//! The way through, from bytes to the debrief document, as one function for the command line, the
//! score tool and the benchmark.

use aircraft::Aircraft;
use debrief::Debrief;
use flight::{Flight, Surroundings};
use recording::{ReadOptions, Recording};
use standard::{Briefed, Pack};
use std::time::{Duration, Instant};

/// What a debrief needs besides the recording.
#[derive(Clone, Copy, Debug)]
pub struct Setting<'a> {
    /// The aircraft.
    pub aircraft: &'a Aircraft,
    /// The standard.
    pub pack: &'a Pack,
    /// What was asked for.
    pub briefed: &'a Briefed,
    /// Terrain and the like.
    pub surroundings: Surroundings,
}

/// A debriefed flight: the document, and the flight that its pictures are drawn from.
#[derive(Debug)]
pub struct Debriefed {
    /// The document.
    pub document: Debrief,
    /// The reconstructed flight.
    pub flight: Flight,
}

/// Debriefs one recording.
#[must_use]
pub fn debrief(recording: &Recording, setting: &Setting<'_>) -> Debriefed {
    let flight = flight::build(recording, setting.aircraft, &setting.surroundings);
    let maneuvers = maneuver::maneuvers(&flight, setting.aircraft);
    let document = debrief::debrief(
        recording,
        &flight,
        setting.aircraft,
        &maneuvers,
        setting.pack,
        setting.briefed,
        env!("CARGO_PKG_VERSION"),
    );
    Debriefed { document, flight }
}

/// The document as JSON text.
///
/// # Errors
/// When it cannot be written, which would be our own mistake.
pub fn to_json(document: &Debrief) -> Result<String, String> {
    serde_json::to_string(document)
        .map_err(|error| format!("the debrief cannot be written: {error}"))
}

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
    let maneuvers = maneuver::maneuvers(&flight, setting.aircraft);
    lap("maneuver: find, phases");
    let version = env!("CARGO_PKG_VERSION");
    let document = debrief::debrief(
        recording,
        &flight,
        setting.aircraft,
        &maneuvers,
        setting.pack,
        setting.briefed,
        version,
    );
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
