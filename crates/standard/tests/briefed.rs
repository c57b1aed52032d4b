//! The sheet of what was asked for.

use maneuver::{Agreement, Direction, Kind, Maneuver};
use standard::{Briefed, Recovery};
use std::collections::BTreeMap;

fn stall(kind: Kind, start_s: f64) -> Maneuver {
    Maneuver {
        kind,
        direction: Direction::Straight,
        start_s,
        end_s: start_s + 60.0,
        confidence: 0.99,
        agreement: Agreement::Both,
        set_by: maneuver::SetBy::Program,
        phases: Vec::new(),
        events: Vec::new(),
        facts: BTreeMap::new(),
        missing: std::collections::BTreeMap::new(),
        variants: Vec::new(),
    }
}

const SHEET: &str = r#"
recovery = "full-stall"

[[maneuver]]
kind = "power_off_stall"
heading_deg = 90

[[maneuver]]
kind = "power_off_stall"
nth = 2
recovery = "first_indication"
heading_deg = 180.0

[[maneuver]]
number = 3
bank_deg = 15
"#;

#[test]
fn the_closer_entry_wins() {
    let briefed = Briefed::read(SHEET, "briefed.toml").unwrap();
    let flight = [
        stall(Kind::PowerOffStall, 100.0),
        stall(Kind::PowerOnStall, 300.0),
        stall(Kind::PowerOffStall, 500.0),
    ];
    let first = briefed.asked(&flight, 0);
    assert_eq!(
        (first.recovery, first.heading_deg, first.bank_deg),
        (Some(Recovery::FullStall), Some(90.0), None)
    );
    let second = briefed.asked(&flight, 1);
    assert_eq!(
        (second.recovery, second.heading_deg),
        (Some(Recovery::FullStall), None)
    );
    let third = briefed.asked(&flight, 2);
    assert_eq!(third.recovery, Some(Recovery::FirstIndication));
    assert_eq!(
        (third.heading_deg, third.bank_deg),
        (Some(180.0), Some(15.0))
    );
}

#[test]
fn mistakes_are_told_with_their_place() {
    let error = |text: &str| Briefed::read(text, "briefed.toml").unwrap_err().to_string();
    let bank = error("[[maneuver]]\nkind = \"steep_turn\"\nbank_deg = 450\n");
    assert!(
        bank.contains("line 3, column 12") && bank.contains("450"),
        "{bank}"
    );
    let word = error("recovery = \"late\"\n");
    assert!(
        word.contains("line 1") && word.contains("first_indication"),
        "{word}"
    );
    let number = error("[[maneuver]]\nnumber = 0\n");
    assert!(number.contains("starts at 1"), "{number}");
    let field = error("[[maneuver]]\nbank = 20\n");
    assert!(field.contains("bank"), "{field}");
    assert!(error("[[maneuver]\n").contains("line 1"));
}

#[test]
fn an_empty_sheet_asks_for_nothing() {
    let briefed = Briefed::read("", "briefed.toml").unwrap();
    assert!(
        briefed
            .asked(&[stall(Kind::PowerOnStall, 0.0)], 0)
            .is_empty()
    );
    assert!(briefed.asked(&[], 7).is_empty());
}
