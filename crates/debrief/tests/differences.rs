//! What changed from one debrief to another, said so that a page can list it.

#[path = "../../standard/tests/support/mod.rs"]
mod support;

use debrief::{Debrief, Difference, debrief, differences, matched};
use maneuver::{Kind, Maneuver, SetBy};
use recording::Recording;
use standard::{Asked, Briefed, Recovery, Verdict, pack};
use support::{Faults, power_off_stall, steep_turn, trainer};

fn of(
    flight: &flight::Flight,
    maneuvers: &[Maneuver],
    pack_id: &str,
    briefed: &Briefed,
) -> Debrief {
    let recording = Recording {
        name: "synthetic".to_owned(),
        // 2001-09-09T01:46:40Z.
        start_unix_s: Some(1e9),
        time_s: vec![0.0, 140.0],
        ..Recording::default()
    };
    debrief(
        &recording,
        flight,
        &trainer(),
        maneuvers,
        &pack(pack_id).unwrap(),
        briefed,
        "0.0.0",
    )
}

fn turn(faults: Faults) -> Debrief {
    let (flight, maneuvers) = steep_turn(faults);
    of(&flight, &maneuvers, "faa-private", &Briefed::default())
}

fn one<'a>(all: &'a [Difference], what: &str) -> &'a Difference {
    let fitting: Vec<&Difference> = all.iter().filter(|one| one.what == what).collect();
    assert_eq!(fitting.len(), 1, "{what}: {all:#?}");
    fitting[0]
}

#[test]
fn prop_a_debrief_does_not_differ_from_itself() {
    for faults in [
        Faults::default(),
        Faults {
            altitude_ft: 160.0,
            bank_deg: 9.0,
            ..Faults::default()
        },
    ] {
        let document = turn(faults);
        assert_eq!(differences(&document, &document), []);
        let mut later = document.clone();
        later.program = "9.9.9".to_owned();
        assert_eq!(
            differences(&document, &later),
            [],
            "the version alone says nothing"
        );
        let text = debrief::to_json(&document).unwrap();
        let read = debrief::from_json(&text).unwrap();
        assert_eq!(
            differences(&document, &read),
            [],
            "what was kept and read again"
        );
    }
}

/// Flown from 3,500 ft: a planted fault of 160 ft against 60 ft (limit ±100 ft: FAA-S-ACS-6C, PA.V.A.S5) is one mark, with both
/// values and the unit, and one finding that came; turned round it is one that went.
#[test]
fn val_a_mark_and_its_finding() {
    let feet = |altitude_ft: f64| {
        turn(Faults {
            altitude_ft,
            ..Faults::default()
        })
    };
    let (good, bad) = (feet(60.0), feet(160.0));
    let all = differences(&good, &bad);
    let mark = one(&all, "mark");
    assert_eq!(mark.element.as_deref(), Some("PA.V.A.S5"));
    assert_eq!(mark.criterion.as_deref(), Some("altitude"));
    assert!(mark.before.starts_with("met at 3,56"), "{}", mark.before);
    assert!(mark.after.starts_with("not met at 3,66"), "{}", mark.after);
    assert!(mark.before.ends_with(" ft") && mark.after.ends_with(" ft"));
    let name = mark.maneuver.as_deref().unwrap();
    assert!(name.starts_with("Steep turn to the "), "{name}");
    assert!(name.ends_with(" UTC") && name.contains("01:4"), "{name}");
    for part in [name, "altitude in the turn", "PA.V.A.S5", "not met at"] {
        assert!(mark.sentence.contains(part), "{}", mark.sentence);
    }
    let finding = one(&all, "finding_added");
    assert_eq!(finding.criterion.as_deref(), Some("altitude_drift"));
    assert!(finding.before.is_empty() && !finding.after.is_empty());
    assert_eq!(all.len(), 2, "{all:#?}");
    let back = differences(&bad, &good);
    assert_eq!(one(&back, "mark").before, mark.after);
    assert_eq!(one(&back, "finding_removed").before, finding.after);
}

#[test]
fn another_value_with_the_same_answer_is_told_apart() {
    let knots = |airspeed_kt: f64| {
        turn(Faults {
            airspeed_kt,
            ..Faults::default()
        })
    };
    let all = differences(&knots(2.0), &knots(4.0));
    let value = one(&all, "value");
    assert_eq!(value.criterion.as_deref(), Some("airspeed"));
    assert!(value.before.starts_with("met at ") && value.after.starts_with("met at "));
    assert!(all.iter().all(|one| one.what != "mark"), "{all:#?}");
}

#[test]
fn bounds_kinds_and_persons_are_told() {
    let (flight, maneuvers) = steep_turn(Faults::default());
    let document =
        |maneuvers: &[Maneuver]| of(&flight, maneuvers, "faa-private", &Briefed::default());
    let old = document(&maneuvers);
    let mut moved = old.clone();
    moved.maneuvers[1].start_s -= 4.0;
    moved.maneuvers[1].end_s += 0.9;
    moved.maneuvers[1].set_by = "person".to_owned();
    let all = differences(&old, &moved);
    let start = one(&all, "start");
    assert!(
        start.sentence.contains("starts 4 s earlier"),
        "{}",
        start.sentence
    );
    assert_ne!(start.before, start.after);
    assert_eq!(one(&all, "set_by").after, "set by a person");
    assert_eq!(all.len(), 2, "0.9 s are none: {all:#?}");

    let mut corrected = maneuvers.clone();
    corrected[1].kind = Kind::Chandelle;
    corrected[1].set_by = SetBy::Person;
    let all = differences(&old, &document(&corrected));
    let kind = one(&all, "kind");
    assert!(kind.before.starts_with("Steep turn") && kind.after.starts_with("Chandelle"));
    let task = one(&all, "task");
    assert_eq!((task.before.as_str(), task.after.as_str()), ("PA.V.A", ""));
    assert!(
        all.iter().all(|one| one.what != "criterion_removed"),
        "{all:#?}"
    );

    let mut fewer = maneuvers.clone();
    let gone = fewer.pop().unwrap();
    let all = differences(&old, &document(&fewer));
    let removed = one(&all, "removed");
    assert_eq!(removed.start_s, Some((gone.start_s * 1e4).round() / 1e4));
    assert!(removed.after.is_empty() && removed.sentence.contains("no longer in the list"));
    let all = differences(&document(&fewer), &old);
    assert!(one(&all, "added").before.is_empty());
}

/// Another standard: the criteria are matched although every code differs, and limits that differ are said:
/// bank in a steep turn is 45° for private (FAA-S-ACS-6C, PA.V.A.S5) and 50° for commercial pilots
/// (FAA-S-ACS-7B, CA.V.A.S5), each ±5°.
#[test]
fn val_another_standard() {
    let (flight, maneuvers) = steep_turn(Faults::default());
    let private = of(&flight, &maneuvers, "faa-private", &Briefed::default());
    let commercial = of(&flight, &maneuvers, "faa-commercial", &Briefed::default());
    let all = differences(&private, &commercial);
    assert_eq!(all[0].what, "standard");
    assert_eq!(all[0].maneuver, None);
    let bank = all
        .iter()
        .find(|one| one.what == "limit" && one.criterion.as_deref() == Some("bank"))
        .unwrap_or_else(|| panic!("{all:#?}"));
    assert_eq!(
        (bank.before.as_str(), bank.after.as_str()),
        ("40° to 50°", "45° to 55°")
    );
    assert_eq!(bank.element.as_deref(), Some("CA.V.A.S5"));
    let lost = all.iter().filter(|one| one.what == "criterion_removed");
    assert_eq!(lost.count(), 0, "{all:#?}");
}

#[test]
fn another_briefing() {
    let (flight, maneuvers) = power_off_stall(1.4);
    let mut briefed = Briefed::default();
    let full = of(&flight, &maneuvers, "faa-commercial", &briefed);
    briefed.set(Asked {
        kind: Some(Kind::PowerOffStall),
        recovery: Some(Recovery::FirstIndication),
        ..Asked::default()
    });
    let first = of(&flight, &maneuvers, "faa-commercial", &briefed);
    let all = differences(&full, &first);
    let recovery = one(&all, "recovery");
    assert_eq!(recovery.before, "after a full stall");
    assert_eq!(recovery.after, "at the first indication");
    let mark = |document: &Debrief| {
        let marks = &document.maneuvers[0].marks;
        let found = marks
            .iter()
            .find(|mark| mark.criterion == "recovery_as_specified");
        found.unwrap().mark
    };
    assert_ne!(mark(&full), mark(&first));
    assert_eq!(mark(&first), Verdict::NotMet);
    assert!(
        all.iter()
            .any(|one| one.what == "mark"
                && one.criterion.as_deref() == Some("recovery_as_specified"))
    );
}

/// Neighbors of one kind are not taken for each other, and each has one mate at most.
#[test]
fn prop_matching_is_one_to_one() {
    let old = turn(Faults::default());
    for moved_s in [-20.0, -3.0, 0.0, 3.0, 20.0] {
        let mut new = old.clone();
        for maneuver in &mut new.maneuvers {
            maneuver.start_s += moved_s;
            maneuver.end_s += moved_s;
        }
        let pairs = matched(&old, &new);
        let mut olds: Vec<usize> = pairs.iter().filter_map(|pair| pair.0).collect();
        let mut news: Vec<usize> = pairs.iter().filter_map(|pair| pair.1).collect();
        olds.sort_unstable();
        news.sort_unstable();
        let whole: Vec<usize> = (0..old.maneuvers.len()).collect();
        assert_eq!((&olds, &news), (&whole, &whole));
        if moved_s.abs() < 5.0 {
            assert!(
                pairs.iter().all(|pair| pair.0 == pair.1),
                "{moved_s}: {pairs:?}"
            );
        }
    }
}

/// Without a clock in the recording times count from its start.
#[test]
fn times_without_a_clock() {
    let old = turn(Faults::default());
    let mut silent = old.clone();
    silent.recording.start_utc = None;
    silent.maneuvers.pop();
    let mut before = silent.clone();
    before.maneuvers.clone_from(&old.maneuvers);
    let all = differences(&before, &silent);
    let name = one(&all, "removed").maneuver.clone().unwrap();
    assert!(name.ends_with(" from the start"), "{name}");
    let json = serde_json::to_string(&all).unwrap();
    assert_eq!(serde_json::from_str::<Vec<Difference>>(&json).unwrap(), all);
}
