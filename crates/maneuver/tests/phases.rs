//! Laws that phases, events and figures must obey, on small flights with known truth.

#[path = "phases/synth.rs"]
mod synth;

use flight::Origin;
use maneuver::phases::detail;
use maneuver::{Direction, Kind, Maneuver};
use synth::{STEP_S, Script, Truth, aircraft, series, span, stall, turning};

fn worked(script: Script, moved_s: f64) -> (Maneuver, Truth) {
    let (flight, truth, mut span) = stall(script);
    span.start_s += moved_s;
    span.end_s -= moved_s;
    span.anchor_s = span.anchor_s.map(|at| at + 0.4 * moved_s);
    let found = detail(&flight, &aircraft(), &span, std::slice::from_ref(&span));
    (found, truth)
}

fn at(found: &Maneuver, name: &str) -> f64 {
    found.event(name).map_or(f64::NAN, |event| event.at_s)
}

fn near(what: &str, ours: f64, truth: f64, within: f64) {
    assert!(
        (ours - truth).abs() <= within,
        "{what}: {ours:.2} for {truth:.2}, may be {within} off"
    );
}

#[test]
fn prop_with_a_vane_a_full_stall_is_timed_by_its_definition() {
    // From a mushing break to a sharp one.
    for break_strength in [0.4, 0.7, 1.0, 2.0] {
        let (found, truth) = worked(
            Script {
                break_strength,
                ..Script::default()
            },
            0.0,
        );
        let full = truth.full_s.expect("the script stalls fully");
        near("full stall", at(&found, "full_stall"), full, 0.4);
        near(
            "recovery",
            at(&found, "recovery_start"),
            truth.recovery_s.unwrap_or(f64::NAN),
            0.4,
        );
        near(
            "full power",
            at(&found, "full_power"),
            truth.full_power_s,
            0.4,
        );
        assert!(found.fact("full_stall_probability") > 0.9);
        // Goal of the debrief: 10 ft where everything is recorded.
        near(
            "height lost",
            found.fact("altitude_lost"),
            truth.lost_m,
            3.0,
        );
    }
}

#[test]
fn prop_without_a_vane_the_same_stall_is_found_within_its_sigma() {
    for error in [-0.8, 0.0, 0.8] {
        for break_strength in [0.7, 1.0, 2.0] {
            let script = Script {
                break_strength,
                estimate_error_deg: Some(error),
                ..Script::default()
            };
            let (found, truth) = worked(script, 0.0);
            let full = truth.full_s.expect("the script stalls fully");
            near("full stall", at(&found, "full_stall"), full, 0.8);
            near(
                "recovery",
                at(&found, "recovery_start"),
                truth.recovery_s.unwrap_or(f64::NAN),
                1.0,
            );
            assert!(found.fact("full_stall_probability") > 0.8);
            near(
                "height lost",
                found.fact("altitude_lost"),
                truth.lost_m,
                6.0,
            );
        }
    }
}

#[test]
fn prop_a_recovery_at_the_cue_is_never_called_a_full_stall() {
    for estimate_error_deg in [None, Some(-0.8), Some(0.0), Some(0.8)] {
        let script = Script {
            at_cue: true,
            reaction_s: 0.4,
            estimate_error_deg,
            ..Script::default()
        };
        let (found, truth) = worked(script, 0.0);
        assert!(truth.full_s.is_none());
        let full = found.fact("full_stall_probability");
        assert!(
            full < if estimate_error_deg.is_none() {
                0.1
            } else {
                0.5
            },
            "{full}"
        );
        assert!(found.event("full_stall").is_none());
        assert!(found.event("first_cue").is_some());
        near(
            "recovery",
            at(&found, "recovery_start"),
            truth.recovery_s.unwrap_or(f64::NAN),
            1.0,
        );
    }
}

#[test]
fn prop_where_the_decoder_puts_the_ends_hardly_matters() {
    let (exact, _) = worked(Script::default(), 0.0);
    for moved in [-5.0, -2.0, 2.0, 5.0] {
        let (found, truth) = worked(Script::default(), moved);
        for name in [
            "setup_start",
            "full_stall",
            "recovery_start",
            "full_power",
            "positive_climb",
        ] {
            near(name, at(&found, name), at(&exact, name), 0.3);
        }
        near("start", found.start_s, truth.setup_s, 1.0);
        near(
            "height lost",
            found.fact("altitude_lost"),
            exact.fact("altitude_lost"),
            1.0,
        );
    }
}

#[test]
fn prop_events_of_a_stall_come_in_their_order() {
    let (found, _) = worked(Script::default(), 0.0);
    let order = [
        "setup_start",
        "pitch_up",
        "first_cue",
        "full_stall",
        "recovery_start",
        "positive_climb",
    ];
    let times: Vec<f64> = order.iter().map(|name| at(&found, name)).collect();
    assert!(times.windows(2).all(|pair| pair[0] < pair[1]), "{times:?}");
    assert!(
        found
            .events
            .windows(2)
            .all(|pair| pair[0].at_s <= pair[1].at_s)
    );
    assert!(
        found
            .phases
            .windows(2)
            .all(|pair| pair[0].end_s <= pair[1].start_s + 1e-9)
    );
    assert!(found.start_s < times[0] + 1e-9 && found.end_s > times[5]);
}

#[test]
fn prop_a_second_stall_is_seen_and_a_clean_recovery_has_none() {
    let (clean, _) = worked(Script::default(), 0.0);
    assert!(clean.event("secondary_stall").is_none());
    assert!(clean.fact("secondary_stall_probability") < 0.1);
    let (found, truth) = worked(
        Script {
            pull_again: true,
            ..Script::default()
        },
        0.0,
    );
    let second = truth
        .second_s
        .expect("the script pulls into a second stall");
    near(
        "secondary stall",
        at(&found, "secondary_stall"),
        second,
        0.5,
    );
    near(
        "first stall",
        at(&found, "full_stall"),
        truth.full_s.unwrap_or(f64::NAN),
        0.4,
    );
}

#[test]
fn prop_a_late_recovery_shows_in_seconds_and_in_feet() {
    let (prompt, _) = worked(
        Script {
            reaction_s: 0.6,
            ..Script::default()
        },
        0.0,
    );
    let (late, _) = worked(
        Script {
            reaction_s: 3.6,
            ..Script::default()
        },
        0.0,
    );
    near(
        "held",
        late.fact("seconds_stalled") - prompt.fact("seconds_stalled"),
        3.0,
        0.7,
    );
    assert!(late.fact("altitude_lost") > prompt.fact("altitude_lost") + 5.0);
}

#[test]
fn prop_power_that_was_full_all_along_is_not_late() {
    let (found, _) = worked(
        Script {
            entry_power: 1.0,
            ..Script::default()
        },
        0.0,
    );
    assert!(
        found.fact("power_delay") <= 0.2,
        "{}",
        found.fact("power_delay")
    );
    assert!(found.fact("power_share_at_stall") > 0.9);
    assert!(found.event("idle").is_none());
}

#[test]
fn prop_flap_steps_keep_order_and_speed() {
    let (flight, truth, span) = stall(Script::default());
    let full = truth.full_s.unwrap_or(f64::NAN);
    let steps = [
        (15.0, 0.0, 0.2),
        (19.0, 0.2, 0.5),
        (full + 3.0, 0.5, 0.2),
        (full + 6.0, 0.2, 0.0),
    ];
    let flight = synth::with_flaps(flight, &steps);
    let found = detail(&flight, &aircraft(), &span, &[]);
    let named = |name: &str| {
        found
            .events
            .iter()
            .filter(|event| event.name == name)
            .count()
    };
    assert_eq!((named("flap_down"), named("flap_up")), (2, 2));
    assert_eq!(found.fact("flap_steps_up"), 2.0);
    assert_eq!(found.fact("flap_at_end"), 0.0);
    near("flap at entry", found.fact("flap_at_entry"), 0.5, 1e-9);
    let first = found
        .event("flap_down")
        .and_then(|event| event.value)
        .expect("speed at the step");
    let ias = flight.ias.as_ref().map_or(f64::NAN, |ias| ias.at(150));
    near("speed", first.value, ias, 0.3);
}

#[test]
fn prop_what_is_not_recorded_is_absent_and_nothing_panics() {
    let (flight, _, span) = stall(Script::default());
    let mut poor = flight.clone();
    (
        poor.aoa,
        poor.pitch,
        poor.ias,
        poor.lift_ratio,
        poor.throttle,
        poor.power,
    ) = (None, None, None, None, None, None);
    let found = detail(&poor, &aircraft(), &span, &[]);
    for name in ["pitch_max", "aoa_max", "ias_min", "power_share_at_stall"] {
        assert!(!found.facts.contains_key(name), "{name}");
    }
    assert!(found.fact("altitude_lost").is_finite());
    let nothing = detail(&synth::bare(900), &aircraft(), &span, &[]);
    assert!(nothing.events.is_empty());
    // Holes, ends of the flight, upside-down spans.
    let mut holed = flight;
    for wave in [
        &mut holed.pitch,
        &mut holed.ias,
        &mut holed.altitude,
        &mut holed.aoa,
    ]
    .into_iter()
    .flatten()
    {
        wave.values
            .iter_mut()
            .skip(400)
            .step_by(3)
            .for_each(|value| *value = f64::NAN);
    }
    for (start, end) in [
        (0.0, 1e9),
        (50.0, 50.0),
        (80.0, 10.0),
        (-5.0, 3.0),
        (1e6, 2e6),
    ] {
        for kind in [
            Kind::PowerOffStall,
            Kind::AcceleratedStall,
            Kind::SteepTurn,
            Kind::SlowFlight,
            Kind::ClearingTurns,
        ] {
            let span = synth::span(kind, Direction::None, start, end);
            let _ = detail(&holed, &aircraft(), &span, &[]);
            let _ = detail(&synth::bare(3), &aircraft(), &span, &[]);
        }
    }
}

/// Bank that rolls at 15 °/s into `bank`, holds, and rolls out so that about a whole turn is made.
fn steep(bank_deg: f64, hold_s: f64) -> impl Fn(f64) -> f64 {
    let roll = bank_deg.abs() / 15.0;
    move |t: f64| {
        let share = ((t - 20.0) / roll).clamp(0.0, 1.0)
            - ((t - 20.0 - roll - hold_s) / roll).clamp(0.0, 1.0);
        share * bank_deg.to_radians()
    }
}

#[test]
fn prop_a_steep_turn_has_its_moments_and_figures() {
    let flight = turning(90.0, 50.0, steep(45.0, 29.0), |t| {
        if t > 30.0 && t < 40.0 { -2.0 } else { 0.0 }
    });
    let span = span(Kind::SteepTurn, Direction::Right, 23.0, 52.0);
    let found = detail(&flight, &aircraft(), &span, &[]);
    near("roll in", at(&found, "roll_in"), 20.0, 0.3);
    near(
        "established",
        at(&found, "bank_established"),
        20.0 + 35.0 / 15.0,
        0.2,
    );
    near(
        "roll out",
        at(&found, "roll_out_start"),
        52.0 + 5.0 / 15.0,
        0.2,
    );
    near("level", at(&found, "wings_level"), 55.0 - 4.0 / 15.0, 0.2);
    // Rate of turn g·tan φ / V (PHAK, turns): 0.196 rad/s at 45° and 50 m/s.
    let rate = air::units::G0_MPS2 / 50.0;
    assert!(
        found.fact("heading_turned") > rate * 29.0 && found.fact("heading_turned") < rate * 35.0
    );
    near("altitude", found.fact("altitude_low"), -20.0, 0.5);
    near("bank", found.fact("bank_mean").to_degrees(), 45.0, 0.5);
    near("excursion", found.fact("ias_low"), 0.0, 1e-6);
}

#[test]
fn prop_left_is_the_mirror_of_right() {
    let right = turning(90.0, 50.0, steep(45.0, 29.0), |_| 0.0);
    let left = turning(90.0, 50.0, steep(-45.0, 29.0), |_| 0.0);
    let of = |flight, direction| {
        detail(
            flight,
            &aircraft(),
            &span(Kind::SteepTurn, direction, 20.0, 55.0),
            &[],
        )
    };
    let (right, left) = (of(&right, Direction::Right), of(&left, Direction::Left));
    near(
        "turned",
        left.fact("heading_turned"),
        -right.fact("heading_turned"),
        1e-9,
    );
    for name in ["rollout_error", "bank_low", "bank_high", "altitude_low"] {
        near(name, left.fact(name), right.fact(name), 1e-9);
    }
    near("roll in", at(&left, "roll_in"), at(&right, "roll_in"), 1e-9);
}

#[test]
fn prop_two_clearing_turns_are_two_turns() {
    let each = |t: f64, from: f64| {
        (((t - from) / 2.0).clamp(0.0, 1.0) - ((t - from - 16.0) / 2.0).clamp(0.0, 1.0))
            * 25f64.to_radians()
    };
    let flight = turning(90.0, 50.0, |t| each(t, 42.0) - each(t, 20.0), |_| 0.0);
    let span = span(Kind::ClearingTurns, Direction::LeftRight, 24.0, 56.0);
    let found = detail(&flight, &aircraft(), &span, &[]);
    assert_eq!(found.direction, Direction::LeftRight);
    near("first turn's end", at(&found, "first_turn_end"), 42.0, 0.4);
    near("start", found.start_s, 20.0, 0.4);
    near("end", found.end_s, 60.0, 0.5);
    near(
        "turns",
        found.fact("first_turn"),
        -found.fact("second_turn"),
        0.05,
    );
    near("bank", found.fact("bank_max").to_degrees(), 25.0, 0.1);
}

#[test]
fn prop_slow_flight_has_its_parts() {
    let bank = |t: f64| if t > 100.0 && t < 130.0 { 0.2 } else { 0.0 };
    let climb = |t: f64| if t > 150.0 && t < 190.0 { 1.5 } else { 0.0 };
    let mut flight = turning(300.0, 30.0, bank, climb);
    let speed = |t: f64| {
        30.0 + 15.0 * (1.0 - ((t - 22.0) / 30.0).clamp(0.0, 1.0))
            + 15.0 * ((t - 242.0) / 20.0).clamp(0.0, 1.0)
    };
    let lever = |t: f64| {
        if (20.0..55.0).contains(&t) {
            0.2
        } else if t < 20.0 {
            0.7
        } else if t < 240.0 {
            0.6
        } else {
            1.0
        }
    };
    let times = (0..flight.clock.len).map(|i| flight.clock.time_s(i));
    flight.ias = series(
        times.clone().map(speed).collect(),
        0.5,
        flight::Origin::Measured,
    );
    flight.throttle = series(times.map(lever).collect(), 0.01, flight::Origin::Measured);
    let span = span(Kind::SlowFlight, Direction::None, 23.0, 258.0);
    let found = detail(&flight, &aircraft(), &span, &[]);
    near("setup", at(&found, "setup_start"), 20.0, 0.8);
    near("recovery", at(&found, "recovery_input"), 240.0, 1.0);
    assert!(at(&found, "established") > 45.0 && at(&found, "established") < 58.0);
    let kinds: Vec<&str> = found.phases.iter().map(|phase| phase.name).collect();
    for part in ["setup", "established", "turn_right", "climb", "recovery"] {
        assert!(kinds.contains(&part), "{part} of {kinds:?}");
    }
    near("altitude", found.fact("altitude_high"), 0.0, 2.0);
    near("speed", found.fact("ias_low"), 30.0, 0.1);
}

/// What the static port reads off near the stall is no height: the true height counts where it is known,
/// and where it is not, σ says so.
#[test]
fn prop_height_lost_is_true_height() {
    let (mut flight, truth, span) = stall(Script::default());
    let exact = flight.altitude.clone().expect("the script records it");
    let ias = flight.ias.clone().expect("the script records it");
    // Two hundredths of the pressure height, V²/2g, as the altimeter's own error.
    let read: Vec<f64> = exact
        .values
        .iter()
        .zip(&ias.values)
        .map(|(height, v)| height + 0.02 * v * v / (2.0 * 9.806_65))
        .collect();
    flight.altitude = series(read, 3.0, flight::Origin::Measured);
    let lost = |flight: &flight::Flight| {
        let found = detail(flight, &aircraft(), &span, std::slice::from_ref(&span));
        let fact = found.facts.get("altitude_lost").copied();
        fact.map(|fact| (fact.value, fact.sigma)).expect("measured")
    };
    let (value, sigma) = lost(&flight);
    near("by altimeter", value, truth.lost_m, 1.96 * sigma);
    flight.height = Some(exact);
    let (value, sigma) = lost(&flight);
    near("by true height", value, truth.lost_m, 1.96 * sigma);
    near("by true height", value, truth.lost_m, 3.0);
}

/// A recovery at the cue and a stall after it are just that, though the second break is the deeper one and
/// the decoder points at it.
#[test]
fn prop_a_break_after_a_recovery_at_the_cue_is_secondary() {
    for estimate_error_deg in [None, Some(0.0), Some(0.5)] {
        let (flight, truth, mut span) = stall(Script {
            at_cue: true,
            pull_again: true,
            reaction_s: 0.4,
            estimate_error_deg,
            ..Script::default()
        });
        let second = truth.second_s.expect("the script stalls in the recovery");
        span.anchor_s = Some(second);
        let found = detail(&flight, &aircraft(), &span, std::slice::from_ref(&span));
        let recovery = truth.recovery_s.expect("the script recovers");
        near("recovery", at(&found, "recovery_start"), recovery, 1.5);
        near("second", at(&found, "secondary_stall"), second, 2.0);
        assert!(found.fact("full_stall_probability") < 0.5);
        assert!(found.fact("secondary_stall_probability") > 0.5);
    }
}

/// A wing that is past its critical angle for seconds while neither nose nor height shows it: the stall lies
/// in that time, and its σ says how well it is known.
#[test]
fn prop_a_mush_is_timed_as_well_as_it_shows() {
    let (mut flight, _, span) = stall(Script {
        reaction_s: 4.0,
        break_strength: 0.2,
        ..Script::default()
    });
    let critical = aircraft().critical_aoa_rad.expect("the model has one");
    let aoa = flight.aoa.clone().expect("a vane was recorded");
    let past: Vec<usize> = (0..aoa.values.len())
        .filter(|index| aoa.values[*index] > critical)
        .collect();
    let (first, last) = (past[0], past[past.len() - 1]);
    let length_s = 0.1 * (last - first) as f64;
    assert!(length_s > 2.5, "the script holds it for {length_s} s");
    let held = |values: &mut Vec<f64>, most: f64| {
        let level = values[first].min(most);
        for value in &mut values[first.saturating_sub(70)..=last] {
            *value = level;
        }
    };
    held(&mut flight.pitch.as_mut().expect("recorded").values, 1.0);
    let after = flight.pitch.as_ref().expect("recorded").values[first];
    for value in &mut flight.pitch.as_mut().expect("recorded").values[last..last + 8] {
        *value = after;
    }
    held(&mut flight.elevator.as_mut().expect("recorded").values, 0.8);
    for climb in &mut flight.climb.as_mut().expect("recorded").values[first - 70..=last] {
        *climb = climb.max(-1.0);
    }
    let found = detail(&flight, &aircraft(), &span, std::slice::from_ref(&span));
    let full = found.event("full_stall").expect("past the critical angle");
    let (from_s, to_s) = (0.1 * first as f64, 0.1 * last as f64);
    assert!(
        full.at_s > from_s && full.at_s < to_s,
        "{} in {from_s}..{to_s}",
        full.at_s
    );
    assert!(full.sigma_s > 0.2 * length_s, "{}", full.sigma_s);
}

/// A brisk push at the cue drops the nose as a stall would; an angle of attack that never came near the
/// critical one overrules that.
#[test]
fn prop_a_brisk_recovery_at_the_cue_is_no_full_stall() {
    let (mut flight, truth, span) = stall(Script {
        at_cue: true,
        reaction_s: 0.3,
        estimate_error_deg: Some(0.0),
        ..Script::default()
    });
    let recovery = truth.recovery_s.expect("the script recovers");
    for (name, series) in [("pitch", &mut flight.pitch), ("load", &mut flight.load)] {
        let by = if name == "pitch" {
            10f64.to_radians()
        } else {
            0.3
        };
        for (index, value) in series
            .as_mut()
            .expect("recorded")
            .values
            .iter_mut()
            .enumerate()
        {
            let since = 0.1 * index as f64 - recovery;
            *value -= by * (since / 1.5).clamp(0.0, 1.0) * ((8.0 - since) / 4.0).clamp(0.0, 1.0);
        }
    }
    let found = detail(&flight, &aircraft(), &span, std::slice::from_ref(&span));
    assert!(found.fact("full_stall_probability") < 0.3);
}

/// A second break of the wing with what the hand did in between: the stick back by so much at the first, and let forward
/// to so much; the throttle as it was.
fn held(eased_to: f64) -> (Maneuver, Truth) {
    let (mut flight, truth, span) = stall(Script {
        pull_again: true,
        ..Script::default()
    });
    let (full, second) = (
        truth.full_s.expect("a stall"),
        truth.second_s.expect("a second"),
    );
    let len = flight.clock.len;
    let at = |index: usize| index as f64 * STEP_S;
    let stick = (0..len).map(|index| match at(index) {
        t if t < truth.pitch_up_s => 0.1,
        t if t < full => 0.1 + 0.8 * (t - truth.pitch_up_s) / (full - truth.pitch_up_s),
        t if t < second - 0.8 => eased_to,
        t if t < second + 1.5 => 0.9,
        _ => 0.1,
    });
    flight.elevator = series(stick.collect(), 0.01, Origin::Measured);
    let throttle: Vec<f64> = (0..len)
        .map(|index| if at(index) < second + 1.5 { 0.0 } else { 1.0 })
        .collect();
    flight.throttle = series(throttle.clone(), 0.01, Origin::Measured);
    flight.power = series(throttle, 0.05, Origin::Derived);
    let found = detail(&flight, &aircraft(), &span, std::slice::from_ref(&span));
    (found, truth)
}

/// A stall whose stick stays back is held, however often the wing bobs and lets go again; a secondary stall comes after a
/// recovery was begun (FAA-H-8083-3C chapter 5, secondary stall). Only the hand tells one from the other.
#[test]
fn val_a_stall_that_is_held_is_no_secondary_stall() {
    let (kept, truth) = held(0.85);
    let second = truth.second_s.expect("a second");
    assert!(kept.event("secondary_stall").is_none());
    let recovery = kept.event("recovery_start").expect("a recovery").at_s;
    assert!(
        recovery > second,
        "recovered at {recovery}, stalled again at {second}"
    );
    let (eased, _) = held(0.2);
    let again = eased.event("secondary_stall").expect("a second stall").at_s;
    assert!((again - second).abs() < 0.6, "{again} {second}");
}
