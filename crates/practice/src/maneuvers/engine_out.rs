//! A simulated engine failure: the throttle closed at height, best glide, a turn into the way down, and away again low.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::speeds::Speeds;

/// How it is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Glide {
    /// Turns to the right.
    pub right: bool,
    /// Speed, m/s.
    pub speed: f64,
    /// Where power comes back, height above the reference, m.
    pub to_height: f64,
}

/// Power off, best glide, half a turn toward the field, down to a height, full power and a climb.
pub fn engine_out_approach(pilot: &mut Pilot, speeds: &Speeds, how: &Glide) -> Flown {
    let mut flown = Flown::new("engine_out_approach", pilot.seen.t);
    flown.moment("idle", pilot.seen.t);
    flown.asked.insert("target_ias", how.speed);
    let began = pilot.seen.t;
    let side = if how.right { 1.0 } else { -1.0 };
    let toward = pilot.seen.heading + side * std::f64::consts::PI;
    pilot.fly(600.0, |p| {
        // First the speed, then the field.
        let wings = if p.seen.t - began < 12.0 {
            Wings::Bank(0.0)
        } else {
            Wings::Heading(toward)
        };
        (p.seen.height > how.to_height)
            .then(|| Goal::new(Nose::Speed(how.speed), wings, Power::Throttle(0.0)).at_rate(0.06))
    });
    flown.moment("power_back", pilot.seen.t);
    flown.direction = Some(if how.right { "right" } else { "left" });
    flown.end_s = pilot.seen.t;
    let heading = pilot.seen.heading;
    pilot.hold(
        40.0,
        Goal::new(
            Nose::Speed(speeds.vy),
            Wings::Heading(heading),
            Power::Throttle(1.0),
        )
        .at_rate(0.08),
    );
    flown
}
