//! Eights on pylons (AFH ch. 10): at the pivotal altitude v²/g of the speed over the ground the pylon stays on the wing.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::runway::Line;
use air::geodesy::LocalFrame;
use air::units::{G0_MPS2, M_PER_FT, wrap_pi};
use std::f64::consts::FRAC_PI_2;

/// How they are flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pylons {
    /// First turn: −1 left, +1 right.
    pub side: f64,
    /// Distance of the pylons abeam, m.
    pub distance: f64,
    /// Indicated airspeed, m/s.
    pub speed: f64,
}

/// How long the straight part between the pylons is, s: 3 to 5 (AFH ch. 10).
const BETWEEN_S: f64 = 4.0;

/// Rolling out takes so long, s.
const ROLL_S: f64 = 5.0;

/// About one pylon, over to the other one, about that: one eight.
pub fn fly(pilot: &mut Pilot, how: &Pylons, frame: Option<&LocalFrame>) -> Flown {
    let mut flown = Flown::new("eights_on_pylons", pilot.seen.t);
    let throttle = pilot.controls.throttle;
    flown.direction = Some(if how.side > 0.0 {
        "right_left"
    } else {
        "left_right"
    });
    for (number, side) in [how.side, -how.side].into_iter().enumerate() {
        let path = Line {
            from: pilot.seen.place,
            course: pilot.seen.track,
        };
        let pylon = path.place(0.0, side * how.distance);
        if let Some(frame) = frame {
            let place = frame.place(pylon[1], pylon[0], 0.0);
            let names = [
                ["pylon_1_lat", "pylon_1_lon"],
                ["pylon_2_lat", "pylon_2_lon"],
            ];
            flown
                .numbers
                .insert(names[number][0], place.latitude_rad.to_degrees());
            flown
                .numbers
                .insert(names[number][1], place.longitude_rad.to_degrees());
        }
        let (mut turned, mut last) = (0.0, pilot.seen.heading);
        pilot.fly(120.0, |p| {
            turned += side * wrap_pi(p.seen.heading - last);
            last = p.seen.heading;
            let (north, east) = (pylon[0] - p.seen.place[0], pylon[1] - p.seen.place[1]);
            // Ahead of the wing it is too high, behind it too low: down and up by what the eye sees.
            let ahead = side * wrap_pi(p.seen.heading + side * FRAC_PI_2 - east.atan2(north));
            let pivotal = p.seen.groundspeed.powi(2) / G0_MPS2 + p.slips.height_m;
            let off = pivotal - 40.0 * ahead.clamp(-0.6, 0.6) - p.seen.height;
            let bank = (p.seen.agl / north.hypot(east).max(50.0)).atan();
            let goal = Goal::new(
                Nose::Climb((0.25 * off).clamp(-7.0, 6.0)),
                Wings::Bank(side * bank.min(0.75)),
                Power::Throttle(throttle),
            )
            .at_rate(0.1);
            // Round by three quarters: across to the other pylon.
            (turned < 4.5).then_some(goal)
        });
        flown.moment(format!("pylon_{}_end", number + 1), pilot.seen.t);
        if number == 0 {
            let heading = pilot.seen.heading;
            pilot.fly(BETWEEN_S + ROLL_S, |p| {
                let height = p.seen.groundspeed.powi(2) / G0_MPS2;
                let wings = Wings::Heading(heading);
                Some(Goal::new(
                    Nose::Height(height),
                    wings,
                    Power::Throttle(throttle),
                ))
            });
        }
    }
    flown.end_s = pilot.seen.t;
    flown.asked.insert("entry_ias", how.speed);
    flown
        .numbers
        .insert("distance_ft", (how.distance / M_PER_FT).round());
    flown
}
