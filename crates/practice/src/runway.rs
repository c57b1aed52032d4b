//! The runway and lines over the ground. Places are north and east of the threshold, m.

use crate::goal::Wings;
use crate::pilot::Seen;
use air::units::{G0_MPS2, wrap_pi};

/// A straight line over the ground.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Where it begins: north, east, m.
    pub from: [f64; 2],
    /// Its course, rad true.
    pub course: f64,
}

impl Line {
    /// How far along it a place lies, m.
    #[must_use]
    pub fn along(&self, place: [f64; 2]) -> f64 {
        let (s, c) = self.course.sin_cos();
        (place[0] - self.from[0]) * c + (place[1] - self.from[1]) * s
    }

    /// How far to its right a place lies, m.
    #[must_use]
    pub fn across(&self, place: [f64; 2]) -> f64 {
        let (s, c) = self.course.sin_cos();
        (place[1] - self.from[1]) * c - (place[0] - self.from[0]) * s
    }

    /// The place so far along it and so far to its right.
    #[must_use]
    pub fn place(&self, along: f64, across: f64) -> [f64; 2] {
        let (s, c) = self.course.sin_cos();
        [
            self.from[0] + along * c - across * s,
            self.from[1] + along * s + across * c,
        ]
    }

    /// The same line turned by an angle about one of its points.
    #[must_use]
    pub fn turned(&self, along: f64, across: f64, by: f64) -> Line {
        Line {
            from: self.place(along, across),
            course: self.course + by,
        }
    }
}

/// The bank that goes to a line and stays on it. `lacking` is the share of the wind correction that is missing: at one
/// only the heading is held.
#[must_use]
pub fn follow(seen: &Seen, line: &Line, most_bank: f64, lacking: f64) -> Wings {
    let back = (-0.003 * line.across(seen.place)).clamp(-0.7, 0.7) * (1.0 - lacking);
    let goes = seen.track + lacking * wrap_pi(seen.heading - seen.track);
    let off = wrap_pi(line.course + back - goes);
    Wings::Bank((1.3 * off).clamp(-most_bank, most_bank))
}

/// No more bank than this about a point: 45° (AFH ch. 7).
const MOST_BANK: f64 = 0.785;

/// The bank that flies a circle over the ground, `side` + right. `lacking` as in [`follow`]: at one the bank is that of
/// still air.
#[must_use]
pub fn around(seen: &Seen, center: [f64; 2], radius: f64, side: f64, lacking: f64) -> Wings {
    let (north, east) = (seen.place[0] - center[0], seen.place[1] - center[1]);
    let distance = north.hypot(east).max(1.0);
    let tangent = east.atan2(north) + side * std::f64::consts::FRAC_PI_2;
    let inward = (0.004 * (distance - radius)).clamp(-0.6, 0.6);
    let off = wrap_pi(tangent + side * inward - seen.track);
    // v²/(g r) at the speed over the ground: AFH ch. 7, steepest where the ground goes by fastest.
    let turns = (seen.groundspeed.powi(2) / (G0_MPS2 * radius)).atan();
    let right = side * turns + 1.3 * off;
    let still = side * (seen.tas.powi(2) / (G0_MPS2 * radius)).atan();
    Wings::Bank((right + lacking * (still - right)).clamp(-MOST_BANK, MOST_BANK))
}

/// The runway in use; its threshold is the reference point of the flight.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Runway {
    /// Its course, rad true.
    pub course: f64,
    /// Its length, m.
    pub length: f64,
}

impl Runway {
    /// Its center line from the threshold on.
    #[must_use]
    pub fn line(&self) -> Line {
        Line {
            from: [0.0, 0.0],
            course: self.course,
        }
    }
}
