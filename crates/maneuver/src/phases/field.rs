//! The field that a rectangular course was flown around, by the four corners that a person gave.

use super::given;
use super::ground::Ground;
use super::sheet::{Sheet, poorer};
use flight::Origin;
use std::f64::consts::PI;

/// Legs whose tracks are off the sides by more than this on the whole were flown around something else, rad: 30°.
const OFF_RAD: f64 = 30.0 * PI / 180.0;

/// A side of the field, in the direction in which it was flown along.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Side {
    from: (f64, f64),
    to: (f64, f64),
}

impl Side {
    /// Its direction, rad from true north.
    #[must_use]
    pub fn direction_rad(&self) -> f64 {
        (self.to.0 - self.from.0).atan2(self.to.1 - self.from.1)
    }

    /// Distance of a place to its right, m.
    #[must_use]
    pub fn right_of(&self, place: (f64, f64)) -> f64 {
        let (sin, cos) = self.direction_rad().sin_cos();
        (place.0 - self.from.0) * cos - (place.1 - self.from.1) * sin
    }
}

/// The sides in the order of the legs: the corners go around either way, and any of them may be the first. `sign` is the
/// side of the turns. `None` where no order lies along the legs.
#[must_use]
pub fn sides(corners: [(f64, f64); 4], courses: &[f64], sign: f64) -> Option<[Side; 4]> {
    let mut ring = corners;
    // Twice the area, positive anticlockwise from above (shoelace).
    let area: f64 = around(&ring).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum();
    if area * sign > 0.0 {
        ring.reverse();
    }
    let sides: Vec<Side> = around(&ring).map(|(from, to)| Side { from, to }).collect();
    let sides: [Side; 4] = sides.try_into().ok()?;
    let turned = (0..4).map(|first| {
        let mut order = sides;
        order.rotate_left(first);
        let off = order
            .iter()
            .zip(courses)
            .filter(|(_, course)| course.is_finite());
        let (square, count) = off.fold((0.0, 0.0), |(sum, n), (side, course)| {
            let off = air::units::wrap_pi(course - side.direction_rad());
            (sum + off * off, n + 1.0)
        });
        ((square / f64::max(count, 1.0)).sqrt(), order)
    });
    turned
        .min_by(|a, b| a.0.total_cmp(&b.0))
        .filter(|(off, _)| *off < OFF_RAD)
        .map(|(_, order)| order)
}

/// Each corner and the next.
fn around(ring: &[(f64, f64); 4]) -> impl Iterator<Item = ((f64, f64), (f64, f64))> + '_ {
    ring.iter()
        .copied()
        .zip(ring.iter().copied().cycle().skip(1))
}

/// Whether the path goes around the middle of the field.
#[must_use]
pub fn is_inside(
    sides: &[Side; 4],
    ground: &Ground,
    (from_s, to_s): (f64, f64),
    sign: f64,
) -> bool {
    let middle = sides.iter().fold((0.0, 0.0), |sum, side| {
        (sum.0 + 0.25 * side.from.0, sum.1 + 0.25 * side.from.1)
    });
    let path = ground.points(from_s, to_s).map(|(_, place)| place);
    given::goes_around(path, middle, sign, PI)
}

const NAMES: [&str; 4] = [
    "side_distance_1",
    "side_distance_2",
    "side_distance_3",
    "side_distance_4",
];

/// Writes how far outside of its side each leg was flown; `legs` are their stretches of time.
pub fn write(
    sides: &[Side; 4],
    ground: &Ground,
    legs: &[(f64, f64)],
    sign: f64,
    sheet: &mut Sheet,
) {
    let origin = poorer(ground.origin, Origin::Derived);
    let sigma = ground.sigma_m.hypot(given::SIGMA_M);
    let mut all: Vec<f64> = Vec::new();
    for ((side, (from_s, to_s)), name) in sides.iter().zip(legs).zip(NAMES) {
        let outside: Vec<f64> = ground
            .points(*from_s, *to_s)
            .map(|(_, place)| -sign * side.right_of(place))
            .collect();
        let mean = outside.iter().sum::<f64>() / outside.len() as f64;
        sheet.fact(name, mean, "m", sigma, origin);
        all.extend(Some(mean).filter(|mean| mean.is_finite()));
    }
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    let least = all.iter().copied().fold(f64::NAN, f64::min);
    let most = all.iter().copied().fold(f64::NAN, f64::max);
    sheet.fact("side_distance", mean, "m", sigma, origin);
    sheet.fact(
        "side_distance_spread",
        most - least,
        "m",
        1.4 * sigma,
        origin,
    );
}

#[cfg(test)]
mod tests {
    use super::sides;
    use std::f64::consts::FRAC_PI_2;

    /// A square flown around to the right, its corners given from any of them and either way round: the sides lie along
    /// the legs, and the middle is to the right of each by half a side (closed form).
    #[test]
    fn val_the_sides_follow_the_legs() {
        let square = [(0.0, 0.0), (0.0, 800.0), (800.0, 800.0), (800.0, 0.0)];
        let courses = [FRAC_PI_2, 2.0 * FRAC_PI_2, 3.0 * FRAC_PI_2, 0.0];
        for backward in [false, true] {
            for first in 0..4 {
                let mut corners = square;
                corners.rotate_left(first);
                if backward {
                    corners.reverse();
                }
                let found = sides(corners, &courses, 1.0).unwrap();
                for (side, course) in found.iter().zip(courses) {
                    let off = air::units::wrap_pi(side.direction_rad() - course);
                    assert!(off.abs() < 1e-9, "{first} {backward}");
                    assert!((side.right_of((400.0, 400.0)) - 400.0).abs() < 1e-9);
                }
            }
        }
        // A field that lies askew by 45° is another one.
        let askew = [0.8, 2.4, 3.9, 5.5];
        assert!(sides(square, &askew, 1.0).is_none());
    }
}
