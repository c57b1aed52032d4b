//! What was briefed, as JSON and as the file again.

use maneuver::Kind;
use proptest::option;
use proptest::prelude::*;
use standard::{Asked, Briefed, Recovery};

fn read(text: &str) -> Result<Briefed, String> {
    serde_json::from_str(text).map_err(|error| error.to_string())
}

/// The example of `docs/briefed-file.md`, once as the file and once as JSON.
#[test]
fn the_file_and_json_say_the_same() {
    let file = "recovery = \"full_stall\"\n\n[[maneuver]]\nkind = \"power_off_stall\"\nheading_deg = 90\n\n\
        [[maneuver]]\nkind = \"power_off_stall\"\nnth = 2\nrecovery = \"first_indication\"\nbank_deg = 15\n\n\
        [[maneuver]]\nnumber = 7\nspeed_kias = 57\naltitude_ft = 3500\n";
    let json = r#"{"maneuver":[{"kind":"power_off_stall","heading_deg":90.0},{"kind":"power_off_stall","nth":2,"recovery":"first_indication","bank_deg":15.0},{"number":7,"speed_kias":57.0,"altitude_ft":3500.0}],"recovery":"full_stall"}"#;
    let briefed = Briefed::read(file, "briefed.toml").unwrap();
    assert_eq!(read(json).unwrap(), briefed);
    assert_eq!(serde_json::to_string(&briefed).unwrap(), json);
    assert_eq!(briefed.to_toml(), file);
    assert_eq!(read("{}").unwrap(), Briefed::default());
    assert_eq!(Briefed::default().to_toml(), "");
    let nulls = r#"{"recovery":null,"maneuver":[{"number":3,"bank_deg":null}]}"#;
    assert_eq!(read(nulls).unwrap().entries[0].number, Some(3));
}

/// The same limits and the same words as the file has.
#[test]
fn json_is_checked_as_the_file_is() {
    let entries = [
        ("\"bank_deg\":450", "bank_deg = 450"),
        ("\"heading_deg\":-1", "heading_deg = -1"),
        ("\"speed_kias\":3", "speed_kias = 3"),
        ("\"altitude_ft\":60000", "altitude_ft = 60000"),
        ("\"at_s\":-2.5", "at_s = -2.5"),
        ("\"number\":0", "number = 0"),
        ("\"nth\":0", "nth = 0"),
        ("\"recovery\":\"late\"", "recovery = \"late\""),
        ("\"kind\":\"loop\"", "kind = \"loop\""),
        ("\"variant\":\"short_filed\"", "variant = \"short_filed\""),
        (
            "\"kind\":\"steep_turn\",\"variant\":\"no_flap\"",
            "kind = \"steep_turn\"\nvariant = \"no_flap\"",
        ),
        ("\"bank\":20", "bank = 20"),
    ];
    for (json, toml) in entries {
        let told = read(&format!("{{\"maneuver\":[{{{json}}}]}}")).unwrap_err();
        let file = format!("[[maneuver]]\n{toml}\n");
        let error = Briefed::read(&file, "briefed.toml").unwrap_err();
        if json.contains("\"bank\"") {
            assert!(told.contains("unknown field `bank`"), "{told}");
            continue;
        }
        assert!(
            told.contains(&error.what) && told.contains(&error.mend),
            "{told} but {error}"
        );
    }
    assert!(
        read(r#"{"recoveries":"full_stall"}"#)
            .unwrap_err()
            .contains("recoveries")
    );
}

#[test]
fn an_entry_takes_the_place_of_the_one_for_the_same() {
    let mut briefed = Briefed::default();
    let seventh = |bank_deg: Option<f64>| Asked {
        number: Some(7),
        bank_deg,
        ..Asked::default()
    };
    briefed.set(seventh(Some(20.0)));
    briefed.set(Asked {
        kind: Some(Kind::PowerOffStall),
        bank_deg: Some(10.0),
        ..Asked::default()
    });
    briefed.set(seventh(Some(15.0)));
    assert_eq!(briefed.entries.len(), 2);
    assert_eq!(briefed.entries[0].bank_deg, Some(15.0));
    briefed.set(seventh(None));
    assert_eq!(briefed.entries.len(), 1);
    briefed.set(seventh(None));
    assert_eq!(briefed.entries.len(), 1);
}

/// Set by its span, an entry replaces those of that maneuver and leaves the neighbors'.
#[test]
fn an_entry_for_a_span_stays_with_its_maneuver() {
    let mut briefed = Briefed::default();
    let bank = |bank_deg: f64| Asked {
        bank_deg: Some(bank_deg),
        number: Some(99),
        ..Asked::default()
    };
    briefed.set_within(Kind::PowerOffStall, 100.0, 180.0, bank(10.0));
    briefed.set_within(Kind::PowerOnStall, 200.0, 280.0, bank(12.0));
    // Its start was dragged, then something else was asked for.
    briefed.set_within(Kind::PowerOffStall, 110.0, 184.0, bank(15.0));
    let entries: Vec<(Option<f64>, Option<f64>, Option<usize>)> = briefed
        .entries
        .iter()
        .map(|entry| (entry.at_s, entry.bank_deg, entry.number))
        .collect();
    let expected = [
        (Some(240.0), Some(12.0), None),
        (Some(147.0), Some(15.0), None),
    ];
    assert_eq!(entries, expected);
    briefed.set_within(Kind::PowerOffStall, 110.0, 184.0, Asked::default());
    assert_eq!(briefed.entries.len(), 1);
}

fn asked() -> impl Strategy<Value = Asked> {
    let kinds: Vec<Kind> = Kind::ALL.iter().map(|(kind, _, _)| *kind).collect();
    let recovery = prop::sample::select(vec![Recovery::FullStall, Recovery::FirstIndication]);
    (
        option::of(prop::sample::select(kinds)),
        option::of(1..200_usize),
        option::of(1..30_usize),
        option::of(0.0..1e6_f64),
        (option::of(recovery), option::of(0..20_usize)),
        (
            option::of(0.0..75.0_f64),
            option::of(0.0..=360.0_f64),
            option::of(20.0..400.0_f64),
            option::of(-1500.0..40000.0_f64),
            option::of(0.0..18000.0_f64),
        ),
    )
        .prop_map(
            |(kind, number, nth, at_s, (recovery, form), numbers)| Asked {
                kind,
                number,
                nth,
                at_s,
                // Any form that the kind may be flown in, else none in particular.
                variant: form.map(|form| {
                    let known = maneuver::variants_of(kind);
                    known
                        .get(form % (known.len() + 1))
                        .copied()
                        .unwrap_or(standard::PLAIN)
                }),
                recovery,
                bank_deg: numbers.0,
                heading_deg: numbers.1,
                speed_kias: numbers.2,
                altitude_ft: numbers.3,
                point_ft: numbers.4,
                ..Asked::default()
            },
        )
}

proptest! {
    /// What a page set can be exported and read again by the command line, to the last digit; and as JSON.
    #[test]
    fn prop_there_and_back(entries in prop::collection::vec(asked(), 0..6), full in option::of(any::<bool>())) {
        let recovery = full.map(|full| if full { Recovery::FullStall } else { Recovery::FirstIndication });
        let runway = standard::GivenRunway::from_numbers("45.01,-120.5,45.02,-120.48,310").unwrap();
        let runways = if full == Some(true) { vec![runway] } else { Vec::new() };
        let briefed = Briefed { entries, recovery, runways };
        let text = briefed.to_toml();
        prop_assert_eq!(&Briefed::read(&text, "briefed.toml").unwrap(), &briefed);
        // The JSON reader is exact for numbers of at most 15 digits: four decimals, as everywhere in our JSON.
        let tidy = |number: Option<f64>| number.map(|number| (number * 1e4).round() / 1e4);
        let entries = briefed.entries.iter().map(|entry| Asked {
            at_s: tidy(entry.at_s),
            bank_deg: tidy(entry.bank_deg),
            heading_deg: tidy(entry.heading_deg),
            speed_kias: tidy(entry.speed_kias),
            altitude_ft: tidy(entry.altitude_ft),
            point_ft: tidy(entry.point_ft),
            ..entry.clone()
        });
        let briefed = Briefed { entries: entries.collect(), ..briefed.clone() };
        let json = serde_json::to_string(&briefed).unwrap();
        prop_assert_eq!(&read(&json).unwrap(), &briefed);
    }
}
