//! The lesson about the stall under test: what a lesson has of level flight, climbs, glides, slow flight and stalls.

use air::units::{MPS_PER_KT, wrap_pi};
use practice::goal::{Goal, Nose, Power, Wings};
use practice::log::Flown;
use practice::maneuvers::slow_flight::{self, SlowFlight};
use practice::maneuvers::stalls::{self, Entry, Stall};
use practice::maneuvers::{legs, turns};
use practice::pilot::Pilot;
use practice::speeds::Speeds;
use rand::RngExt;
use rand::seq::SliceRandom;
use rand_pcg::Pcg64;

/// So long after the full stall the flight goes on in the climb, s: longer than the later of the two readings.
const CLIMB_ON_S: f64 = 45.0;

/// All that is decided before the flight: the flights of a pair share it.
#[derive(Clone, Debug)]
pub struct Plan {
    pub height_m: f64,
    pub heading_rad: f64,
    pub wander: f64,
    parts: Vec<Part>,
    /// The stall under test, recovered well.
    pub stall: Stall,
    clearing: bool,
}

#[derive(Clone, Debug)]
enum Part {
    Cruise { speed: f64, seconds: f64 },
    Climb { by_m: f64 },
    Glide { seconds: f64, detent: usize },
    Slow(SlowFlight),
    Stall(Stall),
    Turn { by: f64 },
}

/// Draws one.
pub fn draw(speeds: &Speeds, dice: &mut Pcg64) -> Plan {
    let stall = some_stall(dice);
    let mut parts = vec![
        Part::Cruise {
            speed: speeds.cruise,
            seconds: dice.random_range(30.0..50.0),
        },
        Part::Cruise {
            speed: dice.random_range(0.80..0.92) * speeds.cruise,
            seconds: dice.random_range(35.0..55.0),
        },
        Part::Climb {
            by_m: dice.random_range(120.0..220.0),
        },
        Part::Glide {
            seconds: dice.random_range(35.0..55.0),
            detent: 0,
        },
        Part::Slow(SlowFlight {
            seconds: dice.random_range(40.0..70.0),
            margin: dice.random_range(1.12..1.22),
            detent: dice.random_range(0..=stall.detent),
            turn: 0.0,
            recover: true,
        }),
        Part::Turn {
            by: dice.random_range(0.8..2.6) * side(dice),
        },
    ];
    if dice.random::<bool>() {
        parts.push(Part::Cruise {
            speed: dice.random_range(0.93..1.06) * speeds.cruise,
            seconds: dice.random_range(30.0..50.0),
        });
    }
    if stall.detent > 0 {
        parts.push(Part::Glide {
            seconds: dice.random_range(30.0..45.0),
            detent: stall.detent,
        });
    }
    for _ in 0..dice.random_range(1..3) {
        parts.push(Part::Stall(some_stall(dice)));
    }
    parts[1..].shuffle(dice);
    Plan {
        height_m: dice.random_range(1250.0..1650.0),
        heading_rad: dice.random_range(0.0..std::f64::consts::TAU),
        wander: dice.random_range(0.6..1.5),
        parts,
        stall,
        clearing: dice.random::<bool>(),
    }
}

fn side(dice: &mut Pcg64) -> f64 {
    if dice.random::<bool>() { 1.0 } else { -1.0 }
}

/// A stall well recovered, as well as pilots do: no two alike.
fn some_stall(dice: &mut Pcg64) -> Stall {
    let entry = [Entry::PowerOff, Entry::PowerOn, Entry::Accelerated][dice.random_range(0..3)];
    let mut stall = Stall::clean(entry);
    stall.held_s = dice.random_range(0.2..0.8);
    stall.late_power_s = dice.random_range(0.2..1.0);
    stall.slowing = dice.random_range(0.45..0.9);
    stall.foot = dice.random_range(-0.04..0.04);
    match entry {
        Entry::PowerOff => {
            stall.detent = [3, 3, 2, 1, 0][dice.random_range(0..5)];
            stall.descent_s = dice.random_range(8.0..20.0);
        }
        Entry::PowerOn => {
            stall.detent = [0, 0, 1][dice.random_range(0..3)];
            stall.entry_throttle = Some(dice.random_range(0.65..0.9));
        }
        Entry::Accelerated => {
            stall.bank = side(dice) * dice.random_range(0.6..0.8);
            stall.entry_throttle = Some(dice.random_range(0.25..0.45));
        }
    }
    if entry != Entry::Accelerated && dice.random::<f64>() < 0.4 {
        // Turning stalls: up to 20° of bank (FAA-S-ACS-6C VII.B and VII.C).
        stall.bank = side(dice) * dice.random_range(0.2..0.33);
    }
    stall
}

/// Flies the lesson up to the stall under test: the flights of a pair share it.
pub fn before(pilot: &mut Pilot, speeds: &Speeds, plan: &Plan) {
    let mut slow = false;
    for part in &plan.parts {
        let off = (pilot.seen.height - plan.height_m).abs();
        if slow || off > 120.0 {
            legs::settle(pilot, plan.height_m, speeds);
        }
        slow = leg(pilot, speeds, part);
    }
    legs::settle(pilot, plan.height_m, speeds);
    if plan.clearing {
        let flown = turns::clearing(pilot, speeds);
        pilot.log.flown.push(flown);
    }
    legs::cruise(pilot, speeds.cruise, 10.0);
}

/// Flies the stall under test with this recovery and what follows.
pub fn stall(pilot: &mut Pilot, speeds: &Speeds, stall: &Stall) -> Flown {
    let flown = stalls::fly(pilot, speeds, stall);
    pilot.log.flown.push(flown.clone());
    climb_on(pilot, speeds, &flown, stall);
    legs::cruise(pilot, speeds.cruise, 25.0);
    flown
}

/// Flies a part; whether it ends slow or low, so that the next begins with a way back to cruise.
fn leg(pilot: &mut Pilot, speeds: &Speeds, part: &Part) -> bool {
    match part {
        Part::Cruise { speed, seconds } => {
            legs::cruise(pilot, *speed, *seconds);
            false
        }
        Part::Climb { by_m } => {
            let to = pilot.seen.height + by_m;
            legs::climb_to(pilot, to, speeds.vy);
            true
        }
        Part::Glide { seconds, detent } => {
            glide(pilot, speeds, *seconds, *detent);
            true
        }
        Part::Slow(how) => {
            let flown = slow_flight::fly(pilot, speeds, how);
            pilot.log.flown.push(flown);
            true
        }
        Part::Stall(how) => {
            let flown = stalls::fly(pilot, speeds, how);
            pilot.log.flown.push(flown);
            true
        }
        Part::Turn { by } => {
            legs::turn(pilot, *by, 0.4, speeds.cruise);
            false
        }
    }
}

/// Power off: flaps up at the best glide, with flaps at the speed of the approach.
fn glide(pilot: &mut Pilot, speeds: &Speeds, seconds: f64, detent: usize) {
    let mut flown = Flown::new(
        if detent == 0 { "glide" } else { "glide_flaps" },
        pilot.seen.t,
    );
    let (height, heading) = (pilot.seen.height, pilot.seen.heading);
    let wings = Wings::Heading(heading);
    let flap = pilot
        .airframe()
        .flaps
        .get(detent)
        .map_or(0.0, |flap| flap.angle_rad);
    let speed = if detent == 0 {
        speeds.glide
    } else {
        speeds.approach
    };
    pilot.fly(60.0, |p| {
        if p.seen.ias < speeds.vfe - 2.0 * MPS_PER_KT {
            p.controls.flap_rad = flap;
        }
        (p.seen.ias > speed + 1.0)
            .then(|| Goal::new(Nose::Height(height), wings, Power::Throttle(0.0)))
    });
    let goal = Goal::new(Nose::Speed(speed), wings, Power::Throttle(0.0));
    pilot.hold(seconds, goal);
    flown.end_s = pilot.seen.t;
    pilot.log.flown.push(flown);
}

/// On in the climb, with the power and the flaps that the recovery left, until both readings are taken; then level.
fn climb_on(pilot: &mut Pilot, speeds: &Speeds, flown: &Flown, stall: &Stall) {
    let full = flown.moments.get("full_stall").copied();
    let until = full.unwrap_or(flown.end_s) + CLIMB_ON_S;
    let heading = pilot.seen.heading;
    let wings = Wings::Heading(wrap_pi(heading));
    let power = Power::Throttle(stall.recovery_throttle);
    pilot.fly(CLIMB_ON_S, |p| {
        (p.seen.t < until).then(|| Goal::new(Nose::Speed(speeds.vy), wings, power))
    });
}
