//! Lessons from the recording to the signed version, on every database at hand.

mod support;

use school::import::{Given, Via};
use school::model::{Act, LessonState, LessonView, ManeuverRef, Setting};
use standard::Verdict;
use support::flown::{LESSON, PELLWICK, bring, cast, code, shifted};
use support::test_schools;

/// A mark of a verdict, with its maneuver.
fn a_mark(view: &LessonView, verdict: Verdict) -> (ManeuverRef, String, String) {
    for maneuver in &view.debrief.maneuvers {
        if let Some(mark) = maneuver.marks.iter().find(|mark| mark.mark == verdict) {
            let meant = ManeuverRef {
                kind: maneuver.kind.clone(),
                start_s: maneuver.start_s,
                end_s: maneuver.end_s,
            };
            return (meant, mark.element.clone(), mark.criterion.clone());
        }
    }
    panic!("no mark is {verdict:?}");
}

fn mark(view: &LessonView, was: Verdict, becomes: Verdict, reason: &str) -> Act {
    let (maneuver, element, criterion) = a_mark(view, was);
    Act::Mark {
        maneuver,
        element,
        criterion,
        verdict: becomes,
        reason: reason.to_owned(),
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_recording_becomes_a_lesson_once() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let view = bring(&case.school, &cast).await;
        assert_eq!(view.lesson.state, LessonState::Open);
        assert!(view.lesson.start_known);
        assert!(
            view.debrief.maneuvers.len() > 3,
            "{}",
            view.debrief.maneuvers.len()
        );
        assert!(!view.lesson.flown.is_empty());
        assert_ne!(view.lesson.title, "Flight");
        let again = case
            .school
            .import(
                &cast.chief,
                "another name.gz",
                LESSON.into(),
                Via::Page,
                &Given::default(),
            )
            .await
            .unwrap();
        assert!(again.known);
        assert_eq!(again.lessons.len(), 1);
        assert_eq!(again.lessons[0].id, view.lesson.id);
        assert_eq!(again.recording.brief.name, "lesson.csv.gz");
        let (name, bytes) = case
            .school
            .original(&cast.auditor, &view.lesson.recording_sha256)
            .await
            .unwrap();
        assert_eq!((name.as_str(), bytes.as_ref()), ("lesson.csv.gz", LESSON));
        assert_eq!(
            case.school
                .recordings(&cast.auditor, None, 10)
                .await
                .unwrap()
                .len(),
            1
        );
        assert_eq!(
            code(&case.school.recordings(&cast.student, None, 10).await),
            "denied"
        );
        assert!(case.school.verify(None).await.unwrap().problems.is_empty());
    }
}

/// The document of the record is the one that the command line makes of the same recording.
#[tokio::test(flavor = "multi_thread")]
async fn val_the_debrief_is_the_command_lines() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let view = bring(&case.school, &cast).await;
        let (aircraft, _) = aircraft::parse(PELLWICK, "demo.toml").unwrap();
        let read =
            recording::read("lesson.csv.gz", LESSON, &recording::ReadOptions::default()).unwrap();
        let alone = pipeline::debrief(
            &read.recordings[0],
            &pipeline::Setting {
                aircraft: &aircraft,
                pack: &standard::pack("faa-private").unwrap(),
                briefed: &standard::Briefed::default(),
                surroundings: flight::Surroundings::default(),
            },
        );
        let text = |document: &debrief::Debrief| debrief::to_json(document).unwrap();
        assert_eq!(text(&view.debrief), text(&alone.document));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_who_flew_is_guessed_until_somebody_says() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let imported = school
            .import(
                &cast.instructor,
                "lesson.csv.gz",
                LESSON.into(),
                Via::Page,
                &Given::default(),
            )
            .await
            .unwrap();
        let lesson = &imported.lessons[0];
        // The only aircraft, and who brought it in; nobody flew with anybody before.
        assert_eq!(lesson.guessed, ["instructor", "aircraft"]);
        assert_eq!(lesson.aircraft_id.as_deref(), Some(cast.aircraft.as_str()));
        assert_eq!(lesson.state, LessonState::ToConfirm);
        let refused = school.sign(&cast.instructor, &lesson.id, 0, None).await;
        assert_eq!(code(&refused), "conflict");
        let all = Setting {
            student_id: Some(cast.student.id.clone()),
            instructor_id: Some(cast.instructor.id.clone()),
            aircraft_id: Some(cast.aircraft.clone()),
            ..Setting::default()
        };
        let view = school
            .act(&cast.instructor, &lesson.id, Some(0), Act::Setting(all))
            .await
            .unwrap();
        assert_eq!(view.lesson.state, LessonState::Open);
        assert!(view.lesson.guessed.is_empty());
        assert_eq!(view.lesson.student.as_ref().unwrap().id, cast.student.id);
        assert_eq!(view.entry_seq, 1);
        // A second recording by the same instructor: the student of before.
        let second = shifted();
        let next = school
            .import(
                &cast.instructor,
                "next.csv",
                second.into(),
                Via::Page,
                &Given::default(),
            )
            .await;
        let next = next.unwrap();
        assert_eq!(
            next.lessons[0].student.as_ref().unwrap().id,
            cast.student.id
        );
        assert_eq!(
            next.lessons[0].guessed,
            ["student", "instructor", "aircraft"]
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_file_that_cannot_be_read_is_kept_and_says_why() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let bytes: &[u8] = b"dear diary, today I flew";
        let imported = school
            .import(
                &cast.instructor,
                "diary.txt",
                bytes.into(),
                Via::Page,
                &Given::default(),
            )
            .await
            .unwrap();
        assert!(imported.lessons.is_empty());
        assert!(imported.recording.brief.unsure);
        assert!(!imported.recording.reading.notes[0].what.is_empty());
        let sha256 = imported.recording.brief.sha256.clone();
        assert_eq!(
            school
                .original(&cast.chief, &sha256)
                .await
                .unwrap()
                .1
                .as_ref(),
            bytes
        );
        assert_eq!(
            code(
                &school
                    .import(
                        &cast.student,
                        "x",
                        bytes.into(),
                        Via::Page,
                        &Given::default()
                    )
                    .await
            ),
            "denied"
        );
        assert_eq!(
            code(
                &school
                    .import(
                        &cast.chief,
                        "x",
                        bytes::Bytes::new(),
                        Via::Page,
                        &Given::default()
                    )
                    .await
            ),
            "invalid"
        );
    }
}

/// A table whose time column has no name that tells: a person says which it is, once.
#[tokio::test(flavor = "multi_thread")]
async fn prop_a_map_makes_a_lesson_of_what_could_not_be_read() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let table = |shift: usize| {
            let mut text = String::from("q1;q2;q3\n");
            for row in 0..900 {
                let bump = if row % 7 == 0 { 3 } else { 0 };
                text.push_str(&format!(
                    "{};{};{}\n",
                    5 * row % 11,
                    100 + (row + shift) % 13 + bump,
                    3000 + row % 17
                ));
            }
            text
        };
        let first = school
            .import(
                &cast.instructor,
                "odd.csv",
                table(0).into(),
                Via::Page,
                &Given::default(),
            )
            .await
            .unwrap();
        let sha256 = first.recording.brief.sha256.clone();
        let wrong = [column("ias", "q2")];
        assert_eq!(
            code(
                &school
                    .put_map(&cast.instructor, &sha256, "odd one", &wrong)
                    .await
            ),
            "invalid"
        );
        assert_eq!(
            code(&school.put_map(&cast.student, &sha256, "odd one", &[]).await),
            "denied"
        );
        assert!(first.lessons.is_empty());
    }
}

fn column(channel: &str, name: &str) -> school::model::MapColumn {
    school::model::MapColumn {
        channel: channel.to_owned(),
        column: name.to_owned(),
        unit: Some("kt".to_owned()),
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_map_keeps_the_lesson_and_marks_it_anew() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let sha256 = view.lesson.recording_sha256.clone();
        let reading = school
            .recording(&cast.instructor, &sha256)
            .await
            .unwrap()
            .reading;
        let pitch = reading
            .columns
            .iter()
            .find(|column| column.taken_for == "pitch" && column.chosen)
            .unwrap();
        let ignore = school::model::MapColumn {
            channel: "ignore".to_owned(),
            column: pitch.name.clone(),
            unit: None,
        };
        let read = school
            .put_map(&cast.instructor, &sha256, "panel", &[ignore])
            .await
            .unwrap();
        assert_eq!(read.lessons.len(), 1);
        assert_eq!(read.lessons[0].id, view.lesson.id);
        assert_eq!(read.recording.reading.map.as_deref(), Some("panel"));
        let now = school
            .view(&cast.instructor, &view.lesson.id)
            .await
            .unwrap();
        assert_ne!(now.inputs_sha256, view.inputs_sha256);
        assert!(!now.debrief.recording.channels.contains(&"pitch".to_owned()));
        assert!(school.verify(None).await.unwrap().problems.is_empty());
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_the_instructors_word_is_final_and_kept() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let id = view.lesson.id.clone();
        let by = &cast.instructor;
        // Changing a decided mark needs a reason.
        let bare = mark(&view, Verdict::Met, Verdict::NotMet, "  ");
        assert_eq!(code(&school.act(by, &id, None, bare).await), "invalid");
        let view = school
            .act(
                by,
                &id,
                None,
                mark(&view, Verdict::Met, Verdict::NotMet, "I helped"),
            )
            .await
            .unwrap();
        assert_eq!(view.word.marks[0].how, "changed");
        assert_eq!(view.word.marks[0].program, Some(Verdict::Met));
        // An item that only a person can judge needs none.
        let view = school
            .act(
                by,
                &id,
                None,
                mark(&view, Verdict::ForInstructor, Verdict::Met, ""),
            )
            .await
            .unwrap();
        assert_eq!(view.word.marks[1].how, "given");
        let nonsense = mark(&view, Verdict::Met, Verdict::ForInstructor, "");
        assert_eq!(code(&school.act(by, &id, None, nonsense).await), "invalid");
        // What there is not cannot be marked.
        let (maneuver, element, _) = a_mark(&view, Verdict::Met);
        let act = Act::Confirm {
            maneuver: maneuver.clone(),
            element,
            criterion: "no_such".to_owned(),
        };
        assert_eq!(code(&school.act(by, &id, None, act).await), "invalid");
        let gone = ManeuverRef {
            kind: "chandelle".to_owned(),
            ..maneuver.clone()
        };
        let act = Act::Confirm {
            maneuver: gone,
            element: String::new(),
            criterion: String::new(),
        };
        assert_eq!(code(&school.act(by, &id, None, act).await), "invalid");
        // All of a maneuver at once.
        let act = Act::Confirm {
            maneuver,
            element: String::new(),
            criterion: String::new(),
        };
        let view = school.act(by, &id, Some(2), act).await.unwrap();
        assert!(view.word.marks.iter().any(|mark| mark.how == "confirmed"));
        // Who has not seen the last entry is told so.
        let late = school
            .act(
                by,
                &id,
                Some(1),
                Act::Reply {
                    text: "hello".to_owned(),
                },
            )
            .await;
        assert_eq!(code(&late), "conflict");
        let history = school.history(&cast.auditor, &id).await.unwrap();
        assert_eq!(
            history.iter().map(|entry| entry.seq).collect::<Vec<_>>(),
            [1, 2, 3]
        );
        assert!(school.verify(None).await.unwrap().problems.is_empty());
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_each_role_may_do_its_own() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let id = view.lesson.id.clone();
        let note = || Act::Note {
            id: school::new_id(),
            at_s: 60.0,
            text: "here".to_owned(),
        };
        let reply = || Act::Reply {
            text: "I see".to_owned(),
        };
        let found = [
            (
                code(&school.act(&cast.chief, &id, None, note()).await),
                "done",
            ),
            (
                code(&school.act(&cast.instructor, &id, None, note()).await),
                "done",
            ),
            (
                code(&school.act(&cast.student, &id, None, note()).await),
                "denied",
            ),
            (
                code(&school.act(&cast.other, &id, None, note()).await),
                "not_found",
            ),
            (
                code(&school.act(&cast.auditor, &id, None, note()).await),
                "denied",
            ),
            (
                code(&school.act(&cast.student, &id, None, reply()).await),
                "done",
            ),
            (
                code(&school.act(&cast.other, &id, None, reply()).await),
                "not_found",
            ),
            (
                code(&school.act(&cast.auditor, &id, None, reply()).await),
                "denied",
            ),
            (code(&school.view(&cast.auditor, &id).await), "done"),
            (code(&school.view(&cast.other, &id).await), "not_found"),
            (code(&school.series(&cast.other, &id).await), "not_found"),
            (code(&school.signed(&cast.other, &id).await), "not_found"),
            (code(&school.history(&cast.other, &id).await), "not_found"),
            (
                code(&school.sign(&cast.student, &id, 3, None).await),
                "denied",
            ),
            (
                code(&school.sign(&cast.auditor, &id, 3, None).await),
                "denied",
            ),
            (
                code(&school.set_aside(&cast.instructor, &id, "no lesson").await),
                "denied",
            ),
            (
                code(&school.record_zip(&cast.other, &cast.student.id).await),
                "not_found",
            ),
        ];
        for (index, (was, should)) in found.into_iter().enumerate() {
            assert_eq!(was, should, "case {index}");
        }
        assert!(
            school
                .list(&cast.other, &Default::default())
                .await
                .unwrap()
                .is_empty()
        );
        assert_eq!(
            school
                .list(&cast.student, &Default::default())
                .await
                .unwrap()
                .len(),
            1
        );
        // What the instructor flew to show it, every student sees; what was said of it, they do not.
        let show = Act::Setting(Setting {
            demonstration: Some(true),
            ..Setting::default()
        });
        school.act(&cast.instructor, &id, None, show).await.unwrap();
        let shown = school.view(&cast.other, &id).await.unwrap();
        assert!(shown.word.replies.is_empty() && !shown.can.judge && !shown.can.reply);
        assert_eq!(code(&school.history(&cast.other, &id).await), "denied");
        assert_eq!(
            code(&school.act(&cast.other, &id, None, reply()).await),
            "denied"
        );
        assert_eq!(
            school
                .list(&cast.other, &Default::default())
                .await
                .unwrap()
                .len(),
            1
        );
        // Set aside, it is nobody's.
        school
            .set_aside(&cast.chief, &id, "a ground run")
            .await
            .unwrap();
        assert_eq!(code(&school.view(&cast.other, &id).await), "not_found");
        assert_eq!(
            code(&school.act(&cast.chief, &id, None, note()).await),
            "conflict"
        );
        assert!(
            school
                .list(&cast.chief, &Default::default())
                .await
                .unwrap()
                .is_empty()
        );
        school.take_back(&cast.chief, &id).await.unwrap();
        assert_eq!(
            school
                .list(&cast.chief, &Default::default())
                .await
                .unwrap()
                .len(),
            1
        );
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_a_boundary_a_briefing_or_a_standard_marks_anew_at_once() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let (id, by) = (view.lesson.id.clone(), &cast.instructor);
        let first = view
            .debrief
            .maneuvers
            .iter()
            .find(|maneuver| maneuver.marked)
            .unwrap();
        let json = serde_json::json!([{
            "do": "set", "was": {"kind": first.kind, "start_s": first.start_s, "end_s": first.end_s},
            "kind": first.kind, "direction": null, "start_s": first.start_s + 4.0, "end_s": first.end_s
        }]);
        let corrections: Vec<maneuver::Correction> = serde_json::from_value(json).unwrap();
        let moved = school
            .act(
                by,
                &id,
                None,
                Act::Corrections {
                    corrections: corrections.clone(),
                },
            )
            .await
            .unwrap();
        let now = moved
            .debrief
            .maneuvers
            .iter()
            .find(|maneuver| maneuver.set_by == "person")
            .unwrap();
        assert!((now.start_s - first.start_s - 4.0).abs() < 0.2);
        assert_eq!(moved.corrections, corrections);
        // A correction that does nothing is told of.
        let json = serde_json::json!([{"do": "remove", "was": {"kind": "chandelle", "start_s": 1.0, "end_s": 30.0}}]);
        let idle: Vec<maneuver::Correction> = serde_json::from_value(json).unwrap();
        assert_eq!(
            code(
                &school
                    .act(by, &id, None, Act::Corrections { corrections: idle })
                    .await
            ),
            "invalid"
        );
        let back = school
            .act(
                by,
                &id,
                None,
                Act::Corrections {
                    corrections: Vec::new(),
                },
            )
            .await
            .unwrap();
        assert_eq!(back.inputs_sha256, view.inputs_sha256);
        let commercial = Act::Setting(Setting {
            standard: Some("faa-commercial".to_owned()),
            ..Setting::default()
        });
        let other = school.act(by, &id, None, commercial).await.unwrap();
        assert_eq!(other.debrief.standard.id, "faa-commercial");
        let unknown = Act::Setting(Setting {
            standard: Some("no-such".to_owned()),
            ..Setting::default()
        });
        assert_eq!(code(&school.act(by, &id, None, unknown).await), "not_found");
        let briefed = standard::Briefed {
            recovery: Some(standard::Recovery::FirstIndication),
            ..Default::default()
        };
        let asked = school
            .act(
                by,
                &id,
                None,
                Act::Briefed {
                    briefed: briefed.clone(),
                },
            )
            .await
            .unwrap();
        assert_eq!(asked.briefed, briefed);
        assert!(asked.debrief.maneuvers.iter().any(|maneuver| {
            maneuver
                .specified_recovery
                .as_deref()
                .is_some_and(|words| words.contains("first_indication"))
        }));
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_what_was_signed_stays_and_what_changed_is_shown() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let (id, by) = (view.lesson.id.clone(), &cast.instructor);
        let view = school
            .act(
                by,
                &id,
                None,
                mark(&view, Verdict::Met, Verdict::NotMet, "I helped"),
            )
            .await
            .unwrap();
        assert_eq!(code(&school.sign(by, &id, 0, None).await), "conflict");
        let first = school.sign(by, &id, view.entry_seq, None).await.unwrap();
        assert_eq!((first.version, first.previous_sha256.as_deref()), (1, None));
        let bytes = school.signed_bytes(&cast.student, &id, 1).await.unwrap();
        assert_eq!(school::secret::sha256_hex(&bytes), first.sha256);
        let signed: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
        assert_eq!(signed["schema"], "proofwing/signed/1");
        assert_eq!(signed["word"]["marks"][0]["reason"], "I helped");
        assert!(!signed["unsaid"].as_array().unwrap().is_empty());
        // Read and acknowledged: nothing changed by that.
        let wrong = Act::Acknowledge {
            version: 1,
            sha256: "0".repeat(64),
        };
        assert_eq!(
            code(&school.act(&cast.student, &id, None, wrong).await),
            "invalid"
        );
        let read = || Act::Acknowledge {
            version: 1,
            sha256: first.sha256.clone(),
        };
        assert_eq!(code(&school.act(by, &id, None, read()).await), "denied");
        let view = school.act(&cast.student, &id, None, read()).await.unwrap();
        assert_eq!(view.lesson.state, LessonState::Acknowledged);
        assert!(view.signed[0].acknowledged_utc.is_some());
        assert!(view.changes_since_signing.is_empty());
        // Another thought: the signed bytes stay, the difference is told, the next signature is a new version.
        let view = school
            .act(
                by,
                &id,
                None,
                mark(&view, Verdict::Met, Verdict::NotMet, "and held it"),
            )
            .await
            .unwrap();
        assert_eq!(view.lesson.state, LessonState::ChangedSinceSigned);
        assert_eq!(view.changes_since_signing.len(), 1);
        assert_eq!(
            school.list(by, &Default::default()).await.unwrap()[0].state,
            LessonState::ChangedSinceSigned
        );
        let second = school.sign(by, &id, view.entry_seq, None).await.unwrap();
        assert_eq!(
            second.previous_sha256.as_deref(),
            Some(first.sha256.as_str())
        );
        assert_eq!(school.signed_bytes(by, &id, 1).await.unwrap(), bytes);
        let difference = school.difference(by, &id, 1, Some(2)).await.unwrap();
        assert_eq!(difference, view.changes_since_signing);
        assert_eq!(
            school.view(by, &id).await.unwrap().lesson.state,
            LessonState::Signed
        );
        let verified = school.verify(None).await.unwrap();
        assert_eq!(
            (verified.signed_versions, verified.problems.as_slice()),
            (2, [].as_slice())
        );
    }
}

/// Ten people write at once without saying what they had seen: every word is kept, in one row of numbers.
#[tokio::test(flavor = "multi_thread")]
async fn prop_acts_at_once_are_all_kept() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let id = bring(school, &cast).await.lesson.id;
        let acts = (0..4).map(|number| {
            let act = Act::Note {
                id: format!("n{number}"),
                at_s: 10.0,
                text: format!("note {number}"),
            };
            school.act(&cast.instructor, &id, None, act)
        });
        for done in futures_util::future::join_all(acts).await {
            done.unwrap();
        }
        let view = school.view(&cast.instructor, &id).await.unwrap();
        assert_eq!((view.word.notes.len(), view.entry_seq), (4, 4));
    }
}

/// Unpacked, the same flight is another file: it comes in, and a person is told.
#[tokio::test(flavor = "multi_thread")]
async fn prop_the_same_flight_in_another_file_is_noticed() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        bring(&case.school, &cast).await;
        let mut text = Vec::new();
        std::io::Read::read_to_end(&mut flate2::read::GzDecoder::new(LESSON), &mut text).unwrap();
        let twin = case
            .school
            .import(
                &cast.instructor,
                "lesson.csv",
                text.into(),
                Via::Page,
                &Given::default(),
            )
            .await
            .unwrap();
        assert!(!twin.known && twin.recording.brief.unsure);
        let notes = &twin.recording.reading.notes;
        assert!(
            notes
                .iter()
                .any(|note| note.what.contains("begins at the same second"))
        );
        assert_eq!(twin.lessons[0].state, LessonState::ToConfirm);
    }
}

/// The same file twice at the same moment gives one recording and one lesson.
#[tokio::test(flavor = "multi_thread")]
async fn prop_the_same_file_at_once_is_one_recording() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let (school, given) = (&case.school, Given::default());
        let bytes = shifted();
        let one = school.import(
            &cast.instructor,
            "a.csv",
            bytes.clone().into(),
            Via::Page,
            &given,
        );
        let two = school.import(&cast.chief, "b.csv", bytes.into(), Via::Page, &given);
        let (one, two) = tokio::join!(one, two);
        let (one, two) = (one.unwrap(), two.unwrap());
        assert!(one.known != two.known);
        assert_eq!(one.lessons[0].id, two.lessons[0].id);
    }
}
