//! What is flown in a lesson, one thing after the other in no order.

use practice::goal::{Goal, Nose, Power, Wings};
use practice::maneuvers::field::Form;
use practice::maneuvers::ground_reference::{self, Ground};
use practice::maneuvers::landing::{self, Landing};
use practice::maneuvers::pattern::{self, Pattern};
use practice::maneuvers::slow_flight::{self, SlowFlight};
use practice::maneuvers::stalls::{self, Entry, Stall};
use practice::maneuvers::{legs, performance, turns};
use practice::pilot::Pilot;
use practice::runway::Runway;
use practice::speeds::Speeds;
use rand::RngExt;
use rand_pcg::Pcg64;

/// Left or right, −1 or 1.
pub fn side(dice: &mut Pcg64) -> f64 {
    if dice.random::<bool>() { 1.0 } else { -1.0 }
}

/// One of them.
pub fn fly(pilot: &mut Pilot, speeds: &Speeds, height: f64, dice: &mut Pcg64) {
    let side = side(dice);
    let stall = some_stall(side, dice);
    let choice = dice.random_range(0..10);
    // Out of a stall nobody goes straight into these: first back to cruise.
    let from_cruise = matches!(choice, 0 | 1 | 5..=8);
    let away = pilot.seen.ias < 0.85 * speeds.cruise || (pilot.seen.height - height).abs() > 150.0;
    if from_cruise && away {
        legs::settle(pilot, height, speeds);
    }
    // And between two things there is a breath.
    if matches!(choice, 2 | 3 | 5..=9) {
        let speed = pilot.seen.ias;
        legs::cruise(pilot, speed, 6.0);
    }
    match choice {
        0 => slow_into_stall(pilot, speeds, stall, dice),
        1 => slow_with_turn(pilot, speeds, side, dice),
        2 | 3 => one_stall(pilot, speeds, &stall, dice),
        4 => two_attempts(pilot, speeds, &stall),
        5 => steep_turns(pilot, speeds, side, dice),
        6 => {
            let flown = performance::half_eight(pilot, side > 0.0);
            pilot.log.flown.push(flown);
        }
        7 => {
            let flown = performance::chandelle(pilot, speeds, side > 0.0);
            pilot.log.flown.push(flown);
        }
        8 => pulled_stall(pilot, speeds, side, dice),
        _ => down_from_above(pilot, speeds, height, side, dice),
    }
}

fn some_stall(side: f64, dice: &mut Pcg64) -> Stall {
    let entry = [Entry::PowerOff, Entry::PowerOn, Entry::PowerOff][dice.random_range(0..3)];
    let mut stall = Stall::clean(entry);
    stall.at_cue = dice.random::<f64>() < 0.2;
    stall.held_s = dice.random_range(0.1..2.0);
    stall.late_power_s = dice.random_range(0.0..3.5);
    stall.deep = if dice.random::<f64>() < 0.2 {
        0.12
    } else {
        0.0
    };
    stall.slowing = dice.random_range(0.4..1.0);
    if entry == Entry::PowerOff {
        stall.detent = dice.random_range(0..4);
        stall.descent_s = if dice.random::<f64>() < 0.3 {
            0.0
        } else {
            dice.random_range(5.0..25.0)
        };
    }
    if dice.random::<f64>() < 0.25 {
        stall.bank = side * 0.3;
    }
    stall
}

/// Slow flight of a minute or so, and the stall straight out of it.
fn slow_into_stall(pilot: &mut Pilot, speeds: &Speeds, mut stall: Stall, dice: &mut Pcg64) {
    let how = SlowFlight {
        seconds: dice.random_range(45.0..80.0),
        margin: dice.random_range(1.18..1.25),
        detent: stall.detent,
        turn: 0.0,
        recover: false,
    };
    let flown = slow_flight::fly(pilot, speeds, &how);
    pilot.log.flown.push(flown);
    stall.setup = false;
    stall.descent_s = 0.0;
    let flown = stalls::fly(pilot, speeds, &stall);
    pilot.log.flown.push(flown);
}

fn slow_with_turn(pilot: &mut Pilot, speeds: &Speeds, side: f64, dice: &mut Pcg64) {
    let how = SlowFlight {
        seconds: dice.random_range(60.0..90.0),
        margin: dice.random_range(1.18..1.27),
        detent: dice.random_range(0..4),
        turn: side * 1.2,
        recover: true,
    };
    let flown = slow_flight::fly(pilot, speeds, &how);
    pilot.log.flown.push(flown);
}

/// Mostly without clearing turns.
fn one_stall(pilot: &mut Pilot, speeds: &Speeds, stall: &Stall, dice: &mut Pcg64) {
    if dice.random::<f64>() < 0.4 {
        let flown = turns::clearing(pilot, speeds);
        pilot.log.flown.push(flown);
    }
    let flown = stalls::fly(pilot, speeds, stall);
    pilot.log.flown.push(flown);
}

/// Two attempts, one after the other.
fn two_attempts(pilot: &mut Pilot, speeds: &Speeds, stall: &Stall) {
    for _ in 0..2 {
        let flown = stalls::fly(pilot, speeds, stall);
        pilot.log.flown.push(flown);
        pilot.controls.flap_rad = 0.0;
        let nose = Nose::Height(pilot.seen.height);
        let wings = Wings::Heading(pilot.seen.heading);
        pilot.hold(8.0, Goal::new(nose, wings, Power::Throttle(0.9)));
    }
}

fn steep_turns(pilot: &mut Pilot, speeds: &Speeds, side: f64, dice: &mut Pcg64) {
    let flown = turns::steep(pilot, speeds, side > 0.0, dice.random_range(0.72..0.9));
    pilot.log.flown.push(flown);
    if dice.random::<bool>() {
        legs::cruise(pilot, speeds.cruise, 5.0);
        let flown = turns::steep(pilot, speeds, side < 0.0, dice.random_range(0.72..0.9));
        pilot.log.flown.push(flown);
    }
}

fn pulled_stall(pilot: &mut Pilot, speeds: &Speeds, side: f64, dice: &mut Pcg64) {
    let mut stall = Stall::clean(Entry::Accelerated);
    stall.bank = side * 0.78;
    stall.late_power_s = dice.random_range(0.2..2.0);
    let flown = stalls::fly(pilot, speeds, &stall);
    pilot.log.flown.push(flown);
}

/// A steep spiral or an emergency descent, after a climb to have the height for it.
fn down_from_above(pilot: &mut Pilot, speeds: &Speeds, height: f64, side: f64, dice: &mut Pcg64) {
    legs::climb_to(pilot, height + 350.0, speeds.vy);
    let nose = Nose::Height(height + 350.0);
    let wings = Wings::Heading(pilot.seen.heading);
    pilot.hold(20.0, Goal::new(nose, wings, Power::Speed(speeds.cruise)));
    let flown = if dice.random::<bool>() {
        performance::spiral(pilot, speeds, side > 0.0, 3.0)
    } else {
        performance::emergency_descent(pilot, speeds, height - 150.0)
    };
    pilot.log.flown.push(flown);
}

/// Down to some height above the ground, and one of the figures there.
pub fn by_ground_reference(pilot: &mut Pilot, speeds: &Speeds, dice: &mut Pcg64) {
    legs::settle(pilot, dice.random_range(200.0..290.0), speeds);
    let wind = pilot.flying.weather.wind(pilot.seen.height);
    let calm = wind[0].hypot(wind[1]) < 0.5;
    let how = Ground {
        side: side(dice),
        radius: dice.random_range(420.0..560.0),
        turns: 2.0,
        speed: dice.random_range(0.9..1.0) * speeds.cruise,
        lacking: if dice.random::<f64>() < 0.3 { 1.0 } else { 0.0 },
        downwind: if calm {
            pilot.seen.heading
        } else {
            wind[1].atan2(wind[0])
        },
    };
    ground_reference::enter(pilot, &how);
    let mut flown = match dice.random_range(0..3) {
        0 => ground_reference::around_a_point(pilot, &how, None),
        1 => {
            let turns = 4.0;
            ground_reference::s_turns(pilot, &Ground { turns, ..how }, None)
        }
        _ => ground_reference::rectangle(pilot, &how),
    };
    if how.lacking > 0.0 && !calm {
        flown.faults.push("no_wind_correction");
    }
    pilot.log.flown.push(flown);
}

/// Home: into the pattern of a runway that lies into the wind, give or take, and a landing.
pub fn land(pilot: &mut Pilot, speeds: &Speeds, dice: &mut Pcg64) {
    let wind = pilot.flying.weather.wind(0.0);
    let runway = Runway {
        course: (-wind[1]).atan2(-wind[0]) + dice.random_range(-0.35..0.35),
        length: dice.random_range(1000.0..2000.0),
    };
    let about = Pattern {
        runway,
        side: side(dice),
        lacking: 0.0,
    };
    let too_fast = dice.random::<f64>() < 0.3;
    let how = Landing {
        speed: speeds.approach,
        flown_speed: speeds.approach + if too_fast { 6.0 } else { 0.0 },
        detent: dice.random_range(2..4),
        flaps_over: 0.0,
        point: dice.random_range(150.0..300.0),
        high: 0.0,
        form: Form::Normal,
        long: 0.0,
        nose_falls: false,
    };
    pattern::to_abeam(pilot, speeds, &about, 1.28 * speeds.approach);
    let mut flown = landing::fly(pilot, speeds, &about, &how);
    if too_fast {
        flown.faults.push("fast_approach");
    }
    pilot.log.flown.push(flown);
    let still = Wings::Crossed {
        bank: 0.0,
        heading: runway.course,
    };
    pilot.hold(15.0, Goal::new(Nose::Still, still, Power::Throttle(0.0)));
}
