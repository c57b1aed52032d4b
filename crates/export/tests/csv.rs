//! The table: its form after RFC 4180, and read back by our own reader.

mod support;

use recording::{Quantity, ReadOptions};
use support::{document, hole, nothing_found, whole};

fn rows(bytes: &[u8]) -> Vec<Vec<String>> {
    let text = std::str::from_utf8(bytes).expect("UTF-8");
    // No field of a made flight needs quotes; that they are written where needed is tested beside the code.
    assert!(!text.contains('"'));
    text.split_terminator("\r\n")
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

/// RFC 4180, section 2: rule 1 (CRLF), rule 3 (one header line), rule 4 (as many fields in every line).
#[test]
fn val_csv_form() {
    let flight = whole(120.0, 0.5);
    let bytes = export::csv(&flight, &document());
    let text = std::str::from_utf8(&bytes).expect("UTF-8");
    assert!(text.ends_with("\r\n") && text.matches('\n').count() == text.matches("\r\n").count());
    let rows = rows(&bytes);
    assert_eq!(rows.len(), flight.clock.len + 1);
    assert!(rows.iter().all(|row| row.len() == rows[0].len()));
    let mut names = rows[0].clone();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), rows[0].len(), "every name once");
}

#[test]
fn prop_csv_says_maneuver_and_phase() {
    let flight = whole(120.0, 0.5);
    let rows = rows(&export::csv(&flight, &document()));
    let tail = |index: usize| rows[index + 1][rows[0].len() - 3..].to_vec();
    assert_eq!(
        rows[0][rows[0].len() - 3..],
        ["maneuver", "maneuver_kind", "phase"]
    );
    assert_eq!(tail(0), ["", "", ""]);
    assert_eq!(tail(20), ["1", "steep_turn", "entry"]);
    assert_eq!(tail(40), ["1", "steep_turn", "turn"]);
    assert_eq!(tail(130), ["2", "power_off_stall", "turn"]);
}

#[test]
fn prop_csv_is_empty_where_unknown() {
    let mut flight = whole(60.0, 0.5);
    hole(&mut flight, 10, 20);
    let rows = rows(&export::csv(&flight, &nothing_found()));
    assert!(rows[11][2..].iter().all(String::is_empty), "{:?}", rows[11]);
    assert!(!rows[21][5].is_empty());
}

/// What leaves comes back with the same meaning: each quantity that the reader knows is found under its own
/// header and differs by no more than the rounding of the file.
#[test]
fn prop_csv_round_trip() {
    let flight = whole(300.0, 0.1);
    let bytes = export::csv(&flight, &document());
    let read =
        recording::read("flight.csv", &bytes, &ReadOptions::default()).expect("our own file");
    let recording = &read.recordings[0];
    assert_eq!(recording.time_s.len(), flight.clock.len);
    assert_eq!(recording.start_unix_s, flight.start_unix_s);
    let same = |quantity: Quantity, column: &str, want: &dyn Fn(usize) -> f64, within: f64| {
        let channel = recording
            .channel(quantity)
            .unwrap_or_else(|| panic!("{quantity:?} was not found"));
        assert_eq!(channel.column, column, "{quantity:?}: {}", channel.because);
        for index in 0..flight.clock.len {
            let apart = air::units::wrap_pi(channel.values[index] - want(index));
            let apart = if column.ends_with("_deg") {
                apart
            } else {
                channel.values[index] - want(index)
            };
            assert!(
                apart.abs() <= within,
                "{quantity:?} at {index} is off by {apart}"
            );
        }
    };
    let of = |series: &Option<flight::Series>, index: usize| series.as_ref().unwrap().at(index);
    let degree = 1_f64.to_radians();
    same(
        Quantity::AltitudeIndicated,
        "altitude_ft",
        &|i| of(&flight.altitude, i),
        0.01,
    );
    same(
        Quantity::AirspeedIndicated,
        "ias_kt",
        &|i| of(&flight.ias, i),
        0.001,
    );
    same(
        Quantity::AirspeedTrue,
        "tas_kt",
        &|i| of(&flight.tas, i),
        0.001,
    );
    same(
        Quantity::GroundSpeed,
        "ground_speed_kt",
        &|i| of(&flight.ground_speed, i),
        0.001,
    );
    same(
        Quantity::VerticalSpeed,
        "climb_fpm",
        &|i| of(&flight.climb, i),
        0.001,
    );
    same(
        Quantity::Pitch,
        "pitch_deg",
        &|i| of(&flight.pitch, i),
        0.001 * degree,
    );
    same(
        Quantity::Bank,
        "bank_deg",
        &|i| of(&flight.bank, i),
        0.001 * degree,
    );
    same(
        Quantity::HeadingMagnetic,
        "heading_magnetic_deg",
        &|i| of(&flight.heading, i) - 0.15,
        0.001 * degree,
    );
    same(
        Quantity::TrackTrue,
        "track_true_deg",
        &|i| of(&flight.track, i),
        0.001 * degree,
    );
    same(
        Quantity::LoadNormal,
        "load_g",
        &|i| of(&flight.load, i),
        1e-4,
    );
    same(
        Quantity::EngineSpeed,
        "rpm",
        &|i| of(&flight.engine_speed, i),
        0.01,
    );
    same(
        Quantity::Latitude,
        "latitude_deg",
        &|i| 0.7 + of(&flight.north, i) / air::geodesy::radii_of_curvature_m(0.7).0,
        1e-8 * degree,
    );
    same(
        Quantity::Elevator,
        "elevator_percent",
        &|i| of(&flight.elevator, i),
        1e-3,
    );
    same(
        Quantity::Flap,
        "flap_deg",
        &|i| flight.flaps.as_ref().unwrap().angle.at(i),
        0.001 * degree,
    );
}
