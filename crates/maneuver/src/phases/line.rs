//! The straight line on the ground that S-turns were flown across, solved from the path.
//!
//! Three things speak of its direction: the places where the wings came level lie along it, it is crossed at right
//! angles, and it is chosen across the wind (FAA-H-8083-3C, chapter 7). Each alone can be wrong: uncorrected wind
//! shifts every crossing a little further downwind, which tilts the line through them.

use super::ground::Ground;
use super::solve::Normal;

/// How well the places of a student's reversals give a direction at best, rad (2°).
const PLACES_RAD: f64 = 0.035;
/// How nearly at right angles one crossing is flown, rad (6°).
const CROSSING_RAD: f64 = 0.105;
/// How nearly a line is across the wind, rad (15°): fields and roads lie as they lie.
const ACROSS_RAD: f64 = 0.26;
/// How exactly anybody reverses over the line, m: a third of a second of flight.
const REVERSAL_M: f64 = 15.0;

/// A line on the ground.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    /// A place on it, m east and north.
    pub on: (f64, f64),
    /// Its direction, rad, 0 to π.
    pub direction_rad: f64,
    /// 1-σ of the direction, rad; zero where a person gave it.
    pub direction_sigma_rad: f64,
    /// 1-σ of where it lies, m.
    pub sigma_m: f64,
}

impl Line {
    /// Distance of a place to its right, looking along it, m.
    #[must_use]
    pub fn right_of(&self, place: (f64, f64)) -> f64 {
        let (sin, cos) = self.direction_rad.sin_cos();
        (place.0 - self.on.0) * cos - (place.1 - self.on.1) * sin
    }
    /// Distance along it, m.
    #[must_use]
    pub fn along(&self, place: (f64, f64)) -> f64 {
        let (sin, cos) = self.direction_rad.sin_cos();
        (place.0 - self.on.0) * sin + (place.1 - self.on.1) * cos
    }
    /// How far a track is from crossing it at right angles, rad, 0 to π/2.
    #[must_use]
    pub fn off_square_rad(&self, track_rad: f64) -> f64 {
        (track_rad - self.direction_rad).cos().abs().clamp(0.0, 1.0).asin()
    }
}

/// The line of the reversals: `level` are the moments of wings level with their weights (the first and the last are
/// roll-in and roll-out, which may be anywhere). `None` with fewer than two of weight.
#[must_use]
pub fn solve(ground: &Ground, level: &[(f64, f64)]) -> Option<Line> {
    let known: Vec<(f64, (f64, f64), f64)> = level
        .iter()
        .map(|(time_s, weight)| (*time_s, ground.at(*time_s), *weight))
        .filter(|(_, place, weight)| place.0.is_finite() && place.1.is_finite() && *weight > 0.0)
        .collect();
    if known.len() < 2 {
        return None;
    }
    let (direction_rad, direction_sigma_rad) = direction(ground, &known)?;
    let middle = mean(&known);
    let line = Line {
        on: middle,
        direction_rad,
        direction_sigma_rad,
        sigma_m: 0.0,
    };
    Some(placed(line, ground, &known))
}

/// Weighted mean of the places.
fn mean(known: &[(f64, (f64, f64), f64)]) -> (f64, f64) {
    let sum: f64 = known.iter().map(|(_, _, weight)| weight).sum();
    let east: f64 = known.iter().map(|(_, place, weight)| weight * place.0).sum();
    let north: f64 = known.iter().map(|(_, place, weight)| weight * place.1).sum();
    (east / sum, north / sum)
}

/// The direction by all that speaks of it, weighed; doubled angles, since a line has no front.
fn direction(ground: &Ground, known: &[(f64, (f64, f64), f64)]) -> Option<(f64, f64)> {
    let middle = mean(known);
    let (mut xx, mut xy, mut yy, mut all) = (0.0, 0.0, 0.0, 0.0);
    for (_, place, weight) in known {
        let (x, y) = (place.0 - middle.0, place.1 - middle.1);
        xx += weight * x * x;
        xy += weight * x * y;
        yy += weight * y * y;
        all += weight;
    }
    // The main axis of the places, from north to east.
    let places = 0.5 * (2.0 * xy).atan2(yy - xx);
    let spread = (xx - yy).hypot(2.0 * xy);
    let length_square = 0.5 * (xx + yy + spread);
    let beside_square = 0.5 * (xx + yy - spread).max(0.0) + REVERSAL_M * REVERSAL_M;
    let places_sigma = PLACES_RAD.hypot((beside_square / length_square.max(1.0)).sqrt().min(1.0));
    let mut parts = vec![(places, places_sigma.hypot(0.5 * tilted(ground, known, places)))];
    let (mut sin, mut cos) = (0.0, 0.0);
    for (time_s, _, weight) in known {
        let track = ground.course(time_s - 1.0, time_s + 1.0);
        if track.is_finite() {
            sin += weight * (2.0 * track).sin();
            cos += weight * (2.0 * track).cos();
        }
    }
    let square = 0.5 * sin.atan2(cos) + std::f64::consts::FRAC_PI_2;
    parts.push((square, CROSSING_RAD / all.max(1.0).sqrt()));
    if let Some(wind) = ground.wind.filter(super::ground::Wind::is_felt) {
        let across = wind.downwind_rad() + std::f64::consts::FRAC_PI_2;
        parts.push((across, ACROSS_RAD.hypot(wind.direction_sigma_rad())));
    }
    let (mut sin, mut cos, mut weights) = (0.0, 0.0, 0.0);
    for (angle, sigma) in &parts {
        let weight = sigma.powi(-2);
        sin += weight * (2.0 * angle).sin();
        cos += weight * (2.0 * angle).cos();
        weights += weight;
    }
    let direction = (0.5 * sin.atan2(cos)).rem_euclid(std::f64::consts::PI);
    // Voices that differ by more than they may make the answer less sure.
    let quarrel: f64 = parts
        .iter()
        .map(|(angle, sigma)| ((angle - direction).sin() / sigma).powi(2))
        .sum();
    let share = (quarrel / (parts.len() as f64 - 1.0)).max(1.0);
    direction
        .is_finite()
        .then_some((direction, (share / weights).sqrt()))
}

/// How far an uncorrected wind would have tilted the line through the places, rad.
fn tilted(ground: &Ground, known: &[(f64, (f64, f64), f64)], direction_rad: f64) -> f64 {
    let (Some(first), Some(last), Some(wind)) = (known.first(), known.last(), ground.wind) else {
        return 0.0;
    };
    let (sin, cos) = direction_rad.sin_cos();
    let along = (last.1.0 - first.1.0) * sin + (last.1.1 - first.1.1) * cos;
    let blown = (wind.east_mps * cos - wind.north_mps * sin) * (last.0 - first.0);
    blown.abs().atan2(along.abs())
}

/// Puts the line where the reversals are; where they wander off downwind one after the other, where the first was.
fn placed(mut line: Line, ground: &Ground, known: &[(f64, (f64, f64), f64)]) -> Line {
    let first_s = known.first().map_or(0.0, |(time_s, _, _)| *time_s);
    let mut drifting = Normal::<2>::default();
    for (time_s, place, weight) in known {
        let row = [1.0, time_s - first_s];
        drifting.add(row, line.right_of(*place), weight * REVERSAL_M.powi(-2));
    }
    let total: f64 = known.iter().map(|(_, _, weight)| weight).sum();
    let beside: f64 = known
        .iter()
        .map(|(_, place, weight)| weight * line.right_of(*place).powi(2))
        .sum();
    line.sigma_m = (REVERSAL_M.powi(2) + beside / total).sqrt() / total.max(1.0).sqrt();
    let carried = drifting.solved().filter(|_| known.len() > 2);
    if let (Some((answer, variance)), Some(wind)) = (carried, ground.wind) {
        let (sin, cos) = line.direction_rad.sin_cos();
        let blown = wind.east_mps * cos - wind.north_mps * sin;
        let share = answer[1] / blown;
        let sure = answer[1].abs() > 2.5 * (line.sigma_m / REVERSAL_M).max(1.0) * variance[1].sqrt();
        if sure && wind.is_felt() && (0.3..1.6).contains(&share) {
            line.on = (line.on.0 + answer[0] * cos, line.on.1 - answer[0] * sin);
            line.sigma_m = variance[0].sqrt();
        }
    }
    line
}
