//! The ledger against flights whose every action is known: flown by the short simulation itself with a known airplane,
//! then read back like a recording. What must hold whatever the airplane: sums, signs, energy, and that an action that
//! was not faulty costs nothing.

use air::units::{G0_MPS2, M_PER_FT};
use ledger::actions::{Actions, Climb, Course, Style};
use ledger::airplane::{Airplane, Detent, Moment};
use ledger::flown::{About, Flown, STEP_S, Sample};
use ledger::glide::glide;
use ledger::run::{Air, Run, Start, run};
use ledger::what_if::{Change, what_if};
use ledger::{Cause, Ledger, Recovery, Reference, Told};

/// A light single of nobody's: best glide 9:1 at 1.4 stall speeds, 30 % of its weight in thrust when slow.
fn airplane() -> Airplane {
    let parasite = 1.0 / (2.0 * 9.0 * 1.4 * 1.4);
    Airplane {
        detents: vec![
            Detent {
                angle_rad: 0.0,
                stall_mps: 26.0,
                drag: 0.0,
            },
            Detent {
                angle_rad: 0.35,
                stall_mps: 24.5,
                drag: 0.02,
            },
            Detent {
                angle_rad: 0.7,
                stall_mps: 23.5,
                drag: 0.035,
            },
        ],
        parasite,
        induced: parasite * 1.4_f64.powi(4),
        full: [0.26, -0.07],
        idle: [-0.01, -0.01],
        climb_mps: 38.0,
    }
}

/// How a recovery is flown; the default is a good one.
#[derive(Clone, Copy)]
struct Hand {
    unload_s: f64,
    power_s: f64,
    power: f64,
    flaps_stay: bool,
    level: bool,
}

impl Default for Hand {
    fn default() -> Self {
        Hand {
            unload_s: 1.3,
            power_s: 1.0,
            power: 1.0,
            flaps_stay: false,
            level: false,
        }
    }
}

const STALL_S: f64 = 8.0;

/// The good hand of these flights: the wing lets go at once and the flow comes back at once.
fn reference() -> Reference {
    Reference {
        unload_s: [1.3, 2.6],
        coming_back: [0.0; 10],
        comes_to: 1.0,
        ..Reference::default()
    }
}

/// Eight seconds of slow flight, a wing that carries seven tenths of the weight until it is unloaded, and the recovery.
fn fly(hand: &Hand) -> (Flown, f64) {
    let plane = airplane();
    let (flap, end) = (0.7, STALL_S + 31.0);
    let mut samples = Vec::new();
    let mut push = |t: f64, height: f64, tas: f64, power: f64, flap: f64| {
        samples.push(Sample {
            t,
            height,
            tas,
            power,
            flap,
            ..Sample::default()
        });
    };
    let release = STALL_S + hand.unload_s;
    let (mut height, mut tas, mut path, mut t) = (1000.0, 24.5_f64, 0.0_f64, 0.0);
    while t < release - 1e-9 {
        push(t, height, tas, 0.0, flap);
        let load = if t < STALL_S { path.cos() } else { 0.7 };
        path += G0_MPS2 / tas * (load - path.cos()) * STEP_S;
        height += tas * path.sin() * STEP_S;
        tas = (tas - G0_MPS2 * path.sin() * STEP_S - 0.3 * STEP_S).max(22.0);
        t += STEP_S;
    }
    let course = |value: &dyn Fn(f64) -> f64| Course {
        first_s: 0.0,
        step_s: STEP_S,
        values: (0..400).map(|k| value(k as f64 * STEP_S)).collect(),
    };
    let power = |t: f64| hand.power * ((t - release - hand.power_s) / 1.2 + 0.5).clamp(0.0, 1.0);
    let up = |t: f64| {
        let since = t - release;
        let goal = match since {
            s if hand.flaps_stay || s < 1.5 => 0.7,
            s if s < 9.0 => 0.35,
            _ => 0.0,
        };
        let start = if since < 9.0 { 0.7 } else { 0.35 };
        let moved = if since < 9.0 {
            since - 1.5
        } else {
            since - 9.0
        };
        if hand.flaps_stay {
            0.7
        } else {
            (start - 0.1 * moved.max(0.0)).max(goal)
        }
    };
    let actions = Actions {
        style: reference().style,
        power: course(&power),
        flaps: course(&up),
        bank: course(&|_| 0.0),
        climb: if hand.level {
            Climb::Hold(60.0)
        } else {
            Climb::Hold(plane.climb_mps)
        },
    };
    let start = Start {
        t: release,
        height,
        tas,
        path,
    };
    let calm = Air {
        density_root: 1.0,
        beyond: &|_| 0.0,
        rising: &|_| 0.0,
    };
    let flown: Run = run(&plane, &calm, &start, &actions, end);
    for step in &flown.steps {
        push(step.t, step.height, step.tas, power(step.t), up(step.t));
    }
    let about = About {
        density_root: 1.0,
        flaps_known: true,
        height_sigma_m: 1.0,
        speed_sigma_mps: 0.5,
        gust_mps: 0.0,
        air_in_stall: false,
    };
    (Flown::new(samples, about).expect("whole"), release)
}

fn told(stall_s: f64, release_s: f64) -> Told {
    Told {
        stall_s,
        stall_sigma_s: 0.5,
        release_s,
        second_s: None,
        full: true,
    }
}

fn read(hand: &Hand) -> Recovery {
    let (flown, release) = fly(hand);
    let lever = release + hand.power_s;
    Recovery::read(flown, airplane(), told(STALL_S, release))
        .expect("a recovery")
        .with_power((hand.power > 0.95).then_some(lever))
}

fn drawn(hand: &Hand) -> Ledger {
    Ledger::new(&read(hand), &reference(), &[], 0.3)
}

fn at_reading(hand: &Hand) -> [f64; 2] {
    let (flown, _) = fly(hand);
    let low = flown
        .span(STALL_S, STALL_S + 30.0)
        .map(|s| s.height)
        .fold(f64::INFINITY, f64::min);
    [low, flown.at(STALL_S + 30.0).height]
}

/// What each of the faults really cost, and what the ledger says from the faulty flight alone.
#[test]
fn a_single_fault_is_charged_what_it_cost() {
    let good = at_reading(&Hand::default());
    let late = Hand {
        power_s: 6.0,
        ..Hand::default()
    };
    let weak = Hand {
        power: 0.6,
        ..Hand::default()
    };
    let held = Hand {
        unload_s: 5.0,
        ..Hand::default()
    };
    let stay = Hand {
        flaps_stay: true,
        ..Hand::default()
    };
    let cases = [
        (late, Cause::LateFullPower),
        (weak, Cause::WeakPower),
        (held, Cause::StallHeld),
        (stay, Cause::FlapsLeftDown),
    ];
    for (hand, cause) in cases {
        let ledger = drawn(&hand);
        let bad = at_reading(&hand);
        for reading in 0..2 {
            let truth = (good[reading] - bad[reading]) / M_PER_FT;
            let said = ledger.charged_m(reading) / M_PER_FT;
            assert!(
                (said - truth).abs() < (0.25 * truth.abs()).max(20.0),
                "{cause:?} at reading {reading}: {said:.0} ft for {truth:.0}; {ledger:?}"
            );
        }
        assert!(
            ledger.shares.iter().any(|s| s.cause == cause),
            "{cause:?} is missing: {:?}",
            ledger.shares
        );
    }
}

#[test]
fn a_clean_recovery_is_charged_nothing() {
    let ledger = drawn(&Hand::default());
    for reading in 0..2 {
        assert!(
            ledger.charged_m(reading).abs() < 20.0 * M_PER_FT,
            "{ledger:?}"
        );
    }
}

#[test]
fn shares_add_up_in_either_order() {
    let hand = Hand {
        unload_s: 4.0,
        power_s: 5.0,
        flaps_stay: true,
        ..Hand::default()
    };
    let ledger = drawn(&hand);
    assert!(ledger.shares.len() >= 3, "{:?}", ledger.shares);
    for reading in 0..2 {
        let lost = [ledger.lost_lowest, ledger.lost_later][reading].value_m;
        let charged = ledger.charged_m(reading);
        let any = ledger.any_recovery[reading].value_m;
        assert!((charged + any - lost).abs() < 1e-9);
        // Efficiency of the Shapley value (Shapley 1953, axiom 2): it shares out the same whole.
        let orderless: f64 = ledger.orderless.iter().map(|o| o[reading]).sum();
        assert!((orderless - charged).abs() < 1e-6, "{orderless} {charged}");
    }
}

/// Flaps left down cost next to nothing at the lowest point and most of it half a minute later.
#[test]
fn the_two_readings_tell_faults_apart() {
    let stay = drawn(&Hand {
        flaps_stay: true,
        ..Hand::default()
    });
    assert!(stay.charged_m(0).abs() < 25.0 * M_PER_FT, "{stay:?}");
    assert!(stay.charged_m(1) > 40.0 * M_PER_FT, "{stay:?}");
}

/// Without thrust and drag the sum of height and V²/2g stays (conservation of energy).
#[test]
fn a_run_without_drag_keeps_its_energy() {
    let mut plane = airplane();
    (plane.parasite, plane.induced) = (0.0, 0.0);
    (plane.full, plane.idle) = ([0.0, 0.0], [0.0, 0.0]);
    for detent in &mut plane.detents {
        detent.drag = 0.0;
    }
    let flat = |value: f64| Course {
        first_s: 0.0,
        step_s: 1.0,
        values: vec![value; 2],
    };
    let actions = Actions {
        style: Style {
            unload_load: 0.5,
            steepest_rad: -0.4,
            pull_at: 1.4,
            pull_load: 1.5,
            lift_used: 0.95,
        },
        power: flat(0.0),
        bank: flat(0.0),
        flaps: flat(0.0),
        climb: Climb::Hold(40.0),
    };
    let start = Start {
        t: 0.0,
        height: 500.0,
        tas: 28.0,
        path: 0.0,
    };
    let air = Air {
        density_root: 1.0,
        beyond: &|_| 0.0,
        rising: &|_| 0.0,
    };
    let out = run(&plane, &air, &start, &actions, 20.0);
    let energy = |h: f64, v: f64| h + v * v / (2.0 * G0_MPS2);
    let first = energy(500.0, 28.0);
    for step in &out.steps {
        // Half a meter in 20 s: what the step of the integration costs.
        assert!(
            (energy(step.height, step.tas) - first).abs() < 0.5,
            "{step:?}"
        );
    }
}

/// Least drag is where its parts are equal, at (b/a)^¼ (Anderson, *Aircraft Performance and Design*, 1999, ch. 5).
#[test]
fn drag_is_least_where_its_parts_are_equal() {
    let plane = airplane();
    let drag = |u: f64| {
        plane.drag(&Moment {
            eas_mps: 26.0 * u,
            load: 1.0,
            flap_rad: 0.0,
            thrust: 0.0,
        })
    };
    assert!((drag(1.4) - 1.0 / 9.0).abs() < 1e-9);
    assert!(drag(1.4) < drag(1.35) && drag(1.4) < drag(1.45));
}

/// A what-if that changes nothing is the flight; one that does all right loses no more than it.
#[test]
fn a_what_if_begins_at_the_flight() {
    let hand = Hand {
        unload_s: 4.0,
        power_s: 5.0,
        ..Hand::default()
    };
    let recovery = read(&hand);
    let reference = Reference::default();
    let same = what_if(&recovery, &reference, &Change::default(), &[]);
    for point in &same {
        let flown = recovery
            .flown
            .at(STALL_S + point.t - (STALL_S - recovery.times.stall_s));
        let stall = recovery.flown.at(recovery.times.stall_s);
        assert!(
            (point.height_m - (flown.height - stall.height)).abs() < 15.0 * M_PER_FT,
            "{point:?} {flown:?}"
        );
    }
    let all = what_if(
        &recovery,
        &reference,
        &Change::all(&recovery, &reference),
        &[],
    );
    let lowest =
        |points: &[ledger::what_if::Point]| points.iter().map(|p| p.height_m).fold(0.0, f64::min);
    assert!(lowest(&all) > lowest(&same) + 10.0);
    assert!(
        all.iter()
            .all(|p| p.height_sigma_m >= 0.0 && p.height_m.is_finite())
    );
}

/// A straight glide at best glide loses the way over the glide ratio; all other shares are nothing.
#[test]
fn a_glide_at_best_glide_is_all_best_glide() {
    let plane = airplane();
    let tas = 26.0 * 1.4;
    let ratio: f64 = 1.0 / 9.0;
    // Idle thrust that carries: taken out of the sum by its own line.
    let idle = plane.thrust(tas, 0.0);
    let sink = tas * (ratio - idle);
    let samples = (0..600)
        .map(|k| Sample {
            t: k as f64 * STEP_S,
            height: 400.0 - sink * k as f64 * STEP_S,
            tas,
            ..Sample::default()
        })
        .collect();
    let about = About {
        density_root: 1.0,
        flaps_known: true,
        height_sigma_m: 1.0,
        speed_sigma_mps: 0.5,
        gust_mps: 0.0,
        air_in_stall: false,
    };
    let flown = Flown::new(samples, about).expect("whole");
    let out = glide(&flown, &plane, 5.0, 55.0).expect("a glide");
    assert!((out.best_m - tas * 50.0 * ratio).abs() < 0.5, "{out:?}");
    for small in [
        out.speed_m,
        out.turns_m,
        out.flaps_m,
        out.kinetic_m,
        out.rest_m,
    ] {
        assert!(small.abs() < 1.0, "{out:?}");
    }
}

/// Whatever is recorded: an answer or none, no panic.
#[test]
fn odd_input_is_refused_or_survived() {
    let (flown, release) = fly(&Hand::default());
    let broken = |change: &dyn Fn(&mut Vec<Sample>)| {
        let mut samples = flown.samples.clone();
        change(&mut samples);
        Flown::new(samples, flown.about)
    };
    assert!(broken(&|s| s[3].height = f64::NAN).is_none());
    assert!(broken(&|s| s.truncate(5)).is_none());
    let frozen = broken(&|s| s.iter_mut().for_each(|s| s.height = 700.0)).expect("whole");
    let read = Recovery::read(
        frozen,
        airplane(),
        Told {
            second_s: Some(release + 1.0),
            ..told(STALL_S, release)
        },
    );
    if let Some(read) = read {
        let ledger = Ledger::new(&read, &reference(), &[], 0.3);
        assert!(ledger.charged_m(0).is_finite());
    }
    for (stall, release) in [(-50.0, 500.0), (500.0, -50.0), (38.0, 38.5)] {
        if let Some(read) = Recovery::read(flown.clone(), airplane(), told(stall, release)) {
            let ledger = Ledger::new(&read, &reference(), &[], f64::NAN);
            assert!(ledger.shares.iter().all(|s| s.lowest.value_m.is_finite()));
        }
    }
}

/// The moment that the wing lets go is read off the path: a stall that is told early or late moves neither the unloading's
/// clock nor what is charged.
#[test]
fn a_stall_told_at_the_wrong_moment_costs_nothing() {
    let hand = Hand {
        unload_s: 5.0,
        ..Hand::default()
    };
    let (flown, release) = fly(&hand);
    let drawn = |off_s: f64| {
        let told = told(STALL_S + off_s, release);
        let read = Recovery::read(flown.clone(), airplane(), told).expect("a recovery");
        let charged = Ledger::new(&read, &reference(), &[], 0.3).charged_m(0);
        (read.times.stall_s, charged / M_PER_FT)
    };
    let (clock_s, charged) = drawn(0.0);
    assert!((clock_s - STALL_S).abs() < 0.6, "{clock_s}");
    for off_s in [-1.0, 1.0, 3.0] {
        let (moved_s, other) = drawn(off_s);
        assert!(
            (moved_s - clock_s).abs() < 0.5,
            "{off_s}: {moved_s} {clock_s}"
        );
        assert!((other - charged).abs() < 20.0, "{off_s}: {other} {charged}");
    }
    // No σ is no certainty.
    let unsure = Told {
        stall_sigma_s: f64::NAN,
        ..told(STALL_S + 3.0, release)
    };
    let read = Recovery::read(flown, airplane(), unsure).expect("a recovery");
    assert!(
        (read.times.stall_s - clock_s).abs() < 0.5,
        "{:?}",
        read.times
    );
}

/// A load that is banked does not hold the path up: n cos φ does (the balance in a turn; FAA-H-8083-3C ch. 10).
#[test]
fn a_banked_recovery_loses_more() {
    let recovery = read(&Hand::default());
    let lowest = |bank_rad: f64| {
        let mut actions = recovery.actions.clone();
        actions.bank = actions.bank.map(|_, _| bank_rad);
        let release = recovery.times.release_s;
        let run = recovery.fly(&recovery.airplane, &actions, release, &[0.0; 10]);
        run.lowest().expect("a run").height
    };
    let (level, slight, steep) = (lowest(0.0), lowest(0.1), lowest(0.7));
    assert!((level - slight).abs() < 1.5, "{level} {slight}");
    assert!(steep < level - 5.0, "{level} {steep}");
}

/// The second opinion makes the sum surer, never less sure, and the lines still add up.
#[test]
fn two_opinions_are_surer_than_one() {
    let hand = Hand {
        power_s: 6.0,
        ..Hand::default()
    };
    let (flown, release) = fly(&hand);
    let of = |full: bool| {
        let told = Told {
            full,
            ..told(STALL_S, release)
        };
        let read = Recovery::read(flown.clone(), airplane(), told).expect("a recovery");
        Ledger::new(&read, &reference(), &[], 0.3)
    };
    let both = of(true);
    for (reading, lost) in [both.lost_lowest, both.lost_later].into_iter().enumerate() {
        let any = both.any_recovery[reading];
        assert!((any.value_m + both.charged_m(reading) - lost.value_m).abs() < 1e-9);
        let alone: f64 = both
            .shares
            .iter()
            .map(|s| [s.lowest, s.later][reading].sigma_m.powi(2))
            .sum();
        // The sum's σ is at most that of the second opinion, 10 and 20 m, and of the height.
        assert!(any.sigma_m < [10.1, 20.1][reading], "{any:?} {alone}");
    }
}

/// Law: air that sinks all the time takes every recovery down with it, so that a stall held in it costs what it costs in
/// still air. With a vane that is seen; without one it is drawn from before the stall and after the unloading; where
/// nothing tells of the air, its sinking is charged.
#[test]
fn what_the_air_did_is_not_charged() {
    const SINKS_MPS: f64 = -1.5;
    let held = Hand {
        unload_s: 7.0,
        ..Hand::default()
    };
    let charged = |sinks: f64, told_of_air: bool, vane: bool| {
        let (flown, release) = fly(&held);
        let mut about = flown.about;
        about.gust_mps = 1.5;
        about.air_in_stall = vane;
        let mut samples = flown.samples;
        for s in &mut samples {
            s.height += sinks * s.t;
            s.air = told_of_air.then_some(sinks);
        }
        let flown = Flown::new(samples, about).expect("whole");
        let recovery = Recovery::read(flown, airplane(), told(STALL_S, release)).expect("read");
        Ledger::new(&recovery, &reference(), &[], 0.2).charged_m(1)
    };
    let still = charged(0.0, true, true);
    let off = |value: f64| (value - still).abs();
    let (vane, drawn) = (
        charged(SINKS_MPS, true, true),
        charged(SINKS_MPS, true, false),
    );
    let untold = charged(SINKS_MPS, false, false);
    let all = format!("still {still:.1}, vane {vane:.1}, drawn {drawn:.1}, untold {untold:.1}");
    // Some meters remain: what is usual for the dive is a path over the ground.
    assert!(off(vane) < 9.0 && off(drawn) < 9.0, "{all}");
    assert!(off(untold) > off(vane).max(off(drawn)) + 8.0, "{all}");
}

/// What is flown once the recovery is done belongs to the next task: accelerating then is no late climb.
#[test]
fn what_comes_after_the_recovery_is_not_charged() {
    let level = Hand {
        level: true,
        ..Hand::default()
    };
    let late = |recovery: &Recovery| {
        Ledger::new(recovery, &reference(), &[], 0.2)
            .shares
            .iter()
            .any(|share| share.cause == Cause::ClimbedLate)
    };
    let going_on = read(&level);
    assert!(late(&going_on));
    let done = going_on.times.low_s + 2.5;
    assert!(!late(&going_on.with_end(Some(done))));
}
