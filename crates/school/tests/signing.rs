//! Nobody signs what they have not seen, and what was set aside by mistake comes back, on every database at hand.

mod support;

use school::aircraft::AircraftChange;
use school::model::{Act, LessonState, Setting};
use school::settings::SchoolChange;
use support::flown::{PELLWICK, bring, cast, code};
use support::test_schools;

/// Another aircraft file, another standard and another elevation are no entries of the lesson: its last entry's number
/// stays, and the marks are others.
#[tokio::test(flavor = "multi_thread")]
async fn prop_nobody_signs_marks_that_they_have_not_seen() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let (school, by) = (&case.school, &cast.instructor);
        // The school's own standard: the published one under another name.
        let (_, published) = standard::EMBEDDED
            .iter()
            .find(|(id, _)| *id == "faa-private")
            .unwrap();
        let own = published.replacen("id = \"faa-private\"", "id = \"our-private\"", 1);
        let put = school.put_pack(&cast.chief, "our-private", &own);
        put.await.unwrap();
        let id = bring(school, &cast).await.lesson.id;
        let setting = Setting {
            standard: Some("our-private".to_owned()),
            ..Setting::default()
        };
        let set = school.act(by, &id, None, Act::Setting(setting));
        let mut seen = set.await.unwrap();
        for what in ["aircraft", "standard", "elevation"] {
            match what {
                "aircraft" => {
                    let toml = PELLWICK.replace("vy_kias = 77", "vy_kias = 79");
                    assert_ne!(toml, PELLWICK);
                    let change = AircraftChange {
                        toml: Some(toml),
                        ..AircraftChange::default()
                    };
                    let changed = school.change_aircraft(&cast.chief, &cast.aircraft, &change);
                    changed.await.unwrap();
                }
                "standard" => {
                    let strict = own.replacen("held_s = 1.0", "held_s = 0.0", 1);
                    assert_ne!(strict, own);
                    let put = school.put_pack(&cast.chief, "our-private", &strict);
                    put.await.unwrap();
                }
                _ => {
                    let change = SchoolChange {
                        terrain_ft: Some(Some(640.0)),
                        ..SchoolChange::default()
                    };
                    let changed = school.change_settings(&cast.chief, &change);
                    changed.await.unwrap();
                }
            }
            let refused = school
                .sign(by, &id, seen.entry_seq, Some(&seen.inputs_sha256))
                .await;
            assert_eq!(code(&refused), "conflict", "{what}");
            let words = refused.unwrap_err().to_string();
            assert!(words.contains("Nothing was signed"), "{words}");
            assert!(school.signed(by, &id).await.unwrap().is_empty(), "{what}");
            let now = school.view(by, &id).await.unwrap();
            assert_eq!(now.entry_seq, seen.entry_seq, "{what}");
            assert_ne!(now.inputs_sha256, seen.inputs_sha256, "{what}");
            assert_eq!(now.lesson.state, LessonState::Open);
            seen = now;
        }
        // Seen as it is now, it is signed, and what is signed was made from just that.
        let signed = school
            .sign(by, &id, seen.entry_seq, Some(&seen.inputs_sha256))
            .await
            .unwrap();
        let bytes = school.signed_bytes(by, &id, signed.version).await.unwrap();
        let signed: serde_json::Value = serde_json::from_slice(&bytes).unwrap();
        assert_eq!(signed["inputs"]["terrain_ft"], 640.0);
        assert!(school.verify(None).await.unwrap().problems.is_empty());
    }
}

#[tokio::test(flavor = "multi_thread")]
async fn prop_only_what_was_set_aside_is_taken_back_and_by_the_chief() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let school = &case.school;
        let view = bring(school, &cast).await;
        let id = &view.lesson.id;
        assert_eq!(code(&school.take_back(&cast.chief, id).await), "conflict");
        let set_aside = school.set_aside(&cast.chief, id, "somebody else's flight");
        set_aside.await.unwrap();
        for by in [&cast.instructor, &cast.auditor, &cast.student] {
            assert_eq!(code(&school.take_back(by, id).await), "denied");
        }
        let sign = school.sign(&cast.chief, id, view.entry_seq, Some(&view.inputs_sha256));
        assert_eq!(code(&sign.await), "conflict");
        school.take_back(&cast.chief, id).await.unwrap();
        let back = school.view(&cast.student, id).await.unwrap();
        assert_eq!(back.lesson, view.lesson);
        let sign = school.sign(&cast.chief, id, view.entry_seq, Some(&view.inputs_sha256));
        sign.await.unwrap();
    }
}

/// A lesson's own elevation can be given up: then the school's counts, as for a lesson that never had one.
#[tokio::test(flavor = "multi_thread")]
async fn prop_the_elevation_can_be_the_schools_again() {
    for case in test_schools().await {
        let cast = cast(&case).await;
        let (school, by) = (&case.school, &cast.instructor);
        let change = SchoolChange {
            terrain_ft: Some(Some(500.0)),
            ..SchoolChange::default()
        };
        school.change_settings(&cast.chief, &change).await.unwrap();
        let first = bring(school, &cast).await;
        assert_eq!(first.terrain_ft, Some(500.0));
        // As a page sends it: a number, another thing alone (it stays), `null`.
        for (sent, stands_ft) in [
            (r#"{"kind": "setting", "terrain_ft": 1200}"#, 1200.0),
            (r#"{"kind": "setting", "title": "Stalls"}"#, 1200.0),
            (r#"{"kind": "setting", "terrain_ft": null}"#, 500.0),
        ] {
            let act: Act = serde_json::from_str(sent).unwrap();
            let view = school.act(by, &first.lesson.id, None, act).await.unwrap();
            assert_eq!(view.terrain_ft, Some(stands_ft), "{sent}");
        }
        let last = school.view(by, &first.lesson.id).await.unwrap();
        assert_eq!(last.inputs_sha256, first.inputs_sha256);
        // The record keeps the act as it was sent.
        let kept = school.history(by, &first.lesson.id).await.unwrap();
        let back = Setting {
            terrain_ft: Some(None),
            ..Setting::default()
        };
        assert_eq!(kept.last().unwrap().act, Act::Setting(back));
    }
}
