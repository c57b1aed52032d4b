//! The traffic pattern: crosswind, downwind, base and final about a runway (AFH ch. 8), on the side that is asked for.

use crate::goal::{Goal, Nose, Power, Wings};
use crate::log::Flown;
use crate::pilot::{Pilot, Seen};
use crate::runway::{Line, Runway, follow};
use crate::speeds::Speeds;
use air::units::{G0_MPS2, M_PER_FT, wrap_pi};
use std::f64::consts::{FRAC_PI_2, PI};

/// Height of the pattern above the field, m: 1,000 ft (AFH ch. 8).
pub const HEIGHT_M: f64 = 1000.0 * M_PER_FT;
/// Distance of the downwind from the runway, m: half to one mile (AFH ch. 8).
pub const OUT_M: f64 = 1100.0;
/// Distance of the base leg behind the threshold, m.
pub const BASE_M: f64 = 1400.0;
/// Bank of the turns, rad.
pub const BANK: f64 = 0.45;

/// A runway with traffic to one side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pattern {
    /// The runway.
    pub runway: Runway,
    /// −1 left, +1 right.
    pub side: f64,
    /// Share of the wind correction that is missing.
    pub lacking: f64,
}

impl Pattern {
    /// The upwind leg and the final: the runway itself.
    #[must_use]
    pub fn upwind(&self) -> Line {
        self.runway.line()
    }

    /// The crosswind leg, so far past the threshold.
    #[must_use]
    pub fn crosswind(&self, along: f64) -> Line {
        self.upwind().turned(along, 0.0, self.side * FRAC_PI_2)
    }

    /// The downwind leg; its zero lies abeam the threshold, positive past it.
    #[must_use]
    pub fn downwind(&self) -> Line {
        self.upwind().turned(0.0, self.side * OUT_M, PI)
    }

    /// The base leg, so far behind the threshold.
    #[must_use]
    pub fn base(&self, behind: f64) -> Line {
        let across = self.side * OUT_M;
        self.upwind()
            .turned(-behind, across, -self.side * FRAC_PI_2)
    }

    /// How far it is to a line ahead, m; negative past it.
    #[must_use]
    pub fn short_of(&self, seen: &Seen, line: &Line) -> f64 {
        self.side * line.across(seen.place)
    }
}

/// How far before a line a turn of 90° onto it begins, m.
#[must_use]
pub fn lead(seen: &Seen) -> f64 {
    let radius = seen.groundspeed * seen.tas / (G0_MPS2 * BANK.tan());
    // Rolling in and out takes about two seconds of the way.
    radius + seen.groundspeed
}

/// Goes to a place at a height and cruise.
pub fn go_to(pilot: &mut Pilot, place: [f64; 2], height: f64, speed: f64) {
    pilot.controls.flap_rad = 0.0;
    pilot.fly(3600.0, |p| {
        let (north, east) = (place[0] - p.seen.place[0], place[1] - p.seen.place[1]);
        let off = wrap_pi(east.atan2(north) - p.seen.track);
        let off = (1.3 * off).clamp(-0.45, 0.45);
        (north.hypot(east) > 250.0)
            .then(|| Goal::new(Nose::Height(height), Wings::Bank(off), Power::Speed(speed)))
    });
}

/// Flies from wherever it is onto the downwind, to the point abeam the threshold: round by the crosswind leg after a takeoff
/// or a go-around, else by an entry at 45° to the middle of the downwind.
pub fn to_abeam(pilot: &mut Pilot, speeds: &Speeds, pattern: &Pattern, speed: f64) -> Flown {
    let upwind = pattern.upwind();
    let away = wrap_pi(pilot.seen.track - upwind.course).abs() < 0.5
        && upwind.across(pilot.seen.place).abs() < 400.0
        && pilot.seen.agl < 330.0
        && upwind.along(pilot.seen.place) > 0.0;
    let downwind = pattern.downwind();
    if !away {
        let middle = -0.5 * pattern.runway.length;
        let entry = downwind.place(middle - 2500.0, -pattern.side * 2500.0);
        go_to(pilot, entry, HEIGHT_M, speeds.cruise);
    }
    let mut flown = Flown::new("traffic_pattern", pilot.seen.t);
    flown.optional = true;
    flown.direction = Some(if pattern.side > 0.0 { "right" } else { "left" });
    let power = |seen: &Seen| {
        if seen.height < HEIGHT_M - 15.0 {
            (Nose::Speed(speeds.vy), Power::Throttle(1.0))
        } else {
            (Nose::Height(HEIGHT_M), Power::Speed(speed))
        }
    };
    if away {
        // Crosswind within 300 ft of the pattern's height and past the runway (AFH ch. 8).
        leg(pilot, &upwind, pattern.lacking, power, |seen| {
            seen.agl < HEIGHT_M - 300.0 * M_PER_FT
                || upwind.along(seen.place) < pattern.runway.length
        });
        let crosswind = pattern.crosswind(upwind.along(pilot.seen.place) + lead(&pilot.seen));
        leg(pilot, &crosswind, pattern.lacking, power, |seen| {
            crosswind.along(seen.place) < OUT_M - lead(seen)
        });
    } else {
        leg(pilot, &downwind, pattern.lacking, power, |seen| {
            downwind.along(seen.place) < -0.5 * pattern.runway.length
        });
    }
    leg(pilot, &downwind, pattern.lacking, power, |seen| {
        downwind.along(seen.place) < 0.0
    });
    flown.end_s = pilot.seen.t;
    flown.asked.insert("target_ias", speed);
    flown
        .numbers
        .insert("pattern_altitude_agl", HEIGHT_M / M_PER_FT);
    flown
}

fn leg(
    pilot: &mut Pilot,
    line: &Line,
    lacking: f64,
    power: impl Fn(&Seen) -> (Nose, Power),
    more: impl Fn(&Seen) -> bool,
) {
    let from = pilot.seen.t;
    pilot.fly(400.0, |p| {
        // The wind shows once the wings are level: a heading alone would drift from the first moment.
        let lacking = if p.seen.t - from < 15.0 { 0.0 } else { lacking };
        more(&p.seen).then(|| {
            let (nose, power) = power(&p.seen);
            Goal::new(nose, follow(&p.seen, line, BANK, lacking), power)
        })
    });
}
