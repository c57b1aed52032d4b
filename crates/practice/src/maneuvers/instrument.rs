//! Basic instrument work (FAA-S-ACS-6C, VIII): climbs and descents at a speed, turns to a heading, straight and level.

use super::legs;
use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::speeds::Speeds;
use air::units::{M_PER_FT, wrap_pi};
use std::f64::consts::TAU;

/// A climb or a descent at a speed, straight, to a height.
pub fn change(pilot: &mut Pilot, speeds: &Speeds, speed: f64, to_height: f64) -> Flown {
    let up = to_height > pilot.seen.height;
    let mut flown = Flown::new(
        if up {
            "constant_airspeed_climb"
        } else {
            "constant_airspeed_descent"
        },
        pilot.seen.t,
    );
    flown.optional = true;
    flown.direction = Some("straight");
    let heading = pilot.seen.heading;
    // 500 ft/min down (common practice, no source).
    let power = if up {
        Power::Throttle(1.0)
    } else {
        Power::Climb(-2.54)
    };
    pilot.fly(900.0, |p| {
        let left = (to_height - p.seen.height) * if up { 1.0 } else { -1.0 };
        (left > 1.5 * p.seen.climb.abs())
            .then(|| Goal::new(Nose::Speed(speed), Wings::Heading(heading), power))
    });
    flown.end_s = pilot.seen.t;
    flown.asked.insert("target_ias", speed);
    flown.numbers.insert("heading", heading.to_degrees());
    flown
        .numbers
        .insert("level_off_height_ft", to_height / M_PER_FT);
    pilot.hold(
        15.0,
        Goal::new(
            Nose::Height(to_height),
            Wings::Heading(heading),
            Power::Speed(speeds.cruise),
        ),
    );
    flown
}

/// A level turn to a heading, rolled out so far past it.
pub fn to_heading(
    pilot: &mut Pilot,
    speeds: &Speeds,
    heading: f64,
    side: f64,
    bank: f64,
    past: f64,
) -> Flown {
    let mut flown = Flown::new("turn_to_heading", pilot.seen.t);
    flown.optional = true;
    let by = match side {
        s if s > 0.0 => (heading - pilot.seen.heading).rem_euclid(TAU),
        s if s < 0.0 => -(pilot.seen.heading - heading).rem_euclid(TAU),
        _ => wrap_pi(heading - pilot.seen.heading),
    };
    flown.direction = Some(if by > 0.0 { "right" } else { "left" });
    legs::turn(pilot, by + by.signum() * past, bank, speeds.cruise);
    flown.end_s = pilot.seen.t;
    flown.asked.insert("target_ias", speeds.cruise);
    flown.numbers.insert("target_heading", heading.to_degrees());
    flown
}

/// Straight and level for a time.
pub fn straight_and_level(pilot: &mut Pilot, speed: f64, seconds: f64) -> Flown {
    let mut flown = Flown::new("straight_and_level", pilot.seen.t);
    flown.optional = true;
    flown.direction = Some("straight");
    legs::cruise(pilot, speed, seconds);
    flown.end_s = pilot.seen.t;
    flown.asked.insert("target_ias", speed);
    flown
}
