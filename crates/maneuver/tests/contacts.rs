//! Takeoffs, landings and go-arounds against flights of which every moment is known: kinematics (turn rate =
//! g·tan φ / V, roll = v²/2a, hop = v²/2g) and nothing else.

mod circuit;

use air::geodesy::{LocalFrame, Place};
use air::units::{M_PER_FT, MPS_PER_KT};
use circuit::Circuit;
use flight::{Fit, Flight};
use maneuver::{Kind, Maneuver, Runway};

/// Aircraft and fields of different kinds: stall speed kt, course, altitude ft, left traffic, headwind kt, sink fpm.
const FLOWN: [(f64, f64, f64, bool, f64, f64); 4] = [
    (42.0, 70.0, 250.0, true, 0.0, 120.0),
    (50.0, 182.0, 5200.0, false, 8.0, 90.0),
    (58.0, 355.0, 20.0, true, 12.0, 160.0),
    (47.0, 265.0, 900.0, false, 4.0, 200.0),
];

fn flown(case: (f64, f64, f64, bool, f64, f64), hop_m: f64) -> Circuit {
    let (vs, course, altitude, left, wind, sink) = case;
    let mut circuit = Circuit::new(vs, course, altitude, left).headwind(wind);
    circuit.take_off(1.9, 700.0).downwind();
    circuit.approach(1.35, 550.0, 15.0, 0.25).land(sink, hop_m);
    circuit
}

fn one(flight: &Flight, circuit: &Circuit, kind: Kind) -> Maneuver {
    let found = maneuver::maneuvers(flight, &circuit.aircraft());
    let kinds: Vec<Kind> = found.iter().map(|one| one.kind).collect();
    found
        .into_iter()
        .find(|one| one.kind == kind)
        .unwrap_or_else(|| panic!("no {kind:?} in {kinds:?}"))
}

/// Error of an event and its σ, s.
fn error(found: &Maneuver, circuit: &Circuit, event: &str, moment: &str) -> (f64, f64) {
    let event = found
        .event(event)
        .unwrap_or_else(|| panic!("no {event} in {:?}", found.events));
    (event.at_s - circuit.moments[moment], event.sigma_s)
}

/// The goals: within half a second where the blow is recorded five times a second, a second and a half on a panel;
/// by GNSS alone the σ has to say that it is not known.
#[test]
fn prop_the_touchdown_is_found_as_well_as_the_recorder_can() {
    for (number, case) in FLOWN.into_iter().enumerate() {
        let circuit = flown(case, 0.0);
        for (fit, most_s) in [(Fit::Rich, 0.5), (Fit::Panel, 1.5), (Fit::Gnss, 5.0)] {
            for seed in 1..4 {
                let flight = circuit.recorded(fit, seed);
                let found = one(&flight, &circuit, Kind::Landing);
                let (off, sigma) = error(&found, &circuit, "touchdown", "touchdown");
                assert!(
                    off.abs() <= most_s,
                    "{number} {fit:?} {seed}: {off} ± {sigma}"
                );
                assert!(
                    off.abs() <= 3.0 * sigma,
                    "{number} {fit:?} {seed}: {off} ± {sigma}"
                );
                // Half of 200 ft, the half width of the private zone: more than that decides nothing.
                let along_m = sigma * found.fact("touchdown_ground_speed");
                if fit == Fit::Gnss {
                    assert!(along_m > 100.0 * M_PER_FT, "{number}: {along_m}");
                } else if fit == Fit::Rich {
                    assert!(along_m < 50.0 * M_PER_FT, "{number}: {along_m}");
                }
            }
        }
    }
}

#[test]
fn prop_lift_off_and_rotation_are_within_their_sigma() {
    for (number, case) in FLOWN.into_iter().enumerate() {
        let circuit = flown(case, 0.0);
        for fit in [Fit::Rich, Fit::Panel, Fit::Gnss] {
            let found = one(&circuit.recorded(fit, 5), &circuit, Kind::Takeoff);
            let (off, sigma) = error(&found, &circuit, "lift_off", "lift_off");
            assert!(
                off.abs() <= 3.0 * sigma && sigma < 3.0,
                "{number} {fit:?}: {off} ± {sigma}"
            );
            let (off, sigma) = error(&found, &circuit, "power_up", "power_up");
            assert!(
                off.abs() <= 3.0 * sigma,
                "{number} {fit:?} power: {off} ± {sigma}"
            );
            if fit == Fit::Gnss {
                assert!(found.event("rotate").is_none());
                assert_eq!(
                    found.missing.get("rotation_ias"),
                    Some(&"no pitch was recorded")
                );
            } else {
                let (off, sigma) = error(&found, &circuit, "rotate", "rotate");
                assert!(
                    off.abs() <= 3.0 * sigma,
                    "{number} {fit:?} rotate: {off} ± {sigma}"
                );
            }
        }
    }
}

/// Roll = (v² − w²)/2a − w·t over the ground for a constant acceleration a against a wind w.
#[test]
fn val_the_roll_is_that_of_constant_acceleration() {
    for case in FLOWN {
        let circuit = flown(case, 0.0);
        let found = one(&circuit.recorded(Fit::Rich, 2), &circuit, Kind::Takeoff);
        let (wind, off) = (circuit.headwind, 1.20 * circuit.vs);
        let over_ground = (off - wind).powi(2) / (2.0 * 1.9);
        let fact = found.facts["ground_roll"];
        assert!(
            (fact.value - over_ground).abs() < 3.0 * fact.sigma,
            "{} ± {} for {over_ground}",
            fact.value,
            fact.sigma
        );
        let speed = found.facts["lift_off_ias"];
        assert!(
            (speed.value - off).abs() < 3.0 * speed.sigma.max(0.5),
            "{speed:?} for {off}"
        );
    }
}

#[test]
fn prop_legs_and_wind_are_as_flown() {
    for (number, case) in FLOWN.into_iter().enumerate() {
        let circuit = flown(case, 0.0);
        for fit in [Fit::Rich, Fit::Panel] {
            let found = one(&circuit.recorded(fit, 3), &circuit, Kind::Landing);
            for leg in ["base", "final_turn", "final"] {
                let (off, sigma) = error(&found, &circuit, leg, leg);
                assert!(
                    off.abs() <= 3.0 * sigma,
                    "{number} {fit:?} {leg}: {off} ± {sigma}"
                );
            }
            let course = found.fact("runway_course").to_degrees();
            let off = (course - case.1 + 540.0).rem_euclid(360.0) - 180.0;
            assert!(off.abs() < 2.0, "{number}: course {course}");
            let wind = found.fact("headwind") / MPS_PER_KT;
            assert!((wind - case.4).abs() < 2.0, "{number}: {wind}");
            assert!(found.variants.iter().all(|form| form.name != "crosswind"));
            // Speed held on final, 1.35 of the stall speed.
            let speed = found.fact("approach_ias") / circuit.vs;
            assert!((speed - 1.35).abs() < 0.05, "{number}: {speed}");
        }
    }
}

/// A hop of 1.5 m: the load shows it five times a second; on a panel it may be missed, and then nothing is claimed.
#[test]
fn prop_a_bounce_is_counted_where_it_can_show() {
    for (number, case) in FLOWN.into_iter().enumerate() {
        let bounced = flown(case, 1.5);
        let found = one(&bounced.recorded(Fit::Rich, 4), &bounced, Kind::Landing);
        assert_eq!(
            found.facts["bounces"].value, 1.0,
            "{number}: {:?}",
            found.events
        );
        let (off, _) = error(&found, &bounced, "bounce", "bounce");
        assert!(off.abs() < 1.0, "{number}: {off}");
        let smooth = flown(case, 0.0);
        let found = one(&smooth.recorded(Fit::Rich, 4), &smooth, Kind::Landing);
        assert_eq!(
            found.facts["bounces"].value, 0.0,
            "{number}: {:?}",
            found.events
        );
        let found = one(&smooth.recorded(Fit::Panel, 4), &smooth, Kind::Landing);
        assert!(!found.facts.contains_key("bounces"), "{number}");
        assert!(found.missing.contains_key("bounces"), "{number}");
    }
}

fn place(flight: &Flight, (east, north): (f64, f64)) -> Place {
    let origin = Place {
        latitude_rad: flight.origin_latitude_rad,
        longitude_rad: flight.origin_longitude_rad,
    };
    LocalFrame::new(origin, 0.0)
        .unwrap()
        .place(east, north, 0.0)
}

/// The distance beyond the threshold follows from the place of the ends alone, whichever end is named first; a runway
/// elsewhere or across gives none.
#[test]
fn val_a_given_runway_measures_the_touchdown() {
    let case = FLOWN[3];
    let circuit = flown(case, 0.0);
    let flight = circuit.recorded(Fit::Rich, 6);
    let found = maneuver::maneuvers(&flight, &circuit.aircraft());
    let course = case.1.to_radians();
    let at = |along: f64, aside: f64| {
        let (east, north) = circuit.touched;
        let (sin, cos) = course.sin_cos();
        place(
            &flight,
            (
                east + along * sin + aside * cos,
                north + along * cos - aside * sin,
            ),
        )
    };
    // The threshold 210 m before the touchdown, the middle line 4 m to the left of it.
    let (begin, end) = (at(-210.0, -4.0), at(700.0, -4.0));
    for (from, to) in [(begin, end), (end, begin)] {
        let mut placed = found.clone();
        let runway = Runway {
            from,
            to,
            elevation_m: None,
        };
        maneuver::runway::place(&flight, &[runway], &mut placed);
        let landing = placed.iter().find(|one| one.kind == Kind::Landing).unwrap();
        let beyond = landing.facts["touchdown_beyond_threshold"];
        assert!(
            (beyond.value - 210.0).abs() < 2.5 * beyond.sigma,
            "{beyond:?}"
        );
        // Half of the private tolerance: more would decide nothing.
        assert!(beyond.sigma < 200.0 * M_PER_FT, "{beyond:?}");
        assert!((landing.fact("touchdown_offset") - 4.0).abs() < 3.0);
        assert!(!landing.missing.contains_key("touchdown_beyond_threshold"));
    }
    for (from, to) in [
        (at(3000.0, 0.0), at(4000.0, 0.0)),
        (at(0.0, -400.0), at(0.0, 400.0)),
    ] {
        let mut placed = found.clone();
        let runway = Runway {
            from,
            to,
            elevation_m: None,
        };
        maneuver::runway::place(&flight, &[runway], &mut placed);
        let landing = placed.iter().find(|one| one.kind == Kind::Landing).unwrap();
        assert!(!landing.facts.contains_key("touchdown_beyond_threshold"));
        let why = landing.missing["touchdown_beyond_threshold"];
        assert!(why.contains("none of the runways"), "{why}");
    }
    // Nobody gave one: said so.
    let landing = found.iter().find(|one| one.kind == Kind::Landing).unwrap();
    assert!(landing.missing["touchdown_beyond_threshold"].contains("not given"));
}

#[test]
fn prop_a_go_around_begins_with_the_power() {
    for (number, (vs, course, altitude, left, wind, _)) in FLOWN.into_iter().enumerate() {
        let mut circuit = Circuit::new(vs, course, altitude, left).headwind(wind);
        circuit.take_off(1.9, 700.0).downwind();
        circuit.approach(1.35, 550.0, 120.0, 0.25).go_around();
        for fit in [Fit::Rich, Fit::Panel] {
            let found = one(&circuit.recorded(fit, 8), &circuit, Kind::GoAround);
            let (off, sigma) = error(&found, &circuit, "decision", "decision");
            assert!(
                off.abs() <= 3.0 * sigma,
                "{number} {fit:?}: {off} ± {sigma}"
            );
            assert!(found.event("positive_climb").is_some());
            let low = found.fact("lowest_height") / M_PER_FT;
            assert!((60.0..130.0).contains(&low), "{number} {fit:?}: {low}");
            let speed = found.fact("ias_climbing") / circuit.vs;
            assert!((speed - 1.45).abs() < 0.04, "{number} {fit:?}: {speed}");
        }
    }
}

/// Bank held with the path straight; coordinated it would have turned g·tan φ / V.
#[test]
fn prop_a_slip_shows_only_to_attitude() {
    let mut circuit = Circuit::new(48.0, 90.0, 500.0, true);
    circuit
        .take_off(1.9, 700.0)
        .downwind()
        .approach(1.4, 500.0, 700.0, 0.1);
    circuit.slip(20.0, 14.0, 12.0);
    let span = maneuver::Span {
        kind: Kind::ForwardSlip,
        direction: maneuver::Direction::Right,
        start_s: circuit.moments["slip_start"] - 2.0,
        end_s: circuit.moments["slip_end"] + 2.0,
        score: 0.0,
        agreement: maneuver::Agreement::Unasked,
        anchor_s: None,
        bounds: maneuver::Bounds::Given,
    };
    let detail = |fit: Fit| {
        let flight = circuit.recorded(fit, 9);
        maneuver::phases::detail(&flight, &circuit.aircraft(), &span, &[])
    };
    let found = detail(Fit::Panel);
    assert!((found.fact("bank_held").to_degrees() - 14.0).abs() < 2.0);
    assert!(
        (found.fact("slip_angle").to_degrees() - 12.0).abs() < 6.0,
        "{:?}",
        found.facts
    );
    assert!(found.fact("turned").to_degrees().abs() < 6.0);
    let found = detail(Fit::Gnss);
    assert!(!found.facts.contains_key("bank_held"));
    assert!(found.missing["bank_held"].contains("no bank was recorded"));
    assert!(found.missing.contains_key("slip_angle"));
}

/// What is missing from a recording takes nothing else with it, and nothing falls over.
#[test]
fn prop_absent_channels_are_said_to_be_absent() {
    let circuit = flown(FLOWN[0], 0.0);
    let mut flight = circuit.recorded(Fit::Panel, 1);
    (flight.east, flight.north, flight.track) = (None, None, None);
    let found = one(&flight, &circuit, Kind::Landing);
    assert!(found.missing.contains_key("roll_out"));
    assert!(found.event("touchdown").is_some());
    (flight.wind_east, flight.wind_north) = (None, None);
    let found = one(&flight, &circuit, Kind::Takeoff);
    assert_eq!(
        found.missing.get("headwind"),
        Some(&"the wind is not known")
    );
    let nothing = Flight::empty(flight.clock);
    for kind in [
        Kind::Takeoff,
        Kind::Landing,
        Kind::PowerOff180,
        Kind::GoAround,
        Kind::ForwardSlip,
        Kind::TrafficPattern,
        Kind::EngineOutApproach,
    ] {
        let span = maneuver::Span {
            kind,
            direction: maneuver::Direction::None,
            start_s: 50.0,
            end_s: 120.0,
            score: 0.0,
            agreement: maneuver::Agreement::Unasked,
            anchor_s: None,
            bounds: maneuver::Bounds::Given,
        };
        let found = maneuver::phases::detail(&nothing, &circuit.aircraft(), &span, &[]);
        assert!(found.events.iter().all(|event| event.at_s.is_finite()));
        assert!(
            found.facts.values().all(|fact| fact.value.is_finite()),
            "{kind:?}"
        );
    }
}

/// Between takeoff and landing the legs of the circuit have their names, in the order in which they are flown
/// (FAA-H-8083-3C, chapter 8).
#[test]
fn val_the_legs_of_a_circuit_have_their_names() {
    for case in FLOWN {
        let circuit = flown(case, 0.0);
        let flight = circuit.recorded(Fit::Panel, 7);
        let told = maneuver::explain(&flight, &circuit.aircraft());
        let mut names: Vec<&str> = told
            .legs
            .iter()
            .map(|leg| leg.name)
            .filter(|name| ["upwind", "crosswind", "downwind", "base", "final"].contains(name))
            .collect();
        names.dedup();
        let order = ["upwind", "crosswind", "downwind"];
        let places: Vec<usize> = names
            .iter()
            .map(|name| order.iter().position(|one| one == name).unwrap())
            .collect();
        assert!(names.contains(&"downwind"), "{names:?}");
        assert!(places.is_sorted(), "{names:?}");
    }
}

/// Power closed level at 2,300 ft above the field and glided to a landing: one engine-out approach that has the landing
/// in it. The same glide from the height of a pattern stays a landing, or a power-off 180.
#[test]
fn prop_a_glide_to_a_landing_is_an_engine_out_approach_only_from_above_the_pattern() {
    for case in FLOWN {
        let (vs, course, altitude, left, wind, sink) = case;
        let mut circuit = Circuit::new(vs, course, altitude, left).headwind(wind);
        circuit.take_off(1.9, 2300.0);
        circuit
            .hold(60.0, circuit.level(1.9))
            .approach(1.4, 700.0, 15.0, 0.0);
        circuit.land(sink, 0.0);
        let flight = circuit.recorded(Fit::Panel, 3);
        let found = one(&flight, &circuit, Kind::EngineOutApproach);
        let (off, _) = error(&found, &circuit, "idle", "idle");
        assert!(off.abs() < 4.0, "idle {off}");
        let (off, _) = error(&found, &circuit, "touchdown", "touchdown");
        assert!(off.abs() < 3.0, "touchdown {off}");
        let held = found.fact("glide_ias") / (1.4 * vs * MPS_PER_KT);
        assert!((held - 1.0).abs() < 0.02, "{held}");
        let mut circuit = Circuit::new(vs, course, altitude, left).headwind(wind);
        circuit.take_off(1.9, 700.0).downwind();
        circuit.approach(1.4, 700.0, 15.0, 0.0).land(sink, 0.0);
        let found = maneuver::maneuvers(&circuit.recorded(Fit::Panel, 3), &circuit.aircraft());
        assert!(found.iter().all(|one| one.kind != Kind::EngineOutApproach));
    }
}

/// The path from half a mile out is the sink over the speed over the ground (closed form), and there is none where the
/// final is shorter.
#[test]
fn val_the_path_at_half_a_mile_is_sink_over_ground_speed() {
    for (fpm, factor) in [(350.0, 1.35), (550.0, 1.35), (750.0, 1.3)] {
        let (vs, course, altitude, left, wind, sink) = FLOWN[1];
        let mut circuit = Circuit::new(vs, course, altitude, left).headwind(wind);
        circuit.take_off(1.9, 1500.0).downwind();
        circuit.approach(factor, fpm, 15.0, 0.25).land(sink, 0.0);
        let found = one(&circuit.recorded(Fit::Panel, 5), &circuit, Kind::Landing);
        let over_ground = (factor * vs - wind) * MPS_PER_KT;
        let path = (fpm * M_PER_FT / 60.0).atan2(over_ground).to_degrees();
        let told = found.fact("gate_path").to_degrees();
        if told.is_finite() {
            assert!((told - path).abs() < 0.6, "{told} {path}");
        } else {
            let why = found.missing.get("gate_path");
            assert_eq!(
                why,
                Some(&"the turn to final ended nearer than half a mile")
            );
        }
        assert!(told.is_finite() || fpm > 500.0, "{fpm}");
        let off = found.fact("nose_held_off");
        assert!((0.0..4.0).contains(&off), "{off}");
    }
}

/// It climbs at 1.45 stall speeds as soon as it gathers them at 0.7 m/s²: a wingspan up it is between the lift-off's 1.2
/// and that.
#[test]
fn prop_the_speed_out_of_ground_effect_is_told() {
    for case in FLOWN {
        let circuit = flown(case, 0.0);
        let found = one(&circuit.recorded(Fit::Panel, 2), &circuit, Kind::Takeoff);
        let share = found.fact("ias_leaving_ground_effect") / circuit.vs;
        assert!((1.2..1.45).contains(&share), "{share}");
    }
}

/// More than 1,000 ft/min from 500 ft down to a go-around at 150 ft: out of hand since about 500 ft. A settled approach
/// has nothing to tell.
#[test]
fn val_a_go_around_knows_how_long_the_approach_was_out_of_hand() {
    for (fpm, seconds) in [(1250.0, 350.0 / 1250.0 * 60.0), (550.0, f64::NAN)] {
        let (vs, course, altitude, left, wind, sink) = FLOWN[0];
        let mut circuit = Circuit::new(vs, course, altitude, left).headwind(wind);
        circuit.take_off(1.9, 700.0).downwind();
        circuit.approach(1.35, 550.0, 600.0, 0.25);
        let down = circuit::Hold {
            climb: -fpm * M_PER_FT / 60.0,
            ..circuit.level(1.35)
        };
        circuit.hold(
            450.0 / fpm * 60.0,
            circuit::Hold {
                power: 0.25,
                ..down
            },
        );
        circuit.go_around().downwind();
        circuit.approach(1.35, 550.0, 15.0, 0.25).land(sink, 0.0);
        let found = one(&circuit.recorded(Fit::Panel, 4), &circuit, Kind::GoAround);
        let told = found.fact("unsettled_before");
        if seconds.is_nan() {
            assert!(told.is_nan(), "{told}");
        } else {
            assert!((told - seconds).abs() < 4.0, "{told} {seconds}");
        }
    }
}

/// A nose that is held off for 9 s of the roll is above the attitude on all wheels for as long, and by as much: on all
/// wheels is where the airplane rolls at less than half of the speed, with a quarter of the elevator's force (V²).
#[test]
fn val_a_nose_held_off_is_measured_from_all_wheels() {
    const HELD_S: f64 = 9.0;
    const UP_RAD: f64 = 6.0 * std::f64::consts::PI / 180.0;
    for case in FLOWN {
        let circuit = flown(case, 0.0);
        let touchdown = circuit.moments["touchdown"];
        let mut flight = circuit.recorded(Fit::Rich, 3);
        let clock = flight.clock;
        let pitch = flight.pitch.as_mut().expect("a pitch");
        for (index, value) in pitch.values.iter_mut().enumerate() {
            let since = clock.time_s(index) - touchdown;
            if since > -0.8 {
                *value = if since < HELD_S { 0.01 + UP_RAD } else { 0.01 };
            }
        }
        let found = one(&flight, &circuit, Kind::Landing);
        let off = found.fact("nose_held_off");
        assert!((off - HELD_S).abs() < 1.5, "{off} {:?}", found.missing);
        let above = found.fact("nose_above_roll");
        assert!((above - UP_RAD).abs() < 0.02, "{above}");
    }
}
