//! Engine-out approaches on flights that are simply commanded: the command is the truth, and what only looks alike
//! is not called one.

mod common;

use common::{Goal, Pilot, aircraft};
use flight::Fit;
use maneuver::{Agreement, Bounds, Direction, Kind, Maneuver, Span, maneuvers, phases};

const FT: f64 = air::units::M_PER_FT;
const KT: f64 = air::units::MPS_PER_KT;
/// What the commanded flights have as the ground, ft: 150 m.
const GROUND_FT: f64 = 150.0 / FT;

/// A glide goal at a share of the stall speed.
fn glide(vs: f64, share: f64) -> Goal {
    Goal {
        kt: share * vs,
        kt_per_s: 1.5,
        fpm: -750.0,
        bank: 0.0,
        power: 0.0,
    }
}

/// Times that were commanded.
struct Flown {
    pilot: Pilot,
    idle_s: f64,
    back_s: f64,
}

/// Level at a height above the ground, power closed, down to another in turns, and away again.
fn flown(from_agl: f64, to_agl: f64, share: f64) -> Flown {
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.at_height(from_agl + GROUND_FT).cruise(80.0);
    let idle_s = pilot.t;
    let down = glide(vs, share);
    let slowing = (1.9 - share) * vs / down.kt_per_s;
    pilot.fly(
        slowing,
        Goal {
            fpm: -250.0,
            ..down
        },
    );
    let left_ft = from_agl - to_agl - slowing * 250.0 / 60.0;
    let seconds = left_ft / 750.0 * 60.0;
    let begun_s = pilot.t;
    if seconds > 60.0 {
        pilot.fly(0.25 * seconds, down);
        pilot.turn_as(120.0, Goal { bank: 25.0, ..down });
        pilot.fly(0.1 * seconds, down);
        pilot.turn_as(-80.0, Goal { bank: 25.0, ..down });
    }
    let rest = (seconds - (pilot.t - begun_s)).max(1.0);
    pilot.fly(rest, down);
    let back_s = pilot.t;
    let away = Goal {
        kt: 1.45 * vs,
        kt_per_s: 1.0,
        fpm: 650.0,
        bank: 0.0,
        power: 1.0,
    };
    pilot.fly(50.0, away).cruise(60.0);
    Flown {
        pilot,
        idle_s,
        back_s,
    }
}

fn found(pilot: &Pilot, fit: Fit) -> Option<Maneuver> {
    let mut craft = aircraft(pilot.vs);
    craft.speeds.best_glide_mps = Some(1.4 * pilot.vs * KT);
    let all = maneuvers(&pilot.land(fit), &craft);
    all.into_iter()
        .find(|one| one.kind == Kind::EngineOutApproach)
}

fn near(what: &str, fit: Fit, value: f64, truth: f64, within: f64) {
    assert!(
        (value - truth).abs() <= within,
        "{fit:?} {what}: {value:.2}, commanded {truth:.2} ± {within}"
    );
}

fn at(one: &Maneuver, event: &str) -> f64 {
    one.event(event).map_or(f64::NAN, |event| event.at_s)
}

#[test]
fn prop_a_glide_from_height_to_low_power_is_one() {
    for fit in [Fit::Rich, Fit::Panel] {
        let flown = flown(2800.0, 500.0, 1.4);
        let one = found(&flown.pilot, fit).unwrap_or_else(|| panic!("{fit:?}: none"));
        let vs = flown.pilot.vs;
        near("idle", fit, at(&one, "idle"), flown.idle_s, 3.0);
        near("power", fit, at(&one, "recovery"), flown.back_s, 3.0);
        // From 1.9 to 5 kt above 1.4 stall speeds at 1.5 kt a second.
        let seconds = (0.5 * vs - 5.0) / 1.5;
        near(
            "to the glide",
            fit,
            one.fact("seconds_to_glide"),
            seconds,
            3.5,
        );
        near("speed", fit, one.fact("glide_ias") / KT, 1.4 * vs, 1.0);
        near("sink", fit, one.fact("glide_sink") / FT * 60.0, 750.0, 60.0);
        let low = one.fact("recovery_agl") / FT;
        near("low", fit, low, 500.0, 60.0);
        near("entry", fit, one.fact("entry_agl") / FT, 2800.0, 60.0);
        // Nothing but the speed and the sink makes the ratio: V / sink.
        let ratio = 1.4 * vs * KT / (750.0 * FT / 60.0);
        near("ratio", fit, one.fact("glide_ratio"), ratio, 0.12 * ratio);
        near("turned", fit, one.fact("turned").to_degrees(), 200.0, 25.0);
        assert!(one.fact("power_used") < 0.1, "{fit:?}");
    }
}

/// Without the power nothing tells it from any descent: it is left to a person, and then worked out.
#[test]
fn prop_without_the_power_it_takes_a_person() {
    let flown = flown(2800.0, 500.0, 1.4);
    for fit in [Fit::GnssAttitude, Fit::Gnss] {
        assert!(found(&flown.pilot, fit).is_none(), "{fit:?}");
        let span = Span {
            kind: Kind::EngineOutApproach,
            direction: Direction::None,
            start_s: flown.idle_s,
            end_s: flown.back_s + 8.0,
            score: 10.0,
            agreement: Agreement::Unasked,
            anchor_s: None,
            bounds: Bounds::Given,
        };
        let mut craft = aircraft(flown.pilot.vs);
        craft.speeds.best_glide_mps = Some(1.4 * flown.pilot.vs * KT);
        let one = phases::detail(&flown.pilot.land(fit), &craft, &span, &[]);
        let speed = one.fact("glide_ias") / KT;
        near("speed", fit, speed, 1.4 * flown.pilot.vs, 2.0);
        assert!(one.missing.contains_key("power_used"), "{fit:?}");
    }
}

/// A fast or slow glide shows as the lowest and highest speed that was held.
#[test]
fn prop_the_speed_that_was_held_is_told() {
    for share in [1.25, 1.65] {
        let flown = flown(3000.0, 500.0, share);
        let one = found(&flown.pilot, Fit::Rich).unwrap_or_else(|| panic!("{share}: none"));
        let held = share * flown.pilot.vs;
        near("median", Fit::Rich, one.fact("glide_ias") / KT, held, 1.5);
    }
}

/// A descent with the power off to the height of a pattern (FAA AC 90-66C: 1,000 ft), a glide that begins in it, as of
/// a power-off 180, and one with some power left are none.
#[test]
fn prop_what_looks_alike_is_none() {
    let to_the_pattern = flown(3000.0, 1000.0, 1.4);
    assert!(found(&to_the_pattern.pilot, Fit::Rich).is_none());
    let from_the_pattern = flown(1000.0, 300.0, 1.4);
    assert!(found(&from_the_pattern.pilot, Fit::Rich).is_none());
    let mut pilot = Pilot::new(50.0);
    let vs = pilot.vs;
    pilot.at_height(2800.0 + GROUND_FT).cruise(80.0);
    let powered = Goal {
        power: 0.3,
        fpm: -600.0,
        ..glide(vs, 1.4)
    };
    pilot.fly(220.0, powered);
    let away = Goal {
        kt: 1.45 * vs,
        power: 1.0,
        fpm: 650.0,
        ..powered
    };
    pilot.fly(50.0, away).cruise(40.0);
    assert!(found(&pilot, Fit::Rich).is_none());
}
