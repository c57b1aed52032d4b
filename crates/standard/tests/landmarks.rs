//! What a person gives as the reference of a figure over the ground: read, written, read again, and refused with the
//! place of the mistake.

use maneuver::{Kind, Reference};
use standard::{Asked, Briefed};

const FILE: &str = r#"
[[maneuver]]
kind = "turns_around_a_point"
point = [45.0123, -120.0456]

[[maneuver]]
kind = "s_turns"
nth = 1
line = [[45.02, -120.06], [45.02, -120.03]]

[[maneuver]]
kind = "eights_on_pylons"
pylons = [[45.03, -120.06], [45.035, -120.05]]

[[maneuver]]
kind = "rectangular_course"
corners = [[45.0, -120.0], [45.01, -120.0], [45.01, -119.98], [45.0, -119.98]]
"#;

#[test]
fn landmarks_are_read_and_written() {
    let briefed = Briefed::read(FILE, "briefed.toml").unwrap();
    let asked = |index: usize| briefed.entries.get(index).cloned().unwrap_or_default();
    let Some(Reference::Point(point)) = asked(0).reference(Kind::TurnsAroundAPoint) else {
        panic!("{:?}", asked(0))
    };
    assert!((point.latitude_rad.to_degrees() - 45.0123).abs() < 1e-12);
    assert!((point.longitude_rad.to_degrees() + 120.0456).abs() < 1e-12);
    assert!(matches!(
        asked(1).reference(Kind::STurns),
        Some(Reference::Line(_))
    ));
    assert!(matches!(
        asked(2).reference(Kind::EightsOnPylons),
        Some(Reference::Pylons(_))
    ));
    assert!(matches!(
        asked(3).reference(Kind::RectangularCourse),
        Some(Reference::Corners(_))
    ));
    // For another kind it says nothing.
    assert_eq!(asked(0).reference(Kind::STurns), None);
    assert!(!asked(0).is_empty());
    let again = Briefed::read(&briefed.to_toml(), "again.toml").unwrap();
    assert_eq!(again, briefed);
    let json = serde_json::to_string(&briefed).unwrap();
    assert_eq!(serde_json::from_str::<Briefed>(&json).unwrap(), briefed);
    assert_eq!(Asked::default().reference(Kind::STurns), None);
}

/// Where the mistake is: line and column of the value.
#[test]
fn mistakes_are_told_with_their_place() {
    for (from, to, what) in [
        (
            "point = [45.0123, -120.0456]",
            "point = [95.0123, -120.0456]",
            "latitude 95",
        ),
        (
            "point = [45.0123",
            "line = [[45.0123, 1.0], [45.0123, 1.1]] #",
            "has no line",
        ),
        ("[45.02, -120.03]]", "[45.02, -120.06]]", "0 m apart"),
        ("[45.035, -120.05]]", "[47.035, -120.05]]", "m apart"),
    ] {
        assert!(FILE.contains(from), "{from}");
        let text = FILE.replacen(from, to, 1);
        let error = Briefed::read(&text, "briefed.toml").unwrap_err();
        assert!(error.what.contains(what), "{error}");
        assert!(error.mend.contains("[latitude, longitude]"), "{error}");
        let line = text.lines().nth(error.line - 1).unwrap_or_default();
        assert_eq!(
            line.get(error.column - 1..error.column),
            Some("["),
            "{error}: {line}"
        );
    }
    // The wrong number of places is told by the file's reader, with the place as well.
    let three = FILE.replacen("[45.01, -120.0], ", "", 1);
    let error = Briefed::read(&three, "briefed.toml").unwrap_err();
    assert!(error.line == 17 && error.column > 1, "{error}");
    let json = r#"{"maneuver": [{"kind": "s_turns", "point": [45.0, -120.0]}]}"#;
    let error = serde_json::from_str::<Briefed>(json)
        .unwrap_err()
        .to_string();
    assert!(error.contains("has no point"), "{error}");
}
