//! Angle of attack, lift ratio and lift coefficient.

use aircraft::Aircraft;

use crate::recorded::series;
use crate::stats::Errors;
use crate::{Flight, Origin, Series, Sigma};

/// Sea-level density of the standard atmosphere, kg/m³: with it equivalent airspeed gives the pressure.
const RHO0: f64 = 1.225;
/// Slowest speed at which a ratio to the stall speed means anything, m/s.
const SLOW_MPS: f64 = 8.0;
/// 1-σ of a published stall speed for this aircraft and loading, as a share (judgment: 2 kt in 50).
const PUBLISHED: f64 = 0.03;

/// Angle of attack without sideslip, rad: the pitch above the path, seen in the aircraft's plane of
/// symmetry. From sin γ = sin θ cos α − cos φ cos θ sin α (B. Etkin, L. Reid, "Dynamics of Flight",
/// 1996, ch. 4, without sideslip).
pub fn angle_of_attack(pitch: f64, bank: f64, path: f64) -> f64 {
    let (a, b) = (pitch.sin(), bank.cos() * pitch.cos());
    let size = a.with(b).max(1e-6);
    a.atan2(b) - (path.sin() / size).clamp(-1.0, 1.0).asin()
}

/// Fills in lift ratio and lift coefficient.
pub fn fill(flight: &mut Flight, aircraft: &Aircraft) {
    flight.lift_ratio = lift_ratio(flight, aircraft);
    flight.lift_coefficient = lift_coefficient(flight, aircraft);
}

/// Square of the 1-g stall speed at the mass in use, and its 1-σ, by sample.
struct Stall {
    /// Flap angle and square of the stall speed of each detent that has one.
    detents: Vec<(f64, f64)>,
    clean: f64,
    full: f64,
    limit_mps: f64,
}

impl Stall {
    fn new(aircraft: &Aircraft) -> Option<Self> {
        let square = |detent: usize| {
            aircraft
                .stall_speed_at(detent, 1.0)
                .map(|figure| figure.value_mps.powi(2))
        };
        let detents: Vec<(f64, f64)> = (0..aircraft.flaps.len())
            .filter_map(|k| Some((aircraft.flaps.get(k)?.angle_rad, square(k)?)))
            .collect();
        let mass = aircraft.mass_ratio();
        let clean = detents
            .first()
            .map(|(_, v2)| *v2)
            .or(aircraft.speeds.vs1_mps.map(|v| v * v * mass))?;
        let full = detents
            .last()
            .map(|(_, v2)| *v2)
            .filter(|_| detents.len() > 1);
        let full = full
            .or(aircraft.speeds.vs0_mps.map(|v| v * v * mass))
            .unwrap_or(clean);
        let limit_mps = aircraft.speeds.vfe_mps.unwrap_or(f64::INFINITY);
        Some(Self {
            detents,
            clean,
            full,
            limit_mps,
        })
    }

    /// Straight between detents by angle.
    fn at_angle(&self, angle: f64) -> f64 {
        let above = self.detents.partition_point(|(detent, _)| *detent < angle);
        let lower = above.checked_sub(1).and_then(|k| self.detents.get(k));
        match (lower, self.detents.get(above)) {
            (Some(a), Some(b)) => a.1 + (angle - a.0) / (b.0 - a.0) * (b.1 - a.1),
            (Some(end), None) | (None, Some(end)) => end.1,
            (None, None) => self.clean,
        }
    }

    /// Where the flap position is not certain the value lies between clean and full, and σ spans it.
    fn at(&self, flight: &Flight, i: usize, ias: f64) -> (f64, f64) {
        let flaps = flight.flaps.as_ref();
        let out = flaps
            .and_then(|flaps| flaps.out.get(i))
            .map_or(f64::NAN, |out| f64::from(*out));
        let angle = flaps.map_or(f64::NAN, |flaps| flaps.angle.at(i));
        let out = if out.is_finite() {
            out
        } else if ias > self.limit_mps {
            0.0
        } else {
            0.5
        };
        let flapped = if angle.is_finite() && angle > 0.01 {
            self.at_angle(angle)
        } else {
            self.full
        };
        let mean = (1.0 - out) * self.clean + out * flapped;
        let spread = (out * (1.0 - out)).sqrt() * (self.clean - flapped);
        (mean, spread.abs())
    }
}

fn lift_ratio(flight: &Flight, aircraft: &Aircraft) -> Option<Series> {
    let stall = Stall::new(aircraft)?;
    let (load, ias) = (flight.load.as_ref()?, flight.ias.as_ref()?);
    let len = ias.values.len();
    let mut values = Vec::with_capacity(len);
    let mut sigmas = Vec::with_capacity(len);
    for i in 0..len {
        let (speed, n) = (ias.at(i), load.at(i));
        let (square, spread) = stall.at(flight, i, speed);
        let value = if speed > SLOW_MPS {
            n * square / (speed * speed)
        } else {
            f64::NAN
        };
        let parts = [
            2.0 * ias.sigma_at(i) / speed,
            load.sigma_at(i) / n.abs().max(0.3),
            2.0 * PUBLISHED,
            spread / square,
        ];
        let relative = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
        values.push(value);
        sigmas.push((value.abs().max(0.05) * relative) as f32);
    }
    Some(series(values, Sigma::Each(sigmas), Origin::Derived))
}

fn lift_coefficient(flight: &Flight, aircraft: &Aircraft) -> Option<Series> {
    let (area, mass) = (aircraft.wing_area_m2?, aircraft.mass_in_use_kg()?);
    let (load, ias) = (flight.load.as_ref()?, flight.ias.as_ref()?);
    let len = ias.values.len();
    let mut values = Vec::with_capacity(len);
    let mut sigmas = Vec::with_capacity(len);
    for i in 0..len {
        let speed = aircraft.calibrated_mps(ias.at(i), 0.0);
        let pressure = 0.5 * RHO0 * speed * speed;
        let force = load.at(i) * mass * air::units::G0_MPS2;
        let value = if speed > SLOW_MPS {
            force / (pressure * area)
        } else {
            f64::NAN
        };
        // Mass to 3 %, and the speed twice.
        let relative = (2.0 * ias.sigma_at(i) / speed)
            .with(0.03)
            .with(load.sigma_at(i));
        values.push(value);
        sigmas.push((value.abs() * relative) as f32);
    }
    Some(series(values, Sigma::Each(sigmas), Origin::Derived))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FAA-H-8083-25C ch. 5: wings level, the angle of attack is pitch minus flight path.
    #[test]
    fn prop_angle_of_attack_wings_level_is_pitch_minus_path() {
        for (pitch, path) in [(0.1, 0.0), (0.05, -0.08), (0.3, 0.12)] {
            assert!((angle_of_attack(pitch, 0.0, path) - (pitch - path)).abs() < 1e-12);
        }
        // Level at bank φ: tan α = tan θ / cos φ.
        let alpha = angle_of_attack(0.04, 1.0, 0.0);
        assert!((alpha.tan() - 0.04_f64.tan() / 1_f64.cos()).abs() < 1e-12);
    }
}
