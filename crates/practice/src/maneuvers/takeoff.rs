//! From standing on the runway to the climb (AFH, FAA-H-8083-3C, ch. 6).

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
