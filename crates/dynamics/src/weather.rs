//! The air that is flown in: temperature and pressure of the day, steady wind with height, turbulence.
//!
//! Turbulence: Dryden spectra with the low-altitude lengths and intensities of MIL-HDBK-1797 (1997),
//! appendix, "low altitude" (the same forms as MIL-F-8785C, 1980, 3.7.2), below 1,000 ft; above 2,000 ft one
//! length of 1,750 ft and the intensity as given; in between in proportion. Each filter is stepped exactly
//! for white noise through a first-order lag; the second-order ones (v, w) are two lags and a lead.

use crate::state::Vec3;
use air::units::M_PER_FT;
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;

/// Wind at a height above the reference.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct WindAt {
    /// Height, m.
    pub height_m: f64,
    /// Toward north and east, m/s.
    pub toward_mps: [f64; 2],
}

/// Conditions of a flight.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Weather {
    /// Warmer than the standard atmosphere, K.
    pub warmer_k: f64,
    /// Height of the reference point above the standard sea-level pressure surface, m: elevation, with the pressure of the day.
    pub reference_pressure_m: f64,
    /// Wind by rising height; between in proportion, outside as at the ends.
    pub wind: Vec<WindAt>,
    /// Standard deviation of the vertical gusts well above the ground, m/s; 0 = smooth air.
    pub gust_mps: f64,
}

impl Weather {
    /// Steady wind at a height: toward north, east, down, m/s.
    #[must_use]
    pub fn wind(&self, height_m: f64) -> Vec3 {
        let mut below: Option<&WindAt> = None;
        for layer in &self.wind {
            if height_m <= layer.height_m {
                let Some(low) = below else {
                    return [layer.toward_mps[0], layer.toward_mps[1], 0.0];
                };
                let share = (height_m - low.height_m) / (layer.height_m - low.height_m).max(1e-9);
                let mix = |axis: usize| {
                    low.toward_mps[axis] + share * (layer.toward_mps[axis] - low.toward_mps[axis])
                };
                return [mix(0), mix(1), 0.0];
            }
            below = Some(layer);
        }
        below.map_or([0.0; 3], |top| [top.toward_mps[0], top.toward_mps[1], 0.0])
    }

    /// Pressure altitude at a height above the reference, m: the layer is as much thicker as it is warmer.
    #[must_use]
    pub fn pressure_altitude_m(&self, height_m: f64) -> f64 {
        let standard =
            air::atmosphere::standard_temperature_k(self.reference_pressure_m + 0.5 * height_m);
        self.reference_pressure_m + height_m * standard / (standard + self.warmer_k)
    }

    /// Pressure, Pa, and temperature, K, at a height above the reference.
    #[must_use]
    pub fn pressure_and_temperature(&self, height_m: f64) -> (f64, f64) {
        let altitude = self.pressure_altitude_m(height_m);
        let temperature = air::atmosphere::standard_temperature_k(altitude) + self.warmer_k;
        (air::atmosphere::pressure_pa(altitude), temperature)
    }

    /// Density at a height above the reference, kg/m³.
    #[must_use]
    pub fn density_kgpm3(&self, height_m: f64) -> f64 {
        let (pressure, temperature) = self.pressure_and_temperature(height_m);
        air::atmosphere::density_kgpm3(pressure, temperature)
    }
}

/// A gust at a moment, body axes.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gust {
    /// Velocity of the air, forward, right, down, m/s.
    pub velocity: Vec3,
    /// Its rolling about the flight path, rad/s.
    pub roll_radps: f64,
}

/// Lengths (u, v, w) in m and intensities relative to the vertical one.
fn low_altitude(height_m: f64) -> ([f64; 3], [f64; 3]) {
    let h = (height_m / M_PER_FT).max(10.0);
    let near = |h: f64| {
        let spread = 0.177 + 0.000_823 * h;
        // MIL-HDBK-1797: L_w = h, L_u = L_v = h/(0.177 + 0.000823 h)^1.2; σ_u/σ_w = 1/(…)^0.4.
        (h / spread.powf(1.2), h, 1.0 / spread.powf(0.4))
    };
    let (along, up, ratio) = if h <= 1000.0 {
        near(h)
    } else if h >= 2000.0 {
        (1750.0, 1750.0, 1.0)
    } else {
        let share = (h - 1000.0) / 1000.0;
        let (along, up, ratio) = near(1000.0);
        let mix = |a: f64, b: f64| a + share * (b - a);
        (mix(along, 1750.0), mix(up, 1750.0), mix(ratio, 1.0))
    };
    (
        [along * M_PER_FT, along * M_PER_FT, up * M_PER_FT],
        [ratio, ratio, 1.0],
    )
}

/// Turbulence that is flown through; the same seed gives the same gusts for the same steps.
#[derive(Clone, Debug)]
pub struct Turbulence {
    random: Pcg64,
    along: f64,
    side: [f64; 2],
    up: [f64; 2],
    roll: f64,
}

impl Turbulence {
    /// From a seed.
    #[must_use]
    pub fn new(seed: u64) -> Turbulence {
        Turbulence {
            random: Pcg64::seed_from_u64(seed),
            along: 0.0,
            side: [0.0; 2],
            up: [0.0; 2],
            roll: 0.0,
        }
    }

    /// The next gust after `step_s` at a true airspeed, a height above ground and a vertical intensity.
    pub fn next(
        &mut self,
        step_s: f64,
        tas_mps: f64,
        height_m: f64,
        sigma_mps: f64,
        span_m: f64,
    ) -> Gust {
        if sigma_mps <= 0.0 {
            return Gust::default();
        }
        let v = tas_mps.max(10.0);
        let (length, ratio) = low_altitude(height_m);
        let mut noise = || -> f64 { StandardNormal.sample(&mut self.random) };
        let (n1, n2, n3, n4) = (noise(), noise(), noise(), noise());
        lag(&mut self.along, n1, step_s * v / length[0]);
        let side = second_order(&mut self.side, n2, step_s * v / length[1]);
        let up = second_order(&mut self.up, n3, step_s * v / length[2]);
        // p_g: first-order lag at πV/4b with σ_p = 1.9 σ_w/√(L_w b) (MIL-HDBK-1797, span-wise gradient).
        lag(
            &mut self.roll,
            n4,
            step_s * std::f64::consts::PI * v / (4.0 * span_m),
        );
        Gust {
            velocity: [
                sigma_mps * ratio[0] * self.along,
                sigma_mps * ratio[1] * side,
                sigma_mps * ratio[2] * up,
            ],
            roll_radps: 1.9 * sigma_mps / (length[2] * span_m).sqrt() * self.roll,
        }
    }
}

/// One step of a lag of unit variance; `x` is step over time constant.
fn lag(value: &mut f64, noise: f64, x: f64) {
    let keep = (-x).exp();
    *value = keep * *value + (1.0 - keep * keep).sqrt() * noise;
}

/// Dryden's transverse spectrum, unit variance: with T = L/V the filter √(1/T)·(1 + √3 T s)/(1 + T s)²
/// in controllable form, stepped by half steps of its exact decay.
fn second_order(state: &mut [f64; 2], noise: f64, x: f64) -> f64 {
    // Two lags in a row: y₁ white through one, y₂ that through the other; output is √3·y₁ + (1 − √3)·y₂.
    // Variances: y₁ has ½·2 = 1, y₂ ½, covariance ½ before the scale √½·√… that makes the sum one.
    let keep = (-x).exp();
    let before = state[0];
    state[0] = keep * before + (1.0 - keep * keep).sqrt() * noise;
    // Exact for a constant input over the step, the mean of both ends.
    state[1] = keep * state[1] + (1.0 - keep) * 0.5 * (before + state[0]);
    let root = 3_f64.sqrt();
    // Var = 3·1 + (1−√3)²·½ + 2·√3(1−√3)·½ = 2: hence the factor.
    (root * state[0] + (1.0 - root) * state[1]) * std::f64::consts::FRAC_1_SQRT_2
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gusts_have_the_intensity_and_the_length_asked_for() {
        // Dryden, MIL-HDBK-1797: above 2,000 ft σ_u = σ_v = σ_w; the autocorrelation of u falls to 1/e over the length.
        let (mut air, step, v) = (Turbulence::new(7), 0.05, 50.0);
        let gusts: Vec<Gust> = (0..400_000)
            .map(|_| air.next(step, v, 1500.0, 1.5, 10.0))
            .collect();
        for axis in 0..3 {
            let var =
                gusts.iter().map(|g| g.velocity[axis].powi(2)).sum::<f64>() / gusts.len() as f64;
            assert!(
                (var.sqrt() / 1.5 - 1.0).abs() < 0.08,
                "axis {axis}: {}",
                var.sqrt()
            );
        }
        let lag = (1750.0 * M_PER_FT / v / step).round() as usize;
        let along = |i: usize| gusts[i].velocity[0];
        let n = gusts.len() - lag;
        let cov = (0..n).map(|i| along(i) * along(i + lag)).sum::<f64>() / n as f64;
        assert!(
            (cov / 2.25 - (-1.0_f64).exp()).abs() < 0.12,
            "{}",
            cov / 2.25
        );
    }

    #[test]
    fn wind_goes_in_proportion_between_its_heights() {
        let weather = Weather {
            wind: vec![
                WindAt {
                    height_m: 0.0,
                    toward_mps: [0.0, 4.0],
                },
                WindAt {
                    height_m: 100.0,
                    toward_mps: [2.0, 8.0],
                },
            ],
            ..Weather::default()
        };
        assert_eq!(weather.wind(50.0), [1.0, 6.0, 0.0]);
        assert_eq!(weather.wind(-5.0), [0.0, 4.0, 0.0]);
        assert_eq!(weather.wind(500.0), [2.0, 8.0, 0.0]);
    }

    #[test]
    fn standard_air_is_the_standard_atmosphere() {
        // ICAO Doc 7488/3: 1.0066 kg/m³ at 2,000 m.
        assert!((Weather::default().density_kgpm3(2000.0) - 1.0066).abs() < 1e-3);
    }
}
