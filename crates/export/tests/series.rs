//! The page's series: layout, units, σ, what is unknown.

mod support;

use flight::{Clock, Flight, Origin, Sigma};
use support::{aircraft, hole, series, whole};

fn read(flight: &Flight) -> export::series::Read {
    export::series::read(&export::series(flight, &aircraft())).expect("our own bytes can be read")
}

fn close(got: f32, want: f64, within: f64) {
    assert!(
        (f64::from(got) - want).abs() <= within,
        "{got} is not {want}"
    );
}

#[test]
fn prop_layout_is_aligned() {
    let flight = whole(60.0, 0.1);
    let bytes = export::series(&flight, &aircraft());
    assert_eq!(&bytes[..4], b"PWS1");
    let length = u32::from_le_bytes(bytes[4..8].try_into().unwrap()) as usize;
    assert_eq!((8 + length) % 8, 0);
    let text = std::str::from_utf8(&bytes[8..8 + length]).unwrap();
    let header: serde_json::Value = serde_json::from_str(text.trim_end_matches(' ')).unwrap();
    let columns = header["columns"].as_array().unwrap();
    assert_eq!(
        bytes.len(),
        8 + length + columns.len() * flight.clock.len * 4
    );
    for (place, column) in columns.iter().enumerate() {
        assert_eq!(column["offset"], place * flight.clock.len * 4);
    }
    assert_eq!(header["start_utc"], "2025-05-08T20:17:24Z");
    assert_eq!(header["gaps"], serde_json::json!([]));
}

/// International foot 0.3048 m, international knot 1852/3600 m/s, US gallon 3.785411784 l (NIST SP 811,
/// appendix B); inch of mercury 3386.389 Pa (NIST SP 811, conventional at 0 °C).
#[test]
fn val_units() {
    let mut flight = whole(60.0, 0.1);
    let clock = flight.clock;
    let all = |value: f64| Some(series(vec![value; clock.len], 0.3048, Origin::Measured));
    flight.altitude = all(304.8);
    flight.ias = all(51.444_444);
    flight.climb = all(0.508);
    flight.pitch = all(0.174_532_925);
    flight.manifold_pressure = all(3_386.389 * 25.0);
    flight.fuel_flow = all(10.0 * 3.785_411_784e-3 / 3600.0);
    flight.engine_speed = all(2_400.0 / 60.0 * std::f64::consts::TAU);
    flight.temperature = all(288.15);
    flight.power = all(0.65);
    let read = read(&flight);
    let at = |id: &str| read.values(id).unwrap_or_else(|| panic!("{id} is there"))[7];
    close(at("altitude_ft"), 1_000.0, 1e-3);
    close(at("ias_kt"), 100.0, 1e-4);
    close(at("climb_fpm"), 100.0, 1e-4);
    close(at("pitch_deg"), 10.0, 1e-5);
    close(at("manifold_inhg"), 25.0, 1e-5);
    close(at("fuel_flow_gph"), 10.0, 1e-5);
    close(at("rpm"), 2_400.0, 1e-2);
    close(at("oat_c"), 15.0, 1e-4);
    close(at("power_percent"), 65.0, 1e-4);
    let altitude = &read.header.columns[0];
    assert_eq!(
        (altitude.id.as_str(), altitude.unit.as_str()),
        ("altitude_ft", "ft")
    );
    assert_eq!((altitude.sigma, altitude.sigma_varies), (Some(1.0), false));
    assert_eq!(altitude.origin, "measured");
}

/// Magnetic heading is true heading less easterly variation ("east is least", FAA-H-8083-25C ch. 16);
/// wind is named by where it comes from.
#[test]
fn val_heading_and_wind() {
    let flight = whole(30.0, 0.5);
    let read = read(&flight);
    let heading = read.values("heading_deg").unwrap();
    let truth = flight.heading.as_ref().unwrap();
    close(heading[10], (truth.at(10) - 0.15).to_degrees(), 1e-4);
    // 6 m/s toward the east and 8 toward the south: 10 m/s from north-west by north.
    close(read.values("wind_from_deg").unwrap()[3], 323.130_1, 1e-3);
    close(read.values("wind_kt").unwrap()[3], 19.438_4, 1e-3);
    // Equal σ of both components is the σ of the speed.
    let kt = read
        .header
        .columns
        .iter()
        .find(|column| column.id == "wind_kt")
        .unwrap();
    let east = read
        .header
        .columns
        .iter()
        .find(|column| column.id == "wind_east_kt")
        .unwrap();
    assert!((kt.sigma.unwrap() - east.sigma.unwrap()).abs() < 1e-3);
}

/// At twice the stall speed a quarter of the greatest lift is in use (lift goes with the square of speed).
#[test]
fn val_stall_margin() {
    let mut flight = whole(2.0, 0.5);
    flight.lift_ratio = Some(series(
        vec![0.25, 1.0, 1.21, 0.0, -0.2],
        0.02,
        Origin::Derived,
    ));
    let read = read(&flight);
    let margin = read.values("stall_margin_percent").unwrap();
    close(margin[0], 100.0, 1e-4);
    close(margin[1], 0.0, 1e-6);
    close(margin[2], -9.090_91, 1e-4);
    assert!(margin[3].is_nan() && margin[4].is_nan());
    // By the slope at the stall: half of σ.
    let column = read
        .header
        .columns
        .iter()
        .find(|c| c.id == "stall_margin_percent")
        .unwrap();
    assert!(column.sigma_varies && column.sigma.unwrap() > 0.5);
}

#[test]
fn prop_holes_are_unknown() {
    let mut flight = whole(60.0, 0.1);
    hole(&mut flight, 100, 150);
    let read = read(&flight);
    assert_eq!(read.header.gaps, vec![(10.0, 14.9)]);
    for values in &read.values {
        assert_eq!(values.len(), flight.clock.len);
        assert!(values[100..150].iter().all(|value| value.is_nan()));
    }
    assert!(!read.values("ias_kt").unwrap()[150].is_nan());
}

#[test]
fn prop_absent_is_absent() {
    let clock = Clock {
        step_s: 1.0,
        len: 4,
    };
    let read = read(&Flight::empty(clock));
    let ids: Vec<&str> = read
        .header
        .columns
        .iter()
        .map(|column| column.id.as_str())
        .collect();
    assert_eq!(ids, ["on_ground"]);
    assert!(read.header.origin.is_none() && read.header.start_utc.is_none());
}

#[test]
fn prop_median_of_a_varying_sigma() {
    let mut flight = Flight::empty(Clock {
        step_s: 0.1,
        len: 999,
    });
    let mut ias = series((0..999).map(f64::from).collect(), 0.0, Origin::Derived);
    ias.sigma = Sigma::Each((0..999).map(|i| i as f32).collect());
    flight.ias = Some(ias);
    let read = read(&flight);
    let column = &read.header.columns[0];
    assert!((column.sigma.unwrap() - 499.0 * 3600.0 / 1852.0).abs() < 1e-3);
    assert_eq!((column.low, column.sigma_varies), (Some(0.0), true));
}

#[test]
fn prop_damaged_bytes_are_refused() {
    let bytes = export::series(&whole(5.0, 0.1), &aircraft());
    for end in [0, 3, 7, 20, bytes.len() - 1] {
        assert!(export::series::read(&bytes[..end]).is_err(), "cut at {end}");
    }
    let mut wild = bytes;
    wild[4..8].copy_from_slice(&u32::MAX.to_le_bytes());
    assert!(export::series::read(&wild).is_err());
}

/// A header that outgrows the room kept for it moves the numbers, and nothing else changes.
#[test]
fn prop_a_long_header_moves_the_numbers() {
    let mut flight = whole(600.0, 0.1);
    for index in (0..flight.clock.len).step_by(2) {
        flight.known[index] = false;
    }
    let bytes = export::series(&flight, &aircraft());
    let length = u32::from_le_bytes(bytes[4..8].try_into().unwrap()) as usize;
    assert_eq!((8 + length) % 8, 0);
    let read = export::series::read(&bytes).unwrap();
    assert_eq!(read.header.gaps.len(), 3_001);
    let want = flight.ias.as_ref().unwrap().at(4_001) * 3600.0 / 1852.0;
    close(read.values("ias_kt").unwrap()[4_001], want, 1e-4);
    assert!(read.values("ias_kt").unwrap()[4_002].is_nan());
}
