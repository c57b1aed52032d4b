//! Flights for the tests: one with everything, made by hand so that every number is known, and empty ones.
#![allow(dead_code)]

use aircraft::{Aircraft, Detent};
use flight::{Clock, FlapStep, Flaps, Flight, Origin, PowerState, Series, Sigma};

/// A series with a constant σ.
pub fn series(values: Vec<f64>, sigma: f64, origin: Origin) -> Series {
    Series {
        values,
        sigma: Sigma::Constant(sigma),
        origin,
    }
}

/// A series from a rule over the sample's time, with a σ that differs from sample to sample.
pub fn varying(clock: Clock, sigma: f64, rule: impl Fn(f64) -> f64) -> Series {
    Series {
        values: (0..clock.len).map(|i| rule(clock.time_s(i))).collect(),
        sigma: Sigma::Each(
            (0..clock.len)
                .map(|i| (sigma * (1.0 + 0.5 * (i as f64 / 50.0).sin())) as f32)
                .collect(),
        ),
        origin: Origin::Derived,
    }
}

/// A level turn about a point with a climb on top: every series of the model is there.
pub fn whole(seconds: f64, step_s: f64) -> Flight {
    let clock = Clock {
        step_s,
        len: (seconds / step_s) as usize + 1,
    };
    let mut flight = Flight::empty(clock);
    let make = |sigma: f64, rule: &dyn Fn(f64) -> f64| Some(varying(clock, sigma, rule));
    let fixed = |sigma: f64, rule: &dyn Fn(f64) -> f64| {
        let values = (0..clock.len).map(|i| rule(clock.time_s(i))).collect();
        Some(series(values, sigma, Origin::Measured))
    };
    flight.name = "lesson <3> & more.csv".to_owned();
    flight.start_unix_s = Some(1_746_735_444.0);
    flight.origin_latitude_rad = 0.7;
    flight.origin_longitude_rad = -1.8;
    flight.variation_rad = 0.15;
    flight.east = make(3.0, &|t| 900.0 * (1.0 - (t / 20.0).cos()));
    flight.north = make(3.0, &|t| 900.0 * (t / 20.0).sin());
    flight.altitude = make(2.0, &|t| 1_000.0 + 30.0 * (t / 15.0).sin());
    flight.height = fixed(8.0, &|t| 1_010.0 + 30.0 * (t / 15.0).sin());
    flight.agl = fixed(8.0, &|t| 700.0 + 30.0 * (t / 15.0).sin());
    flight.climb = make(0.4, &|t| 2.0 * (t / 15.0).cos());
    flight.ground_speed = make(0.3, &|_| 45.0);
    flight.track = make(0.01, &|t| t / 20.0);
    flight.ias = fixed(0.6, &|t| 40.0 + 5.0 * (t / 9.0).sin());
    flight.tas = make(0.6, &|t| 44.0 + 5.0 * (t / 9.0).sin());
    flight.tas_rate = make(0.1, &|t| 0.5 * (t / 9.0).cos());
    flight.heading = fixed(0.02, &|t| t / 20.0 + 0.05);
    flight.air_track = make(0.02, &|t| t / 20.0);
    flight.turn_rate = make(0.01, &|_| 0.05);
    flight.pitch = fixed(0.01, &|t| 0.08 + 0.03 * (t / 7.0).sin());
    flight.bank = fixed(0.01, &|t| 0.5 * (t / 30.0).sin());
    flight.load = fixed(0.03, &|t| 1.1 + 0.1 * (t / 5.0).sin());
    flight.lateral = fixed(0.01, &|t| 0.02 * (t / 5.0).sin());
    flight.path = make(0.01, &|t| 0.05 * (t / 15.0).cos());
    flight.aoa = make(0.015, &|t| 0.1 + 0.05 * (t / 7.0).sin());
    flight.lift_ratio = make(0.03, &|t| 0.4 + 0.3 * (t / 7.0).sin());
    flight.lift_coefficient = make(0.03, &|t| 0.7 + 0.3 * (t / 7.0).sin());
    flight.wind_east = make(1.0, &|_| 6.0);
    flight.wind_north = make(1.0, &|_| -8.0);
    flight.energy = make(4.0, &|t| 1_100.0 + t);
    flight.excess_power = make(0.4, &|_| 1.0);
    flight.engine_speed = fixed(2.0, &|t| 240.0 + t / 100.0);
    flight.power = make(0.05, &|t| 0.5 + 0.4 * (t / 30.0).sin());
    flight.power_state = vec![PowerState::Partial; clock.len];
    flight.stall_warning = fixed(0.0, &|_| 0.0);
    flight.elevator = fixed(0.02, &|t| 0.2 * (t / 3.0).sin());
    flight.aileron = fixed(0.02, &|t| 0.1 * (t / 3.0).sin());
    flight.rudder = fixed(0.02, &|t| 0.05 * (t / 3.0).sin());
    flight.throttle = fixed(0.02, &|_| 0.6);
    flight.manifold_pressure = fixed(500.0, &|_| 80_000.0);
    flight.fuel_flow = fixed(1e-7, &|_| 9e-6);
    flight.temperature = fixed(1.5, &|_| 283.15);
    flight.flaps = Some(flaps(clock));
    flight
}

fn flaps(clock: Clock) -> Flaps {
    let angle = |i: usize| {
        if clock.time_s(i) > 12.0 {
            10_f64.to_radians()
        } else {
            0.0
        }
    };
    Flaps {
        angle: series((0..clock.len).map(angle).collect(), 0.02, Origin::Measured),
        out: (0..clock.len).map(|i| f32::from(angle(i) > 0.0)).collect(),
        steps: vec![FlapStep {
            at_s: 12.0,
            sigma_s: 0.3,
            from_rad: 0.0,
            to_rad: 10_f64.to_radians(),
            probability: 1.0,
            origin: Origin::Measured,
        }],
    }
}

/// Marks a stretch of samples as a hole.
pub fn hole(flight: &mut Flight, from: usize, to: usize) {
    for known in flight.known.iter_mut().take(to).skip(from) {
        *known = false;
    }
}

/// The aircraft of the tests.
pub fn aircraft() -> Aircraft {
    Aircraft {
        name: "Pellwick 180".to_owned(),
        flaps: vec![
            Detent::default(),
            Detent {
                angle_rad: 10_f64.to_radians(),
                limit_mps: Some(110.0 * 1852.0 / 3600.0),
                ..Detent::default()
            },
        ],
        ..Aircraft::unknown()
    }
}

/// A document with two maneuvers whose words hold everything that XML minds.
pub fn document() -> debrief::Debrief {
    let maneuver = |number: usize, kind: &str, start_s: f64, end_s: f64| {
        serde_json::json!({
            "number": number, "kind": kind, "title": format!("Maneuver <{number}> & \"more\""),
            "direction": "left", "start_s": start_s, "end_s": end_s, "confidence": 0.9,
            "confidence_word": "certain", "marked": true, "task": null, "specified_recovery": null,
            "targets_origin": "assumed",
            "phases": [
                {"name": "entry", "start_s": start_s, "end_s": start_s + 5.0},
                {"name": "turn", "start_s": start_s + 5.0, "end_s": end_s},
            ],
            "events": [], "facts": {}, "marks": [], "findings": [], "strengths": [],
            "verdict_line": "Lost 120 ft & <gained> it", "change_line": "Roll out sooner.", "story": [],
        })
    };
    let document = serde_json::json!({
        "schema": debrief::SCHEMA, "program": "0", "caution": "A training aid & no more.",
        "recording": {"name": "n", "start_utc": null, "duration_s": 0.0, "interval_s": 0.1, "rows": 0,
            "fit": "rich", "channels": [], "gaps": [], "notes": []},
        "aircraft": {"name": "Pellwick 180", "description": "", "speeds_kt": {}},
        "standard": {"id": "faa-private", "title": "", "edition": ""},
        "flight": {"air": "calm", "wind_from_deg": null, "wind_kt": null, "wind_sigma_kt": null,
            "altitude_max_ft": null, "terrain_ft": null, "remarks": [], "strip_step_s": 1.0,
            "strip_altitude_ft": []},
        "maneuvers": [maneuver(1, "steep_turn", 10.0, 40.0), maneuver(2, "power_off_stall", 60.0, 95.0)],
    });
    serde_json::from_value(document).expect("the document's own shape")
}

/// A document without maneuvers.
pub fn nothing_found() -> debrief::Debrief {
    let mut document = document();
    document.maneuvers.clear();
    document
}
