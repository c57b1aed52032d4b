//! Runways and touchdown points of a briefing: the file, JSON, numbers with commas, and what a wrong one is told.

use standard::{Briefed, GivenRunway};

/// One minute of latitude is 1,843 m at the equator and 1,862 m at the poles: 0.01 degrees are 1,111.9 m at 45° by the
/// meridian radius of WGS 84, M = a(1−e²)/(1−e²sin²φ)^{3/2} = 6,367,382 m.
const FILE: &str = "[[runway]]\nfrom = [45.0, -120.0]\nto = [45.01, -120.0]\nelevation_ft = 1250\n\n[[maneuver]]\nkind = \"landing\"\npoint_ft = 500\n";

#[test]
fn val_a_runway_has_its_length_and_elevation() {
    let briefed = Briefed::read(FILE, "briefed.toml").unwrap();
    let runway = briefed.runways()[0];
    let leg = air::geodesy::inverse(runway.from, runway.to).unwrap();
    let expected = 6_367_382.0 * 0.01_f64.to_radians();
    assert!(
        (leg.distance_m - expected).abs() < 1.0,
        "{}",
        leg.distance_m
    );
    assert!((runway.elevation_m.unwrap() - 381.0).abs() < 1e-9);
    assert_eq!(briefed.entries[0].point_ft, Some(500.0));
}

#[test]
fn prop_file_and_json_say_the_same() {
    let briefed = Briefed::read(FILE, "briefed.toml").unwrap();
    assert_eq!(Briefed::read(&briefed.to_toml(), "again").unwrap(), briefed);
}

#[test]
fn prop_numbers_with_commas_say_the_same() {
    let briefed = Briefed::read(FILE, "briefed.toml").unwrap();
    let given = GivenRunway::from_numbers("45.0, -120.0, 45.01, -120, 1250").unwrap();
    assert_eq!(given, briefed.runways[0]);
    assert_eq!(
        GivenRunway::from_numbers("45,-120,45.01,-120")
            .unwrap()
            .elevation_ft,
        None
    );
}

/// A mistake is told with its line, and how to mend it.
#[test]
fn prop_a_wrong_runway_is_told_where_and_how() {
    for (text, line, word) in [
        (
            "[[runway]]\nfrom = [95.0, 0.0]\nto = [45.0, 0.0]\n",
            "line 1,",
            "latitude 95",
        ),
        (
            "\n[[runway]]\nfrom = [45.0, 200.0]\nto = [45.0, 0.0]\n",
            "line 2,",
            "longitude 200",
        ),
        (
            "[[runway]]\nfrom = [45.0, 0.0]\nto = [45.0, 0.0]\n",
            "line 1,",
            "0 m apart",
        ),
        (
            "[[runway]]\nfrom = [45.0, 0.0]\nto = [46.0, 0.0]\n",
            "line 1,",
            "m apart",
        ),
        (
            "[[runway]]\nfrom = [45.0, 0.0]\nto = [45.01, 0.0]\nelevation_ft = 90000\n",
            "line 1,",
            "elevation_ft",
        ),
        (
            "[[runway]]\nfrom = [45.0]\nto = [45.01, 0.0]\n",
            "line 2,",
            "2",
        ),
        (
            "[[runway]]\nfrom = [45.0, 0.0]\nto = [45.01, 0.0]\nname = \"07\"\n",
            "line 4,",
            "name",
        ),
        (
            "[[maneuver]]\nkind = \"landing\"\npoint_ft = -20\n",
            "line 3,",
            "point_ft -20",
        ),
    ] {
        let told = Briefed::read(text, "b.toml").unwrap_err().to_string();
        assert!(told.contains(word), "{text}: {told}");
        assert!(told.contains(line), "{text}: {told}");
    }
    for text in [
        "",
        "1,2,3",
        "45,0,45.01,x",
        "45,0,45.01,0,1,2",
        "nan,0,45,0",
        "45,0,45,0",
    ] {
        let told = GivenRunway::from_numbers(text).unwrap_err();
        assert!(told.contains("latitude,longitude"), "{text}: {told}");
    }
}
