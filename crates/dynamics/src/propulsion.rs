//! Piston engine and fixed-pitch propeller.
//!
//! Propeller: thrust T = ρ n² D⁴ C_T(J), power P = ρ n³ D⁵ C_P(J), J = V/(n D), n in turns a second (any
//! textbook; McCormick 1995, ch. 6). Engine: full-throttle power falls with density as
//! P/P₀ = 1.132 σ − 0.132 (Gagg & Ferrar, *SAE Journal*, 1934), torque nearly constant with speed, less friction.
//! Slipstream by momentum theory: v_i from T = 2ρA(V + v_i)v_i.

use crate::aero::Airflow;
use air::atmosphere::RHO0_KGPM3;
use std::f64::consts::{PI, TAU};

/// The engine.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Engine {
    /// Rated power at sea level, W.
    pub rated_w: f64,
    /// At this speed, rad/s.
    pub rated_radps: f64,
    /// Friction torque as a share of the rated torque.
    pub friction: f64,
    /// Share of the full torque that the closed throttle leaves.
    pub idle: f64,
}

impl Engine {
    /// Torque on the propeller shaft, N·m.
    #[must_use]
    #[inline]
    pub fn torque_nm(&self, throttle: f64, density_kgpm3: f64, speed_radps: f64) -> f64 {
        let lapse = (1.132 / RHO0_KGPM3 * density_kgpm3 - 0.132).max(0.0);
        let rated = self.rated_w / self.rated_radps;
        // Below idling speed the mixture still fires: friction fades out toward standing still.
        let turning = (speed_radps * (1.0 / 30.0)).clamp(0.0, 1.0);
        let full = (1.0 + self.friction) * rated * lapse;
        full * (self.idle + (1.0 - self.idle) * throttle) * (0.3 + 0.7 * turning)
            - self.friction * rated * turning * (0.6 + 0.4 * speed_radps / self.rated_radps)
    }
}

/// The propeller.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Propeller {
    /// Diameter, m.
    pub diameter_m: f64,
    /// Moment of inertia with the engine's, kg·m².
    pub inertia_kgm2: f64,
    /// C_T = c₀ + c₁ J + c₂ J².
    pub thrust: [f64; 3],
    /// C_P = d₀ + d₁ J + d₂ J².
    pub power: [f64; 3],
    /// Share of the stream's speed that reaches the tail.
    pub stream_on_tail: f64,
}

/// What it does at a moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pull {
    /// Thrust, N.
    pub thrust_n: f64,
    /// Torque that the propeller takes, N·m.
    pub torque_nm: f64,
}

impl Propeller {
    /// Thrust and torque.
    #[must_use]
    #[inline]
    pub fn pull(&self, forward_mps: f64, speed_radps: f64, density_kgpm3: f64) -> Pull {
        let n = (speed_radps * (1.0 / TAU)).max(0.5);
        let d = self.diameter_m;
        let j = (forward_mps.max(0.0) / (n * d)).min(3.0);
        let ct = self.thrust[0] + j * (self.thrust[1] + j * self.thrust[2]);
        let cp = self.power[0] + j * (self.power[1] + j * self.power[2]);
        let square = d * d;
        let base = density_kgpm3 * n * n * square * square;
        Pull {
            thrust_n: base * ct,
            torque_nm: base * d * cp * (1.0 / TAU),
        }
    }

    /// Dynamic pressure at the tail over that of the flight.
    #[must_use]
    #[inline]
    pub fn stream_ratio(&self, thrust_n: f64, flow: &Airflow) -> f64 {
        let area = 0.25 * PI * self.diameter_m * self.diameter_m;
        let v = flow.tas_mps;
        // What momentum theory gives far behind the disk: (V + 2 v_i)² = V² + 2T/(ρA).
        let more = 2.0 * thrust_n / (flow.density_kgpm3 * area * v * v);
        let ratio = (1.0 + more).clamp(0.3, 4.0);
        1.0 + self.stream_on_tail * (ratio - 1.0)
    }
}
