//! Ordinary flying between the maneuvers.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::pilot::Pilot;
use crate::speeds::Speeds;
use air::units::wrap_pi;

/// Level on a heading for a time.
pub fn cruise(pilot: &mut Pilot, speed: f64, seconds: f64) {
    let height = pilot.seen.height;
    let heading = pilot.seen.heading;
    pilot.hold(
        seconds,
        Goal::new(
            Nose::Height(height),
            Wings::Heading(heading),
            Power::Speed(speed),
        ),
    );
}

/// A level turn by so many radians, + right.
pub fn turn(pilot: &mut Pilot, by: f64, bank: f64, speed: f64) {
    let height = pilot.seen.height;
    let goal = pilot.seen.heading + by;
    let side = by.signum();
    let mut left = by.abs();
    let mut last = pilot.seen.heading;
    pilot.fly(240.0, |p| {
        left -= side * wrap_pi(p.seen.heading - last);
        last = p.seen.heading;
        // Out when what is left is turned while the wings come level.
        let lead = 0.35 * p.seen.bank.abs();
        (left > lead * 0.6).then(|| {
            Goal::new(
                Nose::Height(height),
                Wings::Bank(side * bank),
                Power::Speed(speed),
            )
        })
    });
    pilot.hold(
        4.0,
        Goal::new(
            Nose::Height(height),
            Wings::Heading(goal),
            Power::Speed(speed),
        ),
    );
}

/// Climb to a height at a speed with full power.
pub fn climb_to(pilot: &mut Pilot, height: f64, speed: f64) {
    let heading = pilot.seen.heading;
    pilot.fly(900.0, |p| {
        (p.seen.height < height - 1.5 * p.seen.climb).then(|| {
            Goal::new(
                Nose::Speed(speed),
                Wings::Heading(heading),
                Power::Throttle(1.0),
            )
        })
    });
    pilot.hold(
        6.0,
        Goal::new(
            Nose::Height(height),
            Wings::Heading(heading),
            Power::Throttle(0.8),
        ),
    );
}

/// Descent to a height at a rate.
pub fn descend_to(pilot: &mut Pilot, height: f64, sink: f64, speed: f64) {
    let heading = pilot.seen.heading;
    pilot.fly(900.0, |p| {
        (p.seen.height > height - 1.5 * p.seen.climb).then(|| {
            Goal::new(
                Nose::Climb(-sink),
                Wings::Heading(heading),
                Power::Speed(speed),
            )
        })
    });
    pilot.hold(
        6.0,
        Goal::new(
            Nose::Height(height),
            Wings::Heading(heading),
            Power::Speed(speed),
        ),
    );
}

/// Back to a height and to cruise, whatever came before.
pub fn settle(pilot: &mut Pilot, height: f64, speeds: &Speeds) {
    pilot.controls.flap_rad = 0.0;
    if pilot.seen.height < height - 15.0 {
        climb_to(pilot, height, speeds.vy);
    } else if pilot.seen.height > height + 15.0 {
        descend_to(pilot, height, 3.0, speeds.cruise);
    }
    let heading = pilot.seen.heading;
    pilot.hold(
        25.0,
        Goal::new(
            Nose::Height(height),
            Wings::Heading(heading),
            Power::Speed(speeds.cruise),
        ),
    );
}
