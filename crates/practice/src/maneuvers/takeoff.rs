//! From standing on the runway to the climb (AFH, FAA-H-8083-3C, ch. 6); off a short and off a soft field too.

use super::field::Form;
use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::{Pilot, Seen};
use crate::runway::{Line, Runway, follow};
use crate::speeds::Speeds;
use air::units::M_PER_FT;

/// Where the truth lets a takeoff end: height of the climb, m (as in the sample flights: 600 ft).
const ENDS_M: f64 = 600.0 * M_PER_FT;

/// Rolling along a line: wings level, the heading by the pedals, back to the line by a few degrees.
#[must_use]
pub fn rolling(seen: &Seen, line: &Line) -> Wings {
    let back = (-0.012 * line.across(seen.place)).clamp(-0.1, 0.1);
    Wings::Crossed {
        bank: 0.0,
        heading: line.course + back,
    }
}

/// How it is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Takeoff {
    /// Speed of the climb, m/s.
    pub speed: f64,
    /// What the runway asks for.
    pub form: Form,
    /// Off a short field: the speed to 50 ft that was asked for, m/s.
    pub obstacle: f64,
    /// By how much another one is flown there, m/s.
    pub obstacle_off: f64,
    /// Off a soft field: so far below VX it leaves the ground's cushion, m/s.
    pub early: f64,
}

/// An obstacle of 50 ft (FAA-S-ACS-6C, PA.IV.E.S10) under the wheels, which hang a meter below.
const OBSTACLE_M: f64 = 50.0 * M_PER_FT + 1.1;
/// Full power against the brakes so long, s: until it is seen to be there.
const AGAINST_BRAKES_S: f64 = 6.0;
/// The nose off a soft field, rad: 12°, short of the stall and past the warning (AFH ch. 6: at the lowest airspeed possible).
const NOSE_UP: f64 = 0.21;
/// While the nose comes up the speed runs ahead of the hand by so much, m/s (seen on the model).
const GATHERS_MPS: f64 = 3.5;
/// Over a soft field it gathers speed below this, m: a quarter of the span, where the cushion still carries.
const CUSHION_M: f64 = 3.0;

/// Takes off in a form and climbs straight ahead to 600 ft.
pub fn fly_as(pilot: &mut Pilot, speeds: &Speeds, runway: &Runway, how: &Takeoff) -> Flown {
    let mut flown = match how.form {
        Form::Normal => return fly(pilot, speeds, runway, how.speed),
        Form::Short => short(pilot, speeds, runway, how),
        Form::Soft => soft(pilot, speeds, runway, how),
    };
    let line = runway.line();
    pilot.fly(200.0, |p| {
        let wings = straight_out(p, &line);
        let goal = Goal::new(Nose::Speed(how.speed), wings, Power::Throttle(1.0));
        (p.seen.agl < ENDS_M).then_some(goal)
    });
    if let Some(form) = how.form.id() {
        flown.words.insert("form", form);
    }
    flown.asked.insert("target_ias", how.speed);
    flown.end_s = pilot.seen.t;
    flown
}

/// Along the center line in the air, or by the heading for whoever lets that wander.
fn straight_out(p: &Pilot, line: &Line) -> Wings {
    match follow(&p.seen, line, 0.25, 0.0) {
        Wings::Bank(_) if p.slips.heading_rad != 0.0 => Wings::Heading(line.course),
        other => other,
    }
}

/// Wings level on the wheels, the center line in the air; `off` counts the seconds since.
fn leaving(p: &Pilot, line: &Line, off: &mut f64, flown: &mut Flown) -> Wings {
    *off = if p.seen.on_ground { 0.0 } else { *off + 0.02 };
    if *off > 0.3 {
        flown.moment("lift_off", p.seen.t - 0.3);
        straight_out(p, line)
    } else {
        rolling(&p.seen, line)
    }
}

/// Full power against the brakes, off by the rotation speed, and the obstacle's speed to 50 ft.
fn short(pilot: &mut Pilot, speeds: &Speeds, runway: &Runway, how: &Takeoff) -> Flown {
    let line = runway.line();
    let still = |seen: &Seen, throttle: f64| {
        Goal::new(Nose::Still, rolling(seen, &line), Power::Throttle(throttle))
    };
    pilot.controls.brakes = 1.0;
    pilot.controls.flap_rad = 0.0;
    pilot.trim_for_takeoff();
    pilot.hold(12.0, still(&pilot.seen, 0.0));
    let mut flown = Flown::new("takeoff", pilot.seen.t);
    flown.moment("power_up", pilot.seen.t);
    flown.asked.insert("obstacle_ias", how.obstacle);
    let start = pilot.seen.t;
    pilot.fly(AGAINST_BRAKES_S, |p| {
        Some(still(&p.seen, ((p.seen.t - start) / 2.0).min(1.0)))
    });
    flown.moment("brakes_released", pilot.seen.t);
    pilot.controls.brakes = 0.0;
    pilot.fly(60.0, |p| {
        (p.seen.ias < speeds.rotate).then(|| still(&p.seen, 1.0))
    });
    flown.moment("rotate", pilot.seen.t);
    pilot.slips.since_s = pilot.seen.t;
    let mut off = 0.0;
    pilot.fly(60.0, |p| {
        let wings = leaving(p, &line, &mut off, &mut flown);
        let nose = if off > 0.3 {
            Nose::Speed(how.obstacle + how.obstacle_off)
        } else {
            Nose::Pitch(0.15)
        };
        (p.seen.agl < OBSTACLE_M)
            .then(|| Goal::new(nose, wings, Power::Throttle(1.0)).at_rate(0.06))
    });
    flown.moment("obstacle_height", pilot.seen.t);
    flown
}

/// Rolls without a stop, the nose up as soon as it comes; off as slowly as it flies, and over the runway until it is fast enough.
fn soft(pilot: &mut Pilot, speeds: &Speeds, runway: &Runway, how: &Takeoff) -> Flown {
    let line = runway.line();
    pilot.controls.brakes = 0.0;
    pilot.controls.flap_rad = 0.0;
    pilot.trim_for_takeoff();
    let up = |p: &Pilot, throttle: f64| {
        let wings = rolling(&p.seen, &line);
        Goal::new(Nose::Pitch(NOSE_UP), wings, Power::Throttle(throttle)).at_rate(0.1)
    };
    pilot.controls.brakes = 1.0;
    pilot.fly(10.0, |p| {
        Some(Goal::new(
            Nose::Still,
            rolling(&p.seen, &line),
            Power::Throttle(0.0),
        ))
    });
    pilot.controls.brakes = 0.0;
    // At a walk onto the runway, and on.
    pilot.fly(30.0, |p| (p.seen.groundspeed < 3.0).then(|| up(p, 0.35)));
    let mut flown = Flown::new("takeoff", pilot.seen.t);
    flown.moment("power_up", pilot.seen.t);
    let start = pilot.seen.t;
    let mut off = 0.0;
    pilot.fly(60.0, |p| {
        let _ = leaving(p, &line, &mut off, &mut flown);
        let throttle = (0.35 + (p.seen.t - start) / 3.0).min(1.0);
        (off <= 0.3).then(|| up(p, throttle))
    });
    flown.moment(
        "rotate",
        flown.moments.get("lift_off").copied().unwrap_or(start),
    );
    pilot.slips.since_s = pilot.seen.t;
    let leaves = speeds.vx - how.early;
    let waits = if how.early > 0.0 {
        leaves - GATHERS_MPS
    } else {
        leaves
    };
    pilot.fly(60.0, |p| {
        let wings = straight_out(p, &line);
        let climb = if p.seen.agl < CUSHION_M { 0.4 } else { 0.0 };
        (p.seen.ias < waits)
            .then(|| Goal::new(Nose::Climb(climb), wings, Power::Throttle(1.0)).at_rate(0.1))
    });
    flown.moment("left_cushion", pilot.seen.t);
    // Whoever leaves it early holds what there is until the obstacle's height.
    let slow = waits.min(how.speed);
    let brisk = if how.early > 0.0 { 0.2 } else { 0.08 };
    pilot.fly(60.0, |p| {
        let wings = straight_out(p, &line);
        (p.seen.agl < OBSTACLE_M)
            .then(|| Goal::new(Nose::Speed(slow), wings, Power::Throttle(1.0)).at_rate(brisk))
    });
    flown
}

/// Takes off and climbs at a speed straight ahead to 600 ft.
pub fn fly(pilot: &mut Pilot, speeds: &Speeds, runway: &Runway, speed: f64) -> Flown {
    let line = runway.line();
    let still = |seen: &Seen, throttle: f64| {
        Goal::new(Nose::Still, rolling(seen, &line), Power::Throttle(throttle))
    };
    pilot.controls.brakes = 1.0;
    pilot.controls.flap_rad = 0.0;
    pilot.trim_for_takeoff();
    pilot.fly(12.0, |p| Some(still(&p.seen, 0.0)));
    let mut flown = Flown::new("takeoff", pilot.seen.t);
    flown.moment("power_up", pilot.seen.t);
    pilot.controls.brakes = 0.0;
    let start = pilot.seen.t;
    pilot.fly(60.0, |p| {
        let throttle = ((p.seen.t - start) / 3.0).min(1.0);
        (p.seen.ias < speeds.rotate).then(|| still(&p.seen, throttle))
    });
    flown.moment("rotate", pilot.seen.t);
    pilot.slips.since_s = pilot.seen.t;
    let mut off = 0.0;
    pilot.fly(20.0, |p| {
        off = if p.seen.on_ground { 0.0 } else { off + 0.02 };
        if off > 0.3 {
            flown.moment("lift_off", p.seen.t - 0.3);
        }
        let wings = if off > 0.3 {
            follow(&p.seen, &line, 0.2, 0.0)
        } else {
            rolling(&p.seen, &line)
        };
        let more = p.seen.agl < 8.0 || p.seen.ias < speeds.vx;
        more.then(|| Goal::new(Nose::Pitch(0.15), wings, Power::Throttle(1.0)).at_rate(0.06))
    });
    pilot.fly(200.0, |p| {
        let wings = match follow(&p.seen, &line, 0.25, 0.0) {
            // Whoever lets the heading wander does not follow the center line.
            Wings::Bank(_) if p.slips.heading_rad != 0.0 => Wings::Heading(line.course),
            other => other,
        };
        (p.seen.agl < ENDS_M).then(|| Goal::new(Nose::Speed(speed), wings, Power::Throttle(1.0)))
    });
    flown.asked.insert("target_ias", speed);
    flown.end_s = pilot.seen.t;
    flown
}
