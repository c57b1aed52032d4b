//! What an airframe file can have wrong, and where the message points.

mod support;

use dynamics::parse;
use support::DEMO;

/// The demonstration's file with one thing changed; line and column where it was, from 1, and the message.
fn wrong(was: &str, now: &str) -> (usize, usize, String) {
    assert_eq!(DEMO.matches(was).count(), 1, "{was} stands there once");
    let problem = parse(&DEMO.replace(was, now), "changed.toml").expect_err("refused");
    assert_eq!(problem.file, "changed.toml");
    assert!(!problem.mend.is_empty());
    (problem.place.line, problem.place.column, problem.what)
}

fn line_of(text: &str) -> usize {
    DEMO.lines()
        .position(|line| line == text)
        .map_or(0, |at| at + 1)
}

#[test]
fn a_number_is_refused_where_it_stands() {
    for (was, now, column, says) in [
        ("mass_kg = 1052.0", "mass_kg = 0.0", 11, "mass_kg = 0"),
        ("lag_s = 0.12", "lag_s = -1.0", 9, "lag_s = -1"),
        ("pitch_rate = -13.0", "pitch_rate = 1.0", 14, "run away"),
        ("yaw_yaw_rate = -0.10", "yaw_yaw_rate = 0.0", 16, "run away"),
        ("idle = 0.13", "idle = nan", 8, "nan"),
        ("side_beta = -0.42", "side_beta = inf", 13, "inf"),
        (
            "xz_kgm2 = 90.0",
            "xz_kgm2 = 9000.0",
            11,
            "more than any body",
        ),
    ] {
        let (line, at, what) = wrong(was, now);
        assert_eq!((line, at), (line_of(was), column), "{now}: {what}");
        assert!(what.contains(says), "{what}");
    }
}

#[test]
fn a_number_that_is_none_is_found_inside_a_list() {
    let was = "thrust = [0.120, -0.03, -0.125]";
    let (line, column, what) = wrong(was, "thrust = [0.120, nan, -0.125]");
    assert_eq!((line, column), (line_of(was), 18), "{what}");
}

#[test]
fn names_and_kinds_are_held_to() {
    let (line, column, what) = wrong("span_m = 10.6", "spam_m = 10.6");
    assert_eq!((line, column), (line_of("span_m = 10.6"), 1), "{what}");
    assert!(what.contains("spam_m"));

    let (line, column, what) = wrong("chord_m = 1.52", "chord_m = \"wide\"");
    assert_eq!((line, column), (line_of("chord_m = 1.52"), 11), "{what}");

    let (line, _, what) = wrong("half_deg = 18.0\n", "");
    assert_eq!(line, line_of("[separation]"), "{what}");
    assert!(what.contains("half_deg"));

    let (line, _, what) = wrong("rated_power_kw = 134.2", "rated_power_kw = = 2");
    assert_eq!(line, line_of("rated_power_kw = 134.2"), "{what}");
}

#[test]
fn the_schema_is_named() {
    let was = "schema = \"proofwing-airframe-1\"";
    let (line, column, what) = wrong(was, "schema = \"proofwing-airframe-9\"");
    assert_eq!((line, column), (line_of(was), 10), "{what}");
    assert!(what.contains("proofwing-airframe-9"));
}

#[test]
fn flaps_rise_from_up() {
    let (line, _, what) = wrong("angle_deg = 25.0", "angle_deg = 5.0");
    assert_eq!(line, line_of("[[flap]]"), "{what}");
    let (_, _, what) = wrong("angle_deg = 0.0\n", "angle_deg = 3.0\n");
    assert!(what.contains("rise from 0"), "{what}");
}

#[test]
fn nothing_at_all_is_an_error_and_no_panic() {
    for text in ["", "\u{0}", "schema", "[wing", "wing = 3\nschema = \"x\""] {
        assert!(parse(text, "odd.toml").is_err());
    }
}
