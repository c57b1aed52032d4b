//! Slow flight: behind the power curve, straight, turning, climbing or not.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::speeds::Speeds;

/// How it is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlowFlight {
    /// How long the speed is held, s.
    pub seconds: f64,
    /// Speed over the stall speed of the configuration.
    pub margin: f64,
    /// Flap detent.
    pub detent: usize,
    /// A turn of this many radians in the middle; 0 = straight.
    pub turn: f64,
    /// Whether it ends by speeding up again; otherwise the next maneuver begins out of it.
    pub recover: bool,
}

/// Flies it.
pub fn fly(pilot: &mut Pilot, speeds: &Speeds, how: &SlowFlight) -> Flown {
    let mut flown = Flown::new("slow_flight", pilot.seen.t);
    flown.direction = Some("straight");
    let (height, heading) = (pilot.seen.height, pilot.seen.heading);
    let flap = pilot
        .airframe()
        .flaps
        .get(how.detent)
        .map_or(0.0, |flap| flap.angle_rad);
    let full = pilot
        .airframe()
        .flaps
        .last()
        .map_or(1.0, |flap| flap.angle_rad)
        .max(1e-9);
    let stall = speeds.vs1 + (speeds.vs0 - speeds.vs1) * flap / full;
    let target = how.margin * stall;
    pilot.fly(90.0, |p| {
        if p.seen.ias < speeds.vfe - 2.0 && flap > p.controls.flap_rad {
            p.controls.flap_rad = flap;
            flown.moment("flap_down_1", p.seen.t);
        }
        (p.seen.ias > target + 1.0).then(|| {
            Goal::new(
                Nose::Height(height),
                Wings::Heading(heading),
                Power::Throttle(0.18),
            )
        })
    });
    flown.moment("established", pilot.seen.t);
    let slow = |wings| Goal::new(Nose::Speed(target), wings, Power::Height(height));
    if how.turn == 0.0 {
        pilot.hold(how.seconds, slow(Wings::Heading(heading)));
    } else {
        pilot.hold(0.4 * how.seconds, slow(Wings::Heading(heading)));
        let bank = 0.2 * how.turn.signum();
        let until = heading + how.turn;
        pilot.fly(120.0, |p| {
            let left = air::units::wrap_pi(until - p.seen.heading) * how.turn.signum();
            (left > 0.06).then(|| slow(Wings::Bank(bank)))
        });
        pilot.hold(0.4 * how.seconds, slow(Wings::Heading(until)));
    }
    if how.recover {
        let heading = pilot.seen.heading;
        flown.moment("recovery_input", pilot.seen.t);
        pilot.fly(60.0, |p| {
            if p.seen.ias > 1.25 * stall {
                p.controls.flap_rad = 0.0;
            }
            (p.seen.ias < 0.9 * speeds.cruise).then(|| {
                Goal::new(
                    Nose::Height(height),
                    Wings::Heading(heading),
                    Power::Throttle(1.0),
                )
            })
        });
    }
    flown.end_s = pilot.seen.t;
    flown.asked.insert("target_ias", target);
    if how.turn != 0.0 {
        flown
            .numbers
            .insert("turn_deg", how.turn.to_degrees().round());
    }
    flown
}
