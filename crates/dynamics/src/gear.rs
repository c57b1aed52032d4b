//! Wheels on the ground: a spring, a damper and friction under three points.
//!
//! Enough for takeoff and landing rolls, touchdowns and bounces; tire and strut dynamics are not modeled.

use crate::state::{State, Surfaces, Vec3, rotate, rotate_back};

/// One wheel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wheel {
    /// Where it touches, body axes from the center of gravity, unloaded, m.
    pub at_m: Vec3,
    /// Spring, N/m.
    pub spring_npm: f64,
    /// Damper, N·s/m.
    pub damper_nspm: f64,
    /// Whether it steers with the pedals.
    pub steers: bool,
    /// Whether it brakes.
    pub brakes: bool,
}

/// Rolling friction on a hard surface: 0.02–0.03 (McCormick 1995, ch. 7, from memory).
const ROLLING: f64 = 0.025;
/// Friction of a braked wheel on dry concrete (from memory).
const BRAKED: f64 = 0.4;
/// Sideways grip of a tire.
const SIDE: f64 = 0.6;
/// Travel of the nose wheel, rad.
const STEERING_RAD: f64 = 0.25;

/// Force and moment of all wheels in body axes, N and N·m; `to_earth` is the state's attitude.
#[must_use]
pub fn loads(
    wheels: &[Wheel],
    state: &State,
    surfaces: &Surfaces,
    to_earth: &[Vec3; 3],
    ground_m: f64,
) -> Option<(Vec3, Vec3)> {
    let above = state.height_m() - ground_m;
    if above > 5.0 {
        return None;
    }
    let (mut force, mut moment) = ([0.0; 3], [0.0; 3]);
    let [p, q, r] = state.rates();
    let body = state.velocity_body();
    for wheel in wheels {
        let at = rotate(to_earth, wheel.at_m);
        let sunk = at[2] - above;
        if sunk <= 0.0 {
            continue;
        }
        let [x, y, z] = wheel.at_m;
        let moving = [
            body[0] + q * z - r * y,
            body[1] + r * x - p * z,
            body[2] + p * y - q * x,
        ];
        let over = rotate(to_earth, moving);
        let load = (wheel.spring_npm * sunk + wheel.damper_nspm * over[2]).max(0.0);
        let heading = to_earth[1][0].atan2(to_earth[0][0])
            + if wheel.steers {
                STEERING_RAD * surfaces.rudder
            } else {
                0.0
            };
        let (s, c) = heading.sin_cos();
        let along = over[0] * c + over[1] * s;
        let across = -over[0] * s + over[1] * c;
        let hold = ROLLING
            + if wheel.brakes {
                BRAKED * surfaces.brakes
            } else {
                0.0
            };
        // Friction without a jump at standstill: full from a tenth of a meter per second on.
        let back = -hold * load * (along / 0.1).clamp(-1.0, 1.0);
        let sideways = -SIDE * load * (across / 0.5).clamp(-1.0, 1.0);
        let push = [back * c - sideways * s, back * s + sideways * c, -load];
        let f = rotate_back(to_earth, push);
        for axis in 0..3 {
            force[axis] += f[axis];
        }
        moment[0] += y * f[2] - z * f[1];
        moment[1] += z * f[0] - x * f[2];
        moment[2] += x * f[1] - y * f[0];
    }
    Some((force, moment))
}
