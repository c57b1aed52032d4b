//! Flights flown on purpose in the model of `dynamics`, whose drag and thrust are known.
#![allow(dead_code)] // each test program uses its own part

use air::geodesy::Place;
use aircraft::{Aircraft, Detent};
use dynamics::trim::{Path, Wanted, trim};
use dynamics::{Airframe, Weather};
use flight::{Flight, Surroundings};
use maneuver::Maneuver;
use practice::goal::{Goal, Nose, Power, Wings};
use practice::maneuvers::legs;
use practice::maneuvers::stalls::{self, Entry, Stall};
use practice::pilot::{Pilot, Skill, Start};
use practice::recorder::{self, Field, Fit};
use practice::speeds::Speeds;

pub const KT: f64 = air::units::MPS_PER_KT;

pub fn demo() -> Airframe {
    let text = include_str!("../../../../data/airframes/demo.toml");
    dynamics::parse(text, "demo.toml").expect("the demonstration's airframe reads")
}

/// What a school would know of it and no more: stall speeds and detents; no best speeds.
pub fn bare(airframe: &Airframe) -> Aircraft {
    let speeds = Speeds::of(airframe);
    let mut aircraft = Aircraft::unknown();
    aircraft.speeds.vs1_mps = Some(speeds.vs1);
    aircraft.speeds.vs0_mps = Some(speeds.vs0);
    aircraft.speeds.vfe_mps = Some(speeds.vfe);
    aircraft.speeds.vne_mps = Some(3.0 * speeds.vs1);
    aircraft.flaps = airframe
        .flaps
        .iter()
        .map(|flap| Detent {
            angle_rad: flap.angle_rad,
            ..Detent::default()
        })
        .collect();
    aircraft.completed()
}

pub fn field() -> Field {
    Field {
        place: Place {
            latitude_rad: 0.7,
            longitude_rad: -0.4,
        },
        elevation_m: 150.0,
        start: "2026-05-14T09:12:00Z".parse().expect("a time"),
        variation_rad: 0.05,
        setting_pa: air::atmosphere::P0_PA,
    }
}

/// What is to be flown.
#[derive(Clone, Copy, Debug, Default)]
pub struct Plan {
    /// Climbs at full power and glides at idle, s each.
    pub legs_s: f64,
    /// Power-off stalls, flaps up.
    pub stalls: usize,
    /// Gusts, m/s.
    pub gust_mps: f64,
}

/// Flies it and records it.
pub fn recorded(airframe: &Airframe, plan: Plan, fit: Fit, seed: u64) -> String {
    let weather = Weather {
        gust_mps: plan.gust_mps,
        ..Weather::default()
    };
    let speeds = Speeds::of(airframe);
    let start = Start {
        height_m: 1200.0,
        cas_mps: speeds.cruise,
        heading_rad: 1.0,
    };
    let mut pilot = Pilot::in_level_flight(airframe, &weather, &start, Skill { wander: 1.0 }, seed)
        .expect("the airplane holds its cruise");
    legs::cruise(&mut pilot, speeds.cruise, 30.0);
    let at = |pilot: &mut Pilot, u: f64, power: f64, seconds: f64| {
        let heading = pilot.seen.heading;
        pilot.hold(
            seconds,
            Goal::new(
                Nose::Speed(u * speeds.vs1),
                Wings::Heading(heading),
                Power::Throttle(power),
            ),
        );
    };
    if plan.legs_s > 0.0 {
        for (up, down) in [
            (1.3, 1.25),
            (1.6, 1.5),
            (1.9, 1.8),
            (1.45, 1.38),
            (1.25, 1.65),
        ] {
            at(&mut pilot, up, 1.0, plan.legs_s);
            at(&mut pilot, down, 0.0, plan.legs_s);
            at(&mut pilot, 0.5 * (up + down) + 0.1, 0.55, plan.legs_s);
        }
        for u in [1.4, 1.7, 2.0] {
            legs::cruise(&mut pilot, u * speeds.vs1, plan.legs_s);
        }
    }
    for _ in 0..plan.stalls {
        legs::settle(&mut pilot, 1200.0, &speeds);
        let mut stall = Stall::clean(Entry::PowerOff);
        stall.detent = 0;
        let flown = stalls::fly(&mut pilot, &speeds, &stall);
        pilot.log.flown.push(flown);
    }
    legs::settle(&mut pilot, 1200.0, &speeds);
    recorder::write(&pilot.log, &field(), fit, 0.0, seed)
}

/// Reads, rebuilds and finds.
pub fn rebuilt(text: &str, aircraft: &Aircraft) -> (Flight, Vec<Maneuver>) {
    let read = recording::read(
        "flight.csv",
        text.as_bytes(),
        &recording::ReadOptions::default(),
    )
    .expect("the recording reads");
    let recording = read.recordings.first().expect("one recording");
    let flight = flight::build(recording, aircraft, &Surroundings { terrain_m: None });
    let found = maneuver::maneuvers(&flight, aircraft);
    (flight, found)
}

/// sin of the path of steady flight, flaps up, in the model itself.
pub fn true_excess(airframe: &Airframe, cas_mps: f64, throttle: f64, density_ratio: f64) -> f64 {
    let wanted = Wanted {
        tas_mps: cas_mps / density_ratio.sqrt(),
        bank_rad: 0.0,
        flap_rad: 0.0,
        path: Path::Throttle(throttle),
        density_kgpm3: density_ratio * air::atmosphere::RHO0_KGPM3,
    };
    trim(airframe, &wanted)
        .expect("steady flight")
        .path_rad
        .sin()
}

/// The slowest calibrated speed of steady flight, throttle closed, flaps up, with the tail pushing down as it must: the stalling speed
/// or minimum steady flight speed of 14 CFR 23.49 (as amended to 1996).
pub fn slowest_steady(airframe: &Airframe) -> f64 {
    let steady = |cas: f64| {
        let wanted = Wanted {
            tas_mps: cas,
            bank_rad: 0.0,
            flap_rad: 0.0,
            path: Path::Throttle(0.0),
            density_kgpm3: air::atmosphere::RHO0_KGPM3,
        };
        trim(airframe, &wanted).is_some()
    };
    let (mut low, mut high) = (15.0, 40.0);
    while high - low > 0.01 {
        let middle = 0.5 * (low + high);
        if steady(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    high
}
