//! Steady flight: the controls and the attitude in which nothing changes but place and heading.
//!
//! Newton's method with a numerical Jacobian on eight unknowns (angle of attack, sideslip, three surfaces,
//! throttle or path angle, propeller speed, rate of turn) against eight conditions: six accelerations and the
//! propeller's are zero, and the ball is in the middle. Attached shares are where they settle.

use crate::airframe::Airframe;
use crate::model::{Around, Felt, rates};
use crate::state::{State, Surfaces};
use crate::weather::Gust;
use air::units::G0_MPS2;
use nalgebra::{SMatrix, SVector};
use std::f64::consts::FRAC_PI_2;

/// What is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wanted {
    /// True airspeed, m/s.
    pub tas_mps: f64,
    /// Bank, rad.
    pub bank_rad: f64,
    /// Flap angle, rad.
    pub flap_rad: f64,
    /// What is given, and what is found for it.
    pub path: Path,
    /// Density, kg/m³.
    pub density_kgpm3: f64,
}

/// Throttle or path angle: one is given, the other found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Path {
    /// Path angle given, rad, + up.
    Angle(f64),
    /// Throttle given, 0…1.
    Throttle(f64),
}

/// Steady flight.
#[derive(Clone, Copy, Debug)]
pub struct Trimmed {
    /// State at the reference point, heading north.
    pub state: State,
    /// Surfaces.
    pub surfaces: Surfaces,
    /// Path angle, rad, + up.
    pub path_rad: f64,
    /// Rate of turn, rad/s.
    pub turn_radps: f64,
    /// Angle of attack, rad.
    pub alpha_rad: f64,
    /// What is felt.
    pub felt: Felt,
}

type Unknown = SVector<f64, 8>;

/// Finds steady flight; none where there is none (too slow, too little power, no convergence).
#[must_use]
pub fn trim(airframe: &Airframe, wanted: &Wanted) -> Option<Trimmed> {
    let pressure = 0.5 * wanted.density_kgpm3 * wanted.tas_mps.powi(2) * airframe.wing.area_m2;
    let lift = airframe.inertia.mass_kg * G0_MPS2 / pressure / wanted.bank_rad.cos();
    let flap = airframe.flap(wanted.flap_rad);
    let alpha = lift / airframe.wing.lift_slope + airframe.wing.zero_lift_rad + flap.zero_lift_rad;
    let (critical, _) = airframe.critical(wanted.flap_rad);
    let path = match wanted.path {
        Path::Angle(_) => 0.5,
        Path::Throttle(throttle) => -0.08 + 0.16 * throttle,
    };
    let spin = match wanted.path {
        Path::Throttle(throttle) => 110.0 + 140.0 * throttle,
        Path::Angle(_) => 220.0,
    };
    let turn = G0_MPS2 * wanted.bank_rad.tan() / wanted.tas_mps;
    let mut x = Unknown::from([
        alpha.min(critical),
        0.0,
        0.2,
        0.0,
        0.0,
        path,
        spin / 100.0,
        turn,
    ]);
    let mut left = residual(airframe, wanted, &x);
    for _ in 0..80 {
        if left.norm() < 1e-10 {
            break;
        }
        let mut jacobian = SMatrix::<f64, 8, 8>::zeros();
        for column in 0..8 {
            let mut near = x;
            near[column] += 1e-6;
            let change = (residual(airframe, wanted, &near) - left) / 1e-6;
            jacobian.set_column(column, &change);
        }
        let step = jacobian.lu().solve(&left)?;
        let mut share = 1.0;
        loop {
            let next = x - step * share;
            let then = residual(airframe, wanted, &next);
            if then.norm() < left.norm() || share < 1e-3 {
                (x, left) = (next, then);
                break;
            }
            share *= 0.5;
        }
    }
    let in_reach = x[2].abs() <= 1.0 && x[3].abs() <= 1.0 && x[4].abs() <= 1.0;
    // Newton may come out turns away: angles that are only the same after taking off 2π have no separation of theirs.
    let upright = x[0].abs() < 1.0 && x[1].abs() < 0.5 && path_angle(wanted, &x).abs() < FRAC_PI_2;
    let possible = left.norm() < 1e-6 && in_reach && upright;
    let throttle = throttle(wanted, &x);
    let open = (-1e-6..=1.0 + 1e-6).contains(&throttle);
    (possible && open).then(|| {
        let (state, surfaces) = placed(airframe, wanted, &x);
        let (_, felt) = rates(airframe, &state, &surfaces, &still(wanted));
        Trimmed {
            state,
            surfaces,
            path_rad: path_angle(wanted, &x),
            turn_radps: x[7],
            alpha_rad: x[0],
            felt,
        }
    })
}

fn throttle(wanted: &Wanted, x: &Unknown) -> f64 {
    match wanted.path {
        Path::Angle(_) => x[5],
        Path::Throttle(throttle) => throttle,
    }
}

fn path_angle(wanted: &Wanted, x: &Unknown) -> f64 {
    match wanted.path {
        Path::Angle(angle) => angle,
        Path::Throttle(_) => x[5],
    }
}

fn still(wanted: &Wanted) -> Around {
    Around {
        wind: [0.0; 3],
        gust: Gust::default(),
        density_kgpm3: wanted.density_kgpm3,
        ground_m: -10_000.0,
    }
}

fn placed(airframe: &Airframe, wanted: &Wanted, x: &Unknown) -> (State, Surfaces) {
    let (alpha, beta) = (x[0], x[1]);
    let surfaces = Surfaces {
        elevator: x[2],
        aileron: x[3],
        rudder: x[4],
        throttle: throttle(wanted, x),
        flap_rad: wanted.flap_rad,
        brakes: 0.0,
    };
    let path = path_angle(wanted, x);
    let pitch = pitch_for(path, alpha, beta, wanted.bank_rad);
    let mut state = State::level(0.0, 0.0, wanted.tas_mps);
    state.set_attitude(wanted.bank_rad, pitch, 0.0);
    let v = wanted.tas_mps;
    state.0[3] = v * alpha.cos() * beta.cos();
    state.0[4] = v * beta.sin();
    state.0[5] = v * alpha.sin() * beta.cos();
    let (sb, cb) = wanted.bank_rad.sin_cos();
    let (sp, cp) = pitch.sin_cos();
    state.0[10] = -x[7] * sp;
    state.0[11] = x[7] * sb * cp;
    state.0[12] = x[7] * cb * cp;
    state.0[13] = 100.0 * x[6];
    let shift = airframe.flap(wanted.flap_rad).separation_rad;
    let attached = airframe.separation.settled(alpha, shift);
    state.0[14] = attached;
    state.0[15] = attached;
    (state, surfaces)
}

/// The pitch that gives a path angle: sin γ = a sin θ − b cos θ with
/// a = cos α cos β, b = sin φ sin β + cos φ sin α cos β (Stevens & Lewis 2003, eq. 3.6-3).
fn pitch_for(path: f64, alpha: f64, beta: f64, bank: f64) -> f64 {
    let a = alpha.cos() * beta.cos();
    let b = bank.sin() * beta.sin() + bank.cos() * alpha.sin() * beta.cos();
    let s = path.sin();
    let under = (a * a - s * s + b * b).max(0.0).sqrt();
    ((a * b + s * under) / (a * a - s * s)).atan()
}

fn residual(airframe: &Airframe, wanted: &Wanted, x: &Unknown) -> Unknown {
    let (state, surfaces) = placed(airframe, wanted, x);
    let (row, felt) = rates(airframe, &state, &surfaces, &still(wanted));
    Unknown::from([
        row[3],
        row[4],
        row[5],
        row[10],
        row[11],
        row[12],
        row[13] / 100.0,
        felt.specific_force_g[1] * G0_MPS2,
    ])
}
