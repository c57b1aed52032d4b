//! A lesson with some climbs and glides at speeds of their own, some stalls, in the air of some day.

use crate::Case;
use crate::airplane;
use air::geodesy::Place;
use air::units::MPS_PER_KT;
use dynamics::{Airframe, Weather, WindAt};
use practice::goal::{Goal, Nose, Power, Wings};
use practice::maneuvers::legs;
use practice::maneuvers::stalls::{self, Entry, Stall};
use practice::pilot::{Pilot, Skill, Start};
use practice::recorder::{self, Field, Fit};
use practice::speeds::Speeds;
use rand::RngExt;
use rand::seq::SliceRandom;
use rand_pcg::Pcg64;
use std::f64::consts::TAU;

/// Height that is gone back to, m.
const HEIGHT_M: f64 = 1300.0;

/// Draws airplane, day and lesson and flies it; none where the airplane cannot begin.
pub fn draw(base: &Airframe, number: u64, dice: &mut Pcg64) -> Option<Case> {
    let manual = airplane::draw(base, dice);
    let usual = Speeds::of(&manual);
    // Engines age, and two fly in it, or one, with much fuel or little.
    let mut airframe = manual.clone();
    airframe.engine.rated_w *= dice.random_range(0.94..1.03);
    airplane::load(&mut airframe, dice.random_range(0.86..1.0));
    airframe.settle_critical();
    let actual = dice.random::<bool>().then_some(airframe.inertia.mass_kg);
    let files = vec![
        ("bare", airplane::file(&manual, actual, None)),
        ("usual", airplane::file(&manual, actual, Some(&usual))),
    ];
    let elevation_m: f64 = dice.random_range(0.0..300.0);
    let weather = weather(elevation_m, dice);
    let kind = if number.is_multiple_of(2) {
        Fit::Rich
    } else {
        Fit::Panel
    };
    let seed: u64 = dice.random();
    let start = Start {
        height_m: HEIGHT_M,
        cas_mps: usual.cruise,
        heading_rad: dice.random_range(0.0..TAU),
    };
    let skill = Skill {
        wander: dice.random_range(0.6..1.5),
    };
    let mut pilot = Pilot::in_level_flight(&airframe, &weather, &start, skill, seed)?;
    fly(&mut pilot, &usual, dice);
    let field = Field {
        place: Place {
            latitude_rad: 0.7,
            longitude_rad: -0.4,
        },
        elevation_m,
        start: "2026-05-14T09:12:00Z".parse().ok()?,
        variation_rad: 0.05,
        setting_pa: air::atmosphere::P0_PA,
    };
    let text = recorder::write(&pilot.log, &field, kind, 0.0, seed);
    drop(pilot);
    Some(Case {
        airframe,
        text,
        kind,
        files,
        elevation_m,
        name: format!("flight {number}"),
    })
}

/// Still, light and moderate (MIL-HDBK-1797: 0.1 of a wind of 15 and 30 kt at 20 ft is 0.8 and 1.5 m/s), wind that grows and turns
/// with height.
fn weather(elevation_m: f64, dice: &mut Pcg64) -> Weather {
    let gust_mps = match dice.random_range(0..3) {
        0 => 0.0,
        1 => dice.random_range(0.4..0.9),
        _ => dice.random_range(1.0..1.5),
    };
    let wind_mps = dice.random_range(0.0..25.0) * MPS_PER_KT;
    let toward: f64 = dice.random_range(0.0..TAU);
    let wind = |share: f64, turned: f64| {
        let (s, c) = (toward + turned).sin_cos();
        [share * wind_mps * c, share * wind_mps * s]
    };
    Weather {
        warmer_k: dice.random_range(-10.0..18.0),
        reference_pressure_m: elevation_m + dice.random_range(-60.0..60.0),
        wind: vec![
            WindAt {
                height_m: 0.0,
                toward_mps: wind(0.7, 0.0),
            },
            WindAt {
                height_m: 2500.0,
                toward_mps: wind(1.1, 0.3),
            },
        ],
        gust_mps,
    }
}

fn fly(pilot: &mut Pilot, speeds: &Speeds, dice: &mut Pcg64) {
    legs::cruise(pilot, speeds.cruise, 30.0);
    let climbs = dice.random_range(1..6);
    let glides = dice.random_range(0..5);
    let stalls = dice.random_range(0..3);
    let mut parts: Vec<usize> = [
        vec![0; climbs],
        vec![1; glides],
        vec![2; stalls],
        vec![3, 3],
    ]
    .concat();
    parts.shuffle(dice);
    for part in parts {
        if (pilot.seen.height - HEIGHT_M).abs() > 450.0 {
            legs::settle(pilot, HEIGHT_M, speeds);
        }
        let u = |dice: &mut Pcg64, low: f64, high: f64| dice.random_range(low..high) * speeds.vs1;
        match part {
            0 => hold(pilot, u(dice, 1.2, 1.9), 1.0, dice.random_range(35.0..75.0)),
            1 => hold(
                pilot,
                u(dice, 1.2, 1.75),
                0.0,
                dice.random_range(30.0..55.0),
            ),
            2 => {
                legs::settle(pilot, HEIGHT_M, speeds);
                let entry = [Entry::PowerOff, Entry::PowerOn][dice.random_range(0..2)];
                let mut stall = Stall::clean(entry);
                stall.slowing = dice.random_range(0.45..0.9);
                stall.held_s = dice.random_range(0.2..0.8);
                if entry == Entry::PowerOff {
                    stall.detent = [0, 0, 2, 3][dice.random_range(0..4)];
                }
                let flown = stalls::fly(pilot, speeds, &stall);
                pilot.log.flown.push(flown);
            }
            _ => legs::cruise(pilot, u(dice, 1.45, 2.0), dice.random_range(30.0..60.0)),
        }
    }
    legs::settle(pilot, HEIGHT_M, speeds);
}

fn hold(pilot: &mut Pilot, speed: f64, throttle: f64, seconds: f64) {
    let wings = Wings::Heading(pilot.seen.heading);
    let goal = Goal::new(Nose::Speed(speed), wings, Power::Throttle(throttle));
    pilot.hold(seconds, goal);
}
