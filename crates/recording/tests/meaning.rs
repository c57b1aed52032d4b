//! What columns mean when words and units do not say, told by the laws of flight.

mod support;

use recording::Quantity;
use support::{Row, compare, flight, only, read, values};

type Cell = fn(&Row) -> f64;

/// A table of the flight with these columns; the seconds come first.
fn table(columns: &[(&str, Cell, usize)], header: bool) -> String {
    let mut text = String::new();
    if header {
        text += "time";
        columns
            .iter()
            .for_each(|(name, ..)| text += &format!(",{name}"));
        text += "\n";
    }
    for row in flight() {
        text += &format!(
            "2025-06-01T10:{:02}:{:02}Z",
            row.time_s as u32 / 60,
            row.time_s as u32 % 60
        );
        columns
            .iter()
            .for_each(|(_, cell, places)| text += &format!(",{:.*}", places, cell(&row)));
        text += "\n";
    }
    text
}

const POSITION: [(&str, Cell, usize); 2] = [
    ("lat", |row| row.latitude_deg, 6),
    ("lon", |row| row.longitude_deg, 6),
];

/// Units that nobody wrote: the numbers of the other columns decide.
#[test]
fn units_by_the_numbers() {
    let rows = flight();
    let cases: [(&str, Cell, Quantity, Cell, f64); 12] = [
        (
            "speed",
            |r| r.ground_mps / 0.514_444,
            Quantity::GroundSpeed,
            |r| r.ground_mps,
            0.05,
        ),
        (
            "speed",
            |r| r.ground_mps * 3.6,
            Quantity::GroundSpeed,
            |r| r.ground_mps,
            0.05,
        ),
        (
            "speed",
            |r| r.ground_mps,
            Quantity::GroundSpeed,
            |r| r.ground_mps,
            0.05,
        ),
        (
            "airspeed",
            |r| r.airspeed_mps * 3.6,
            Quantity::AirspeedIndicated,
            |r| r.airspeed_mps,
            0.05,
        ),
        (
            "airspeed",
            |r| r.airspeed_mps / 0.514_444,
            Quantity::AirspeedIndicated,
            |r| r.airspeed_mps,
            0.05,
        ),
        (
            "bank",
            |r| r.bank_deg.to_radians(),
            Quantity::Bank,
            |r| r.bank_deg.to_radians(),
            0.001,
        ),
        (
            "bank",
            |r| r.bank_deg,
            Quantity::Bank,
            |r| r.bank_deg.to_radians(),
            0.001,
        ),
        (
            "track",
            |r| r.track_deg.to_radians(),
            Quantity::TrackTrue,
            |r| r.track_deg.to_radians(),
            0.001,
        ),
        (
            "nz",
            |r| r.load_g,
            Quantity::LoadNormal,
            |r| r.load_g,
            0.001,
        ),
        (
            "nz",
            |r| r.load_g - 1.0,
            Quantity::LoadNormal,
            |r| r.load_g,
            0.001,
        ),
        (
            "nz",
            |r| r.load_g * 9.806_65,
            Quantity::LoadNormal,
            |r| r.load_g,
            0.001,
        ),
        (
            "nz",
            |r| (r.load_g - 1.0) * 1000.0,
            Quantity::LoadNormal,
            |r| r.load_g,
            0.001,
        ),
    ];
    for (name, cell, quantity, wanted, tolerance) in cases {
        let columns = [POSITION[0], POSITION[1], (name, cell, 4)];
        let recording = only(&table(&columns, true));
        compare(&recording, quantity, &rows, wanted, tolerance);
    }
}

/// d(altitude)/dt is the vertical speed: either one's unit tells the other's.
#[test]
fn altitude_and_vertical_speed_tell_each_other() {
    let rows = flight();
    let pairs: [(&str, Cell, &str, Cell); 4] = [
        (
            "alt",
            |r| r.altitude_m / 0.3048,
            "vs fpm",
            |r| r.climb_mps / 0.00508,
        ),
        ("alt", |r| r.altitude_m, "vs fpm", |r| r.climb_mps / 0.00508),
        ("alt ft", |r| r.altitude_m / 0.3048, "vs", |r| r.climb_mps),
        ("alt", |r| r.altitude_m, "vs", |r| r.climb_mps),
    ];
    for (alt, altitude, vs, vertical) in pairs {
        let columns = [
            POSITION[0],
            POSITION[1],
            (alt, altitude, 2),
            (vs, vertical, 3),
            ("ias kt", |r| r.airspeed_mps / 0.514_444, 1),
        ];
        let recording = only(&table(&columns, true));
        compare(
            &recording,
            Quantity::AltitudeIndicated,
            &rows,
            |r| r.altitude_m,
            0.01,
        );
        compare(
            &recording,
            Quantity::VerticalSpeed,
            &rows,
            |r| r.climb_mps,
            0.01,
        );
    }
}

/// A plain "heading" is true or magnetic as the variation there has it: at 37° north, 83° west the world
/// magnetic model gives some 6° west (WMM2025, from memory; the invented flight flies there).
#[test]
fn a_heading_is_true_or_magnetic_by_the_variation() {
    let magnetic = only(&table(
        &[
            POSITION[0],
            POSITION[1],
            ("heading", |r| (r.heading_deg + 12.0) % 360.0, 1),
        ],
        true,
    ));
    values(&magnetic, Quantity::HeadingMagnetic);
    let geographic = only(&table(
        &[
            POSITION[0],
            POSITION[1],
            ("heading", |r| (r.heading_deg + 6.0) % 360.0, 1),
        ],
        true,
    ));
    values(&geographic, Quantity::HeadingTrue);
}

/// No header at all: every column is known by what it does.
#[test]
fn a_table_without_a_header() {
    let rows = flight();
    let columns: [(&str, Cell, usize); 8] = [
        POSITION[0],
        POSITION[1],
        ("", |r| r.altitude_m / 0.3048, 0),
        ("", |r| r.ground_mps / 0.514_444, 1),
        ("", |r| r.track_deg, 1),
        ("", |r| r.bank_deg, 1),
        ("", |r| r.climb_mps / 0.00508, 0),
        ("", |r| r.load_g, 3),
    ];
    let recording = only(&table(&columns, false));
    compare(
        &recording,
        Quantity::Latitude,
        &rows,
        |r| r.latitude_deg.to_radians(),
        1e-8,
    );
    compare(
        &recording,
        Quantity::AltitudeGnss,
        &rows,
        |r| r.altitude_m,
        0.2,
    );
    compare(
        &recording,
        Quantity::GroundSpeed,
        &rows,
        |r| r.ground_mps,
        0.05,
    );
    compare(
        &recording,
        Quantity::TrackTrue,
        &rows,
        |r| r.track_deg.to_radians(),
        0.001,
    );
    compare(
        &recording,
        Quantity::Bank,
        &rows,
        |r| r.bank_deg.to_radians(),
        0.001,
    );
    compare(
        &recording,
        Quantity::VerticalSpeed,
        &rows,
        |r| r.climb_mps,
        0.01,
    );
    compare(&recording, Quantity::LoadNormal, &rows, |r| r.load_g, 0.001);
    assert!(
        recording
            .channels
            .iter()
            .all(|channel| channel.confidence < 0.96)
    );
}

/// Without a vertical speed the system of the other units tells: km/h go with meters, knots with feet.
#[test]
fn altitude_keeps_to_the_system_of_the_speeds() {
    let rows = flight();
    let metric: [(&str, Cell, usize); 2] = [
        ("alt", |r| r.altitude_m, 0),
        ("speed", |r| r.ground_mps * 3.6, 1),
    ];
    let knots: [(&str, Cell, usize); 2] = [
        ("alt", |r| r.altitude_m / 0.3048, 0),
        ("speed", |r| r.ground_mps / 0.514_444, 1),
    ];
    for columns in [metric, knots] {
        let recording = only(&table(
            &[POSITION[0], POSITION[1], columns[0], columns[1]],
            true,
        ));
        compare(
            &recording,
            Quantity::AltitudeGnss,
            &rows,
            |r| r.altitude_m,
            0.6,
        );
    }
}

#[test]
fn longitude_before_latitude() {
    let rows = flight();
    let columns: [(&str, Cell, usize); 3] = [
        POSITION[1],
        POSITION[0],
        ("", |r| r.ground_mps / 0.514_444, 1),
    ];
    let recording = only(&table(&columns, false));
    compare(
        &recording,
        Quantity::Latitude,
        &rows,
        |r| r.latitude_deg.to_radians(),
        1e-8,
    );
}

/// A sign convention of the recorder against ours: the turn says which way is right.
#[test]
fn bank_with_left_positive_is_turned() {
    let rows = flight();
    let columns = [
        POSITION[0],
        POSITION[1],
        ("roll", (|r| -r.bank_deg) as Cell, 1),
    ];
    let recording = only(&table(&columns, true));
    compare(
        &recording,
        Quantity::Bank,
        &rows,
        |r| r.bank_deg.to_radians(),
        0.001,
    );
}

#[test]
fn settings_temperatures_and_engine_by_their_range() {
    for (name, cell, quantity, si) in [
        (
            "baro",
            "29.92",
            Quantity::AltimeterSetting,
            29.92 * 3386.389,
        ),
        ("QNH", "1013.2", Quantity::AltimeterSetting, 101_320.0),
        (
            "altimeter",
            "30.12",
            Quantity::AltimeterSetting,
            30.12 * 3386.389,
        ),
        (
            "OAT",
            "71.5",
            Quantity::OutsideAirTemperature,
            (71.5 - 32.0) / 1.8 + 273.15,
        ),
        ("OAT", "11.5", Quantity::OutsideAirTemperature, 284.65),
        ("throttle", "0.85", Quantity::Throttle, 0.85),
        ("throttle", "85", Quantity::Throttle, 0.85),
        (
            "fuel flow",
            "8.5",
            Quantity::FuelFlow,
            8.5 * 3.785_411_784e-3 / 3600.0,
        ),
        ("fuel flow", "32", Quantity::FuelFlow, 32e-3 / 3600.0),
        ("map", "24.1", Quantity::ManifoldPressure, 24.1 * 3386.389),
        ("map", "812", Quantity::ManifoldPressure, 81_200.0),
    ] {
        let text = (0..60).fold(format!("time,{name}\n"), |text, second| {
            text + &format!("{second},{cell}\n")
        });
        let recording = only(&text);
        let values = values(&recording, quantity);
        assert!(
            (values[0] / si - 1.0).abs() < 1e-6,
            "{name} {cell}: {} is not {si}",
            values[0]
        );
    }
}

/// Of several columns for one quantity the first channel is the choice, and the report says which.
#[test]
fn several_of_a_kind() {
    let columns: [(&str, Cell, usize); 6] = [
        POSITION[0],
        POSITION[1],
        (
            "Pressure Altitude (ft)",
            |r| r.altitude_m / 0.3048 - 120.0,
            0,
        ),
        ("Indicated Altitude (ft)", |r| r.altitude_m / 0.3048, 0),
        ("GPS Altitude (m)", |r| r.altitude_m + 30.0, 1),
        ("TAS", |r| r.airspeed_mps / 0.514_444, 1),
    ];
    let read = read(&table(&columns, true));
    for quantity in [
        Quantity::AltitudePressure,
        Quantity::AltitudeIndicated,
        Quantity::AltitudeGnss,
        Quantity::AirspeedTrue,
    ] {
        values(&read.recordings[0], quantity);
        let chosen = read
            .report
            .columns
            .iter()
            .filter(|c| c.taken_for == quantity.id() && c.chosen)
            .count();
        assert_eq!(chosen, 1, "{}", quantity.id());
    }
}

/// Columns of other things keep out of the way.
#[test]
fn what_is_not_the_aircrafts_motion_is_left_alone() {
    for name in [
        "Oil Temp (F)",
        "CHT 1 (deg F)",
        "Fuel Qty Left",
        "Bus Voltage",
        "Nav1 CRS",
        "Selected Heading",
        "Altitude Bug",
        "Target Speed (kt)",
        "Waypoint Distance (nm)",
        "Traffic Altitude (ft)",
        "Cabin Altitude ft",
    ] {
        let text = (0..60).fold(format!("time,{name}\n"), |text, second| {
            text + &format!("{second},{}\n", 90 + second % 7)
        });
        let recording = only(&text);
        assert!(
            recording.channels.is_empty(),
            "{name} was taken for {:?}",
            recording
                .channels
                .iter()
                .map(|c| c.quantity)
                .collect::<Vec<_>>()
        );
    }
}

/// A phone writes how sure it is of its position: three small whole numbers are no load factor.
#[test]
fn regress_accuracy_of_a_fix_is_no_load() {
    for name in ["accuracy", "xyz"] {
        let mut text = format!("timestamp;latitude;longitude;altitude (m);{name}\n");
        for second in 0..400 {
            let north = f64::from(second) * 4e-4;
            let sure = 3 + (second * 7) % 3;
            text += &format!(
                "{}.{};{:.6};-82.9;{:.1};{sure}\n",
                1_742_662_068 + second,
                second % 10,
                40.0 + north,
                600.0 + north * 900.0
            );
        }
        let read = recording::read(
            "phone.csv",
            text.as_bytes(),
            &recording::ReadOptions::default(),
        )
        .unwrap();
        let column = read
            .report
            .columns
            .iter()
            .find(|column| column.name == name)
            .unwrap();
        assert_ne!(
            column.taken_for, "load_normal",
            "{name}: {}",
            column.because
        );
    }
}
