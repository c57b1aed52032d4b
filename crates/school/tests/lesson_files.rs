//! A lesson as files, the whole record, lists, and marking anew, on every database at hand.

mod support;

use debrief::WhatIfChange;
use school::School;
use school::aircraft::AircraftChange;
use school::files::FileKind;
use school::import::{Given, Via};
use school::lessons::LessonFilter;
use school::maneuvers::ManeuverFilter;
use school::model::{Act, Job, LessonState, MapColumn, Setting};
use std::io::Read;
use std::time::Duration;
use support::flown::{LESSON, PELLWICK, bring, cast, shifted};
use support::test_schools;

/// Waits until a job that was not there before is done.
async fn job(school: &School, before: usize) -> Job {
    for _ in 0..600 {
        let jobs = school.jobs().await.unwrap();
        if jobs.len() > before && jobs[0].state == "done" {
            return jobs[0].clone();
        }
        tokio::time::sleep(Duration::from_millis(50)).await;
    }
    panic!("no job was done within 30 s");
}

#[tokio::test(flavor = "multi_thread")]
async fn val_a_lesson_is_given_as_every_kind_of_file() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let view = bring(&case.school, &cast).await;
        let paper = press::Paper::A4;
        // How each format begins: ISO 32000-1 7.5.2; RFC 8259; XML 1.0 2.8; Apache Parquet format, file layout.
        let kinds: [(FileKind, &[u8]); 11] = [
            (FileKind::Sheets(paper), b"%PDF-"),
            (FileKind::Lesson(paper), b"%PDF-"),
            (FileKind::Whole(paper), b"%PDF-"),
            (FileKind::Card(paper), b"%PDF-"),
            (FileKind::CardPage, b"<!"),
            (FileKind::Html, b"<!"),
            (FileKind::Json, b"{"),
            (FileKind::Kml, b"<?xml"),
            (FileKind::Gpx, b"<?xml"),
            (FileKind::Csv, b""),
            (FileKind::Parquet, b"PAR1"),
        ];
        for (kind, begin) in kinds {
            let file = case
                .school
                .lesson_file(&cast.student, &view.lesson.id, kind)
                .await
                .unwrap();
            assert!(file.bytes.starts_with(begin), "{}", file.name);
            assert!(file.bytes.len() > 1000, "{}", file.name);
            assert!(file.name.ends_with(kind.ending()));
            let other = case
                .school
                .lesson_file(&cast.other, &view.lesson.id, kind)
                .await;
            assert_eq!(other.unwrap_err().code(), "not_found");
        }
    }
}

/// Asked of every maneuver of a lesson: a stall answers with traces of one length that begin at the stall, what is no
/// recovery is refused with the reason, and who may not see the lesson gets nothing.
#[tokio::test(flavor = "multi_thread")]
async fn val_a_recovery_is_flown_otherwise() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let view = bring(&case.school, &cast).await;
        let asked = WhatIfChange {
            unload_s: Some(1.0),
            full_power: true,
            ..WhatIfChange::default()
        };
        let mut answered = 0;
        for maneuver in &view.debrief.maneuvers {
            let id = &view.lesson.id;
            let fly = |by| case.school.flown_otherwise(by, id, maneuver.number, asked);
            let other = fly(&cast.other).await;
            assert_eq!(other.unwrap_err().code(), "not_found");
            match (&maneuver.what_if, fly(&cast.student).await) {
                (Some(what_if), Ok(trace)) => {
                    assert_eq!(trace.height_ft.len(), what_if.flown_height_ft.len());
                    assert_eq!(trace.height_ft.len(), trace.ias_sigma_kt.len());
                    assert!(trace.height_ft[0].abs() < 5.0, "{trace:?}");
                    answered += 1;
                }
                (None, Err(error)) => assert_eq!(error.code(), "invalid"),
                (had, got) => panic!("{}: {} {got:?}", maneuver.title, had.is_some()),
            }
        }
        assert!(answered > 0, "the sample lesson has a stall");
        let none = case
            .school
            .flown_otherwise(&cast.student, &view.lesson.id, 999, asked)
            .await;
        assert_eq!(none.unwrap_err().code(), "not_found");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_series_are_the_same_bytes_from_the_cache_and_from_the_flight() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let view = bring(&case.school, &cast).await;
        let first = case
            .school
            .series(&cast.instructor, &view.lesson.id)
            .await
            .unwrap();
        let second = case
            .school
            .series(&cast.student, &view.lesson.id)
            .await
            .unwrap();
        assert!(first.bytes.starts_with(b"PWS1"));
        assert_eq!((&first.bytes, &first.tag), (&second.bytes, &second.tag));
        std::fs::remove_dir_all(case.school.data_dir().join("cache")).unwrap();
        let third = case
            .school
            .series(&cast.student, &view.lesson.id)
            .await
            .unwrap();
        assert_eq!(first.bytes, third.bytes);
        assert_eq!(
            case.school
                .series_tag(&cast.student, &view.lesson.id)
                .await
                .unwrap(),
            first.tag
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_the_whole_record_holds_what_its_index_says() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let signed = school
            .sign(&cast.instructor, &view.lesson.id, view.entry_seq, None)
            .await
            .unwrap();
        let zip = school
            .record_zip(&cast.student, &cast.student.id)
            .await
            .unwrap();
        assert_eq!(zip.bytes, zip.file.metadata().unwrap().len());
        let mut archive = zip::ZipArchive::new(zip.file).unwrap();
        let mut bytes_of = |name: &str| {
            let mut bytes = Vec::new();
            archive
                .by_name(name)
                .unwrap()
                .read_to_end(&mut bytes)
                .unwrap();
            bytes
        };
        let index: serde_json::Value = serde_json::from_slice(&bytes_of("index.json")).unwrap();
        let lesson = &index["lessons"][0];
        let mut files = lesson["files"].as_array().unwrap().clone();
        files.extend(index["recordings"].as_array().unwrap().iter().cloned());
        assert_eq!(files.len(), 5);
        for file in &files {
            let bytes = bytes_of(file["name"].as_str().unwrap());
            assert_eq!(
                school::secret::sha256_hex(&bytes),
                file["sha256"].as_str().unwrap()
            );
        }
        assert_eq!(lesson["signed"][0]["sha256"], signed.sha256.as_str());
        assert_eq!(files[0]["sha256"], signed.sha256.as_str());
        assert_eq!(
            files[4]["sha256"],
            school::secret::sha256_hex(LESSON).as_str()
        );
        let readme = String::from_utf8(bytes_of("README.txt")).unwrap();
        assert!(readme.contains(&signed.sha256) && readme.contains("licensed"));
        assert!(school.audit(None, 1).await.unwrap()[0].action == "record.exported");
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_lists_page_without_loss_and_filter() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let mut tx = school.write().await.unwrap();
        // Three more that begin at the very same moment.
        for part in 1..4_i64 {
            tx.execute(
                "INSERT INTO lessons (id, recording_sha256, part, start_utc, duration_s, title, student_id, standard, \
                 created_utc) SELECT $1, recording_sha256, $2, start_utc, duration_s, title, student_id, standard, \
                 created_utc FROM lessons WHERE id = $3",
                school::values![school::new_id(), part, &view.lesson.id],
            )
            .await
            .unwrap();
        }
        tx.commit().await.unwrap();
        let mut seen = Vec::new();
        let mut before = None;
        loop {
            let filter = LessonFilter {
                before,
                limit: Some(1),
                ..LessonFilter::default()
            };
            let page = school.list(&cast.chief, &filter).await.unwrap();
            let Some(last) = page.last() else { break };
            before = Some(last.id.clone());
            seen.push(last.id.clone());
        }
        let count = seen.len();
        seen.sort();
        seen.dedup();
        assert_eq!((count, seen.len()), (4, 4));
        let kind = view.lesson.flown[0].kind.clone();
        let filter = LessonFilter {
            kind: Some(kind.clone()),
            ..LessonFilter::default()
        };
        assert_eq!(school.list(&cast.chief, &filter).await.unwrap().len(), 1);
        let filter = LessonFilter {
            state: Some(LessonState::Signed),
            ..LessonFilter::default()
        };
        assert!(school.list(&cast.chief, &filter).await.unwrap().is_empty());
        let filter = LessonFilter {
            instructor: Some(cast.instructor.id.clone()),
            ..LessonFilter::default()
        };
        assert_eq!(school.list(&cast.chief, &filter).await.unwrap().len(), 1);
        let maneuvers = ManeuverFilter {
            kind: Some(kind),
            ..ManeuverFilter::default()
        };
        let found = school.maneuvers(&cast.student, &maneuvers).await.unwrap();
        assert_eq!(found.len(), view.lesson.flown[0].count as usize);
        assert!(found[0].start_utc > view.lesson.start_utc);
        assert!(
            school
                .maneuvers(&cast.other, &maneuvers)
                .await
                .unwrap()
                .is_empty()
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_another_aircraft_file_marks_anew_and_leaves_what_was_signed() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let open = bring(school, &cast).await;
        let given = Given {
            student_id: Some(cast.student.id.clone()),
            ..Given::default()
        };
        let second = school
            .import(
                &cast.instructor,
                "b.csv",
                shifted().into(),
                Via::Page,
                &given,
            )
            .await
            .unwrap();
        let id = second.lessons[0].id.clone();
        let all = Setting {
            student_id: Some(cast.student.id.clone()),
            instructor_id: Some(cast.instructor.id.clone()),
            aircraft_id: Some(cast.aircraft.clone()),
            ..Setting::default()
        };
        let view = school
            .act(&cast.instructor, &id, None, Act::Setting(all))
            .await
            .unwrap();
        school
            .sign(&cast.instructor, &id, view.entry_seq, None)
            .await
            .unwrap();
        let bytes = school.signed_bytes(&cast.chief, &id, 1).await.unwrap();
        let toml = PELLWICK.replace("vy_kias = 77", "vy_kias = 79");
        assert_ne!(toml, PELLWICK);
        let change = AircraftChange {
            toml: Some(toml),
            ..AircraftChange::default()
        };
        school
            .change_aircraft(&cast.chief, &cast.aircraft, &change)
            .await
            .unwrap();
        let job = job(school, 0).await;
        assert_eq!((job.total, job.done, job.failed), (2, 2, 0));
        // What is kept fits what it would be computed from: nothing is left to do.
        school.start_remark(&cast.chief, "once more").await.unwrap();
        let again = self::job(school, 1).await;
        assert_eq!((again.total, again.done), (0, 0));
        let now = school.view(&cast.chief, &open.lesson.id).await.unwrap();
        assert_ne!(now.inputs_sha256, open.inputs_sha256);
        assert_eq!(
            now.debrief
                .aircraft
                .speeds_kt
                .get("vy")
                .copied()
                .map(f64::round),
            Some(79.0)
        );
        assert_eq!(
            school.signed_bytes(&cast.chief, &id, 1).await.unwrap(),
            bytes
        );
        let signed = school.view(&cast.chief, &id).await.unwrap();
        assert_eq!(signed.lesson.state, LessonState::ChangedSinceSigned);
        assert!(
            signed
                .changes_since_signing
                .iter()
                .any(|change| change.what == "speed")
        );
        // Lists tell it without opening anything.
        let filter = LessonFilter {
            state: Some(LessonState::ChangedSinceSigned),
            ..LessonFilter::default()
        };
        assert_eq!(school.list(&cast.chief, &filter).await.unwrap().len(), 1);
        assert!(school.verify(None).await.unwrap().problems.is_empty());
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_map_reaches_every_recording_with_the_same_header() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let first = bring(school, &cast).await;
        let second = school
            .import(
                &cast.instructor,
                "b.csv",
                shifted().into(),
                Via::Page,
                &Given::default(),
            )
            .await
            .unwrap();
        let ignore = MapColumn {
            channel: "ignore".to_owned(),
            column: column(school, &cast, &first).await,
            unit: None,
        };
        school
            .put_map(
                &cast.instructor,
                &first.lesson.recording_sha256,
                "panel",
                &[ignore],
            )
            .await
            .unwrap();
        assert_eq!(job(school, 0).await.failed, 0);
        let view = school
            .view(&cast.instructor, &second.lessons[0].id)
            .await
            .unwrap();
        assert!(
            !view
                .debrief
                .recording
                .channels
                .contains(&"pitch".to_owned())
        );
    }
}

async fn column(
    school: &School,
    cast: &support::flown::Cast,
    view: &school::model::LessonView,
) -> String {
    let recording = school
        .recording(&cast.chief, &view.lesson.recording_sha256)
        .await
        .unwrap();
    let pitch = recording
        .reading
        .columns
        .iter()
        .find(|column| column.taken_for == "pitch" && column.chosen);
    pitch.unwrap().name.clone()
}

/// A job that was broken off in the middle goes on, and ends, when the work is resumed.
#[tokio::test(flavor = "multi_thread")]
async fn prop_a_job_that_broke_off_is_resumed() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let mut tx = school.write().await.unwrap();
        tx.execute(
            "DELETE FROM debriefs WHERE lesson_id = $1",
            school::values![&view.lesson.id],
        )
        .await
        .unwrap();
        tx.execute(
            "INSERT INTO jobs (id, kind, state, total, done, failed, note, made_utc, changed_utc) \
             VALUES ('job', 'remark', 'running', 3, 2, 0, 'broken off', '2026-05-04T10:00:00.000Z', \
             '2026-05-04T10:00:00.000Z')",
            school::values![],
        )
        .await
        .unwrap();
        tx.commit().await.unwrap();
        school.resume_work().await.unwrap();
        let job = job(school, 0).await;
        assert_eq!(
            (job.id.as_str(), job.total, job.done, job.failed),
            ("job", 3, 3, 0)
        );
    }
}
