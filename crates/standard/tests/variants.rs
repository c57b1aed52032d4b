//! A kind with several tasks, one for each form that it is flown in.

mod support;

use maneuver::{Direction, Kind, Maneuver, VARIANTS, Variant};
use standard::{Briefed, Pack, PackError};

/// Landings of FAA-S-ACS-6C: normal PA.IV.B, soft-field PA.IV.D, short-field PA.IV.F.
const LANDINGS: [(&str, &str); 3] = [
    ("", "PA.IV.B"),
    ("soft_field", "PA.IV.D"),
    ("short_field", "PA.IV.F"),
];

fn task(kind: &str, variant: &str, code: &str) -> String {
    let form = if variant.is_empty() {
        String::new()
    } else {
        format!("variant = \"{variant}\"\n")
    };
    format!(
        "\n[[task]]\nkind = \"{kind}\"\n{form}code = \"{code}\"\ntitle = \"t\"\n\
         [[task.element]]\ncode = \"S1\"\nskill = \"s\"\n[[task.element.criterion]]\n\
         id = \"seen\"\nmeasure = \"instructor\"\nquantity = \"q\"\norigin = \"published\"\n"
    )
}

fn read(tasks: &[(&str, &str, &str)]) -> Result<Pack, PackError> {
    let head = "id = \"p\"\ntitle = \"t\"\ndocument = \"d\"\nedition = \"e\"\ndate = \"d\"\nsource = \"s\"\n\
        [policy]\nheld_s = 1.0\nprompt_s = 3.0\nforgiven = 0\n";
    let tasks: String = tasks
        .iter()
        .map(|(kind, variant, code)| task(kind, variant, code))
        .collect();
    Pack::read(&format!("{head}{tasks}"), "p.toml")
}

fn landings() -> Pack {
    let tasks: Vec<_> = LANDINGS
        .iter()
        .map(|(variant, code)| ("landing", *variant, *code))
        .collect();
    read(&tasks).unwrap()
}

fn landing(shown: &[(&'static str, f64)]) -> Maneuver {
    let mut landing = support::maneuver(Kind::Landing, Direction::Straight, 10.0, 60.0);
    landing.variants = shown
        .iter()
        .map(|(name, probability)| Variant {
            name,
            probability: *probability,
            why: "planted",
        })
        .collect();
    landing
}

/// The code that a landing is marked under, through the whole marking.
fn marked(pack: &Pack, shown: &[(&'static str, f64)], briefed: &str) -> Option<String> {
    let briefed = Briefed::read(briefed, "briefed.toml").unwrap();
    let maneuvers = [landing(shown)];
    let flight = support::empty(80.0);
    let marks = standard::mark(&flight, &support::trainer(), &maneuvers, 0, pack, &briefed)?;
    assert_eq!(
        LANDINGS
            .iter()
            .find(|(_, code)| *code == marks.task)
            .unwrap()
            .0,
        marks.variant.unwrap_or_default()
    );
    Some(marks.task)
}

#[test]
fn what_was_briefed_stands_over_what_is_shown_and_that_over_none() {
    let pack = landings();
    let code = |shown, briefed| marked(&pack, shown, briefed).unwrap();
    assert_eq!(code(&[], ""), "PA.IV.B");
    assert_eq!(code(&[("soft_field", 0.95)], ""), "PA.IV.D");
    // Likely is not enough for other limits.
    assert_eq!(code(&[("soft_field", 0.85)], ""), "PA.IV.B");
    // The surer one; one without a task does not stand in the way.
    let both = [
        ("no_flap", 0.99),
        ("soft_field", 0.91),
        ("short_field", 0.97),
    ];
    assert_eq!(code(&both, ""), "PA.IV.F");

    let short = "[[maneuver]]\nkind = \"landing\"\nvariant = \"short_field\"\n";
    assert_eq!(code(&[], short), "PA.IV.F");
    assert_eq!(code(&[("soft_field", 0.99)], short), "PA.IV.F");
    let plain = "[[maneuver]]\nkind = \"landing\"\nvariant = \"plain\"\n";
    assert_eq!(code(&[("soft_field", 0.99)], plain), "PA.IV.B");
    // Asked for in a form that the pack has no task for: as any landing.
    let none = "[[maneuver]]\nvariant = \"no_flap\"\n";
    assert_eq!(code(&[("soft_field", 0.99)], none), "PA.IV.B");
    // A form of another kind, in an entry for all kinds, does not concern a landing.
    let stall = "[[maneuver]]\nvariant = \"cross_controlled\"\n";
    assert_eq!(code(&[("soft_field", 0.99)], stall), "PA.IV.D");
    // The closer entry wins, as for everything that is briefed.
    let closer =
        format!("{short}[[maneuver]]\nkind = \"landing\"\nnth = 1\nvariant = \"soft_field\"\n");
    assert_eq!(code(&[], &closer), "PA.IV.D");
}

#[test]
fn without_a_task_for_no_particular_form_the_rest_is_not_marked() {
    let pack = read(&[("landing", "soft_field", "PA.IV.D")]).unwrap();
    assert_eq!(marked(&pack, &[], ""), None);
    assert_eq!(
        marked(&pack, &[("soft_field", 0.9)], "").unwrap(),
        "PA.IV.D"
    );
}

#[test]
fn mistakes_are_told_with_their_place() {
    let unknown = read(&[("landing", "short_feild", "PA.IV.F")]).unwrap_err();
    assert_eq!((unknown.line, unknown.column), (14, 11), "{unknown}");
    assert!(
        unknown.mend.contains("did you mean short_field?"),
        "{unknown}"
    );

    let other = read(&[("landing", "secondary", "X")])
        .unwrap_err()
        .to_string();
    assert!(
        other.contains("no form of landing") && other.contains("no_flap"),
        "{other}"
    );

    let formless = read(&[("steep_turn", "short_field", "X")]).unwrap_err();
    assert!(formless.mend.contains("take the line out"), "{formless}");

    let twice = read(&[("landing", "", "A"), ("landing", "", "B")]).unwrap_err();
    assert!(
        twice.what.contains("second task") && twice.mend.contains("short_field"),
        "{twice}"
    );
    let form = read(&[("landing", "no_flap", "A"), ("landing", "no_flap", "B")]).unwrap_err();
    assert!(form.what.contains("'no_flap'"), "{form}");
    // A published task may be about several kinds: a secondary stall follows a stall of either sort.
    assert!(
        read(&[
            ("power_off_stall", "secondary", "AI.X.H"),
            ("power_on_stall", "secondary", "AI.X.H")
        ])
        .is_ok()
    );
}

/// Each form once, each for at least one kind, and with words that a page can show.
#[test]
fn prop_forms_are_told_apart() {
    for (index, (kinds, id, words)) in VARIANTS.iter().enumerate() {
        assert!(!kinds.is_empty() && !words.is_empty(), "{id}");
        assert!(
            VARIANTS
                .iter()
                .skip(index + 1)
                .all(|(_, other, _)| other != id)
        );
        assert_ne!(*id, standard::PLAIN);
        for kind in *kinds {
            assert_eq!(maneuver::variant(Some(*kind), id), Some(*id));
        }
    }
}
