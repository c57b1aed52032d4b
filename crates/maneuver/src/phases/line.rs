//! The straight line on the ground that S-turns were flown across, solved from the path.
//!
//! Three things speak of its direction: the places where the wings came level lie along it, it is crossed at right
//! angles, and it is chosen across the wind (FAA-H-8083-3C, chapter 7). Each alone can be wrong: uncorrected wind
//! shifts every crossing a little further downwind, which tilts the line through them.

use super::ground::Ground;
use super::solve::Normal;

/// How nearly at right angles one crossing is flown, rad (6°).
const CROSSING_RAD: f64 = 0.105;
/// How nearly a line is across the wind, rad (15°): fields and roads lie as they lie.
const ACROSS_RAD: f64 = 0.26;
/// How alike anybody's reversals are, m: half a second of flight.
const REVERSAL_M: f64 = 25.0;
/// How late the wings come level as a habit, s, 1-σ about none: who begins the roll over the line is level a second and
/// a half later.
const LATE_S: f64 = 0.8;

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
    /// 1-σ of where the line lies over `reach_m` to either side of its middle, m: turned a little about its middle it
    /// takes from the far half circles what it adds to the others.
    #[must_use]
    pub fn sigma_at(&self, reach_m: f64) -> f64 {
        self.sigma_m.hypot(self.direction_sigma_rad * 0.5 * reach_m)
    }
    /// How far a track is from crossing it at right angles, rad, 0 to π/2.
    #[must_use]
    pub fn off_square_rad(&self, track_rad: f64) -> f64 {
        (track_rad - self.direction_rad)
            .cos()
            .abs()
            .clamp(0.0, 1.0)
            .asin()
    }
}

/// The line of the reversals: `level` are the moments of wings level with their weights (the first and the last are
/// roll-in and roll-out, which may be anywhere). `None` with fewer than two of weight.
#[must_use]
pub fn solve(ground: &Ground, level: &[(f64, f64)]) -> Option<Line> {
    let known: Vec<Place> = level
        .iter()
        .enumerate()
        .map(|(number, (time_s, weight))| Place {
            time_s: *time_s,
            at: ground.at(*time_s),
            track_rad: ground.course(time_s - 1.0, time_s + 1.0),
            weight: *weight,
            rolled: number > 0,
        })
        .filter(|place| place.weight > 0.0 && (place.at.0 + place.at.1).is_finite())
        .collect();
    if known.len() < 2 {
        return None;
    }
    let (direction_rad, direction_sigma_rad) = square(ground, &known)?;
    let total: f64 = known.iter().map(|place| place.weight).sum();
    let east: f64 = known.iter().map(|place| place.weight * place.at.0).sum();
    let north: f64 = known.iter().map(|place| place.weight * place.at.1).sum();
    let line = Line {
        on: (east / total, north / total),
        direction_rad,
        direction_sigma_rad,
        sigma_m: 2.0 * REVERSAL_M,
    };
    Some(placed(line, ground, &known).unwrap_or(line))
}

/// A moment of level wings.
struct Place {
    time_s: f64,
    at: (f64, f64),
    track_rad: f64,
    weight: f64,
    /// The end of a roll, as against the first roll-in, which begins at level wings.
    rolled: bool,
}

/// The direction by the tracks across it and by the wind; doubled angles, since a line has no front.
fn square(ground: &Ground, known: &[Place]) -> Option<(f64, f64)> {
    let (mut sin, mut cos, mut all) = (0.0, 0.0, 0.0);
    for place in known.iter().filter(|place| place.track_rad.is_finite()) {
        // Square to the track; half a turn more is the same line.
        let doubled = 2.0 * place.track_rad + std::f64::consts::PI;
        sin += place.weight * doubled.sin();
        cos += place.weight * doubled.cos();
        all += place.weight;
    }
    let crossing = CROSSING_RAD / all.max(1.0).sqrt();
    let mut parts = vec![(0.5 * sin.atan2(cos), crossing)];
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
    let direction = 0.5 * sin.atan2(cos);
    direction.is_finite().then_some((
        direction.rem_euclid(std::f64::consts::PI),
        weights.sqrt().recip(),
    ))
}

/// Puts the line among the reversals and turns it to lie along them. Four things move them off it: where it lies, how
/// it lies, the habit of reversing a little late (to alternate sides, since it is crossed to alternate sides), and a
/// wind that carries each one further. Each has its prior; what the line is, is left.
fn placed(line: Line, ground: &Ground, known: &[Place]) -> Option<Line> {
    let first_s = known.first()?.time_s;
    let (sin, cos) = line.direction_rad.sin_cos();
    let mut normal = Normal::<4>::default();
    for place in known {
        let late = if place.rolled {
            ground.speed.at(place.time_s) * (place.track_rad - line.direction_rad).sin()
        } else {
            0.0
        };
        if !late.is_finite() {
            continue;
        }
        let row = [1.0, line.along(place.at), late, place.time_s - first_s];
        let weight = place.weight * REVERSAL_M.powi(-2);
        normal.add(row, line.right_of(place.at), weight);
    }
    normal.add([0.0, 1.0, 0.0, 0.0], 0.0, line.direction_sigma_rad.powi(-2));
    normal.add([0.0, 0.0, 1.0, 0.0], 0.0, LATE_S.powi(-2));
    let blown = ground
        .wind
        .map_or(0.0, |wind| wind.east_mps * cos - wind.north_mps * sin);
    let carried = (0.5 * blown.abs()).max(0.1);
    normal.add([0.0, 0.0, 0.0, 1.0], 0.0, carried.powi(-2));
    let (answer, variance) = normal.solved()?;
    Some(Line {
        on: (line.on.0 + answer[0] * cos, line.on.1 - answer[0] * sin),
        // To the right of a line is what a turn of it to the right brings nearer.
        direction_rad: (line.direction_rad + answer[1].atan()).rem_euclid(std::f64::consts::PI),
        direction_sigma_rad: variance[1].sqrt(),
        sigma_m: variance[0].sqrt(),
    })
}
