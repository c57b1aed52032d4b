//! The state of the aircraft in motion, and what a pilot moves.
//!
//! Frames: earth axes north, east, down from a reference point (flat, not turning: over the 50 km and the
//! hour of a lesson the curvature and the turning of the earth change a height by less than the air does);
//! body axes forward, right, down through the center of gravity. The attitude is a unit quaternion from
//! body to earth (Stevens & Lewis, *Aircraft Control and Simulation*, 2nd ed. 2003, ch. 1).

/// Degrees of freedom that are integrated.
pub const SIZE: usize = 16;

/// What is integrated, as one row of numbers:
///
/// | place | quantity | unit |
/// |---|---|---|
/// | 0–2 | position north, east, down | m |
/// | 3–5 | velocity over the ground in body axes | m/s |
/// | 6–9 | attitude quaternion, scalar first | 1 |
/// | 10–12 | roll, pitch, yaw rate | rad/s |
/// | 13 | propeller speed | rad/s |
/// | 14, 15 | attached share of the flow, left and right wing | 1 |
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct State(pub [f64; SIZE]);

/// A vector in body or earth axes.
pub type Vec3 = [f64; 3];

impl State {
    /// In the air with all rates zero: level, heading `heading_rad`, moving forward at `speed_mps`.
    #[must_use]
    pub fn level(height_m: f64, heading_rad: f64, speed_mps: f64) -> State {
        let mut row = [0.0; SIZE];
        row[2] = -height_m;
        row[3] = speed_mps;
        row[13] = 230.0;
        row[14] = 1.0;
        row[15] = 1.0;
        let mut state = State(row);
        state.set_attitude(0.0, 0.0, heading_rad);
        state
    }

    /// Height above the reference point, m.
    #[must_use]
    pub fn height_m(&self) -> f64 {
        -self.0[2]
    }

    /// Velocity over the ground in body axes, m/s.
    #[must_use]
    pub fn velocity_body(&self) -> Vec3 {
        [self.0[3], self.0[4], self.0[5]]
    }

    /// Velocity over the ground: north, east, down, m/s.
    #[must_use]
    pub fn velocity_ned(&self) -> Vec3 {
        rotate(&self.to_earth(), self.velocity_body())
    }

    /// Roll, pitch and yaw rate, rad/s.
    #[must_use]
    pub fn rates(&self) -> Vec3 {
        [self.0[10], self.0[11], self.0[12]]
    }

    /// Rows of the matrix from body to earth axes.
    #[must_use]
    pub fn to_earth(&self) -> [Vec3; 3] {
        let [w, x, y, z] = [self.0[6], self.0[7], self.0[8], self.0[9]];
        [
            [
                1.0 - 2.0 * (y * y + z * z),
                2.0 * (x * y - w * z),
                2.0 * (x * z + w * y),
            ],
            [
                2.0 * (x * y + w * z),
                1.0 - 2.0 * (x * x + z * z),
                2.0 * (y * z - w * x),
            ],
            [
                2.0 * (x * z - w * y),
                2.0 * (y * z + w * x),
                1.0 - 2.0 * (x * x + y * y),
            ],
        ]
    }

    /// Bank, pitch and heading, rad; heading within 0..2π.
    #[must_use]
    pub fn attitude(&self) -> Vec3 {
        let m = self.to_earth();
        let bank = m[2][1].atan2(m[2][2]);
        let pitch = (-m[2][0]).clamp(-1.0, 1.0).asin();
        let heading = m[1][0].atan2(m[0][0]).rem_euclid(std::f64::consts::TAU);
        [bank, pitch, heading]
    }

    /// Sets bank, pitch and heading, rad.
    pub fn set_attitude(&mut self, bank: f64, pitch: f64, heading: f64) {
        let (sb, cb) = (0.5 * bank).sin_cos();
        let (sp, cp) = (0.5 * pitch).sin_cos();
        let (sh, ch) = (0.5 * heading).sin_cos();
        self.0[6] = cb * cp * ch + sb * sp * sh;
        self.0[7] = sb * cp * ch - cb * sp * sh;
        self.0[8] = cb * sp * ch + sb * cp * sh;
        self.0[9] = cb * cp * sh - sb * sp * ch;
    }

    /// Brings the quaternion back to length one: the integration lets it drift by rounding.
    pub fn normalize(&mut self) {
        let q = &mut self.0[6..10];
        let length = q.iter().map(|x| x * x).sum::<f64>().sqrt();
        if length > 0.0 {
            let by = 1.0 / length;
            for x in q {
                *x *= by;
            }
        }
        for share in &mut self.0[14..16] {
            *share = share.clamp(0.0, 1.0);
        }
    }
}

/// A vector through a matrix.
#[must_use]
#[inline]
pub fn rotate(m: &[Vec3; 3], v: Vec3) -> Vec3 {
    [dot(m[0], v), dot(m[1], v), dot(m[2], v)]
}

/// A vector through the transposed matrix: the way back.
#[must_use]
#[inline]
pub fn rotate_back(m: &[Vec3; 3], v: Vec3) -> Vec3 {
    [
        m[0][0] * v[0] + m[1][0] * v[1] + m[2][0] * v[2],
        m[0][1] * v[0] + m[1][1] * v[1] + m[2][1] * v[2],
        m[0][2] * v[0] + m[1][2] * v[1] + m[2][2] * v[2],
    ]
}

#[inline]
fn dot(a: Vec3, b: Vec3) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// What the pilot moves. Stick and pedals −1…1: elevator + nose up, aileron + right wing down, rudder +
/// nose right; trim as a share of the elevator's travel, + nose up.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Controls {
    /// Stick fore and aft.
    pub elevator: f64,
    /// Elevator held by the trim.
    pub trim: f64,
    /// Stick left and right.
    pub aileron: f64,
    /// Pedals.
    pub rudder: f64,
    /// Throttle, 0…1.
    pub throttle: f64,
    /// Flap lever, rad.
    pub flap_rad: f64,
    /// Wheel brakes, 0…1.
    pub brakes: f64,
}

/// Where the surfaces, the throttle and the flaps really are: the pilot's inputs after limits, rates and travel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Surfaces {
    /// Elevator with trim, −1…1.
    pub elevator: f64,
    /// Ailerons, −1…1.
    pub aileron: f64,
    /// Rudder, −1…1.
    pub rudder: f64,
    /// Throttle, 0…1.
    pub throttle: f64,
    /// Flap angle, rad.
    pub flap_rad: f64,
    /// Wheel brakes, 0…1.
    pub brakes: f64,
}

/// How fast they follow.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rates {
    /// Surfaces, full travel (−1…1 is two) per second.
    pub surface_per_s: f64,
    /// Throttle and what follows it, per second.
    pub throttle_per_s: f64,
    /// Flaps, rad/s.
    pub flap_radps: f64,
}

impl Surfaces {
    /// Where the controls stand, after a long time. What is out of range counts as the end of the travel, what is
    /// no number as the middle of it.
    #[must_use]
    pub fn settled(controls: &Controls) -> Surfaces {
        Surfaces {
            elevator: within(controls.elevator + controls.trim, -1.0),
            aileron: within(controls.aileron, -1.0),
            rudder: within(controls.rudder, -1.0),
            throttle: within(controls.throttle, 0.0),
            // The greatest angle is the airframe's: `Flying` sees to it.
            flap_rad: controls.flap_rad.max(0.0),
            brakes: within(controls.brakes, 0.0),
        }
    }

    /// Follows the controls for `step_s`.
    #[inline]
    pub fn follow(&mut self, controls: &Controls, rates: &Rates, step_s: f64) {
        let goal = Surfaces::settled(controls);
        let travel = rates.surface_per_s * step_s;
        toward(&mut self.elevator, goal.elevator, travel);
        toward(&mut self.aileron, goal.aileron, travel);
        toward(&mut self.rudder, goal.rudder, travel);
        toward(
            &mut self.throttle,
            goal.throttle,
            rates.throttle_per_s * step_s,
        );
        toward(&mut self.flap_rad, goal.flap_rad, rates.flap_radps * step_s);
        self.brakes = goal.brakes;
    }
}

/// From `least` to one; what is no number is zero.
#[inline]
fn within(input: f64, least: f64) -> f64 {
    if input.is_nan() {
        0.0
    } else {
        input.clamp(least, 1.0)
    }
}

#[inline]
fn toward(value: &mut f64, goal: f64, travel: f64) {
    *value += (goal - *value).clamp(-travel, travel);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn attitude_comes_back_as_it_was_set() {
        for (bank, pitch, heading) in [(0.5, -0.3, 4.0), (-1.4, 1.2, 0.1), (0.0, 0.0, 6.2)] {
            let mut state = State::level(100.0, 0.0, 50.0);
            state.set_attitude(bank, pitch, heading);
            let [b, p, h] = state.attitude();
            assert!((b - bank).abs() < 1e-12 && (p - pitch).abs() < 1e-12);
            assert!((h - heading).abs() < 1e-12);
        }
    }

    #[test]
    fn forward_goes_where_the_nose_points() {
        let mut state = State::level(0.0, 0.0, 10.0);
        state.set_attitude(0.0, 30_f64.to_radians(), 90_f64.to_radians());
        let [north, east, down] = state.velocity_ned();
        assert!(
            north.abs() < 1e-12 && (east - 8.660_254).abs() < 1e-6 && (down + 5.0).abs() < 1e-12
        );
    }
}
