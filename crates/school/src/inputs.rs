//! Everything that a lesson's debrief is computed from, and its digest: the same inputs give the same document.

use crate::carried::{self, EarlierFlight};
use crate::db::Tx;
use crate::error::{Result, SchoolError};
use crate::lessons::LessonRow;
use crate::model::MapColumn;
use crate::secret::sha256_hex;
use crate::{entries, values};
use maneuver::Correction;
use serde::{Deserialize, Serialize};
use standard::Briefed;

/// What a debrief is computed from. Also the `inputs` of a signed version, so that the debrief can be made again
/// from the record alone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Inputs {
    /// The recording.
    pub recording_sha256: String,
    /// Its file name as received.
    pub recording_name: String,
    /// Which flight of the file, 0 = the first.
    pub part: u32,
    /// How its columns were read, where a person corrected the reader; empty = by the reader alone.
    pub map: Vec<MapColumn>,
    /// The aircraft; empty = none was chosen, or a record that did not say so yet.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub aircraft_id: String,
    /// SHA-256 of the aircraft file; empty = no aircraft was chosen.
    pub aircraft_sha256: String,
    /// The aircraft file.
    pub aircraft_toml: String,
    /// SHA-256 of the pack.
    pub standard_sha256: String,
    /// The pack.
    pub standard_toml: String,
    /// What was asked for.
    pub briefed: Briefed,
    /// Corrections of recognition.
    pub corrections: Vec<Correction>,
    /// Elevation below the practice area, ft.
    pub terrain_ft: Option<f64>,
    /// The program's version.
    pub program: String,
    /// Earlier flights of the aircraft that the fit of the day is drawn to, oldest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub earlier: Vec<EarlierFlight>,
}

impl Inputs {
    /// SHA-256 over all of it, hex. The texts of aircraft file and pack go in by their own digests.
    ///
    /// # Errors
    /// When something cannot be written as JSON, which would be our own mistake.
    pub fn sha256(&self) -> Result<String> {
        digest(&(
            "proofwing/inputs/2",
            self.rebuilt_key()?,
            &self.aircraft_id,
            &self.recording_name,
            &self.standard_sha256,
            &self.briefed,
            &self.corrections,
        ))
    }

    /// SHA-256 over what the reconstructed flight hangs on: recording, part, map, aircraft, terrain and program.
    ///
    /// # Errors
    /// As [`Inputs::sha256`].
    pub fn flight_key(&self) -> Result<String> {
        digest(&(
            "proofwing/flight/1",
            &self.recording_sha256,
            self.part,
            &self.map,
            &self.aircraft_sha256,
            self.terrain_ft.map(f64::to_bits),
            &self.program,
        ))
    }

    /// SHA-256 over what earlier flights are chosen for: the flight, and the aircraft, since two may have the same file.
    ///
    /// # Errors
    /// As [`Inputs::sha256`].
    pub fn choice_key(&self) -> Result<String> {
        digest(&("proofwing/choice/1", self.flight_key()?, &self.aircraft_id))
    }

    /// SHA-256 over what flight and fit of the day hang on: the flight's, and the earlier flights.
    ///
    /// # Errors
    /// As [`Inputs::sha256`].
    pub fn rebuilt_key(&self) -> Result<String> {
        digest(&("proofwing/rebuilt/1", self.flight_key()?, &self.earlier))
    }

    /// SHA-256 over what a recovery flown otherwise hangs on: flight and fit, and a person's corrections.
    ///
    /// # Errors
    /// As [`Inputs::sha256`].
    pub fn ready_key(&self) -> Result<String> {
        digest(&("proofwing/ready/1", self.rebuilt_key()?, &self.corrections))
    }
}

fn digest(of: &impl Serialize) -> Result<String> {
    Ok(sha256_hex(&serde_json::to_vec(of)?))
}

/// The inputs of a lesson as they are now.
///
/// # Errors
/// When the lesson names a standard that is nowhere to be found, or the database refuses.
pub async fn of_lesson(tx: &mut Tx, lesson: &LessonRow) -> Result<Inputs> {
    let recording = tx
        .one(
            "SELECT r.name, m.entries, s.terrain_ft FROM recordings r \
             LEFT JOIN maps m ON m.header_signature = r.header_signature AND r.header_signature <> '' \
             LEFT JOIN school s ON s.id = 1 WHERE r.sha256 = $1",
            values![&lesson.brief.recording_sha256],
        )
        .await?;
    let map = match recording.opt_text("entries")? {
        Some(entries) => serde_json::from_str(&entries)?,
        None => Vec::new(),
    };
    let (aircraft_sha256, aircraft_toml) =
        aircraft(tx, lesson.brief.aircraft_id.as_deref()).await?;
    let (standard_sha256, standard_toml) = standard(tx, &lesson.brief.standard).await?;
    let mut inputs = Inputs {
        recording_sha256: lesson.brief.recording_sha256.clone(),
        recording_name: recording.text("name")?,
        part: lesson.brief.part,
        map,
        aircraft_id: lesson.brief.aircraft_id.clone().unwrap_or_default(),
        aircraft_sha256,
        aircraft_toml,
        standard_sha256,
        standard_toml,
        briefed: entries::last_briefed(tx, &lesson.brief.id).await?,
        corrections: entries::last_corrections(tx, &lesson.brief.id).await?,
        terrain_ft: lesson.terrain_ft.or(recording.opt_real("terrain_ft")?),
        program: pipeline::VERSION.to_owned(),
        earlier: Vec::new(),
    };
    let key = inputs.choice_key()?;
    inputs.earlier = carried::of_lesson(tx, lesson, &inputs.aircraft_sha256, &key).await?;
    Ok(inputs)
}

/// Digest and text of an aircraft's file in force; both empty without an aircraft.
///
/// # Errors
/// `NotFound` when there is no such aircraft.
pub async fn aircraft(tx: &mut Tx, id: Option<&str>) -> Result<(String, String)> {
    let Some(id) = id else {
        return Ok((String::new(), String::new()));
    };
    let row = tx
        .row(
            "SELECT sha256, toml FROM aircraft_files WHERE aircraft_id = $1 ORDER BY version DESC LIMIT 1",
            values![id],
        )
        .await?
        .ok_or_else(|| SchoolError::not_found("this aircraft"))?;
    Ok((row.text("sha256")?, row.text("toml")?))
}

/// Digest and text of a pack: the school's own in force, else the one that comes with the program, else the
/// school's last that was retired (old lessons still name it).
///
/// # Errors
/// `NotFound` when there is none of that id.
pub async fn standard(tx: &mut Tx, id: &str) -> Result<(String, String)> {
    let own = tx
        .row(
            "SELECT sha256, toml, active FROM packs WHERE id = $1 ORDER BY active DESC, at_utc DESC LIMIT 1",
            values![id],
        )
        .await?;
    let embedded = standard::EMBEDDED.iter().find(|(known, _)| *known == id);
    match (own, embedded) {
        (Some(own), None) => Ok((own.text("sha256")?, own.text("toml")?)),
        (Some(own), Some(_)) if own.flag("active")? => Ok((own.text("sha256")?, own.text("toml")?)),
        (_, Some((_, toml))) => Ok((sha256_hex(toml.as_bytes()), (*toml).to_owned())),
        (None, None) => Err(SchoolError::not_found(format!("a standard called {id}"))),
    }
}
