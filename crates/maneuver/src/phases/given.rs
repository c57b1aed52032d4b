//! What a person gave as the reference of a figure over the ground, on the flight's own plane, and whether the path can
//! have been flown about it.

use super::line::Line;
use super::sheet::Sheet;
use flight::Origin;
use std::f64::consts::PI;

/// 1-σ of where it lies beside the path, m: three meters of a receiver without corrections and three of a place taken
/// from a chart (common practice, no source).
pub const SIGMA_M: f64 = 4.3;

/// A reference in meters east and north of the flight's origin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Given {
    /// A point.
    Point((f64, f64)),
    /// Two places on a line.
    Line([(f64, f64); 2]),
    /// Two pylons.
    Pylons([(f64, f64); 2]),
    /// Four corners in order.
    Corners([(f64, f64); 4]),
}

impl Given {
    /// The point, if it is one.
    #[must_use]
    pub fn point(&self) -> Option<(f64, f64)> {
        match self {
            Given::Point(point) => Some(*point),
            _ => None,
        }
    }

    /// The line through the two places, if it is one.
    #[must_use]
    pub fn line(&self) -> Option<Line> {
        let Given::Line([a, b]) = self else {
            return None;
        };
        let (east, north) = (b.0 - a.0, b.1 - a.1);
        let length_m = east.hypot(north);
        (length_m > 1.0).then(|| Line {
            on: (0.5 * (a.0 + b.0), 0.5 * (a.1 + b.1)),
            direction_rad: east.atan2(north).rem_euclid(PI),
            direction_sigma_rad: (1.4 * SIGMA_M).atan2(length_m),
            sigma_m: SIGMA_M,
        })
    }
}

/// How far a path goes around a place, rad, clockwise positive.
#[must_use]
pub fn wound_rad(path: impl Iterator<Item = (f64, f64)>, about: (f64, f64)) -> f64 {
    let mut before: Option<f64> = None;
    let mut sum = 0.0;
    for (east, north) in path {
        let bearing = (east - about.0).atan2(north - about.1);
        if !bearing.is_finite() {
            continue;
        }
        if let Some(before) = before {
            sum += air::units::wrap_pi(bearing - before);
        }
        before = Some(bearing);
    }
    sum
}

/// Whether a path goes around a place by so much, on the side of the turn.
#[must_use]
pub fn goes_around(
    path: impl Iterator<Item = (f64, f64)>,
    about: (f64, f64),
    sign: f64,
    least_rad: f64,
) -> bool {
    sign * wound_rad(path, about) >= least_rad
}

/// Says that the reference was given and used.
pub fn used(sheet: &mut Sheet) {
    sheet.fact("reference_given", 1.0, "1", 0.0, Origin::Assumed);
}

/// Says that one was given which cannot be the one, and how far from the solved one it lies where that is known, m.
pub fn refused(sheet: &mut Sheet, off_m: f64) {
    sheet.fact("reference_given", 0.0, "1", 0.0, Origin::Assumed);
    sheet.fact("reference_off", off_m, "m", SIGMA_M, Origin::Derived);
}

#[cfg(test)]
mod tests {
    use super::{Given, goes_around, wound_rad};
    use std::f64::consts::{PI, TAU};

    fn circle(turns: f64, radius: f64) -> impl Iterator<Item = (f64, f64)> {
        (0..=200).map(move |i| {
            let angle = TAU * turns * f64::from(i) / 200.0;
            (radius * angle.sin(), radius * angle.cos())
        })
    }

    /// The winding number of a circle is its turns inside and none outside (closed form).
    #[test]
    fn val_a_circle_goes_around_what_is_inside() {
        for (about, around) in [
            ((0.0, 0.0), true),
            ((180.0, 0.0), true),
            ((500.0, 0.0), false),
        ] {
            assert_eq!(goes_around(circle(2.0, 200.0), about, 1.0, PI), around);
            assert!(!goes_around(circle(2.0, 200.0), about, -1.0, PI));
        }
        assert!((wound_rad(circle(2.0, 200.0), (50.0, 20.0)) - 2.0 * TAU).abs() < 0.05);
    }

    #[test]
    fn val_a_line_has_the_direction_of_its_two_places() {
        let line = Given::Line([(0.0, 0.0), (100.0, 100.0)]).line().unwrap();
        assert!((line.direction_rad.to_degrees() - 45.0).abs() < 1e-9);
        // East of north-east is to its right, by half a diagonal.
        assert!((line.right_of((100.0, 0.0)) - 0.5 * 2_f64.sqrt() * 100.0).abs() < 1e-9);
        assert!(Given::Line([(1.0, 1.0), (1.0, 1.0)]).line().is_none());
    }
}
