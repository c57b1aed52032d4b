//! Stalls that an instructor shows (FAA-S-ACS-25 AI.X.F to H) on made-up flights, and ordinary ones that must not
//! become one.

#[path = "phases/synth.rs"]
#[allow(dead_code)]
mod synth;

use flight::{Flight, Origin, PowerState, Series};
use maneuver::phases::detail;
use maneuver::{Maneuver, Span};
use synth::{CRITICAL_RAD, Script, Truth, aircraft, series, stall};

fn worked(flight: &Flight, span: &Span) -> Maneuver {
    detail(flight, &aircraft(), span, std::slice::from_ref(span))
}

fn names(found: &Maneuver) -> Vec<&'static str> {
    found.variants.iter().map(|variant| variant.name).collect()
}

/// A control that stands at `rest` and goes to `to` between two times.
fn moved(flight: &Flight, rest: f64, to: f64, from_s: f64, to_s: f64) -> Option<Series> {
    let at = |index: usize| {
        let t = flight.clock.time_s(index);
        if (from_s..to_s).contains(&t) {
            to
        } else {
            rest
        }
    };
    series(
        (0..flight.clock.len).map(at).collect(),
        0.02,
        Origin::Measured,
    )
}

fn put(series: &mut Option<Series>, flight_step_s: f64, from_s: f64, to_s: f64, value: f64) {
    let (from, to) = (
        (from_s / flight_step_s) as usize,
        (to_s / flight_step_s) as usize,
    );
    if let Some(series) = series {
        series.values[from..to].fill(value);
    }
}

/// Bank, rudder, aileron and side load from ten seconds before the pull to the stall.
fn banked(script: Script, (bank_deg, rudder, aileron, side_g): (f64, f64, f64, f64)) -> Maneuver {
    let (mut flight, truth, span) = stall(script);
    let full = truth.full_s.unwrap_or(truth.cue_s);
    let from_s = truth.pitch_up_s;
    // A rig and a propeller keep a little of both in all the time.
    flight.bank = moved(&flight, 0.0, bank_deg.to_radians(), from_s - 3.0, full);
    flight.rudder = moved(&flight, 0.05, 0.05 + rudder, from_s, full);
    flight.aileron = moved(&flight, -0.03, -0.03 + aileron, from_s, full);
    flight.lateral = moved(&flight, 0.01, side_g, from_s, full);
    worked(&flight, &span)
}

#[test]
fn val_a_cross_controlled_stall_is_one_by_its_controls() {
    // Excess rudder into the turn, opposite aileron, either way (AI.X.F.S5).
    for side in [1.0, -1.0] {
        let shown = banked(
            Script::default(),
            (25.0 * side, 0.4 * side, -0.3 * side, 0.09 * side),
        );
        assert_eq!(names(&shown), ["cross_controlled"]);
    }
    let ordinary = [
        // A wing held up with aileron, straight ahead.
        (2.0, 0.3, -0.3, 0.06),
        // A turning stall, flown with both feet quiet.
        (20.0, 0.05, -0.1, 0.01),
        // A slip: the rudder is against the turn.
        (20.0, -0.4, 0.3, 0.09),
        // Skidding, with nothing done against the bank.
        (20.0, 0.4, 0.1, 0.09),
        // Crossed on the gauges, but the body is not pushed aside.
        (20.0, 0.3, -0.3, 0.01),
    ];
    for controls in ordinary {
        let found = banked(Script::default(), controls);
        assert_eq!(names(&found), Vec::<&str>::new(), "{controls:?}");
    }
    // With power on, right rudder in a right turn is the propeller's.
    let power_on = Script {
        entry_power: 0.9,
        ..Script::default()
    };
    assert_eq!(
        names(&banked(power_on, (18.0, 0.4, -0.2, 0.05))),
        Vec::<&str>::new()
    );
}

#[test]
fn prop_without_the_controls_the_sheet_says_so() {
    let (flight, _, span) = stall(Script::default());
    let found = worked(&flight, &span);
    assert_eq!(names(&found), Vec::<&str>::new());
    for name in ["cross_controlled", "elevator_trim"] {
        assert!(found.missing.contains_key(name), "{name}");
    }
}

fn again(held_s: f64, stick: f64) -> (Maneuver, Truth) {
    let (mut flight, truth, span) = stall(Script {
        pull_again: true,
        ..Script::default()
    });
    let second = truth.second_s.expect("a second stall");
    let step_s = flight.clock.step_s;
    put(
        &mut flight.aoa,
        step_s,
        second,
        second + held_s,
        CRITICAL_RAD + 0.05,
    );
    put(
        &mut flight.elevator,
        step_s,
        second - 2.0,
        second + 3.0,
        stick,
    );
    (worked(&flight, &span), truth)
}

#[test]
fn val_a_secondary_stall_is_shown_when_it_is_provoked_and_held() {
    let (shown, _) = again(2.0, 1.0);
    assert_eq!(names(&shown), ["secondary"]);
    // A pull that comes too soon: over at once, or with half the stick.
    for (held_s, stick) in [(0.3, 1.0), (2.0, 0.5)] {
        let (error, _) = again(held_s, stick);
        assert!(error.event("secondary_stall").is_some());
        assert_eq!(names(&error), Vec::<&str>::new(), "{held_s} {stick}");
    }
}

/// Power from idle to full at the beginning of the rise; trim and stick as given.
fn trimmed(trim: f64, back: f64) -> Maneuver {
    let (mut flight, truth, span) = stall(Script {
        entry_power: 0.9,
        ..Script::default()
    });
    let full = truth.full_s.unwrap_or(truth.cue_s);
    let opened = truth.pitch_up_s - 1.0;
    for index in 0..flight.clock.len {
        let t = flight.clock.time_s(index);
        flight.power_state[index] = match t {
            t if t < 30.0 => PowerState::Partial,
            t if t < opened => PowerState::Idle,
            _ => PowerState::Full,
        };
    }
    flight.elevator = moved(&flight, 0.2, 0.2 + back, opened + 1.0, full);
    flight.trim = moved(&flight, 0.02, trim, 25.0, full + 5.0);
    worked(&flight, &span)
}

#[test]
fn val_a_trim_stall_rises_without_the_stick() {
    assert_eq!(names(&trimmed(0.2, 0.02)), ["elevator_trim"]);
    // Pulled, as any power-on stall is; or not trimmed nose up.
    assert_eq!(names(&trimmed(0.2, 0.4)), Vec::<&str>::new());
    assert_eq!(names(&trimmed(0.02, 0.02)), Vec::<&str>::new());
}
