//! Lessons of the flights in a file, with the guess of who flew and in what.

use super::{Given, read::Understood};
use crate::actor::Actor;
use crate::clock::to_utc;
use crate::db::Tx;
use crate::error::Result;
use crate::guess::{self, Around, Arrival, Earlier};
use crate::{lessons, new_id, reading, settings, values};
use jiff::Timestamp;
use recording::Recording;

/// Makes a lesson of each flight that has none; gives their ids.
pub(super) async fn make_lessons(
    tx: &mut Tx,
    by: &Actor,
    sha256: &str,
    understood: &Understood,
    given: &Given,
) -> Result<Vec<String>> {
    let there = lessons::of_recording(tx, sha256).await?;
    let standard = settings::settings(tx).await?.standard;
    let received = tx
        .one(
            "SELECT received_utc FROM recordings WHERE sha256 = $1",
            values![sha256],
        )
        .await?
        .text("received_utc")?;
    let (earlier, around) = (earlier(tx, sha256).await?, around(tx).await?);
    let brings = (by.role.teaches() && !by.is_program()).then(|| by.id.clone());
    let mut made = Vec::new();
    for (part, flight) in &understood.flights {
        let (start_utc, start_known) = start(flight, &received);
        let duration_s = reading::length_s(flight);
        if let Some(lesson) = there.iter().find(|lesson| lesson.brief.part == *part) {
            tx.execute(
                "UPDATE lessons SET start_utc = $1, start_known = $2, duration_s = $3 WHERE id = $4",
                values![start_utc, start_known, duration_s, &lesson.brief.id],
            )
            .await?;
            continue;
        }
        let arrival = Arrival {
            start_utc: start_utc.clone(),
            identity: understood.identity.clone(),
            header_signature: understood.reading.header_signature.clone(),
            instructor_id: given.instructor_id.clone().or_else(|| brings.clone()),
            aircraft_id: given.aircraft_id.clone(),
            student_id: given.student_id.clone(),
        };
        let mut guess = guess::guess(&arrival, &earlier, &around);
        if given.instructor_id.is_some() {
            guess.guessed.retain(|field| field != "instructor");
        }
        let id = new_id();
        let now = tx.at_utc().to_owned();
        tx.execute(
            "INSERT INTO lessons (id, recording_sha256, part, start_utc, start_known, duration_s, title, student_id, \
             instructor_id, aircraft_id, standard, guessed, created_utc) \
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)",
            values![
                &id,
                sha256,
                *part,
                start_utc,
                start_known,
                duration_s,
                "Flight",
                guess.student_id,
                guess.instructor_id,
                guess.aircraft_id,
                &standard,
                serde_json::to_string(&guess.guessed)?,
                now
            ],
        )
        .await?;
        made.push(id);
    }
    Ok(made)
}

/// When a flight began, if the recording tells, else when it was received.
pub(super) fn start(flight: &Recording, received_utc: &str) -> (String, bool) {
    let told = flight
        .start_unix_s
        .filter(|seconds| seconds.is_finite())
        // Milliseconds since 1970 fit an i64 for the next 290 million years.
        .and_then(|seconds| Timestamp::from_millisecond((seconds * 1000.0).round() as i64).ok());
    match told {
        Some(at) => (to_utc(at), true),
        None => (received_utc.to_owned(), false),
    }
}

/// The lessons to guess from: the last 2,000, without those that were set aside and those of this recording.
async fn earlier(tx: &mut Tx, sha256: &str) -> Result<Vec<Earlier>> {
    let rows = tx
        .rows(
            "SELECT l.start_utc, r.identity, r.header_signature, l.aircraft_id, l.instructor_id, l.student_id \
             FROM lessons l JOIN recordings r ON r.sha256 = l.recording_sha256 \
             WHERE l.set_aside_utc IS NULL AND r.sha256 <> $1 ORDER BY l.start_utc DESC LIMIT 2000",
            values![sha256],
        )
        .await?;
    rows.iter()
        .map(|row| {
            Ok(Earlier {
                start_utc: row.text("start_utc")?,
                identity: row.text("identity")?,
                header_signature: row.text("header_signature")?,
                aircraft_id: row.opt_text("aircraft_id")?,
                instructor_id: row.opt_text("instructor_id")?,
                student_id: row.opt_text("student_id")?,
            })
        })
        .collect()
}

async fn around(tx: &mut Tx) -> Result<Around> {
    let aircraft = tx
        .rows(
            "SELECT id, name FROM aircraft WHERE active ORDER BY name",
            values![],
        )
        .await?;
    let people = tx
        .rows("SELECT id FROM people WHERE active", values![])
        .await?;
    Ok(Around {
        aircraft: aircraft
            .iter()
            .map(|row| Ok((row.text("id")?, row.text("name")?)))
            .collect::<Result<_>>()?,
        people: people
            .iter()
            .map(|row| row.text("id"))
            .collect::<Result<_>>()?,
    })
}
