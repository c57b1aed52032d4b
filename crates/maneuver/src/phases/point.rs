//! The point on the ground that turns were flown about, solved from the path.
//!
//! Flown well, the path is a circle about the point. Flown without a correction for the wind it is a circle in the
//! air that the wind carries along: its center stood over the point when the turn began. Both are one model, a
//! circle whose center moves with a share of the wind (0: held against all of it, 1: carried along), and the point is
//! the center at the beginning. Geometric least squares as in `circle`, with the share as a fourth unknown.

use super::circle;
use super::ground::{ALIKE_S, Ground};
use super::solve::Normal;

/// How much of the wind may be left uncorrected, before the path is seen, 1-σ.
const SHARE_PRIOR: f64 = 0.5;
/// How far off the point a circle that is carried may have begun, as a share of its radius, 1-σ.
const LOOSE: f64 = 0.15;
/// A share of the wind less than this cannot be told from handling.
const LEAST_SHARE: f64 = 0.08;

/// A point that turns were flown about.
#[derive(Clone, Copy, Debug)]
pub struct Point {
    /// m east of the flight's origin.
    pub east_m: f64,
    /// m north of it.
    pub north_m: f64,
    /// 1-σ of each, m; zero where a person gave it.
    pub sigma_m: f64,
    /// Share of the wind that carried the circle along, with its 1-σ; NaN where there was no wind to tell.
    pub share: (f64, f64),
}

impl Point {
    /// Distance of a place from it, m.
    #[must_use]
    pub fn distance(&self, place: (f64, f64)) -> f64 {
        (place.0 - self.east_m).hypot(place.1 - self.north_m)
    }
}

/// Solves the point of the turns flown in a stretch; `None` where the path is no circle.
#[must_use]
pub fn solve(ground: &Ground, from_s: f64, to_s: f64) -> Option<Point> {
    let path: Vec<(f64, (f64, f64))> = ground.points(from_s, to_s).collect();
    let still = Moving::start(&path, from_s)?;
    let wind = ground.wind.filter(super::ground::Wind::is_felt);
    let Some(wind) = wind else {
        let (fixed, sigma) = still.settled(&path, from_s, (0.0, 0.0), Some(0.0), ground.sigma_m)?;
        return Some(fixed.point(sigma[0], (f64::NAN, f64::NAN)));
    };
    let blown = (wind.east_mps, wind.north_mps);
    let (moving, sigma) = still.settled(&path, from_s, blown, None, ground.sigma_m)?;
    // The share is no better known than the wind itself.
    let share = (
        moving.share,
        sigma[1].hypot(moving.share.abs() * wind.sigma_mps / wind.speed_mps()),
    );
    if share.0.abs() < LEAST_SHARE.max(2.0 * share.1) {
        let (fixed, sigma) = still.settled(&path, from_s, blown, Some(0.0), ground.sigma_m)?;
        return Some(fixed.point(sigma[0], share));
    }
    // Who lets the wind carry the circle has not begun it exactly over the point either.
    let begun = LOOSE * share.0.abs().min(1.0) * moving.radius_m;
    Some(moving.point(sigma[0].hypot(begun), share))
}

#[derive(Clone, Copy)]
struct Moving {
    east_m: f64,
    north_m: f64,
    radius_m: f64,
    share: f64,
}

impl Moving {
    /// The circle through the first turn: what comes later may have been carried away.
    fn start(path: &[(f64, (f64, f64))], from_s: f64) -> Option<Moving> {
        let all: Vec<(f64, f64)> = path.iter().map(|(_, place)| *place).collect();
        let half_s = path.last().map(|(time_s, _)| 0.5 * (from_s + time_s))?;
        let first: Vec<(f64, f64)> = path
            .iter()
            .filter(|(time_s, _)| *time_s <= half_s)
            .map(|(_, place)| *place)
            .collect();
        let found = circle::fit(&first).or_else(|| circle::fit(&all))?;
        Some(Moving {
            east_m: found.east_m,
            north_m: found.north_m,
            radius_m: found.radius_m,
            share: 0.0,
        })
    }

    fn point(&self, sigma_m: f64, share: (f64, f64)) -> Point {
        Point {
            east_m: self.east_m,
            north_m: self.north_m,
            sigma_m,
            share,
        }
    }

    /// Gauss–Newton; the center and the share of the wind, and what both are known to.
    fn settled(
        mut self,
        path: &[(f64, (f64, f64))],
        from_s: f64,
        wind: (f64, f64),
        held: Option<f64>,
        least_m: f64,
    ) -> Option<(Moving, [f64; 2])> {
        self.share = held.unwrap_or(0.3);
        for _ in 0..60 {
            let (normal, _) = self.equations(path, from_s, wind, held, 1.0);
            let (step, _) = normal.solved()?;
            let length = step[0].hypot(step[1]);
            let scale = (0.5 * self.radius_m / length.max(1e-9)).min(1.0);
            self.east_m += scale * step[0];
            self.north_m += scale * step[1];
            self.radius_m = (self.radius_m + scale * step[2]).max(20.0);
            self.share += scale * step[3];
            if length < 1e-3 && step[3].abs() < 1e-5 {
                break;
            }
        }
        let (_, square) = self.equations(path, from_s, wind, held, 1.0);
        let count = path.len() as f64;
        let variance = (square / count).max(least_m * least_m);
        let step_s = (path.last()?.0 - path.first()?.0) / (count - 1.0).max(1.0);
        // Neighbors err alike: so many samples say what one says.
        let alike = (ALIKE_S / step_s.max(1e-3)).max(1.0);
        let (normal, _) = self.equations(path, from_s, wind, held, 1.0 / (variance * alike));
        let (_, spread) = normal.solved()?;
        let sound = self.radius_m.is_finite() && self.radius_m < 5_000.0;
        sound.then_some((
            self,
            [(0.5 * (spread[0] + spread[1])).sqrt(), spread[3].sqrt()],
        ))
    }

    /// The normal equations about the present circle, and the sum of the squares left.
    fn equations(
        &self,
        path: &[(f64, (f64, f64))],
        from_s: f64,
        wind: (f64, f64),
        held: Option<f64>,
        weight: f64,
    ) -> (Normal<4>, f64) {
        let mut normal = Normal::<4>::default();
        let mut square = 0.0;
        for (time_s, (east, north)) in path {
            let gone = time_s - from_s;
            let x = self.east_m + self.share * wind.0 * gone - east;
            let y = self.north_m + self.share * wind.1 * gone - north;
            let far = x.hypot(y).max(1e-6);
            let along = (x * wind.0 + y * wind.1) * gone / far;
            let left = self.radius_m - far;
            square += left * left;
            normal.add([x / far, y / far, -1.0, along], left, weight);
        }
        // Beside hundreds of meters a prior of half the wind is weak; what is held is held.
        let (to, strength) = held.map_or((0.0, SHARE_PRIOR.powi(-2)), |share| (share, 1e12));
        normal.add([0.0, 0.0, 0.0, 1.0], to - self.share, strength);
        (normal, square)
    }
}
