//! A small record with a row in every table, written as the program writes it, but by hand: these tests are about how
//! rows are kept, not about what a flight is.

use super::{PASSWORD, TestSchool};
use flate2::Compression;
use flate2::write::GzEncoder;
use school::model::{MapColumn, Role};
use school::{Actor, School, audit, new_id, seal, secret, values};
use serde_json::json;
use std::io::Write;

/// The aircraft file of the invented type.
pub const PELLWICK: &str = include_str!("../../../../data/aircraft/demo.toml");

/// Ids of what was made.
pub struct Sample {
    /// Chief instructor.
    pub chief: Actor,
    /// Lesson.
    pub lesson: String,
    /// Recording.
    pub recording: String,
}

/// Fills a school.
pub async fn fill(case: &TestSchool) -> Sample {
    let chief = case.chief().await;
    let school = &case.school;
    let student = case.add(&chief, "marlow", Role::Student).await;
    school.make_token(&chief, "a script", 30).await.unwrap();
    school
        .invite(&chief, Role::Instructor, "Wynn Farrow")
        .await
        .unwrap();
    school.start_session(&chief.id, "a browser").await.unwrap();
    let aircraft = school
        .add_aircraft(&chief, "Blue one", PELLWICK)
        .await
        .unwrap();
    let columns = [MapColumn {
        channel: "ias".to_owned(),
        column: "V1".to_owned(),
        unit: Some("kt".to_owned()),
    }];
    school
        .keep_map(&chief, "signature", "Panel of the blue one", &columns)
        .await
        .unwrap();
    let pack = standard::EMBEDDED[0]
        .1
        .replace("id = \"faa-private\"", "id = \"house-rules\"");
    school.put_pack(&chief, "house-rules", &pack).await.unwrap();
    let recording = keep_recording(school, &chief, b"time,alt\n0,1000\n1,1001\n").await;
    let lesson = keep_lesson(school, &chief, &recording, &student.id, &aircraft.brief.id).await;
    for text in ["good bank", "late power", "flaps left \u{1F600} down"] {
        keep_entry(school, &chief, &lesson, text).await;
    }
    keep_signed(school, &chief, &lesson).await;
    keep_entry(school, &chief, &lesson, "one more thing").await;
    keep_signed(school, &chief, &lesson).await;
    school.check_password(&chief.id, PASSWORD).await.unwrap();
    Sample {
        chief,
        lesson,
        recording,
    }
}

/// Keeps a recording.
pub async fn keep_recording(school: &School, by: &Actor, bytes: &'static [u8]) -> String {
    let (sha256, _) = school.objects().put(bytes.into()).await.unwrap();
    let mut tx = school.write().await.unwrap();
    let at = tx.at_utc().to_owned();
    tx.execute(
        "INSERT INTO recordings (sha256, name, bytes, received_utc, by_id, via, header_signature, reading) \
         VALUES ($1, 'flight.csv', $2, $3, $4, 'page', 'signature', '{}')",
        values![&sha256, i64::try_from(bytes.len()).unwrap(), at, &by.id],
    )
    .await
    .unwrap();
    let subject = format!("recording {sha256}");
    audit::append(
        &mut tx,
        by,
        "recording.received",
        &subject,
        json!({}),
        &[seal::recording(&sha256)],
    )
    .await
    .unwrap();
    tx.commit().await.unwrap();
    sha256
}

async fn keep_lesson(
    school: &School,
    by: &Actor,
    recording: &str,
    student: &str,
    aircraft: &str,
) -> String {
    let id = new_id();
    let mut tx = school.write().await.unwrap();
    let at = tx.at_utc().to_owned();
    tx.execute(
        "INSERT INTO lessons (id, recording_sha256, part, start_utc, duration_s, title, student_id, instructor_id, \
         aircraft_id, standard, terrain_ft, created_utc) \
         VALUES ($1, $2, 0, $3, 0.1, 'Stalls', $4, $5, $6, 'faa-private', 812.3000000000001, $3)",
        values![&id, recording, at, student, &by.id, aircraft],
    )
    .await
    .unwrap();
    tx.execute(
        "INSERT INTO debriefs (lesson_id, inputs_sha256, document, program, made_utc) VALUES ($1, 'x', $2, '0', $3)",
        values![&id, packed(b"{}"), "2026-05-04T14:31:20.000Z"],
    )
    .await
    .unwrap();
    tx.execute(
        "INSERT INTO carried (lesson_id, version, aircraft_id, aircraft_sha256, program, sha256, body, at_utc) \
         VALUES ($1, 1, $2, 'f', '0', $3, '{}', $4)",
        values![&id, aircraft, secret::sha256_hex(b"{}"), "2026-05-04T14:31:20.000Z"],
    )
    .await
    .unwrap();
    tx.execute(
        "INSERT INTO earlier_flights (lesson_id, chosen_for, earlier, at_utc) VALUES ($1, 'k', '[]', $2)",
        values![&id, "2026-05-04T14:31:20.000Z"],
    )
    .await
    .unwrap();
    tx.execute(
        "INSERT INTO jobs (id, kind, state, total, done, failed, note, made_utc, changed_utc) \
         VALUES ($1, 'remark', 'done', 1, 1, 0, '', $2, $2)",
        values![new_id(), "2026-05-04T14:31:20.000Z"],
    )
    .await
    .unwrap();
    let subject = format!("lesson {id}");
    audit::append(
        &mut tx,
        by,
        "lesson.made",
        &subject,
        json!({}),
        &[seal::lesson(&id)],
    )
    .await
    .unwrap();
    tx.commit().await.unwrap();
    id
}

/// Adds an entry.
pub async fn keep_entry(school: &School, by: &Actor, lesson: &str, text: &str) -> i64 {
    let mut tx = school.write().await.unwrap();
    let at = tx.at_utc().to_owned();
    let seq = last(
        &mut tx,
        "SELECT entry_seq AS last FROM lessons WHERE id = $1",
        lesson,
    )
    .await
        + 1;
    tx.execute(
        "INSERT INTO entries (lesson_id, seq, id, at_utc, by_id, kind, body) VALUES ($1, $2, $3, $4, $5, 'note', $6)",
        values![lesson, seq, new_id(), at, &by.id, json!({"text": text}).to_string()],
    )
    .await
    .unwrap();
    tx.execute(
        "UPDATE lessons SET entry_seq = $1 WHERE id = $2",
        values![seq, lesson],
    )
    .await
    .unwrap();
    let subject = format!("lesson {lesson}");
    audit::append(
        &mut tx,
        by,
        "lesson.note",
        &subject,
        json!({}),
        &[seal::entry(lesson, seq)],
    )
    .await
    .unwrap();
    tx.commit().await.unwrap();
    seq
}

/// Signs.
pub async fn keep_signed(school: &School, by: &Actor, lesson: &str) -> String {
    let mut tx = school.write().await.unwrap();
    let at = tx.at_utc().to_owned();
    let version = last(
        &mut tx,
        "SELECT COALESCE(signed_version, 0) AS last FROM lessons WHERE id = $1",
        lesson,
    )
    .await
        + 1;
    let previous = tx
        .row(
            "SELECT sha256 FROM signed WHERE lesson_id = $1 ORDER BY version DESC LIMIT 1",
            values![lesson],
        )
        .await
        .unwrap()
        .map(|row| row.text("sha256").unwrap());
    let document = json!({
        "schema": "proofwing/signed/1", "lesson": {"id": lesson}, "version": version,
        "previous_sha256": previous, "signed_by": {"id": by.id, "name": by.name}, "signed_utc": at,
    })
    .to_string();
    let sha256 = secret::sha256_hex(document.as_bytes());
    tx.execute(
        "INSERT INTO signed (lesson_id, version, sha256, previous_sha256, document, by_id, at_utc) \
         VALUES ($1, $2, $3, $4, $5, $6, $7)",
        values![
            lesson,
            version,
            &sha256,
            previous,
            packed(document.as_bytes()),
            &by.id,
            at
        ],
    )
    .await
    .unwrap();
    tx.execute(
        "UPDATE lessons SET signed_version = $1 WHERE id = $2",
        values![version, lesson],
    )
    .await
    .unwrap();
    let detail = json!({"version": version, "sha256": sha256});
    let subject = format!("lesson {lesson}");
    audit::append(
        &mut tx,
        by,
        "lesson.signed",
        &subject,
        detail,
        &[seal::signed(lesson, version)],
    )
    .await
    .unwrap();
    tx.commit().await.unwrap();
    sha256
}

async fn last(tx: &mut school::db::Tx, sql: &'static str, lesson: &str) -> i64 {
    tx.one(sql, values![lesson])
        .await
        .unwrap()
        .int("last")
        .unwrap()
}

fn packed(bytes: &[u8]) -> Vec<u8> {
    let mut packer = GzEncoder::new(Vec::new(), Compression::default());
    packer.write_all(bytes).unwrap();
    packer.finish().unwrap()
}
