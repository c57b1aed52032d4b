//! What is believed before the flight: the aircraft file's speeds and power, else what light singles are like.

use crate::model::{B, BEND, Basis, FLAPS, G, I_DENSITY, I0, MIDDLE, T_DENSITY, T0, T1, T2};
use crate::regress::Belief;
use air::units::{G0_MPS2, MPS_PER_KT};
use aircraft::{Aircraft, Propeller};

/// The aircraft as the law sees it.
#[derive(Clone, Debug, PartialEq)]
pub struct Scales {
    /// Calibrated stall speed flaps up at the mass of the day, m/s.
    pub vs1_cas_mps: f64,
    /// Whether the file says it.
    pub stated: bool,
    /// Detents, rad, flaps up first; one entry where nobody says.
    pub detents_rad: Vec<f64>,
}

/// A trainer's, where the file says no stall speed: 50 kt (assumed; only a scale then).
const SCALE_MPS: f64 = 50.0 * MPS_PER_KT;

impl Scales {
    /// Of an aircraft.
    #[must_use]
    pub fn of(aircraft: &Aircraft) -> Scales {
        let figure = aircraft
            .stall_speed_at(0, 1.0)
            .map(|figure| figure.value_mps)
            .or(aircraft
                .speeds
                .vs1_mps
                .map(|v| v * aircraft.mass_ratio().sqrt()));
        let cas = figure
            .map(|v| aircraft.calibrated_mps(v, 0.0))
            .filter(|v| *v > 5.0);
        let mut detents_rad: Vec<f64> = aircraft.flaps.iter().map(|flap| flap.angle_rad).collect();
        if detents_rad.is_empty() {
            detents_rad.push(0.0);
        }
        Scales {
            vs1_cas_mps: cas.unwrap_or(SCALE_MPS),
            stated: cas.is_some(),
            detents_rad,
        }
    }

    /// A speed of the file in stall speeds, both at the reference mass: aerodynamic speeds go with √m as the stall does.
    fn relative(&self, aircraft: &Aircraft, indicated: Option<f64>) -> Option<f64> {
        let speed = aircraft.calibrated_mps(indicated?, 0.0) * aircraft.mass_ratio().sqrt();
        let u = speed / self.vs1_cas_mps;
        (self.stated && u.is_finite()).then_some(u)
    }
}

/// 1-σ of a published best speed, m/s: rounding, and an optimum that is flat (judgment).
const PUBLISHED_MPS: f64 = 3.0 * MPS_PER_KT;

/// Drag and thrust before the flight.
///
/// - Glide ratio of light singles with the throttle closed 7 to 11 (from memory): 9 ± 1.5. It and the speed
///   of the best glide give A + w = 1/(2 R u_g²) and B = u_g²/(2 R), from u_g = (B/A)^¼ and R = 1/(2√(A B)) (Anderson,
///   *Aircraft Performance and Design*, 1999, ch. 5).
/// - Thrust at 1.5 VS1 = η P/(V W), η of the rated power 0.65 ± 0.08; a fixed pitch holds the engine down by a tenth, 0.58 ± 0.09
///   (McCormick 1995, ch. 6, from memory). Without power and mass 0.17 ± 0.05 (a climb of 500 to 1,000 ft/min).
/// - At VY the climb has its maximum over speed, at VX the climb angle, at the best glide that of the glide: derivatives that are 0.
#[must_use]
pub fn law(aircraft: &Aircraft, scales: &Scales) -> Belief {
    law_with(aircraft, scales, &[])
}

/// The same with printed speeds that count for less: trust in VY, VX and best glide, 1 = as usual.
#[must_use]
pub fn law_with(aircraft: &Aircraft, scales: &Scales, trust: &[f64]) -> Belief {
    let published = PUBLISHED_MPS / scales.vs1_cas_mps;
    printed(aircraft, scales).into_iter().enumerate().fold(
        unprinted(aircraft, scales),
        |belief, (k, optimum)| {
            let trust = trust.get(k).copied().unwrap_or(1.0).max(1e-3);
            match optimum.and_then(|optimum| optimum.derivative(scales, &belief)) {
                Some((slope, curvature)) => {
                    belief.seen(&slope, 0.0, curvature * published / trust.sqrt())
                }
                None => belief,
            }
        },
    )
}

/// Degrees of freedom of printed speeds: most are near, some are of another model or were never measured.
const PRINTED_NU: f64 = 4.0;

/// How much the printed VY, VX and best glide count after a flight, by what is believed now: the weights of a t law of four degrees of
/// freedom, (ν + 1)/(ν + E z²) (Lange, Little & Taylor, *JASA* 84, 1989).
#[must_use]
pub fn trust(aircraft: &Aircraft, scales: &Scales, before: &Belief, now: &Belief) -> Vec<f64> {
    let published = PUBLISHED_MPS / scales.vs1_cas_mps;
    printed(aircraft, scales)
        .into_iter()
        .map(|optimum| {
            let found = optimum.and_then(|optimum| optimum.derivative(scales, before));
            let Some((slope, curvature)) = found else {
                return 1.0;
            };
            let off = crate::linear::dot(&slope, &now.mean).hypot(now.sigma(&slope));
            let z = off / (curvature * published);
            ((PRINTED_NU + 1.0) / (PRINTED_NU + z * z)).min(1.0)
        })
        .collect()
}

/// In words, which printed speeds the flight speaks against.
pub(crate) fn doubts(trust: &[f64]) -> Vec<String> {
    ["VY", "VX", "best glide"]
        .iter()
        .zip(trust)
        .filter(|(_, trust)| **trust < DOUBTED)
        .map(|(name, _)| {
            format!("The flight does not agree with the aircraft file's {name}, which was given less weight.")
        })
        .collect()
}

/// Trust below which it is said: off by 2.5 σ and more.
const DOUBTED: f64 = 0.5;

/// Drag and thrust of an aircraft of which no best speed is printed.
#[must_use]
pub fn unprinted(aircraft: &Aircraft, scales: &Scales) -> Belief {
    // The speed of the best glide over the stall speed, both calibrated: 1.2 to 1.5 (from memory: 65 over 50, 76 over 55, 60 over 47 kt).
    let (u_g, sigma_u): (f64, f64) = (1.33, 0.12);
    let (ratio, sigma_ratio) = (9.0, 1.5);
    let (g, b) = (0.5 / (ratio * u_g * u_g), 0.5 * u_g * u_g / ratio);
    let (dr, du) = ((sigma_ratio / ratio).powi(2), (2.0 * sigma_u / u_g).powi(2));
    let (t0, sigma_t0) = thrust(aircraft, scales);

    let mut each = vec![(0.0, 0.0); FLAPS];
    let mut put = |at: usize, mean: f64, sigma: f64| {
        if let Some(slot) = each.get_mut(at) {
            *slot = (mean, sigma);
        }
    };
    put(T0, t0, sigma_t0);
    // Thrust falls by a half to nine tenths of its value at the middle over one stall speed (both kinds of propeller, computed from E − F V² and η P/V).
    put(T1, -0.65 * t0, 0.25 * t0);
    put(T2, 0.0, 0.2 * t0);
    put(I0, 0.0, 0.010);
    // Thrust rises faster at first than recorded power: with the square of the speed of a propeller whose power goes with the cube.
    put(BEND, 0.3, 0.3);
    // See the law: a fifth to a half more than the thrust itself. Idle: up to a tenth of that (judgment).
    put(T_DENSITY, 1.35 * t0, 0.2 * t0);
    put(I_DENSITY, 0.07 * t0, 0.07 * t0);
    let full = scales.detents_rad.last().copied().unwrap_or(0.0);
    for (k, angle) in scales.detents_rad.iter().enumerate().skip(1) {
        // Full flap adds 0.03 to 0.08 to a drag coefficient against a greatest lift coefficient near 1.5 (from memory).
        let guess = 0.035 * (angle / full.max(1e-6)).powf(1.3);
        let stated = aircraft.flaps.get(k).and_then(|flap| flap.drag_offset);
        each.push(stated.map_or((guess, 0.5 * guess + 0.003), |d| (d, 0.2 * d + 0.002)));
    }
    let mut belief = Belief::independent(&each);
    belief.cov.add(G, G, g * g * (dr + du));
    belief.cov.add(B, B, b * b * (dr + du));
    belief.cov.add(G, B, g * b * (dr - du));
    belief.cov.add(B, G, g * b * (dr - du));
    for (at, value) in [(G, g), (B, b)] {
        if let Some(slot) = belief.mean.get_mut(at) {
            *slot = value;
        }
    }
    belief
}

fn thrust(aircraft: &Aircraft, scales: &Scales) -> (f64, f64) {
    let engine = &aircraft.engine;
    let (Some(power), Some(mass)) = (engine.rated_power_w, aircraft.mass_in_use_kg()) else {
        return (0.17, 0.05);
    };
    let (share, sigma) = match engine.propeller {
        Propeller::ConstantSpeed => (0.65, 0.08),
        Propeller::FixedPitch => (0.58, 0.09),
        Propeller::Unknown => (0.61, 0.10),
    };
    let one = power / (mass * G0_MPS2 * MIDDLE * scales.vs1_cas_mps);
    let value: f64 = share * one;
    if value.is_finite() && (0.02..1.0).contains(&value) {
        (value, sigma * one)
    } else {
        (0.17, 0.05)
    }
}

/// The speed of an optimum.
struct Optimum {
    /// In stall speeds.
    at: f64,
    /// Share of thrust.
    share: f64,
    /// Of the climb (u·excess), else of the angle (excess).
    climb: bool,
}

/// VY, VX and best glide of the file, where it has them.
fn printed(aircraft: &Aircraft, scales: &Scales) -> [Option<Optimum>; 3] {
    let speeds = &aircraft.speeds;
    [
        (speeds.vy_mps, 1.0, true),
        (speeds.vx_mps, 1.0, false),
        (speeds.best_glide_mps, 0.0, false),
    ]
    .map(|(speed, share, climb)| {
        let at = scales.relative(aircraft, speed);
        let at = at.filter(|u| (1.05..2.5).contains(u))?;
        Some(Optimum { at, share, climb })
    })
}

impl Optimum {
    /// What multiplies the parameters in the derivative over speed, which is 0 there, and the curvature: times an error of the speed it is
    /// what the error makes of the derivative.
    fn derivative(&self, scales: &Scales, belief: &Belief) -> Option<(Vec<f64>, f64)> {
        let basis = Basis {
            detents_rad: &scales.detents_rad,
            bent: 0.0,
        };
        let worth = |u: f64| -> Vec<f64> {
            let by = if self.climb { u } else { 1.0 };
            basis
                .row(u, 1.0, 0.0, self.share, false, 1.0)
                .into_iter()
                .map(|x| by * x)
                .collect()
        };
        let (u, h) = (self.at, 1e-3);
        let (low, mid, high) = (worth(u - h), worth(u), worth(u + h));
        let pairs = || low.iter().zip(&mid).zip(&high);
        let slope = pairs().map(|((a, _), c)| (c - a) / (2.0 * h)).collect();
        let bent: Vec<f64> = pairs()
            .map(|((a, b), c)| (a - 2.0 * b + c) / (h * h))
            .collect();
        let curvature = crate::linear::dot(&bent, &belief.mean).abs().max(0.05);
        curvature.is_finite().then_some((slope, curvature))
    }
}

/// Stall speeds by detent before the flight, calibrated, m/s. A published speed is one aircraft's at the forward limit of the
/// center of gravity: 3 kt, half of it the same for all settings (judgment).
#[must_use]
pub fn stall(aircraft: &Aircraft, scales: &Scales) -> Belief {
    let mut means = Vec::new();
    let mut variances = Vec::new();
    let full = scales.detents_rad.last().copied().unwrap_or(0.0);
    for (k, angle) in scales.detents_rad.iter().enumerate() {
        let figure = aircraft.stall_speed_at(k, 1.0);
        let value = figure.map(|figure| aircraft.calibrated_mps(figure.value_mps, *angle));
        // Full flap takes a tenth off (from memory).
        let guess = scales.vs1_cas_mps * (1.0 - 0.1 * (angle / full.max(1e-6)).clamp(0.0, 1.0));
        let more = figure.map_or(0.08 * guess, |figure| figure.sigma_mps);
        means.push(value.unwrap_or(guess));
        variances.push(1.1_f64.powi(2) + more * more);
    }
    let mut belief = Belief {
        mean: means,
        cov: crate::linear::Square::diagonal(&variances),
    };
    let shared = if scales.stated {
        1.1
    } else {
        0.15 * scales.vs1_cas_mps
    };
    let ones = vec![1.0; belief.mean.len()];
    belief.cov.add_outer(&ones, shared * shared);
    belief
}
