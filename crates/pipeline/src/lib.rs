//! The way through, from a recording to the debrief document.
//!
//! Two steps, because one is slow and the other is wanted often. [`reconstruct`] rebuilds the flight and finds
//! its maneuvers: it hangs on the recording, the aircraft and the terrain alone. [`mark`] applies a person's
//! corrections, marks against a standard and writes the document: it is made again at once when another
//! standard is chosen, something briefed, or a boundary moved. [`debrief()`] and [`debrief_corrected`] do both.

mod profile;

pub use debrief::RecordingHead;
pub use performance::Carried;
pub use profile::{json_of, profile};

use aircraft::Aircraft;
use debrief::Debrief;
use flight::{Flight, Surroundings};
use maneuver::corrections::{Corrected, Outcome};
use maneuver::{Correction, Kind, Leg, Maneuver, corrections};
use performance::DayFit;
use recording::Recording;
use standard::{Briefed, Pack};

/// The version that every document carries: the program's, which all crates share.
pub const VERSION: &str = env!("CARGO_PKG_VERSION");

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

/// A flight and what was found in it, before anybody corrected or marked anything.
#[derive(Debug)]
pub struct Reconstructed {
    /// The flight.
    pub flight: Flight,
    /// Maneuvers in order of time.
    pub found: Vec<Maneuver>,
    /// Ordinary flying over the whole flight, under the maneuvers too.
    pub legs: Vec<Leg>,
    /// What the flight says of its aircraft, with the maneuvers as they were found, drawn to `earlier`.
    pub fit: DayFit,
    /// The same without the earlier flights; none = there are none.
    pub alone: Option<DayFit>,
    /// What earlier flights of the aircraft left.
    pub earlier: Vec<Carried>,
}

impl Reconstructed {
    /// Draws the fit of the day to earlier flights of the same aircraft, in the order of time so that the same flights give
    /// the same last digit. A tenth of a second or less.
    #[must_use]
    pub fn drawn_to(self, aircraft: &Aircraft, earlier: Vec<Carried>) -> Reconstructed {
        if earlier.is_empty() {
            return self;
        }
        let alone = self.alone.unwrap_or(self.fit);
        let fit = performance::fit(&self.flight, &self.found, aircraft, &earlier);
        Reconstructed {
            fit,
            alone: Some(alone),
            earlier,
            ..self
        }
    }
}

/// A marked flight with the maneuvers that it was marked by.
#[derive(Debug)]
pub struct Marked {
    /// The document.
    pub document: Debrief,
    /// The maneuvers after the corrections, one for each of the document's.
    pub maneuvers: Vec<Maneuver>,
    /// What became of each correction, in their order.
    pub outcomes: Vec<Outcome>,
}

/// Rebuilds a flight and finds its maneuvers: the slow step.
#[must_use]
pub fn reconstruct(
    recording: &Recording,
    aircraft: &Aircraft,
    surroundings: Surroundings,
) -> Reconstructed {
    let flight = flight::build(recording, aircraft, &surroundings);
    let maneuver::Found { maneuvers, legs } = maneuver::found(&flight, aircraft);
    let fit = performance::fit(&flight, &maneuvers, aircraft, &[]);
    Reconstructed {
        fit,
        alone: None,
        earlier: Vec::new(),
        flight,
        found: maneuvers,
        legs,
    }
}

/// Corrects, marks and writes the document: the fast step. `head` is what is kept of the recording; the
/// setting's aircraft is the one that the flight was reconstructed with. Its surroundings are in the flight
/// already and not looked at.
#[must_use]
pub fn mark(
    head: &RecordingHead,
    reconstructed: &Reconstructed,
    setting: &Setting<'_>,
    corrections: &[Correction],
) -> Debrief {
    mark_telling(head, reconstructed, setting, corrections).document
}

/// As [`mark`], and tells what became of each correction.
#[must_use]
pub fn mark_telling(
    head: &RecordingHead,
    reconstructed: &Reconstructed,
    setting: &Setting<'_>,
    corrections: &[Correction],
) -> Marked {
    let Reconstructed {
        flight,
        found,
        legs,
        fit,
        alone,
        earlier,
    } = reconstructed;
    let Corrected {
        mut maneuvers,
        outcomes,
    } = corrections::apply(flight, setting.aircraft, found, corrections);
    maneuver::runway::place(flight, &setting.briefed.runways(), &mut maneuvers);
    let references = setting.briefed.references(&maneuvers);
    maneuver::reference::place(flight, setting.aircraft, &references, &mut maneuvers);
    let mut document = debrief::debrief_from(
        head,
        flight,
        setting.aircraft,
        &maneuvers,
        setting.pack,
        setting.briefed,
        VERSION,
    );
    document.lesson = debrief::lesson(flight, legs, &maneuvers);
    let anew;
    let (day, alone) = if stalls(found) == stalls(&maneuvers) {
        (fit, alone.as_ref())
    } else {
        let again = |earlier| performance::fit(flight, &maneuvers, setting.aircraft, earlier);
        anew = (again(earlier), alone.as_ref().map(|_| again(&[])));
        (&anew.0, anew.1.as_ref())
    };
    document.fit_of_the_day = Some(debrief::fit_of_the_day(day, alone, setting.aircraft));
    debrief::height_ledgers(&mut document, flight, day, setting.aircraft, &maneuvers);
    Marked {
        document,
        maneuvers,
        outcomes,
    }
}

/// Why a recovery cannot be flown otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CannotTell {
    /// No maneuver has that number.
    NoSuchManeuver,
    /// The reason, for people.
    Because(&'static str),
}

/// A flight made ready to be flown otherwise, once for many what-ifs.
#[derive(Debug)]
pub struct Ready {
    /// Maneuvers after a person's corrections.
    maneuvers: Vec<Maneuver>,
    /// What the flight says of its aircraft with these; none = as with those that were found.
    fit: Option<DayFit>,
}

/// Makes a flight ready to be flown otherwise with these corrections.
#[must_use]
pub fn ready(
    reconstructed: &Reconstructed,
    aircraft: &Aircraft,
    corrections: &[Correction],
) -> Ready {
    let Reconstructed {
        flight,
        found,
        earlier,
        ..
    } = reconstructed;
    let maneuvers = corrections::apply(flight, aircraft, found, corrections).maneuvers;
    let fit = (stalls(found) != stalls(&maneuvers))
        .then(|| performance::fit(flight, &maneuvers, aircraft, earlier));
    Ready { maneuvers, fit }
}

/// The recovery of a maneuver flown otherwise, some milliseconds' work. `number` is the document's.
///
/// # Errors
/// No such maneuver, not a recovery, or the recording lacks what it takes.
pub fn what_if(
    reconstructed: &Reconstructed,
    aircraft: &Aircraft,
    ready: &Ready,
    number: usize,
    change: &debrief::WhatIfChange,
) -> Result<debrief::WhatIfTrace, CannotTell> {
    let maneuvers = &ready.maneuvers;
    let index = number
        .checked_sub(1)
        .filter(|index| *index < maneuvers.len())
        .ok_or(CannotTell::NoSuchManeuver)?;
    let fit = ready.fit.as_ref().unwrap_or(&reconstructed.fit);
    let flight = &reconstructed.flight;
    debrief::what_if(flight, fit, aircraft, maneuvers, index, change).map_err(CannotTell::Because)
}

/// The stalls of a flight and when each broke: what a person may correct that the fit of the day rests on.
fn stalls(maneuvers: &[Maneuver]) -> Vec<(Kind, u64)> {
    let stalled = |one: &Maneuver| Some((one.kind, one.event("full_stall")?.at_s.to_bits()));
    maneuvers.iter().filter_map(stalled).collect()
}

/// Debriefs one recording.
#[must_use]
pub fn debrief(recording: &Recording, setting: &Setting<'_>) -> Debriefed {
    debrief_after(recording, setting, Vec::new())
}

/// Debriefs one recording, its fit of the day drawn to earlier flights of the same aircraft, oldest first.
#[must_use]
pub fn debrief_after(
    recording: &Recording,
    setting: &Setting<'_>,
    earlier: Vec<Carried>,
) -> Debriefed {
    let reconstructed = reconstruct(recording, setting.aircraft, setting.surroundings)
        .drawn_to(setting.aircraft, earlier);
    let head = RecordingHead::from(recording);
    let document = mark(&head, &reconstructed, setting, &[]);
    Debriefed {
        document,
        flight: reconstructed.flight,
    }
}

/// Debriefs one recording with a person's corrections of what was recognized.
#[must_use]
pub fn debrief_corrected(
    recording: &Recording,
    setting: &Setting<'_>,
    corrections: &[Correction],
) -> Debriefed {
    let reconstructed = reconstruct(recording, setting.aircraft, setting.surroundings);
    let head = RecordingHead::from(recording);
    let document = mark(&head, &reconstructed, setting, corrections);
    Debriefed {
        document,
        flight: reconstructed.flight,
    }
}

/// The document as JSON text on one line.
///
/// # Errors
/// When it cannot be written, which would be our own mistake.
pub fn to_json(document: &Debrief) -> Result<String, String> {
    serde_json::to_string(document)
        .map_err(|error| format!("the debrief cannot be written: {error}"))
}
