//! Bringing a recording in: bytes first, then how they are read, then a lesson for each flight.

mod make;
mod read;

use crate::School;
use crate::actor::Actor;
use crate::acts::who;
use crate::db::Tx;
use crate::error::{Result, SchoolError};
use crate::inputs;
use crate::lessons;
use crate::model::{Imported, MapColumn, ReadNote};
use crate::reading;
use crate::recordings;
use crate::{audit, maps, seal, secret, values};
use bytes::Bytes;
use make::{make_lessons, start};
use read::Understood;
use recording::Recording;
use serde_json::json;

/// Largest file that is taken when the caller names no other limit, bytes.
pub const LARGEST_BYTES: usize = 512 << 20;

/// Two flights that begin at the same moment and differ in length by less are taken for the same one, s.
const TWIN_S: f64 = 1.0;

/// What the person who brings a recording in says of it; what is absent is guessed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Given {
    /// Aircraft id.
    pub aircraft_id: Option<String>,
    /// Student (person id).
    pub student_id: Option<String>,
    /// Instructor (person id); none = who brings it in, if they teach.
    pub instructor_id: Option<String>,
}

/// How a recording came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Via {
    /// Dropped on the page.
    Page,
    /// `proofwing import`.
    Command,
    /// The watched folder.
    Folder,
}

impl Via {
    const fn id(self) -> &'static str {
        match self {
            Via::Page => "page",
            Via::Command => "command",
            Via::Folder => "folder",
        }
    }
}

impl School {
    /// Brings a recording in. The bytes are kept whatever they are; a file that cannot be read gives a recording
    /// whose reading says what is wrong, and no lesson. The same bytes again give the same lessons.
    ///
    /// # Errors
    /// `Denied` unless the person teaches; `Invalid` when the file is empty or larger than [`LARGEST_BYTES`], or
    /// `given` names nobody; `Store` when the bytes cannot be kept.
    pub async fn import(
        &self,
        by: &Actor,
        name: &str,
        bytes: Bytes,
        via: Via,
        given: &Given,
    ) -> Result<Imported> {
        by.must_teach()?;
        let name = file_name(name);
        sized(&name, bytes.len())?;
        self.check_given(given).await?;
        let hashed = bytes.clone();
        let sha256 = self
            .workshop()
            .work("read the file", move || secret::sha256_hex(&hashed))
            .await?;
        if let Some(known) = self.known(by, &sha256).await? {
            return Ok(known);
        }
        // The bytes come first: a recording is acknowledged only when they are durable.
        self.objects().put(bytes.clone()).await?;
        let mut understood = self.understand(&name, bytes.clone()).await?;
        self.note_twins(&mut understood).await?;
        let mut tx = self.write().await?;
        if recordings::exists(&mut tx, &sha256).await? {
            // Somebody brought the same bytes in just now.
            drop(tx);
            let known = self.known(by, &sha256).await?;
            return known.ok_or_else(|| SchoolError::not_found("this recording"));
        }
        let now = tx.at_utc().to_owned();
        tx.execute(
            "INSERT INTO recordings (sha256, name, bytes, received_utc, by_id, via, header_signature, reading, \
             identity, unsure) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10)",
            values![
                &sha256,
                &name,
                i64::try_from(bytes.len()).unwrap_or(i64::MAX),
                &now,
                &by.id,
                via.id(),
                &understood.reading.header_signature,
                serde_json::to_string(&understood.reading)?,
                &understood.identity,
                understood.reading.unsure
            ],
        )
        .await?;
        let made = make_lessons(&mut tx, by, &sha256, &understood, given).await?;
        let mut written = vec![seal::recording(&sha256)];
        written.extend(made.iter().map(|id| seal::lesson(id)));
        let detail = json!({"name": name, "bytes": bytes.len(), "via": via.id(), "lessons": made});
        let subject = format!("recording {sha256}");
        audit::append(
            &mut tx,
            by,
            "recording.received",
            &subject,
            detail,
            &written,
        )
        .await?;
        tx.commit().await?;
        self.debrief_flights(&sha256, understood.flights).await;
        self.imported(by, &sha256, false).await
    }

    /// Reads a recording anew with a person's corrections, and keeps them for every file with the same header. Its
    /// lessons stay the same lessons; those that are not signed are marked anew. No entries = it is right as the
    /// reader has it.
    ///
    /// # Errors
    /// `Denied` unless the person teaches; `NotFound`; `Invalid` when a correction does not fit the file.
    pub async fn put_map(
        &self,
        by: &Actor,
        sha256: &str,
        name: &str,
        entries: &[MapColumn],
    ) -> Result<Imported> {
        by.must_teach()?;
        let recording_name = recordings::name(&mut self.read().await?, sha256).await?;
        let bytes = self.objects().get(sha256).await?;
        let understood = self
            .understand_as(&recording_name, bytes, name, entries)
            .await?;
        let mut tx = self.write().await?;
        let signature = understood.reading.header_signature.clone();
        maps::keep_map(&mut tx, by, &signature, name, entries).await?;
        self.put_reading(tx, by, sha256, understood).await?;
        self.remark_touched(
            by,
            format!("how recordings of \"{name}\" are read was changed"),
        );
        self.imported(by, sha256, false).await
    }

    /// Reads a recording anew: after a map was made for its header, or by a later program.
    ///
    /// # Errors
    /// `Denied` unless the person teaches; `NotFound`.
    pub async fn read_anew(&self, by: &Actor, sha256: &str) -> Result<Imported> {
        by.must_teach()?;
        let name = recordings::name(&mut self.read().await?, sha256).await?;
        let bytes = self.objects().get(sha256).await?;
        let understood = self.understand(&name, bytes).await?;
        let tx = self.write().await?;
        self.put_reading(tx, by, sha256, understood).await?;
        self.imported(by, sha256, false).await
    }

    /// Puts a new reading in place, makes lessons of flights that had none, and debriefs.
    async fn put_reading(
        &self,
        mut tx: Tx,
        by: &Actor,
        sha256: &str,
        understood: Understood,
    ) -> Result<()> {
        tx.execute(
            "UPDATE recordings SET header_signature = $1, reading = $2, identity = $3, unsure = $4 WHERE sha256 = $5",
            values![
                &understood.reading.header_signature,
                serde_json::to_string(&understood.reading)?,
                &understood.identity,
                understood.reading.unsure,
                sha256
            ],
        )
        .await?;
        let made = make_lessons(&mut tx, by, sha256, &understood, &Given::default()).await?;
        let written: Vec<_> = made.iter().map(|id| seal::lesson(id)).collect();
        let detail = json!({"map": understood.reading.map, "flights": understood.reading.flights, "lessons": made});
        let subject = format!("recording {sha256}");
        audit::append(
            &mut tx,
            by,
            "recording.read_anew",
            &subject,
            detail,
            &written,
        )
        .await?;
        tx.commit().await?;
        self.debrief_flights(sha256, understood.flights).await;
        Ok(())
    }

    /// The recording, when these bytes were here before. One that could not be read then, or gave no lesson, is
    /// read anew: the program or the maps may know more now.
    async fn known(&self, by: &Actor, sha256: &str) -> Result<Option<Imported>> {
        let lessons = {
            let mut tx = self.read().await?;
            if !recordings::exists(&mut tx, sha256).await? {
                return Ok(None);
            }
            lessons::of_recording(&mut tx, sha256).await?
        };
        if lessons.is_empty() {
            self.read_anew(by, sha256).await?;
        }
        Ok(Some(self.imported(by, sha256, true).await?))
    }

    async fn imported(&self, by: &Actor, sha256: &str, known: bool) -> Result<Imported> {
        let recording = self.recording(by, sha256).await?;
        let lessons = lessons::of_recording(&mut self.read().await?, sha256).await?;
        Ok(Imported {
            recording,
            known,
            lessons: lessons.into_iter().map(|lesson| lesson.brief).collect(),
        })
    }

    /// Reconstructs and marks flights that were just read. The lessons stand already: what fails here is tried
    /// again, and told, when somebody looks at the lesson.
    async fn debrief_flights(&self, sha256: &str, flights: Vec<(u32, Recording)>) {
        for (part, recording) in flights {
            if let Err(error) = self.debrief_flight(sha256, part, recording).await {
                tracing::warn!(
                    recording = sha256,
                    part,
                    error = error.for_log(),
                    "a flight was not debriefed"
                );
            }
        }
    }

    async fn debrief_flight(&self, sha256: &str, part: u32, recording: Recording) -> Result<()> {
        let (id, inputs) = {
            let mut tx = self.read().await?;
            let lessons = lessons::of_recording(&mut tx, sha256).await?;
            let Some(lesson) = lessons.into_iter().find(|lesson| lesson.brief.part == part) else {
                return Ok(());
            };
            let inputs = inputs::of_lesson(&mut tx, &lesson).await?;
            (lesson.brief.id, inputs)
        };
        self.rebuilt_from(&inputs, recording).await?;
        self.settled(&Actor::program(), &id).await.map(drop)
    }

    /// The same flight may come as another file (exported again, packed otherwise): a person decides then.
    async fn note_twins(&self, understood: &mut Understood) -> Result<()> {
        let mut tx = self.read().await?;
        for (part, flight) in &understood.flights {
            let (start_utc, start_known) = start(flight, "");
            if !start_known {
                continue;
            }
            let twin = tx
                .row(
                    "SELECT title FROM lessons WHERE start_utc = $1 AND start_known \
                     AND duration_s BETWEEN $2 AND $3 AND set_aside_utc IS NULL LIMIT 1",
                    values![
                        &start_utc,
                        reading::length_s(flight) - TWIN_S,
                        reading::length_s(flight) + TWIN_S
                    ],
                )
                .await?;
            if let Some(twin) = twin {
                understood.reading.unsure = true;
                understood.reading.notes.push(ReadNote {
                    what: format!(
                        "flight {} begins at the same second as \"{}\" and is as long",
                        part + 1,
                        twin.text("title")?
                    ),
                    done:
                        "a lesson was made of it all the same; if it is the same flight, the chief \
                           instructor can set one aside"
                            .to_owned(),
                    ..ReadNote::default()
                });
            }
        }
        Ok(())
    }

    async fn check_given(&self, given: &Given) -> Result<()> {
        let mut tx = self.read().await?;
        let text = |id: &Option<String>| id.clone().unwrap_or_default();
        who::aircraft(&mut tx, &text(&given.aircraft_id)).await?;
        who::student(&mut tx, &text(&given.student_id)).await?;
        who::instructor(&mut tx, &text(&given.instructor_id)).await?;
        Ok(())
    }
}

/// The last part of a path, without what cannot stand in a name.
fn file_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let clean: String = last
        .chars()
        .filter(|letter| !letter.is_control())
        .take(200)
        .collect();
    let clean = clean.trim();
    if clean.is_empty() {
        "recording".to_owned()
    } else {
        clean.to_owned()
    }
}

fn sized(name: &str, bytes: usize) -> Result<()> {
    if bytes == 0 {
        return Err(SchoolError::invalid(
            "file",
            format!("{name} is empty."),
            "Copy it from the recorder again.",
        ));
    }
    if bytes > LARGEST_BYTES {
        return Err(SchoolError::invalid(
            "file",
            format!("{name} is larger than {} MB.", LARGEST_BYTES >> 20),
            "Pack it (gzip or zip), or export the flights one by one.",
        ));
    }
    Ok(())
}
