//! What the recorders write, against what each is said to be, and read back by the program's own reader.

mod support;

use air::units::MPS_PER_KT;
use dynamics::Weather;
use practice::log::Log;
use practice::maneuvers::stalls::{self, Entry, Stall};
use practice::recorder::{self, Fit};
use practice::speeds::Speeds;
use practice::truth;
use recording::{Quantity, ReadOptions, Recording, read};
use std::sync::OnceLock;
use support::{demo, field, pilot};

/// A stall of some minutes, flown once for all checks.
fn log() -> &'static Log {
    static FLOWN: OnceLock<Log> = OnceLock::new();
    FLOWN.get_or_init(|| {
        let (airframe, weather) = (demo(), Weather::default());
        let speeds = Speeds::of(&airframe);
        let mut pilot = pilot(&airframe, &weather, 1);
        let flown = stalls::fly(&mut pilot, &speeds, &Stall::clean(Entry::PowerOff));
        pilot.log.flown.push(flown);
        pilot.log
    })
}

fn read_back(text: &str) -> Recording {
    let mut read = read("practice.csv", text.as_bytes(), &ReadOptions::default()).expect("reads");
    assert_eq!(read.recordings.len(), 1);
    assert_eq!(read.report.rows_lost, 0);
    assert!(read.report.notes.is_empty(), "{:?}", read.report.notes);
    read.recordings.remove(0)
}

#[test]
fn every_fit_is_read_back_without_complaint() {
    let length = log().samples.last().expect("samples").seen.t;
    for (fit, id) in Fit::ALL {
        let back = read_back(&recorder::write(log(), &field(), fit, 0.0, 3));
        let interval = match fit {
            Fit::Rich => 0.1,
            Fit::GnssAttitude => 0.2,
            Fit::Panel | Fit::Gnss => 1.0,
        };
        assert!((back.interval_s - interval).abs() < 1e-6, "{id}");
        let end = back.time_s.last().copied().expect("rows");
        assert!(
            (end - length).abs() <= interval + 0.2,
            "{id}: {end} of {length}"
        );
        let start = field().start.as_second() as f64;
        assert!((back.start_unix_s.expect("UTC") - start).abs() < 1.0);
        assert_eq!(Fit::from_id(id), Some(fit));
    }
    assert_eq!(Fit::from_id("none"), None);
}

#[test]
fn each_fit_sees_what_it_is_said_to_see() {
    use Quantity as Q;
    let always = [Q::Latitude, Q::Longitude, Q::AltitudeGnss, Q::GroundSpeed];
    let attitude = [Q::Pitch, Q::Bank, Q::HeadingMagnetic, Q::LoadNormal];
    let air = [Q::AirspeedIndicated, Q::AltitudeIndicated, Q::EngineSpeed];
    let hands = [Q::AngleOfAttack, Q::StallWarning, Q::Flap, Q::Elevator];
    for (fit, id) in Fit::ALL {
        let back = read_back(&recorder::write(log(), &field(), fit, 0.0, 3));
        let has = |group: &[Q]| group.iter().filter(|q| back.values(**q).is_some()).count();
        assert_eq!(has(&always), 4, "{id}");
        let expected = match fit {
            Fit::Rich => (4, 3, 4),
            Fit::Panel => (4, 3, 0),
            Fit::GnssAttitude => (4, 0, 0),
            Fit::Gnss => (0, 0, 0),
        };
        assert_eq!((has(&attitude), has(&air), has(&hands)), expected, "{id}");
    }
}

#[test]
fn what_is_read_back_is_what_was_flown() {
    // Errors stay those of instruments: airspeed 1.5 % and its noise, attitude a degree, position meters.
    let back = read_back(&recorder::write(log(), &field(), Fit::Rich, 0.0, 3));
    let pitch = back.values(Quantity::Pitch).expect("pitch");
    let ias = back.values(Quantity::AirspeedIndicated).expect("airspeed");
    for (row, sample) in log().samples.iter().enumerate() {
        let seen = &sample.seen;
        assert!(
            (pitch[row] - seen.pitch).abs() < 3_f64.to_radians(),
            "{}",
            seen.t
        );
        assert!((ias[row] - seen.ias).abs() < 4.0 * MPS_PER_KT, "{}", seen.t);
    }
}

/// A log in which the airspeed jumps by 20 m/s at ten seconds and nothing else happens.
fn jump() -> Log {
    let mut one = log().samples[0];
    let samples = (0..300)
        .map(|row| {
            one.seen.t = 0.1 * f64::from(row);
            one.seen.ias = if row < 100 { 40.0 } else { 60.0 };
            one.seen.climb = if row < 100 { 0.0 } else { 5.0 };
            one
        })
        .collect();
    Log {
        samples,
        ..Log::default()
    }
}

#[test]
fn air_data_lag_by_their_time_constants() {
    // First-order lag: the area between the jump and what is shown is height times the constant, here 0.45 s of the
    // pneumatics and 1.5 s of the vertical speed. A sum over rows is late by up to half a row.
    let back = read_back(&recorder::write(&jump(), &field(), Fit::Rich, 0.0, 3));
    let lag = |quantity: Quantity| {
        let v = back.values(quantity).expect("recorded");
        let mean = |rows: &[f64]| rows.iter().sum::<f64>() / rows.len() as f64;
        let (low, high) = (mean(&v[..90]), mean(&v[220..]));
        v[100..220].iter().map(|x| high - x).sum::<f64>() * 0.1 / (high - low)
    };
    let (ias, climb) = (
        lag(Quantity::AirspeedIndicated),
        lag(Quantity::VerticalSpeed),
    );
    println!("airspeed {ias:.2} s, vertical speed {climb:.2} s");
    assert!((ias - 0.45).abs() < 0.1);
    assert!((climb - 1.5).abs() < 0.2);
}

#[test]
fn rows_are_dropped_by_the_share_that_was_asked() {
    let rows = |dropped: f64| {
        let text = recorder::write(log(), &field(), Fit::Rich, dropped, 3);
        text.lines().count() as f64 - 1.0
    };
    let all = rows(0.0);
    assert_eq!(all, log().samples.len() as f64);
    // Binomial: four standard deviations.
    let share = 1.0 - rows(0.1) / all;
    assert!(
        (share - 0.1).abs() < 4.0 * (0.1 * 0.9 / all).sqrt(),
        "{share}"
    );
    assert_eq!(rows(1.0), 0.0);
}

#[test]
fn the_same_seed_writes_the_same_bytes() {
    for (fit, _) in Fit::ALL {
        let write = |seed: u64| recorder::write(log(), &field(), fit, 0.01, seed);
        assert_eq!(write(5), write(5));
        assert_ne!(write(5), write(6));
    }
}

#[test]
fn nothing_flown_writes_names_alone() {
    for (fit, _) in Fit::ALL {
        let text = recorder::write(&Log::default(), &field(), fit, 0.0, 1);
        assert_eq!(text.lines().count(), 1);
    }
}

#[test]
fn the_truth_says_what_was_flown() {
    let airframe = demo();
    let speeds = Speeds::of(&airframe);
    let json = truth::write(log(), &airframe, &speeds, &field(), Fit::Panel, "one");
    assert_eq!(json["fit"], "panel");
    assert_eq!(json["maneuvers"][0]["kind"], "power_off_stall");
    let length = json["duration_s"].as_f64().expect("a length");
    let end = json["maneuvers"][0]["t_end"].as_f64().expect("an end");
    assert!(end <= length + 0.01);
    let vs1 = json["aircraft"]["vs1_kias"].as_f64().expect("a speed");
    assert!((vs1 - speeds.vs1 / MPS_PER_KT).abs() < 0.01);
    let flaps = json["aircraft"]["flap_notches_deg"]
        .as_array()
        .expect("detents");
    assert_eq!(flaps.len(), airframe.flaps.len());
}
