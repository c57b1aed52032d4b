//! Flights with planted truth: a steep turn and a stall whose every number is known.

#![allow(dead_code)]

use air::units::{M_PER_FT, MPS_PER_KT};
use aircraft::Aircraft;
use flight::{Air, Clock, Fit, FlapStep, Flaps, Flight, Origin, PowerState, Series, Sigma};
use maneuver::{Agreement, Direction, Event, Fact, Kind, Maneuver, Phase};
use std::collections::BTreeMap;

pub const STEP_S: f64 = 0.1;

/// The invented demo trainer's figures that the tests need.
pub fn trainer() -> Aircraft {
    let text = "name = \"test trainer\"\n[speeds]\nvs0_kias = 44\nvs1_kias = 50\nvy_kias = 74\nva_kias = 105\nvfe_kias = 90\n\
        [[flaps]]\nangle_deg = 0\nstall_kias = 50\n[[flaps]]\nangle_deg = 15\nlimit_kias = 90\n[[flaps]]\nangle_deg = 30\nlimit_kias = 90\nstall_kias = 44\n";
    aircraft::parse(text, "test.toml")
        .expect("the test aircraft is valid")
        .0
}

pub fn series(values: Vec<f64>, sigma: f64) -> Option<Series> {
    Some(Series {
        values,
        sigma: Sigma::Constant(sigma),
        origin: Origin::Measured,
    })
}

/// A flight of so many seconds in which nothing is recorded.
pub fn empty(seconds: f64) -> Flight {
    let len = (seconds / STEP_S) as usize + 1;
    Flight {
        name: "synthetic".to_owned(),
        known: vec![true; len],
        fit: Fit::Rich,
        air: Air::Calm,
        gust_mps: 0.0,
        origin_latitude_rad: 0.0,
        origin_longitude_rad: 0.0,
        variation_rad: 0.0,
        power_state: vec![PowerState::Unknown; len],
        on_ground: vec![false; len],
        remarks: Vec::new(),
        ..Flight::empty(Clock {
            step_s: STEP_S,
            len,
        })
    }
}

pub fn sampled(flight: &Flight, at: impl Fn(f64) -> f64) -> Vec<f64> {
    (0..flight.clock.len)
        .map(|index| at(flight.clock.time_s(index)))
        .collect()
}

pub fn event(name: &'static str, at_s: f64) -> Event {
    Event {
        name,
        at_s,
        sigma_s: 0.1,
        value: None,
        origin: Origin::Derived,
        probability: 1.0,
    }
}

pub fn maneuver(kind: Kind, direction: Direction, start_s: f64, end_s: f64) -> Maneuver {
    Maneuver {
        kind,
        direction,
        start_s,
        end_s,
        confidence: 0.99,
        agreement: Agreement::Both,
        set_by: maneuver::SetBy::Program,
        phases: Vec::new(),
        events: Vec::new(),
        facts: BTreeMap::new(),
        missing: std::collections::BTreeMap::new(),
        variants: Vec::new(),
    }
}

/// What is wrong with a planted steep turn, each about its target.
#[derive(Clone, Copy, Default)]
pub struct Faults {
    pub altitude_ft: f64,
    pub airspeed_kt: f64,
    pub bank_deg: f64,
    pub rollout_deg: f64,
}

/// A steep turn to the right from 100 to 130 s after clearing turns, with faults that last from 112 to
/// 118 s (and a roll-out error). Altitude 3,500 ft, 95 kt, bank 45 degrees, entry heading 350 degrees.
pub fn steep_turn(faults: Faults) -> (Flight, Vec<Maneuver>) {
    let mut flight = empty(200.0);
    let bump = |time_s: f64| {
        let ramp =
            ((time_s - 110.0) / 2.0).clamp(0.0, 1.0) - ((time_s - 118.0) / 2.0).clamp(0.0, 1.0);
        ramp.max(0.0)
    };
    let in_turn = |time_s: f64| {
        (((time_s - 100.0) / 3.0).clamp(0.0, 1.0)).min(((130.0 - time_s) / 3.0).clamp(0.0, 1.0))
    };
    let turned_deg = (360.0 + faults.rollout_deg) / 27.0;
    let heading = |time_s: f64| {
        let seconds = (0..((time_s.min(131.0)) * 10.0) as usize)
            .map(|tick| in_turn(tick as f64 / 10.0))
            .sum::<f64>();
        (350.0 + turned_deg * seconds / 10.0).to_radians()
    };
    let altitude = sampled(&flight, |t| {
        (3500.0 + faults.altitude_ft * bump(t)) * M_PER_FT
    });
    flight.agl = series(
        altitude
            .iter()
            .map(|value| value - 500.0 * M_PER_FT)
            .collect(),
        10.0,
    );
    flight.altitude = series(altitude, 0.5);
    flight.ias = series(
        sampled(&flight, |t| {
            (95.0 + faults.airspeed_kt * bump(t)) * MPS_PER_KT
        }),
        0.1,
    );
    flight.bank = series(
        sampled(&flight, |t| {
            (45.0 * in_turn(t) + faults.bank_deg * bump(t)).to_radians()
        }),
        0.002,
    );
    flight.heading = series(sampled(&flight, heading), 0.01);
    flight.lateral = series(sampled(&flight, |_| 0.0), 0.01);
    let clearing = maneuver(Kind::ClearingTurns, Direction::LeftRight, 40.0, 85.0);
    let mut turn = maneuver(Kind::SteepTurn, Direction::Right, 100.0, 130.0);
    turn.events = vec![
        event("roll_in", 100.0),
        event("bank_established", 103.0),
        event("roll_out_start", 127.0),
        event("wings_level", 130.0),
    ];
    (flight, vec![clearing, turn])
}

/// A power-off stall straight ahead: descent from 30 s, pull at 60, full stall at 72, recovery begun
/// `held_s` later, full power 1.2 s after that, climb from 82 s; flaps 30 degrees, up in two steps.
pub fn power_off_stall(held_s: f64) -> (Flight, Vec<Maneuver>) {
    let mut flight = empty(140.0);
    let recovery_s = 72.0 + held_s;
    flight.altitude = series(
        sampled(&flight, |t| {
            (3500.0 - 10.0 * (t - 30.0).clamp(0.0, 50.0)) * M_PER_FT
        }),
        0.5,
    );
    flight.agl = flight.altitude.clone();
    flight.climb = series(
        sampled(
            &flight,
            |t| if (30.0..80.0).contains(&t) { -3.0 } else { 2.0 },
        ),
        0.2,
    );
    let knots = |t: f64| match t {
        t if t < 60.0 => 65.0,
        t if t < 72.0 => 65.0 - 1.75 * (t - 60.0),
        t => (44.0 + 2.5 * (t - 72.0)).min(72.0),
    };
    flight.ias = series(sampled(&flight, |t| knots(t) * MPS_PER_KT), 0.1);
    flight.heading = series(sampled(&flight, |_| 1.0), 0.01);
    flight.bank = series(sampled(&flight, |_| 0.0), 0.005);
    flight.lateral = series(sampled(&flight, |_| 0.01), 0.01);
    flight.pitch = series(
        sampled(&flight, |t| (2.0 * (t - 60.0).clamp(0.0, 6.0)).to_radians()),
        0.005,
    );
    let angle = |t: f64| -> f64 {
        match t {
            t if t < 10.0 => 0.0,
            t if t < 15.0 => 15.0,
            t if t < 80.0 => 30.0,
            t if t < 88.0 => 15.0,
            _ => 0.0,
        }
    };
    let step = |at_s: f64, from: f64, to: f64| FlapStep {
        at_s,
        sigma_s: 0.2,
        from_rad: from.to_radians(),
        to_rad: to.to_radians(),
        probability: 1.0,
        origin: Origin::Measured,
    };
    flight.flaps = Some(Flaps {
        angle: series(sampled(&flight, |t| angle(t).to_radians()), 0.01).expect("made above"),
        out: sampled(&flight, |t| f64::from(u8::from(angle(t) > 0.0)))
            .iter()
            .map(|out| *out as f32)
            .collect(),
        steps: vec![
            step(10.0, 0.0, 15.0),
            step(15.0, 15.0, 30.0),
            step(80.0, 30.0, 15.0),
            step(88.0, 15.0, 0.0),
        ],
    });
    let mut stall = maneuver(Kind::PowerOffStall, Direction::Straight, 8.0, 100.0);
    stall.events = vec![
        event("pitch_up", 60.0),
        event("first_cue", 68.0),
        event("full_stall", 72.0),
        event("recovery_start", recovery_s),
        event("full_power", recovery_s + 1.2),
        event("positive_climb", 82.0),
    ];
    stall.phases = vec![Phase {
        name: "setup",
        start_s: 8.0,
        end_s: 60.0,
    }];
    let chance = |value: f64| Fact {
        value,
        unit: "1",
        sigma: 0.0,
        origin: Origin::Derived,
    };
    stall.facts.insert("full_stall_probability", chance(0.99));
    stall
        .facts
        .insert("secondary_stall_probability", chance(0.01));
    stall.facts.insert(
        "altitude_lost",
        Fact {
            value: 60.0,
            unit: "m",
            sigma: 2.0,
            origin: Origin::Derived,
        },
    );
    let figure = |value: f64, unit: &'static str, sigma: f64| Fact {
        value,
        unit,
        sigma,
        origin: Origin::Derived,
    };
    stall
        .facts
        .insert("steady_descent_duration", figure(30.0, "s", 1.0));
    stall.facts.insert(
        "ias_max_before_climb",
        figure(knots(82.0) * MPS_PER_KT, "m/s", 0.2),
    );
    (flight, vec![stall])
}
