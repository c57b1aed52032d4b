use super::*;
use crate::model::{PersonBrief, Role};
use proptest::prelude::*;
use serde_json::{Value, json};

/// Start, end, and the program's verdict by criterion.
type Flown<'a> = (f64, f64, &'a [(&'a str, Verdict)]);

/// A debrief with maneuvers of one kind, each with the marks given.
fn debrief(maneuvers: &[Flown<'_>]) -> Debrief {
    let maneuvers: Vec<Value> = maneuvers
        .iter()
        .enumerate()
        .map(|(index, (start_s, end_s, marks))| {
            let marks: Vec<Value> = marks
                .iter()
                .map(|(criterion, verdict)| {
                    json!({"element": "PA.V.A.S5", "criterion": criterion, "quantity": "", "unit": "",
                        "target": null, "low": null, "high": null, "worst": null, "sigma": null,
                        "outside_s": null, "at_s": null, "probability": null, "mark": verdict,
                        "limit_origin": "published", "origin": "measured"})
                })
                .collect();
            json!({"number": index + 1, "kind": "steep_turn", "title": "Steep turn", "direction": "left",
                "start_s": start_s, "end_s": end_s, "confidence": 1.0, "confidence_word": "certain",
                "marked": true, "task": "PA.V.A", "specified_recovery": null, "targets_origin": "assumed",
                "phases": [], "events": [], "facts": {}, "marks": marks, "findings": [], "strengths": [],
                "verdict_line": "", "change_line": "", "story": []})
        })
        .collect();
    let document = json!({
        "schema": "proofwing/debrief/1", "program": "0", "caution": "",
        "recording": {"name": "", "start_utc": null, "duration_s": 0.0, "interval_s": 1.0, "rows": 0,
            "fit": "rich", "channels": [], "gaps": [], "notes": []},
        "aircraft": {"name": "", "description": "", "speeds_kt": {}},
        "standard": {"id": "", "title": "", "edition": ""},
        "flight": {"air": "calm", "wind_from_deg": null, "wind_kt": null, "wind_sigma_kt": null,
            "altitude_max_ft": null, "terrain_ft": null, "remarks": [], "strip_step_s": 1.0,
            "strip_altitude_ft": []},
        "maneuvers": maneuvers});
    serde_json::from_value(document).unwrap()
}

fn turn(start_s: f64, end_s: f64) -> ManeuverRef {
    ManeuverRef {
        kind: "steep_turn".to_owned(),
        start_s,
        end_s,
    }
}

fn said(seq: i64, act: Act, seen: &[(&str, Verdict)]) -> Said {
    let by = PersonBrief {
        id: "kim".to_owned(),
        name: "Kim".to_owned(),
        role: Role::Instructor,
    };
    let entry = Entry {
        seq,
        id: seq.to_string(),
        at_utc: format!("{seq:03}"),
        by,
        act,
    };
    let seen = seen
        .iter()
        .map(|(criterion, verdict)| Seen {
            element: "PA.V.A.S5".to_owned(),
            criterion: (*criterion).to_owned(),
            verdict: *verdict,
        })
        .collect();
    Said { entry, seen }
}

fn mark(maneuver: ManeuverRef, criterion: &str, verdict: Verdict) -> Act {
    Act::Mark {
        maneuver,
        element: "PA.V.A.S5".to_owned(),
        criterion: criterion.to_owned(),
        verdict,
        reason: "seen from the right seat".to_owned(),
    }
}

fn confirm(maneuver: ManeuverRef, criterion: &str) -> Act {
    let element = if criterion.is_empty() {
        ""
    } else {
        "PA.V.A.S5"
    };
    Act::Confirm {
        maneuver,
        element: element.to_owned(),
        criterion: criterion.to_owned(),
    }
}

#[test]
fn prop_how_tells_changed_confirmed_and_given_apart() {
    let marks = [
        ("bank", Verdict::NotMet),
        ("looking", Verdict::ForInstructor),
        ("altitude", Verdict::Met),
    ];
    let now = debrief(&[(100.0, 140.0, &marks)]);
    let here = turn(100.0, 140.0);
    let word = word(
        &[
            said(
                1,
                mark(here.clone(), "bank", Verdict::Met),
                &[("bank", Verdict::NotMet)],
            ),
            said(
                2,
                mark(here.clone(), "looking", Verdict::Met),
                &[("looking", Verdict::ForInstructor)],
            ),
            said(3, confirm(here, "altitude"), &[("altitude", Verdict::Met)]),
        ],
        &now,
    );
    let told: Vec<_> = word
        .marks
        .iter()
        .map(|mark| (mark.criterion.as_str(), mark.how.as_str(), mark.number))
        .collect();
    assert_eq!(
        told,
        [
            ("bank", "changed", Some(1)),
            ("looking", "given", Some(1)),
            ("altitude", "confirmed", Some(1))
        ]
    );
    assert!(word.marks.iter().all(|mark| mark.program_then.is_none()));
    assert_eq!(word.marks[0].program, Some(Verdict::NotMet));
}

#[test]
fn prop_a_mark_follows_its_maneuver_and_tells_what_the_program_said_then() {
    let before = [("bank", Verdict::NotMet)];
    let entries = [said(
        1,
        mark(turn(200.0, 240.0), "bank", Verdict::Met),
        &before,
    )];
    // Another maneuver was found before it, and the boundary moved.
    let now = debrief(&[
        (100.0, 140.0, &[]),
        (190.0, 236.0, &[("bank", Verdict::TooClose)]),
    ]);
    let word_now = word(&entries, &now);
    assert_eq!(word_now.marks[0].number, Some(2));
    assert_eq!(word_now.marks[0].program, Some(Verdict::TooClose));
    assert_eq!(word_now.marks[0].program_then, Some(Verdict::NotMet));
    // It was taken out: the word is not lost.
    let word_gone = word(&entries, &debrief(&[(100.0, 140.0, &[])]));
    assert_eq!(word_gone.marks.len(), 1);
    assert_eq!(
        (word_gone.marks[0].number, word_gone.marks[0].program),
        (None, None)
    );
    assert_eq!(word_gone.marks[0].program_then, Some(Verdict::NotMet));
}

#[test]
fn prop_confirming_a_maneuver_confirms_what_was_decided_and_nothing_else() {
    let marks = [
        ("bank", Verdict::NotMet),
        ("altitude", Verdict::Met),
        ("airspeed", Verdict::TooClose),
        ("power", Verdict::NotRecorded),
        ("looking", Verdict::ForInstructor),
    ];
    let now = debrief(&[(100.0, 140.0, &marks)]);
    let word_all = word(&[said(1, confirm(turn(100.0, 140.0), ""), &[])], &now);
    let confirmed: Vec<_> = word_all
        .marks
        .iter()
        .map(|mark| mark.criterion.as_str())
        .collect();
    assert_eq!(confirmed, ["bank", "altitude"]);
    // One that is too close can be confirmed by name; what only a person can judge cannot.
    assert_eq!(
        spoken_of(&now.maneuvers[0], "PA.V.A.S5", "airspeed").len(),
        1
    );
    assert!(spoken_of(&now.maneuvers[0], "PA.V.A.S5", "looking").is_empty());
}

#[test]
fn prop_confirming_a_maneuver_does_not_speak_over_a_persons_mark() {
    let marks = [("bank", Verdict::NotMet), ("altitude", Verdict::Met)];
    let (now, here) = (debrief(&[(100.0, 140.0, &marks)]), turn(100.0, 140.0));
    let changed = said(
        1,
        mark(here.clone(), "bank", Verdict::Met),
        &[("bank", Verdict::NotMet)],
    );
    let told = |word: Word| -> Vec<(String, Verdict, String, String)> {
        word.marks
            .into_iter()
            .map(|mark| (mark.criterion, mark.verdict, mark.how, mark.at_utc))
            .collect()
    };
    let line = |criterion: &str, verdict, how: &str, at: &str| {
        (criterion.to_owned(), verdict, how.to_owned(), at.to_owned())
    };
    // All at once: the changed mark stays with its reason, the other is confirmed.
    let whole = [changed.clone(), said(2, confirm(here.clone(), ""), &marks)];
    let folded = word(&whole, &now);
    assert_eq!(folded.marks[0].reason, "seen from the right seat");
    assert_eq!(
        told(folded),
        [
            line("bank", Verdict::Met, "changed", "001"),
            line("altitude", Verdict::Met, "confirmed", "002")
        ]
    );
    // By its name it is confirmed over the change, and after the change is taken back, all at once too.
    let named = [
        changed.clone(),
        said(
            2,
            confirm(here.clone(), "bank"),
            &[("bank", Verdict::NotMet)],
        ),
    ];
    assert_eq!(
        told(word(&named, &now)),
        [line("bank", Verdict::NotMet, "confirmed", "002")]
    );
    let back = Act::Unmark {
        maneuver: here.clone(),
        element: "PA.V.A.S5".to_owned(),
        criterion: "bank".to_owned(),
    };
    let again = [
        changed,
        said(2, back, &[]),
        said(3, confirm(here.clone(), ""), &marks),
    ];
    assert_eq!(
        told(word(&again, &now))[0],
        line("bank", Verdict::NotMet, "confirmed", "003")
    );
    // What was only confirmed is confirmed anew when the program says otherwise now.
    let twice = [
        said(1, confirm(here.clone(), ""), &[("bank", Verdict::Met)]),
        said(2, confirm(here, ""), &marks),
    ];
    assert_eq!(
        told(word(&twice, &now))[0],
        line("bank", Verdict::NotMet, "confirmed", "002")
    );
}

#[test]
fn prop_a_confirmation_of_all_does_not_reach_what_came_later() {
    // At the time only the bank was decided; since then the program decides the altitude too.
    let entries = [said(
        1,
        confirm(turn(100.0, 140.0), ""),
        &[("bank", Verdict::Met)],
    )];
    let now = debrief(&[(
        100.0,
        140.0,
        &[("bank", Verdict::Met), ("altitude", Verdict::NotMet)],
    )]);
    let word = word(&entries, &now);
    assert_eq!(word.marks.len(), 1);
    assert_eq!(word.marks[0].criterion, "bank");
}

#[test]
fn prop_two_marked_maneuvers_that_became_one_keep_both_words() {
    let then = [("bank", Verdict::Met)];
    let entries = [
        said(1, mark(turn(100.0, 140.0), "bank", Verdict::NotMet), &then),
        said(2, mark(turn(150.0, 200.0), "bank", Verdict::Met), &then),
    ];
    let word = word(&entries, &debrief(&[(100.0, 200.0, &then)]));
    let numbers: Vec<_> = word.marks.iter().map(|mark| mark.number).collect();
    assert_eq!(numbers, [None, Some(1)]);
}

#[test]
fn prop_notes_come_in_order_of_time_and_can_be_taken_back() {
    let note = |seq, id: &str, at_s, text: &str| {
        said(
            seq,
            Act::Note {
                id: id.to_owned(),
                at_s,
                text: text.to_owned(),
            },
            &[],
        )
    };
    let now = debrief(&[]);
    let mut entries = vec![
        note(1, "x", 90.0, "late"),
        note(2, "y", 30.0, "early"),
        note(3, "x", 91.0, "later"),
    ];
    let told: Vec<_> = word(&entries, &now)
        .notes
        .into_iter()
        .map(|note| note.text)
        .collect();
    assert_eq!(told, ["early", "later"]);
    entries.push(said(4, Act::Unnote { id: "y".to_owned() }, &[]));
    assert_eq!(word(&entries, &now).notes.len(), 1);
}

fn verdicts() -> impl Strategy<Value = Verdict> {
    prop_oneof![
        Just(Verdict::Met),
        Just(Verdict::NotMet),
        Just(Verdict::TooClose)
    ]
}

fn acts() -> impl Strategy<Value = Act> {
    let spans = (0.0..400.0_f64, 1.0..80.0_f64)
        .prop_map(|(start_s, length_s)| turn(start_s, start_s + length_s));
    let criteria = prop_oneof![Just("bank"), Just("altitude"), Just("looking")];
    (spans, criteria, verdicts(), 0..4_u8).prop_map(|(here, criterion, verdict, which)| match which
    {
        0 | 1 => mark(here, criterion, verdict),
        2 => confirm(here, criterion),
        _ => Act::Unmark {
            maneuver: here,
            element: "PA.V.A.S5".to_owned(),
            criterion: criterion.to_owned(),
        },
    })
}

proptest! {
    /// Every mark stands in the word with its number or without, unless a later act spoke of the same.
    #[test]
    fn prop_no_word_is_lost(acts in prop::collection::vec(acts(), 0..40)) {
        let marks = [("bank", Verdict::Met), ("altitude", Verdict::NotMet), ("looking", Verdict::ForInstructor)];
        let now = debrief(&[(20.0, 60.0, &marks), (80.0, 130.0, &marks), (150.0, 260.0, &marks)]);
        let entries: Vec<Said> = acts
            .into_iter()
            .enumerate()
            .map(|(index, act)| said(index as i64 + 1, act, &[]))
            .collect();
        let word = word(&entries, &now);
        for (index, one) in entries.iter().enumerate() {
            let Act::Mark { maneuver, criterion, .. } = &one.entry.act else { continue };
            let spoken_again = entries[index + 1..].iter().any(|later| match &later.entry.act {
                Act::Mark { maneuver: there, criterion: other, .. }
                | Act::Confirm { maneuver: there, criterion: other, .. }
                | Act::Unmark { maneuver: there, criterion: other, .. } => other == criterion && same(there, maneuver),
                _ => false,
            });
            let stands = word.marks.iter().any(|mark| mark.at_utc == one.entry.at_utc);
            prop_assert!(stands || spoken_again);
        }
        // No two words about the same mark of the same maneuver as it is now.
        for (index, mark) in word.marks.iter().enumerate() {
            let twice = word.marks[index + 1..].iter().any(|other| {
                mark.number.is_some() && other.number == mark.number && other.criterion == mark.criterion
            });
            prop_assert!(!twice);
            // A number is that of an overlapping maneuver of the kind.
            if let Some(number) = mark.number {
                let found = &now.maneuvers[number as usize - 1];
                prop_assert!(overlap_s(span_of(&mark.maneuver), (found.start_s, found.end_s)) > 0.0);
            }
        }
    }

    /// Folding does not hang on what the debrief says now, but for numbers and the program's side.
    #[test]
    fn prop_the_persons_side_is_the_same_over_any_debrief(
        acts in prop::collection::vec(acts(), 0..30), shift_s in 0.0..300.0_f64,
    ) {
        let marks = [("bank", Verdict::Met), ("altitude", Verdict::NotMet)];
        let seen = [("bank", Verdict::NotMet), ("altitude", Verdict::Met)];
        let entries: Vec<Said> = acts
            .into_iter()
            .enumerate()
            .map(|(index, act)| said(index as i64 + 1, act, &seen))
            .collect();
        let strip = |word: Word| -> Vec<(String, String, Verdict, String)> {
            word.marks.into_iter().map(|mark| (mark.at_utc, mark.criterion, mark.verdict, mark.how)).collect()
        };
        let one = word(&entries, &debrief(&[(20.0, 60.0, &marks)]));
        let other = word(&entries, &debrief(&[(shift_s, shift_s + 50.0, &marks)]));
        prop_assert_eq!(strip(one), strip(other));
    }

    /// Unmarking right after marking leaves nothing of that mark.
    #[test]
    fn prop_unmark_takes_back(acts in prop::collection::vec(acts(), 0..20), at_s in 0.0..400.0_f64) {
        let here = turn(at_s, at_s + 30.0);
        let mut entries: Vec<Said> = acts
            .into_iter()
            .enumerate()
            .map(|(index, act)| said(index as i64 + 1, act, &[]))
            .collect();
        let next = entries.len() as i64 + 1;
        entries.push(said(next, mark(here.clone(), "bank", Verdict::Met), &[]));
        entries.push(said(
            next + 1,
            Act::Unmark { maneuver: here.clone(), element: "PA.V.A.S5".to_owned(), criterion: "bank".to_owned() },
            &[],
        ));
        let word = word(&entries, &debrief(&[]));
        prop_assert!(!word.marks.iter().any(|mark| mark.criterion == "bank" && same(&mark.maneuver, &here)));
    }
}
