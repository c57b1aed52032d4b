//! Unusual attitudes: somebody else makes them, the pilot recovers (AFH ch. 5; FAA-S-ACS-6C, VIII.E).

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::Pilot;
use crate::speeds::Speeds;

/// How it is flown.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Attitude {
    /// Nose low and fast instead of high and slow.
    pub nose_low: bool,
    /// −1 left, +1 right.
    pub side: f64,
    /// Pulls so long before it rolls level, s (nose low).
    pub pull_s: f64,
    /// Power so late, s.
    pub late_power_s: f64,
}

/// Into the attitude, out of it, level.
pub fn fly(pilot: &mut Pilot, speeds: &Speeds, how: &Attitude) -> Flown {
    let bank = how.side * if how.nose_low { 0.75 } else { 0.45 };
    let pitch = if how.nose_low { -0.26 } else { 0.40 };
    let throttle = if how.nose_low { 0.6 } else { 0.75 };
    let from = pilot.seen.t;
    pilot.fly(25.0, |p| {
        let there = if how.nose_low {
            p.seen.ias > 1.12 * speeds.cruise && p.seen.pitch < 0.8 * pitch
        } else {
            p.seen.ias < 1.22 * speeds.vs1
        };
        (!there || p.seen.t - from < 3.0).then(|| {
            Goal::new(
                Nose::Pitch(pitch),
                Wings::Bank(bank),
                Power::Throttle(throttle),
            )
            .at_rate(0.13)
        })
    });
    let mut flown = Flown::new("unusual_attitude_recovery", pilot.seen.t);
    flown.words.insert(
        "attitude",
        if how.nose_low {
            "nose_low"
        } else {
            "nose_high"
        },
    );
    flown.direction = Some(if how.nose_low {
        "nose_low"
    } else {
        "nose_high"
    });
    flown.moment("recovery_start", pilot.seen.t);
    let start = pilot.seen.t;
    let mut level = 0.0;
    let held = pilot.seen.bank;
    pilot.fly(40.0, |p| {
        let since = p.seen.t - start;
        let upright = p.seen.bank.abs() < 0.06 && p.seen.climb.abs() < 1.5;
        level = if upright { level + 0.02 } else { 0.0 };
        if p.seen.bank.abs() < 0.1 {
            flown.moment("wings_level", p.seen.t);
        }
        let (nose, wings, power) = if !how.nose_low {
            let power = if since >= how.late_power_s {
                1.0
            } else {
                throttle
            };
            let slow = p.seen.ias < 1.45 * speeds.vs1;
            let nose = if slow {
                Nose::Pitch(-0.05)
            } else {
                Nose::Climb(0.0)
            };
            (nose, Wings::Bank(0.0), power)
        } else if since < how.pull_s {
            (Nose::Pitch(0.05), Wings::Bank(held), 0.0)
        } else {
            // Power off, wings level, and only then the nose.
            let rolled = p.seen.bank.abs() < 0.2;
            let nose = if rolled {
                Nose::Climb(0.0)
            } else {
                Nose::Pitch(p.seen.pitch)
            };
            let power = if p.seen.ias > 1.05 * speeds.cruise {
                0.0
            } else {
                0.6
            };
            (nose, Wings::Bank(0.0), power)
        };
        (level < 1.5).then(|| Goal::new(nose, wings, Power::Throttle(power)).at_rate(0.12))
    });
    flown.end_s = pilot.seen.t;
    let (height, heading) = (pilot.seen.height, pilot.seen.heading);
    pilot.hold(
        15.0,
        Goal::new(
            Nose::Height(height),
            Wings::Heading(heading),
            Power::Speed(speeds.cruise),
        ),
    );
    flown
}
