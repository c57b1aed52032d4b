//! A go-around from final (AFH ch. 9): power, attitude, flaps in steps.

use super::landing::{self, Landing};
use super::pattern::Pattern;
use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::runway::follow;
use crate::speeds::Speeds;
use air::units::M_PER_FT;

/// How it is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GoAround {
    /// Height of the decision above the field, m.
    pub at_height: f64,
    /// Full power so late, s.
    pub late_power_s: f64,
    /// Held level so long before the climb, s.
    pub level_s: f64,
    /// Flaps all at once.
    pub together: bool,
    /// Flaps stay.
    pub flaps_stay: bool,
}

/// Approaches, goes around and climbs straight out to 600 ft.
pub fn fly(
    pilot: &mut Pilot,
    speeds: &Speeds,
    pattern: &Pattern,
    approach: &Landing,
    how: &GoAround,
) -> Flown {
    let mut before = Flown::default();
    let slips = std::mem::take(&mut pilot.slips);
    landing::approach(pilot, speeds, pattern, approach, how.at_height, &mut before);
    pilot.slips = slips;
    pilot.slips.since_s = pilot.seen.t;
    let mut flown = Flown::new("go_around", pilot.seen.t);
    flown.moment("decision", pilot.seen.t);
    flown.asked.insert("target_ias", speeds.vy);
    let line = pattern.upwind();
    let start = pilot.seen.t;
    let full = start + how.late_power_s;
    let mut detents: Vec<f64> = pilot
        .airframe()
        .flaps
        .iter()
        .map(|flap| flap.angle_rad)
        .filter(|angle| *angle < pilot.controls.flap_rad - 1e-9)
        .collect();
    let (mut wait, mut step) = (1.0, 0);
    pilot.fly(150.0, |p| {
        wait -= 0.02;
        let power = if p.seen.t >= full {
            flown.moment("full_power", full);
            1.0
        } else {
            p.controls.throttle
        };
        if p.seen.climb > 1.0 {
            flown.moment("positive_climb", p.seen.t);
        }
        // The first step takes away drag and hardly lift: at once. The others wait for a climb.
        let ready = p.seen.climb > 0.5 || how.together || step == 0;
        if !how.flaps_stay && p.seen.t > full && wait <= 0.0 && ready {
            let next = if how.together {
                detents.drain(..).next()
            } else {
                detents.pop()
            };
            if let Some(angle) = next {
                p.controls.flap_rad = angle;
                step += 1;
                wait = 4.0;
                flown.moment(format!("flap_up_{step}"), p.seen.t);
            }
        }
        let nose = if p.seen.t < start + how.level_s {
            Nose::Climb(0.0)
        } else if p.seen.ias < 0.9 * speeds.vy && p.seen.t < full + 8.0 {
            Nose::Pitch(0.10)
        } else {
            Nose::Speed(speeds.vy)
        };
        let wings = if p.slips.heading_rad == 0.0 {
            follow(&p.seen, &line, 0.25, 0.0)
        } else {
            Wings::Heading(line.course)
        };
        (p.seen.agl < 600.0 * M_PER_FT)
            .then(|| Goal::new(nose, wings, Power::Throttle(power)).at_rate(0.09))
    });
    flown.end_s = pilot.seen.t;
    pilot.controls.flap_rad = 0.0;
    flown
}
