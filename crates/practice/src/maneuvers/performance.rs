//! Chandelle and lazy eight, steep spiral and emergency descent.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::speeds::Speeds;
use air::units::wrap_pi;
use std::f64::consts::PI;

/// A climbing half turn.
pub fn chandelle(pilot: &mut Pilot, speeds: &Speeds, right: bool) -> Flown {
    chandelle_past(pilot, speeds, right, 0.0)
}

/// A climbing half turn that rolls out so far past its heading, rad.
pub fn chandelle_past(pilot: &mut Pilot, speeds: &Speeds, right: bool, past: f64) -> Flown {
    let mut flown = Flown::new("chandelle", pilot.seen.t);
    let side = if right { 1.0 } else { -1.0 };
    let (entry, pitch) = (pilot.seen.heading, pilot.seen.pitch);
    let (mut turned, mut last) = (0.0, entry);
    let slow = 1.08 * speeds.vs1;
    pilot.fly(120.0, |p| {
        turned += side * wrap_pi(p.seen.heading - last);
        last = p.seen.heading;
        let done = (turned / PI).clamp(0.0, 1.0);
        if done >= 0.5 {
            flown.moment("ninety_point", p.seen.t);
        }
        let bank = if done < 0.5 {
            0.52
        } else {
            0.52 * (1.0 - (done - 0.5) / 0.5).max(0.0) + if past > 0.0 { 0.15 } else { 0.03 }
        };
        let up = pitch + (0.27 - pitch) * (done / 0.5).min(1.0);
        let nose = if p.seen.ias < slow {
            Nose::Speed(slow)
        } else {
            Nose::Pitch(up)
        };
        (turned < PI + past - 0.02)
            .then(|| Goal::new(nose, Wings::Bank(side * bank), Power::Throttle(1.0)))
    });
    flown.direction = Some(if right { "right" } else { "left" });
    flown.end_s = pilot.seen.t + 1.0;
    let heading = pilot.seen.heading;
    pilot.hold(
        4.0,
        Goal::new(
            Nose::Speed(slow),
            Wings::Heading(heading),
            Power::Throttle(1.0),
        ),
    );
    flown
}

/// One half of a lazy eight: up and over 90°, down again by 180°.
pub fn half_eight(pilot: &mut Pilot, right: bool) -> Flown {
    let mut flown = Flown::new("lazy_eight", pilot.seen.t);
    let side = if right { 1.0 } else { -1.0 };
    let (entry, level) = (pilot.seen.heading, pilot.seen.pitch);
    let (mut turned, mut last) = (0.0, entry);
    let (height, mut throttle) = (pilot.seen.height, pilot.controls.throttle);
    throttle = throttle.max(0.55);
    pilot.fly(120.0, |p| {
        turned += side * wrap_pi(p.seen.heading - last);
        last = p.seen.heading;
        let done = (turned / PI).clamp(0.02, 1.0);
        let bank = 0.50 * (PI * done).sin().max(0.3);
        // Down less than up: the speed comes back by itself.
        let wave = (2.0 * PI * done).sin();
        let swing = if wave > 0.0 { 0.15 * wave } else { 0.09 * wave };
        let late = if done > 0.75 {
            (height - p.seen.height) * 0.002
        } else {
            0.0
        };
        (turned < PI - 0.03).then(|| {
            Goal::new(
                Nose::Pitch(level + swing + late.clamp(-0.08, 0.08)),
                Wings::Bank(side * bank),
                Power::Throttle(throttle),
            )
        })
    });
    flown.direction = Some(if right { "right" } else { "left" });
    flown.end_s = pilot.seen.t;
    flown
}

/// Turns down about a point with the power off.
pub fn spiral(pilot: &mut Pilot, speeds: &Speeds, right: bool, turns: f64) -> Flown {
    let mut flown = Flown::new("steep_spiral", pilot.seen.t);
    let side = if right { 1.0 } else { -1.0 };
    let (mut turned, mut last) = (0.0, pilot.seen.heading);
    let entry = last;
    pilot.fly(400.0, |p| {
        turned += side * wrap_pi(p.seen.heading - last);
        last = p.seen.heading;
        (turned < turns * 2.0 * PI - 0.25).then(|| {
            Goal::new(
                Nose::Speed(1.15 * speeds.glide),
                Wings::Bank(side * 0.62),
                Power::Throttle(0.0),
            )
        })
    });
    pilot.hold(
        3.0,
        Goal::new(
            Nose::Speed(1.1 * speeds.glide),
            Wings::Heading(entry),
            Power::Throttle(0.0),
        ),
    );
    flown.direction = Some(if right { "right" } else { "left" });
    flown.end_s = pilot.seen.t;
    flown
}

/// How an emergency descent is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Down {
    /// Turn to the right in it.
    pub right: bool,
    /// Speed, m/s.
    pub speed: f64,
    /// Where it ends, height above the reference, m.
    pub to_height: f64,
}

/// Down fast: power off, bank, speed up to a limit, level off.
pub fn emergency_descent(pilot: &mut Pilot, speeds: &Speeds, to_height: f64) -> Flown {
    let how = Down {
        right: true,
        speed: 1.02 * speeds.cruise,
        to_height,
    };
    emergency_descent_by(pilot, speeds, &how)
}

/// The same, told how.
pub fn emergency_descent_by(pilot: &mut Pilot, speeds: &Speeds, how: &Down) -> Flown {
    let mut flown = Flown::new("emergency_descent", pilot.seen.t);
    flown.moment("idle_input", pilot.seen.t);
    flown.asked.insert("target_ias", how.speed);
    let side = if how.right { 1.0 } else { -1.0 };
    pilot.fly(240.0, |p| {
        let turn = if p.seen.t - flown.start_s < 12.0 {
            side * 0.6
        } else {
            0.0
        };
        (p.seen.height > how.to_height - 2.0 * p.seen.climb).then(|| {
            let wings = Wings::Bank(turn);
            Goal::new(Nose::Speed(how.speed), wings, Power::Throttle(0.0)).at_rate(0.12)
        })
    });
    flown.direction = Some(if how.right { "right" } else { "left" });
    flown.end_s = pilot.seen.t + 5.0;
    let heading = pilot.seen.heading;
    pilot.hold(
        12.0,
        Goal::new(
            Nose::Height(how.to_height),
            Wings::Heading(heading),
            Power::Speed(speeds.cruise),
        )
        .at_rate(0.1),
    );
    flown
}
