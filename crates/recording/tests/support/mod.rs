//! An invented flight to write in any dialect: level legs, turns both ways, climbs and descents in a
//! steady wind, from the equations of motion and nothing else.
#![allow(dead_code)]

use recording::{Quantity, Read, ReadOptions, Recording};

/// One second of the flight, in SI and radians.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    pub time_s: f64,
    pub latitude_deg: f64,
    pub longitude_deg: f64,
    pub altitude_m: f64,
    pub climb_mps: f64,
    pub airspeed_mps: f64,
    pub ground_mps: f64,
    pub track_deg: f64,
    pub heading_deg: f64,
    pub bank_deg: f64,
    pub pitch_deg: f64,
    pub load_g: f64,
    pub rpm: f64,
    pub oat_c: f64,
}

/// The whole flight, one row a second, 600 s.
pub fn flight() -> Vec<Row> {
    let (mut north, mut east, mut altitude, mut heading) = (0.0_f64, 0.0_f64, 900.0_f64, 0.7_f64);
    let (wind_north, wind_east) = (-4.0, 5.0);
    let mut rows = Vec::new();
    for second in 0..600 {
        let time_s = f64::from(second);
        let phase = second % 150;
        let bank_deg = match phase {
            40..75 => 30.0,
            100..125 => -40.0,
            _ => 0.0,
        };
        let climb_mps = match second % 200 {
            20..90 => 3.5,
            120..170 => -4.0,
            _ => 0.0,
        };
        let airspeed_mps = 46.0 + 9.0 * (time_s / 37.0).sin();
        let bank = f64::to_radians(bank_deg);
        heading += 9.80665 * bank.tan() / airspeed_mps;
        let (vn, ve) = (
            airspeed_mps * heading.cos() + wind_north,
            airspeed_mps * heading.sin() + wind_east,
        );
        north += vn;
        east += ve;
        altitude += climb_mps;
        let latitude = 0.65 + north / 6_371_008.8;
        let longitude = -1.45 + east / (6_371_008.8 * latitude.cos());
        rows.push(Row {
            time_s,
            latitude_deg: latitude.to_degrees(),
            longitude_deg: longitude.to_degrees(),
            altitude_m: altitude,
            climb_mps,
            airspeed_mps,
            ground_mps: vn.hypot(ve),
            track_deg: ve.atan2(vn).to_degrees().rem_euclid(360.0),
            heading_deg: (heading.to_degrees() - 6.0).rem_euclid(360.0),
            bank_deg,
            pitch_deg: (climb_mps / airspeed_mps).asin().to_degrees()
                + 2.0 * (50.0 / airspeed_mps).powi(2),
            load_g: 1.0 / bank.cos(),
            rpm: 2100.0 + 60.0 * climb_mps + 3.0 * (time_s / 5.0).sin(),
            oat_c: 15.0 - 0.0065 * altitude,
        });
    }
    rows
}

/// Reads a text that must be readable.
#[track_caller]
pub fn read(text: &str) -> Read {
    read_bytes(text.as_bytes())
}

/// Reads bytes that must be readable.
#[track_caller]
pub fn read_bytes(bytes: &[u8]) -> Read {
    match recording::read("test.csv", bytes, &ReadOptions::default()) {
        Ok(read) => read,
        Err(error) => panic!("{error}"),
    }
}

/// The only recording of a text.
#[track_caller]
pub fn only(text: &str) -> Recording {
    let mut read = read(text);
    assert_eq!(read.recordings.len(), 1, "{:?}", read.report.notes);
    read.recordings.remove(0)
}

/// Values of a channel that must be there.
#[track_caller]
pub fn values(recording: &Recording, quantity: Quantity) -> Vec<f64> {
    match recording.values(quantity) {
        Some(values) => values.to_vec(),
        None => panic!(
            "no {}; there are {:?}",
            quantity.id(),
            recording
                .channels
                .iter()
                .map(|channel| (channel.quantity.id(), &channel.column))
                .collect::<Vec<_>>()
        ),
    }
}

/// Compares a channel with the flight, within `tolerance` in SI.
#[track_caller]
pub fn compare(
    recording: &Recording,
    quantity: Quantity,
    rows: &[Row],
    of: impl Fn(&Row) -> f64,
    tolerance: f64,
) {
    let values = values(recording, quantity);
    assert_eq!(values.len(), rows.len(), "{}", quantity.id());
    for (value, row) in values.iter().zip(rows) {
        let wanted = of(row);
        assert!(
            (value - wanted).abs() <= tolerance,
            "{} at {} s: {value} is not {wanted}",
            quantity.id(),
            row.time_s
        );
    }
}

/// A note that says `what` somewhere.
#[track_caller]
pub fn note<'a>(read: &'a Read, what: &str) -> &'a recording::Note {
    read.report
        .notes
        .iter()
        .find(|note| note.what.contains(what) || note.done.contains(what))
        .unwrap_or_else(|| panic!("no note says {what:?}: {:?}", read.report.notes))
}
