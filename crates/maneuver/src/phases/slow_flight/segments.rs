//! The parts of slow flight: straight, turns, climbs, descents.

use crate::phases::motion::Motion;
use crate::phases::sheet::Sheet;
use flight::Origin;

/// One part.
#[derive(Clone, Copy, Debug)]
pub struct Segment {
    /// `straight`, `turn_left`, `turn_right`, `climb` or `descend`.
    pub kind: &'static str,
    /// Start, s.
    pub start_s: f64,
    /// End, s.
    pub end_s: f64,
}

/// Bank that makes a turn, rad: half of the 10° that slow-flight turns are flown with.
const TURN_RAD: f64 = 5.0 * std::f64::consts::PI / 180.0;
/// Climb or descent that may be meant, m/s: about 100 ft/min, all that some trainers climb at that speed
/// with the flaps down.
const CLIMB_MPS: f64 = 0.5;
/// A descent that is meant, m/s: 200 ft/min; any airplane descends faster when it is to, and a slower one is
/// a drift.
const DESCENT_MPS: f64 = 200.0 * air::units::MPS_PER_FPM;
/// Height change that is meant, m: the 100 ft by which height may stray in level flight.
const MEANT_M: f64 = 100.0 * air::units::M_PER_FT;
/// A shorter part is a passage between two others, s.
const SHORTEST_S: f64 = 8.0;
/// Time to settle after a change before altitude and heading are judged, s.
const SETTLE_S: f64 = 4.0;

/// Parts between two times.
pub fn find(motion: &Motion, from_s: f64, to_s: f64) -> Vec<Segment> {
    let bank = motion.bank.smooth(2.0);
    let climb = motion.climb.smooth(12.0);
    let kind = |at: f64| {
        let (bank, climb) = (bank.at(at), climb.at(at));
        if bank > TURN_RAD {
            "turn_right"
        } else if bank < -TURN_RAD {
            "turn_left"
        } else if climb > CLIMB_MPS {
            "climb"
        } else if climb < -DESCENT_MPS {
            "descend"
        } else {
            "straight"
        }
    };
    let count = ((to_s - from_s) * 2.0).max(0.0) as usize;
    let mut parts: Vec<Segment> = Vec::new();
    for step in 0..count.min(100_000) {
        let at = from_s + 0.5 * step as f64;
        let now = kind(at);
        match parts.last_mut() {
            Some(last) if last.kind == now => last.end_s = at + 0.5,
            _ => parts.push(Segment {
                kind: now,
                start_s: at,
                end_s: at + 0.5,
            }),
        }
    }
    meant(motion, &mut parts);
    join(parts)
}

/// A climb or descent of a few feet was not meant: it is part of flying level.
fn meant(motion: &Motion, parts: &mut Vec<Segment>) {
    let altitude = motion.altitude.smooth(1.0);
    for part in parts.iter_mut().filter(|part| part.is_vertical()) {
        let change = altitude.at(part.end_s) - altitude.at(part.start_s);
        if change.abs() < MEANT_M {
            part.kind = "straight";
        }
    }
    let mut joined: Vec<Segment> = Vec::new();
    for part in parts.drain(..) {
        match joined.last_mut() {
            Some(last) if last.kind == part.kind => last.end_s = part.end_s,
            _ => joined.push(part),
        }
    }
    *parts = joined;
}

/// Drops passages and joins what they parted.
fn join(parts: Vec<Segment>) -> Vec<Segment> {
    let mut joined: Vec<Segment> = Vec::new();
    for part in parts
        .into_iter()
        .filter(|part| part.end_s - part.start_s >= SHORTEST_S)
    {
        match joined.last_mut() {
            Some(last) if last.kind == part.kind && part.start_s - last.end_s < SHORTEST_S => {
                last.end_s = part.end_s;
            }
            _ => joined.push(part),
        }
    }
    joined
}

/// What the setup began on: height and heading to hold.
#[derive(Clone, Copy, Debug)]
pub struct Entry {
    /// Altitude, m.
    pub altitude_m: f64,
    /// Heading, rad, continuous.
    pub heading_rad: f64,
}

/// Worst over all parts: altitude in level parts, heading in straight, climbing and descending ones.
///
/// Altitude is judged from what it was when the setup began, until a climb or descent was meant; heading
/// from the same, until a turn was. Nobody said the altitude: a pilot may have meant another 30 ft away.
pub fn write(motion: &Motion, segments: &[Segment], entry: Entry, sheet: &mut Sheet) {
    let (mut altitude, mut levels, mut heading) =
        (Worst::default(), Worst::default(), Worst::default());
    let (mut climbed, mut turned) = (false, false);
    for (place, part) in segments.iter().enumerate() {
        let vertical = part.is_vertical();
        let turning = part.kind.starts_with("turn");
        let from = part.start_s + if place > 0 { SETTLE_S } else { 0.0 };
        let to = match segments.get(place + 1) {
            Some(next) if next.is_vertical() && !vertical => part.end_s - SETTLE_S,
            _ => part.end_s,
        };
        climbed |= vertical;
        turned |= turning;
        if !vertical {
            let held = motion.altitude.held(from, to, 1.0);
            let level = if climbed {
                motion.altitude.mean(from, from + 3.0)
            } else {
                entry.altitude_m
            };
            altitude.take(held, level);
            levels.take(held, 0.0);
        }
        if !turning {
            let settled = if turned {
                motion.heading.mean(from, from + 2.0)
            } else {
                entry.heading_rad
            };
            heading.take(motion.heading.held(from, to, 1.0), settled);
        }
    }
    let (sigma, origin) = motion.altitude_quality(motion.from_s);
    sheet.fact("level_altitude_low", levels.low, "m", sigma, origin);
    sheet.fact("level_altitude_high", levels.high, "m", sigma, origin);
    let sigma = motion
        .altitude_change_sigma_m(1.0)
        .hypot(30.0 * air::units::M_PER_FT);
    sheet.fact("altitude_low", altitude.low, "m", sigma, Origin::Assumed);
    sheet.fact("altitude_high", altitude.high, "m", sigma, Origin::Assumed);
    let (sigma, origin) = motion.quality(motion.flight.heading.as_ref(), motion.from_s);
    let sigma = sigma.max(1.5f64.to_radians());
    sheet.fact("heading_low", heading.low, "rad", sigma, origin);
    sheet.fact("heading_high", heading.high, "rad", sigma, origin);
}

impl Segment {
    fn is_vertical(&self) -> bool {
        matches!(self.kind, "climb" | "descend")
    }
}

/// Lowest and highest deviation so far; NaN until something was seen.
struct Worst {
    low: f64,
    high: f64,
}

impl Default for Worst {
    fn default() -> Self {
        Worst {
            low: f64::NAN,
            high: f64::NAN,
        }
    }
}

impl Worst {
    fn take(&mut self, held: Option<(f64, f64)>, zero: f64) {
        if let (Some((low, high)), true) = (held, zero.is_finite()) {
            self.low = self.low.min(low - zero);
            self.high = self.high.max(high - zero);
        }
    }
}
