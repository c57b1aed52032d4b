//! The strip as the roll on it shows it: its direction, its line, its altitude. Its ends stay unknown.

use super::ground::Ground;
use crate::phases::motion::Motion;
use crate::{Kind, Span};
use flight::{Flight, Origin};

/// A strip learned from one roll.
#[derive(Clone, Copy, Debug)]
pub struct Strip {
    /// Direction of the roll, true, rad.
    pub course_rad: f64,
    /// 1-σ of it.
    pub course_sigma_rad: f64,
    /// A point of its line, m east and north; `None` without a position.
    pub point: Option<(f64, f64)>,
    /// Altitude on it as the flight gives altitudes, m.
    pub level_m: f64,
    /// 1-σ of a height above it, m.
    pub height_sigma_m: f64,
    /// Origin of heights above it.
    pub origin: Origin,
}

/// A roll shorter than this gives no direction of its own, m: a receiver's noise turns it by degrees.
const LEAST_ROLL_M: f64 = 40.0;

impl Strip {
    /// Learns it from the roll between two times; `None` when not even the altitude is known.
    pub fn of_roll(motion: &Motion, ground: &Ground, from_s: f64, to_s: f64) -> Option<Strip> {
        let level_m = motion.altitude.median(from_s, to_s);
        if !level_m.is_finite() {
            return None;
        }
        let line = line(ground, from_s, to_s);
        let (heading_sigma, _) = motion.quality(motion.flight.heading.as_ref(), from_s);
        let heading = motion.heading.median(from_s, to_s);
        let (course_rad, course_sigma_rad) = match line {
            Some((course, sigma, _)) => (course, sigma),
            None => (heading, heading_sigma.max(2_f64.to_radians())),
        };
        if !course_rad.is_finite() {
            return None;
        }
        let (_, origin) = motion.altitude_quality(from_s);
        Some(Strip {
            course_rad,
            course_sigma_rad,
            point: line.map(|(_, _, point)| point),
            level_m,
            // The static port reads otherwise near the ground, and the strip itself may slope.
            height_sigma_m: motion.altitude_change_sigma_m(1.0).hypot(0.5),
            origin,
        })
    }

    /// Metres along the strip's direction and to the right of its line, from the point that it was learned at.
    pub fn along_across(&self, place: (f64, f64)) -> Option<(f64, f64)> {
        let (east, north) = self.point?;
        let (east, north) = (place.0 - east, place.1 - north);
        let (sin, cos) = self.course_rad.sin_cos();
        Some((east * sin + north * cos, east * cos - north * sin))
    }

    /// Height from which the wheels may touch, m: what the altitude cannot tell from nothing.
    pub fn near_m(&self) -> f64 {
        (1.2 * self.height_sigma_m).max(0.6)
    }
}

/// Direction of a roll, its σ, and the middle of it.
fn line(ground: &Ground, from_s: f64, to_s: f64) -> Option<(f64, f64, (f64, f64))> {
    let points: Vec<(f64, f64)> = ground
        .east
        .samples(from_s, to_s)
        .into_iter()
        .filter_map(|(at_s, _)| ground.place(at_s))
        .collect();
    let (first, last) = (points.first()?, points.last()?);
    let length = (last.0 - first.0).hypot(last.1 - first.1);
    if length < LEAST_ROLL_M {
        return None;
    }
    let count = points.len() as f64;
    let middle = points.iter().fold((0.0, 0.0), |sum, p| {
        (sum.0 + p.0 / count, sum.1 + p.1 / count)
    });
    // Main axis of the scatter: the line with the least square distance of all points.
    let (mut ee, mut nn, mut en) = (0.0, 0.0, 0.0);
    for point in &points {
        let (e, n) = (point.0 - middle.0, point.1 - middle.1);
        ee += e * e;
        nn += n * n;
        en += e * n;
    }
    let axis = 0.5 * (2.0 * en).atan2(nn - ee);
    let rolled = (last.0 - first.0).atan2(last.1 - first.1);
    let forward = air::units::wrap_pi(axis - rolled).abs() < std::f64::consts::FRAC_PI_2;
    let course = if forward {
        axis
    } else {
        axis + std::f64::consts::PI
    };
    // Half a meter of noise beside the line from end to end, and a degree for a roll that wandered.
    let sigma = (0.5_f64.atan2(length)).hypot(0.7_f64.to_radians());
    Some((air::units::wrap_tau(course), sigma, middle))
}

/// Altitude of the field by the flight's other contacts with it, and its σ, m: strips slope, and the altimeter
/// setting of an hour ago is not that of now. `None` where there are none.
pub fn field_level(flight: &Flight, others: &[Span]) -> Option<(f64, f64)> {
    let altitude = flight.altitude.as_ref().or(flight.height.as_ref())?;
    // An engine-out approach has a moment of its own only where it ended in a landing.
    let touches = |span: &&Span| {
        matches!(
            span.kind,
            Kind::Takeoff | Kind::Landing | Kind::PowerOff180 | Kind::EngineOutApproach
        )
    };
    let mut levels: Vec<f64> = others
        .iter()
        .filter(touches)
        .filter_map(|span| span.anchor_s)
        .map(|at_s| altitude.at(flight.clock.index(at_s)))
        .filter(|level| level.is_finite())
        .collect();
    levels.sort_by(f64::total_cmp);
    let level = *levels.get(levels.len() / 2)?;
    Some((level, 3.0))
}
