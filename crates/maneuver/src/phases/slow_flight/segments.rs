//! The parts of slow flight: straight, turns, climbs, descents.

use crate::phases::motion::Motion;
use crate::phases::sheet::Sheet;

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
/// Climb or descent that is meant, m/s: about 150 ft/min.
const CLIMB_MPS: f64 = 0.75;
/// A shorter part is a passage between two others, s.
const SHORTEST_S: f64 = 8.0;
/// Time to settle after a change before altitude and heading are judged, s.
const SETTLE_S: f64 = 4.0;

/// Parts between two times.
pub fn find(motion: &Motion, from_s: f64, to_s: f64) -> Vec<Segment> {
    let bank = motion.bank.smooth(2.0);
    let climb = motion.climb.smooth(8.0);
    let kind = |at: f64| {
        let (bank, climb) = (bank.at(at), climb.at(at));
        if bank > TURN_RAD {
            "turn_right"
        } else if bank < -TURN_RAD {
            "turn_left"
        } else if climb > CLIMB_MPS {
            "climb"
        } else if climb < -CLIMB_MPS {
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
    join(parts)
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

/// Worst over all parts: altitude in level parts, heading in straight, climbing and descending ones.
pub fn write(motion: &Motion, segments: &[Segment], sheet: &mut Sheet) {
    let zero = segments
        .iter()
        .find(|part| !matches!(part.kind, "climb" | "descend"))
        .map_or(f64::NAN, |part| {
            motion.altitude.mean(part.start_s, part.start_s + 3.0)
        });
    let mut altitude = Worst::default();
    let mut heading = Worst::default();
    let mut changed_level = false;
    for part in segments {
        let from = part.start_s + SETTLE_S;
        let vertical = matches!(part.kind, "climb" | "descend");
        // After a climb the level to hold is a new one: where this part began.
        changed_level |= vertical;
        let level = if changed_level {
            motion.altitude.mean(from, from + 3.0)
        } else {
            zero
        };
        if !vertical {
            altitude.take(motion.altitude.held(from, part.end_s, 1.0), level);
        }
        if !part.kind.starts_with("turn") {
            let settled = motion.heading.mean(from, from + 2.0);
            heading.take(motion.heading.held(from, part.end_s, 1.0), settled);
        }
    }
    let (_, origin) = motion.altitude_quality(motion.from_s);
    let sigma = motion.altitude_change_sigma_m(1.0);
    sheet.fact("altitude_low", altitude.low, "m", sigma, origin);
    sheet.fact("altitude_high", altitude.high, "m", sigma, origin);
    let (sigma, origin) = motion.quality(motion.flight.heading.as_ref(), motion.from_s);
    sheet.fact("heading_low", heading.low, "rad", sigma, origin);
    sheet.fact("heading_high", heading.high, "rad", sigma, origin);
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
