//! An airplane, a day and a pilot for the checks.
#![allow(dead_code)] // each test program uses its own part

use air::geodesy::Place;
use dynamics::{Airframe, Weather};
use practice::maneuvers::legs;
use practice::pilot::{Pilot, Skill, Start};
use practice::recorder::Field;
use practice::speeds::Speeds;

pub const HEIGHT_M: f64 = 1200.0;

pub fn demo() -> Airframe {
    let text = include_str!("../../../../data/airframes/demo.toml");
    dynamics::parse(text, "demo.toml").expect("the demonstration's airframe reads")
}

/// A pilot of ordinary skill in cruise for ten seconds.
pub fn pilot<'a>(airframe: &'a Airframe, weather: &'a Weather, seed: u64) -> Pilot<'a> {
    let speeds = Speeds::of(airframe);
    let start = Start {
        height_m: HEIGHT_M,
        cas_mps: speeds.cruise,
        heading_rad: 1.0,
    };
    let skill = Skill { wander: 1.0 };
    let mut pilot = Pilot::in_level_flight(airframe, weather, &start, skill, seed)
        .expect("the airplane holds its cruise");
    legs::cruise(&mut pilot, speeds.cruise, 10.0);
    pilot
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
