//! Clearing turns and steep turns.

use super::legs;
use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::speeds::Speeds;
use air::units::wrap_pi;

/// Two turns of 90°, there and back.
pub fn clearing(pilot: &mut Pilot, speeds: &Speeds) -> Flown {
    let mut flown = Flown::new("clearing_turns", pilot.seen.t);
    let quarter = std::f64::consts::FRAC_PI_2;
    legs::turn(pilot, -quarter, 0.42, speeds.cruise);
    flown.moment("first_turn_end", pilot.seen.t);
    legs::turn(pilot, quarter, 0.42, speeds.cruise);
    flown.direction = Some("left_right");
    flown.end_s = pilot.seen.t;
    flown
}

/// A steep turn of 360°.
pub fn steep(pilot: &mut Pilot, speeds: &Speeds, right: bool, bank: f64) -> Flown {
    steep_past(pilot, speeds, right, bank, 0.0)
}

/// A steep turn that rolls out so far past its heading, rad.
pub fn steep_past(pilot: &mut Pilot, speeds: &Speeds, right: bool, bank: f64, past: f64) -> Flown {
    let mut flown = Flown::new("steep_turn", pilot.seen.t);
    let side = if right { 1.0 } else { -1.0 };
    let height = pilot.seen.height;
    let entry = pilot.seen.heading;
    let speed = speeds.cruise.min(0.95 * speeds.va);
    flown.moment("roll_in", pilot.seen.t);
    let mut turned = 0.0;
    let mut last = entry;
    let mut level = 0.0;
    pilot.fly(150.0, |p| {
        turned += side * wrap_pi(p.seen.heading - last);
        last = p.seen.heading;
        let out = turned > std::f64::consts::TAU + past - 0.5 * p.seen.bank.abs();
        if p.seen.bank.abs() > 0.9 * bank {
            flown.moment("bank_established", p.seen.t);
        }
        if out {
            flown.moment("roll_out_start", p.seen.t);
        }
        if out && p.seen.bank.abs() < 3_f64.to_radians() {
            level += 0.02;
        }
        (level < 1.0).then(|| {
            let wings = if out {
                Wings::Heading(entry + side * past)
            } else {
                Wings::Bank(side * bank)
            };
            Goal::new(Nose::Height(height), wings, Power::Speed(speed))
        })
    });
    flown.moment("wings_level", pilot.seen.t - level);
    flown.direction = Some(if right { "right" } else { "left" });
    flown.end_s = pilot.seen.t;
    flown
}
