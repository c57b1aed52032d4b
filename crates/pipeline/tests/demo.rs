//! The demo lesson, corrected and marked again.

use aircraft::Aircraft;
use debrief::{differences, to_json};
use flight::Surroundings;
use maneuver::Correction;
use maneuver::corrections::{Outcome, Was};
use pipeline::{RecordingHead, Setting, VERSION, mark, mark_telling, reconstruct};
use recording::{ReadOptions, Recording};
use standard::{Briefed, Pack};

struct Lesson {
    recording: Recording,
    aircraft: Aircraft,
    briefed: Briefed,
    pack: Pack,
}

impl Lesson {
    fn demo() -> Lesson {
        let bytes = include_bytes!("../../../data/demo/lesson.csv.gz");
        let file = include_str!("../../../data/aircraft/demo.toml");
        let briefed = include_str!("../../../data/demo/briefed.toml");
        let read = recording::read("lesson.csv.gz", bytes, &ReadOptions::default()).unwrap();
        Lesson {
            recording: read.recordings.into_iter().next().unwrap(),
            aircraft: aircraft::parse(file, "demo.toml").unwrap().0,
            briefed: Briefed::read(briefed, "briefed.toml").unwrap(),
            pack: standard::pack("faa-private").unwrap(),
        }
    }

    fn setting(&self) -> Setting<'_> {
        Setting {
            aircraft: &self.aircraft,
            pack: &self.pack,
            briefed: &self.briefed,
            surroundings: Surroundings {
                terrain_m: Some(900.0 * 0.3048),
            },
        }
    }
}

/// In one step, in two, and by the stages themselves: the same document to the last byte.
#[test]
fn prop_every_way_through_gives_the_same() {
    let lesson = Lesson::demo();
    let setting = lesson.setting();
    let whole = pipeline::debrief(&lesson.recording, &setting);
    let reconstructed = reconstruct(&lesson.recording, &lesson.aircraft, setting.surroundings);
    let head = RecordingHead::from(&lesson.recording);
    let marked = mark(&head, &reconstructed, &setting, &[]);
    let mut stages = debrief::debrief(
        &lesson.recording,
        &reconstructed.flight,
        &lesson.aircraft,
        &reconstructed.found,
        &lesson.pack,
        &lesson.briefed,
        VERSION,
    );
    stages.lesson = debrief::lesson(
        &reconstructed.flight,
        &reconstructed.legs,
        &reconstructed.found,
    );
    let found = (&reconstructed.flight, &reconstructed.fit, &lesson.aircraft);
    stages.fit_of_the_day = Some(debrief::fit_of_the_day(found.1, None, found.2));
    debrief::height_ledgers(&mut stages, found.0, found.1, found.2, &reconstructed.found);
    let text = to_json(&stages).unwrap();
    assert!(to_json(&whole.document).unwrap() == text);
    assert!(to_json(&marked).unwrap() == text);
    assert!(text.matches("\"set_by\": \"program\"").count() == reconstructed.found.len());
    assert!(!text.contains("\"set_by\": \"person\""));
}

/// Each maneuver of the lesson in turn: its kind put wrong and right again, and dragged. What was not touched
/// says the same as before.
#[test]
fn prop_corrections_touch_only_what_they_mean() {
    let lesson = Lesson::demo();
    let setting = lesson.setting();
    let reconstructed = reconstruct(&lesson.recording, &lesson.aircraft, setting.surroundings);
    let head = RecordingHead::from(&lesson.recording);
    let before = mark(&head, &reconstructed, &setting, &[]);
    assert!(before.maneuvers.len() >= 10);
    for (index, one) in reconstructed.found.iter().enumerate() {
        let drag = Correction::Set {
            was: Some(Was {
                kind: one.kind,
                start_s: one.start_s,
                end_s: one.end_s,
            }),
            kind: one.kind,
            direction: None,
            start_s: one.start_s + 1.5,
            end_s: one.end_s,
        };
        let marked = mark_telling(&head, &reconstructed, &setting, &[drag]);
        assert_eq!(marked.outcomes, [Outcome::Applied]);
        assert_eq!(marked.maneuvers.len(), before.maneuvers.len());
        let after = &marked.document.maneuvers[index];
        assert_eq!(after.set_by, "person");
        assert_eq!(
            after.direction, before.maneuvers[index].direction,
            "{}",
            after.title
        );
        assert_eq!(after.confidence_word, "certain");
        let all = differences(&before, &marked.document);
        let start_s = after.start_s;
        let start = all
            .iter()
            .find(|one| one.what == "start" && one.start_s == Some(start_s));
        assert!(start.is_some(), "{all:#?}");
        // Clearing turns before a maneuver are one of its marks: the next one may speak of them.
        let elsewhere = all.iter().filter(|one| {
            one.start_s != Some(start_s) && one.criterion.as_deref() != Some("clearing_turns")
        });
        assert_eq!(elsewhere.count(), 0, "{all:#?}");
    }
}

/// A stall called by its wrong name gets the other task's marks, and back again the first's.
#[test]
fn a_wrong_kind_is_marked_anew() {
    let lesson = Lesson::demo();
    let setting = lesson.setting();
    let before = pipeline::debrief(&lesson.recording, &setting).document;
    let stall = before
        .maneuvers
        .iter()
        .find(|one| one.kind == "power_off_stall")
        .unwrap();
    let text = format!(
        r#"[{{"do":"set","was":{{"kind":"power_off_stall","start_s":{0},"end_s":{1}}},"kind":"power_on_stall","start_s":{0},"end_s":{1}}}]"#,
        stall.start_s, stall.end_s
    );
    let corrections: Vec<Correction> = serde_json::from_str(&text).unwrap();
    let after = pipeline::debrief_corrected(&lesson.recording, &setting, &corrections).document;
    let one = &after.maneuvers[stall.number - 1];
    assert_eq!(one.task.as_deref(), Some("PA.VII.C"));
    assert!(
        one.marks
            .iter()
            .all(|mark| mark.element.starts_with("PA.VII.C."))
    );
    let all = differences(&before, &after);
    assert!(all.iter().any(|one| one.what == "kind"), "{all:#?}");
}
