//! The document: its schema, its numbers, its findings.

#[path = "../../standard/tests/support/mod.rs"]
mod support;

use debrief::{Debrief, SCHEMA, debrief, from_json, json_schema, to_json};
use maneuver::{Fact, Kind, Maneuver};
use proptest::prelude::*;
use recording::Recording;
use standard::{Briefed, pack};
use support::{Faults, power_off_stall, steep_turn, trainer};

fn of(flight: &flight::Flight, maneuvers: &[Maneuver], pack_id: &str) -> Debrief {
    let recording = Recording {
        name: "synthetic".to_owned(),
        time_s: vec![0.0, 140.0],
        ..Recording::default()
    };
    let pack = pack(pack_id).unwrap();
    debrief(
        &recording,
        flight,
        &trainer(),
        maneuvers,
        &pack,
        &Briefed::default(),
        "0.0.0",
    )
}

fn ids(document: &Debrief, number: usize) -> Vec<String> {
    document.maneuvers[number - 1]
        .findings
        .iter()
        .map(|finding| finding.id.clone())
        .collect()
}

/// The committed schema is the one that the types give: `make schema` writes it anew.
#[test]
fn regress_the_committed_schema_is_current() {
    let committed = include_str!("../../../schema/debrief-1.schema.json");
    assert!(
        committed == json_schema(),
        "the schema is stale: run `make schema` and look at the difference"
    );
}

/// Names that a reader of the JSON relies on, from the project's published list of them.
#[test]
fn the_document_has_the_promised_names() {
    let (flight, maneuvers) = power_off_stall(1.4);
    let value = serde_json::to_value(of(&flight, &maneuvers, "faa-private")).unwrap();
    assert_eq!(value["schema"], SCHEMA);
    let maneuver = &value["maneuvers"][0];
    for name in [
        "kind",
        "direction",
        "start_s",
        "end_s",
        "confidence",
        "phases",
        "events",
        "facts",
        "marks",
        "findings",
        "story",
    ] {
        assert!(!maneuver[name].is_null(), "{name}");
    }
    let mark = &maneuver["marks"][0];
    for name in [
        "element",
        "criterion",
        "quantity",
        "unit",
        "mark",
        "origin",
        "target",
        "low",
        "high",
        "worst",
        "sigma",
        "outside_s",
        "probability",
    ] {
        assert!(mark.get(name).is_some(), "{name}");
    }
    // 60 m planted; a foot is 0.3048 m exactly.
    let lost = &maneuver["facts"]["altitude_lost_ft"];
    assert!((lost["value"].as_f64().unwrap() - 60.0 / 0.3048).abs() < 1e-4);
    assert_eq!(lost["unit"], "ft");
}

#[test]
fn json_goes_there_and_back() {
    let (flight, maneuvers) = steep_turn(Faults {
        altitude_ft: 160.0,
        ..Faults::default()
    });
    let document = of(&flight, &maneuvers, "faa-commercial");
    let text = to_json(&document).unwrap();
    let again = from_json(&text).unwrap();
    assert!(
        to_json(&again).unwrap() == text,
        "what was read is not what was written"
    );
    let other = text.replace(SCHEMA, "proofwing/debrief/9");
    assert!(
        from_json(&other)
            .unwrap_err()
            .to_string()
            .contains("proofwing/debrief/9")
    );
    assert!(from_json("{").is_err());
}

/// A planted fault beyond its limit is a finding with its size, sure, advised and sourced; inside the limit
/// it is none. Limits: FAA-S-ACS-6C, PA.V.A.S5.
#[test]
fn val_planted_faults_become_findings() {
    let cases = [
        (
            Faults {
                altitude_ft: -160.0,
                ..Faults::default()
            },
            "altitude_drift",
            -160.0,
        ),
        (
            Faults {
                airspeed_kt: -16.0,
                ..Faults::default()
            },
            "airspeed_drift",
            -16.0,
        ),
        (
            Faults {
                bank_deg: 9.0,
                ..Faults::default()
            },
            "bank_out_of_limits",
            9.0,
        ),
        (
            Faults {
                rollout_deg: 18.0,
                ..Faults::default()
            },
            "rollout_off_heading",
            18.0,
        ),
    ];
    for (faults, id, size) in cases {
        let (flight, maneuvers) = steep_turn(faults);
        let document = of(&flight, &maneuvers, "faa-private");
        let findings = &document.maneuvers[1].findings;
        assert_eq!(ids(&document, 2), [id]);
        let finding = &findings[0];
        assert!(
            (finding.size.unwrap() - size).abs() < 1.96 * finding.sigma.unwrap(),
            "{id}: {:?}",
            finding.size
        );
        assert!(
            finding.probability >= 0.95 && !finding.advice.is_empty() && !finding.source.is_empty()
        );
        assert!(
            finding
                .evidence
                .chars()
                .any(|character| character.is_ascii_digit()),
            "{}",
            finding.evidence
        );
        assert!(
            document.maneuvers[1]
                .verdict_line
                .contains(&finding.evidence)
        );
        assert!(document.maneuvers[1].change_line.starts_with("Next time"));
    }
    let (flight, maneuvers) = steep_turn(Faults {
        altitude_ft: 60.0,
        ..Faults::default()
    });
    let document = of(&flight, &maneuvers, "faa-private");
    assert!(ids(&document, 2).is_empty());
    assert!(!document.maneuvers[1].strengths.is_empty());
}

/// At most two causes lead; the rest stay in the list.
#[test]
fn two_causes_lead() {
    let (flight, maneuvers) = steep_turn(Faults {
        altitude_ft: 300.0,
        airspeed_kt: 25.0,
        bank_deg: 12.0,
        rollout_deg: 25.0,
    });
    let document = of(&flight, &maneuvers, "faa-private");
    let turn = &document.maneuvers[1];
    assert_eq!(turn.findings.len(), 4);
    let leading = turn
        .findings
        .iter()
        .filter(|finding| turn.verdict_line.contains(&finding.evidence))
        .count();
    assert_eq!(leading, 2);
}

#[test]
fn a_held_stall_is_told() {
    let (flight, maneuvers) = power_off_stall(6.0);
    let document = of(&flight, &maneuvers, "faa-private");
    assert_eq!(
        ids(&document, 1).first().map(String::as_str),
        Some("stall_held")
    );
    let story: Vec<&str> = document.maneuvers[0]
        .story
        .iter()
        .map(|line| line.text.as_str())
        .collect();
    assert!(
        story
            .iter()
            .any(|line| line.starts_with("full stall, 44 kt")),
        "{story:?}"
    );
    let mut times: Vec<f64> = document.maneuvers[0]
        .story
        .iter()
        .map(|line| line.at_s)
        .collect();
    let told = times.clone();
    times.sort_by(f64::total_cmp);
    assert_eq!(told, times);
}

/// 14 CFR 23.201 (amendment 62) allows 15 degrees of roll in a wings-level stall: 40 are a wing drop, 10 none.
#[test]
fn val_wing_drop() {
    for (roll_deg, drops) in [(40.0, true), (-40.0, true), (10.0, false)] {
        let (mut flight, maneuvers) = power_off_stall(1.4);
        let bank = flight.bank.as_mut().unwrap();
        for index in 720..760 {
            bank.values[index] = f64::to_radians(roll_deg);
        }
        let found = ids(&of(&flight, &maneuvers, "faa-private"), 1);
        assert_eq!(
            found.iter().any(|id| id == "wing_drop"),
            drops,
            "{roll_deg}"
        );
    }
}

/// A kind without a task is listed and not marked.
#[test]
fn unmarked_kinds_are_listed() {
    let (flight, mut maneuvers) = steep_turn(Faults::default());
    maneuvers.push(support::maneuver(
        Kind::Chandelle,
        maneuver::Direction::Left,
        150.0,
        180.0,
    ));
    let document = of(&flight, &maneuvers, "faa-private");
    assert_eq!(document.maneuvers.len(), 3);
    assert!(!document.maneuvers[2].marked && document.maneuvers[2].marks.is_empty());
    assert_eq!(document.maneuvers[2].number, 3);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// No number that is not one reaches the JSON, whatever the stages before hand over: serde writes such
    /// a number as null, and a null where a number belongs cannot be read back.
    #[test]
    fn prop_no_nan_reaches_json(bad in prop::sample::select(vec![f64::NAN, f64::INFINITY, f64::NEG_INFINITY]), at in 0..1400_usize) {
        let (mut flight, mut maneuvers) = power_off_stall(1.4);
        for series in [&mut flight.altitude, &mut flight.ias, &mut flight.bank, &mut flight.pitch, &mut flight.climb, &mut flight.lateral, &mut flight.heading, &mut flight.agl].into_iter().flatten() {
            let to = (at + 60).min(series.values.len());
            series.values[at..to].fill(bad);
        }
        let fact = |value: f64, sigma: f64| Fact { value, unit: "m", sigma, origin: flight::Origin::Derived };
        maneuvers[0].facts.insert("altitude_lost", fact(bad, 1.0));
        maneuvers[0].facts.insert("entry_altitude", fact(1.0, bad));
        maneuvers[0].confidence = bad;
        if let Some(event) = maneuvers[0].events.get_mut(1) {
            event.sigma_s = bad;
        }
        let document = of(&flight, &maneuvers, "faa-private");
        let text = to_json(&document).unwrap();
        prop_assert!(from_json(&text).is_ok());
    }
}
