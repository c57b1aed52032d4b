//! The wind triangle: air velocity + wind = ground velocity, in the horizontal plane.
//!
//! Frame: north and east, true, m/s. Angles in rad, true, clockwise from north, in [0, 2π). A wind is
//! kept as where the air *goes*; only [`Wind::from_direction`] and [`Wind::direction_from_rad`] speak
//! of where it comes *from*, as pilots do. Crosswind is positive from the right, headwind from ahead.
//!
//! - wind correction angle: sin(WCA) = crosswind / TAS, right positive
//! - groundspeed on a course: TAS·cos(WCA) − headwind
//!
//! Holds for level flight (at a climb angle γ put TAS·cos γ in).
//! Source: FAA-H-8083-25C, *Pilot's Handbook of Aeronautical Knowledge*, ch. 16, "Wind Triangle", and
//! ch. 11, crosswind and headwind component chart.

use crate::AirError;
use crate::units::wrap_tau;

/// Motion of the air over the ground, m/s: toward north and toward east.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Wind {
    /// Toward north, m/s.
    pub north_mps: f64,
    /// Toward east, m/s.
    pub east_mps: f64,
}

/// A course and speed over the ground, or a heading and speed through the air.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vector {
    /// Direction of motion, true, rad in [0, 2π).
    pub direction_rad: f64,
    /// Speed, m/s.
    pub speed_mps: f64,
}

impl Wind {
    /// A wind as reported: where it comes from, true, and its speed.
    ///
    /// ```
    /// // Runway 18, wind 220° at 30 kt: 23 kt ahead and 19 kt from the right.
    /// let wind = air::wind::Wind::from_direction(220_f64.to_radians(), 30.0);
    /// let (headwind, crosswind) = wind.components(180_f64.to_radians());
    /// assert_eq!((headwind.round(), crosswind.round()), (23.0, 19.0));
    /// ```
    #[must_use]
    pub fn from_direction(from_rad: f64, speed_mps: f64) -> Self {
        let (sin, cos) = from_rad.sin_cos();
        Self {
            north_mps: -speed_mps * cos,
            east_mps: -speed_mps * sin,
        }
    }

    /// Where the wind comes from, true, rad in [0, 2π); 0 when calm.
    #[must_use]
    pub fn direction_from_rad(self) -> f64 {
        if self.speed_mps() == 0.0 {
            return 0.0;
        }
        wrap_tau((-self.east_mps).atan2(-self.north_mps))
    }

    /// Speed, m/s.
    #[must_use]
    pub fn speed_mps(self) -> f64 {
        self.north_mps.hypot(self.east_mps)
    }

    /// Headwind and crosswind (positive from the right) on a direction, m/s.
    #[must_use]
    pub fn components(self, direction_rad: f64) -> (f64, f64) {
        let (sin, cos) = direction_rad.sin_cos();
        (
            -(self.north_mps * cos + self.east_mps * sin),
            self.north_mps * sin - self.east_mps * cos,
        )
    }
}

/// Track and groundspeed from heading, true airspeed and wind.
#[must_use]
pub fn over_ground(heading_rad: f64, tas_mps: f64, wind: Wind) -> Vector {
    let (sin, cos) = heading_rad.sin_cos();
    vector(
        tas_mps * cos + wind.north_mps,
        tas_mps * sin + wind.east_mps,
    )
}

/// Heading and groundspeed that hold a course. The direction of the answer is the *heading*, its
/// speed the *groundspeed*.
///
/// # Errors
/// [`AirError::CourseNotHeld`] when the crosswind exceeds the airspeed, or the headwind carries the
/// aircraft backward, or an input is not a number.
pub fn heading_for_course(course_rad: f64, tas_mps: f64, wind: Wind) -> Result<Vector, AirError> {
    let (headwind_mps, crosswind_mps) = wind.components(course_rad);
    let refused = AirError::CourseNotHeld {
        crosswind_mps,
        tas_mps,
    };
    let correction_rad = (crosswind_mps / tas_mps).asin();
    let speed_mps = tas_mps * correction_rad.cos() - headwind_mps;
    // False for NaN too.
    if speed_mps > 0.0 && tas_mps > 0.0 {
        Ok(Vector {
            direction_rad: wrap_tau(course_rad + correction_rad),
            speed_mps,
        })
    } else {
        Err(refused)
    }
}

/// The wind from one instant of heading, true airspeed, track and groundspeed.
///
/// The difference of two large vectors: 1 kt of airspeed or 1° of heading at 60 kt is 1 kt of wind.
#[must_use]
pub fn wind_from_vectors(ground: Vector, air: Vector) -> Wind {
    let (ground_sin, ground_cos) = ground.direction_rad.sin_cos();
    let (air_sin, air_cos) = air.direction_rad.sin_cos();
    Wind {
        north_mps: ground.speed_mps * ground_cos - air.speed_mps * air_cos,
        east_mps: ground.speed_mps * ground_sin - air.speed_mps * air_sin,
    }
}

/// Wind and true airspeed from ground velocities alone, flown at one true airspeed on at least three
/// tracks: the circle through the velocities, whose center is the wind and whose radius is TAS.
///
/// Linear least squares of x² + y² = 2·a·x + 2·b·y + c (Kåsa, *A circle fitting procedure and its
/// error analysis*, IEEE Trans. Instrumentation and Measurement, 1976). Exact for three legs; with
/// noise on tracks that lie close together it takes the airspeed too small, so spread the legs over
/// at least a half circle.
///
/// # Errors
/// [`AirError::LegsTooAlike`] for fewer than three legs, or legs that do not make a circle.
pub fn wind_from_legs(legs: &[Vector]) -> Result<(Wind, f64), AirError> {
    let points: Vec<(f64, f64)> = legs
        .iter()
        .map(|leg| {
            let (sin, cos) = leg.direction_rad.sin_cos();
            (leg.speed_mps * cos, leg.speed_mps * sin)
        })
        .collect();
    let count = points.len() as f64;
    let mean = |pick: &dyn Fn(&(f64, f64)) -> f64| points.iter().map(pick).sum::<f64>() / count;
    let (north, east) = (mean(&|p| p.0), mean(&|p| p.1));
    // About the mean the sums are small and the third unknown drops out.
    let (mut nn, mut ne, mut ee, mut nr, mut er) = (0.0, 0.0, 0.0, 0.0, 0.0);
    let mean_square = mean(&|p| (p.0 - north).powi(2) + (p.1 - east).powi(2));
    for point in &points {
        let (x, y) = (point.0 - north, point.1 - east);
        let square = x * x + y * y - mean_square;
        nn += x * x;
        ne += x * y;
        ee += y * y;
        nr += x * square;
        er += y * square;
    }
    let determinant = nn * ee - ne * ne;
    // Three points on a line make no circle; relative to the spread, so that units do not matter.
    let makes_circle = determinant > 1e-6 * (nn + ee).powi(2); // False for NaN.
    if points.len() < 3 || !makes_circle {
        return Err(AirError::LegsTooAlike);
    }
    let a = 0.5 * (nr * ee - er * ne) / determinant;
    let b = 0.5 * (er * nn - nr * ne) / determinant;
    let tas_mps = (a * a + b * b + mean_square).sqrt();
    Ok((
        Wind {
            north_mps: north + a,
            east_mps: east + b,
        },
        tas_mps,
    ))
}

fn vector(north_mps: f64, east_mps: f64) -> Vector {
    let speed_mps = north_mps.hypot(east_mps);
    let direction_rad = if speed_mps == 0.0 {
        0.0
    } else {
        wrap_tau(east_mps.atan2(north_mps))
    };
    Vector {
        direction_rad,
        speed_mps,
    }
}
