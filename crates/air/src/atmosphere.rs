//! The standard atmosphere, and the real one as a departure from it.
//!
//! Formulas (ISO 2533:1975 and ICAO Doc 7488/3, 1993: the same atmosphere), geopotential altitude H:
//!
//! - troposphere, to 11,000 m: T = T0 − L·H, p = p0·(T/T0)^(g0/(L·R))
//! - above, to 20,000 m: T = 216.65 K, p = p11·exp(−g0·(H − H11)/(R·T11))
//! - density ρ = p/(R·T), speed of sound a = √(γ·R·T)
//!
//! Units: m (geopotential), Pa, K, kg/m³, m/s. Holds from −5,000 m to 20,000 m (65,600 ft); dry air.
//! Outside, and for NaN, the functions give NaN.
//!
//! *Pressure altitude* is H at the pressure met; *density altitude* is H at the density met;
//! *indicated altitude* is what an altimeter shows with its setting. The three are functions of
//! pressure and temperature alone: none is a height above anything. See [`true_height_ratio`].

use crate::units::G0_MPS2;

/// Standard sea-level pressure, Pa.
pub const P0_PA: f64 = 101_325.0;
/// Standard sea-level temperature, K.
pub const T0_K: f64 = 288.15;
/// Gas constant of dry air, J/(kg·K) (ICAO Doc 7488/3).
pub const R_JPKGK: f64 = 287.052_87;
/// Standard sea-level density, kg/m³: p0/(R·T0).
pub const RHO0_KGPM3: f64 = P0_PA / (R_JPKGK * T0_K);
/// Ratio of the specific heats of air.
pub const GAMMA: f64 = 1.4;
/// Fall of temperature with altitude in the troposphere, K/m.
pub const LAPSE_KPM: f64 = 0.0065;
/// Altitude of the tropopause, m geopotential.
pub const TROPOPAUSE_M: f64 = 11_000.0;

const TROPOPAUSE_K: f64 = T0_K - LAPSE_KPM * TROPOPAUSE_M;
/// g0/(L·R), the exponent of pressure in temperature: 5.2559.
const EXPONENT: f64 = G0_MPS2 / (LAPSE_KPM * R_JPKGK);
/// p11/p0 = (T11/T0)^5.2559; `powf` is not const, so the value stands here and a test holds it.
const TROPOPAUSE_PRESSURE_RATIO: f64 = 0.2233608694301289;
const ALTITUDE_M_MIN: f64 = -5_000.0;
const ALTITUDE_M_MAX: f64 = 20_000.0;
/// Radius that ties geometric height to geopotential in the standard, m.
const EARTH_RADIUS_M: f64 = 6_356_766.0;

/// Scale height g0/(R·T11) of the isothermal layer, 1/m.
const ISOTHERMAL_PER_M: f64 = G0_MPS2 / (R_JPKGK * TROPOPAUSE_K);

/// Temperature of the standard atmosphere at a pressure altitude, K.
///
/// ```
/// assert_eq!(air::atmosphere::standard_temperature_k(0.0), 288.15);
/// ```
#[inline]
#[must_use]
pub fn standard_temperature_k(pressure_altitude_m: f64) -> f64 {
    if !(ALTITUDE_M_MIN..=ALTITUDE_M_MAX).contains(&pressure_altitude_m) {
        return f64::NAN;
    }
    T0_K - LAPSE_KPM * pressure_altitude_m.min(TROPOPAUSE_M)
}

/// Pressure at a pressure altitude, Pa.
#[inline]
#[must_use]
pub fn pressure_pa(pressure_altitude_m: f64) -> f64 {
    let temperature_k = standard_temperature_k(pressure_altitude_m);
    if temperature_k.is_nan() {
        return f64::NAN;
    }
    if pressure_altitude_m > TROPOPAUSE_M {
        let above = (pressure_altitude_m - TROPOPAUSE_M) * ISOTHERMAL_PER_M;
        P0_PA * TROPOPAUSE_PRESSURE_RATIO * (-above).exp()
    } else {
        P0_PA * (temperature_k / T0_K).powf(EXPONENT)
    }
}

/// Pressure altitude of a pressure, m; the inverse of [`pressure_pa`].
#[inline]
#[must_use]
pub fn pressure_altitude_m(pressure_pa: f64) -> f64 {
    let ratio = pressure_pa / P0_PA;
    let altitude_m = if ratio < TROPOPAUSE_PRESSURE_RATIO {
        TROPOPAUSE_M - (ratio / TROPOPAUSE_PRESSURE_RATIO).ln() / ISOTHERMAL_PER_M
    } else {
        T0_K / LAPSE_KPM * (1.0 - ratio.powf(EXPONENT.recip()))
    };
    if (ALTITUDE_M_MIN..=ALTITUDE_M_MAX).contains(&altitude_m) {
        altitude_m
    } else {
        f64::NAN
    }
}

/// Density of dry air, kg/m³.
#[inline]
#[must_use]
pub fn density_kgpm3(pressure_pa: f64, temperature_k: f64) -> f64 {
    pressure_pa / (R_JPKGK * temperature_k)
}

/// Speed of sound, m/s. NaN below 0 K.
#[inline]
#[must_use]
pub fn speed_of_sound_mps(temperature_k: f64) -> f64 {
    (GAMMA * R_JPKGK * temperature_k).sqrt()
}

/// How much warmer than standard the air is, K.
#[inline]
#[must_use]
pub fn isa_deviation_k(pressure_altitude_m: f64, temperature_k: f64) -> f64 {
    temperature_k - standard_temperature_k(pressure_altitude_m)
}

/// Density altitude, m: where the standard atmosphere has this density. Dry air; at 30 °C and full
/// humidity the true one is some 500 ft higher (from memory).
#[must_use]
pub fn density_altitude_m(pressure_pa: f64, temperature_k: f64) -> f64 {
    let sigma = density_kgpm3(pressure_pa, temperature_k) / RHO0_KGPM3;
    let tropopause = TROPOPAUSE_PRESSURE_RATIO * T0_K / TROPOPAUSE_K;
    if sigma < tropopause {
        TROPOPAUSE_M - (sigma / tropopause).ln() / ISOTHERMAL_PER_M
    } else {
        // ρ/ρ0 = (T/T0)^(g0/(L·R) − 1), solved for T, then for H.
        T0_K / LAPSE_KPM * (1.0 - sigma.powf((EXPONENT - 1.0).recip()))
    }
}

/// Pressure altitude from what an altimeter shows and its setting (QNH), m.
///
/// An altimeter is a standard atmosphere whose zero is shifted to the setting:
/// H_pressure = H_indicated + H(setting). The handbook's thousand feet an inch is this, rounded.
///
/// Source: FAA-H-8083-25C, ch. 11, "Pressure Altitude".
#[inline]
#[must_use]
pub fn pressure_altitude_from_indicated_m(indicated_m: f64, setting_pa: f64) -> f64 {
    indicated_m + pressure_altitude_m(setting_pa)
}

/// What an altimeter shows at a pressure altitude with a setting, m.
#[inline]
#[must_use]
pub fn indicated_altitude_m(pressure_altitude_m: f64, setting_pa: f64) -> f64 {
    pressure_altitude_m - self::pressure_altitude_m(setting_pa)
}

/// The setting that makes an altimeter show `indicated_m` at this pressure altitude, Pa.
#[must_use]
pub fn altimeter_setting_pa(pressure_altitude_m: f64, indicated_m: f64) -> f64 {
    pressure_pa(pressure_altitude_m - indicated_m)
}

/// True height gained for each meter of pressure altitude: T/T_standard, from the hydrostatic
/// equation dp = −ρ·g·dh at the same dp.
///
/// In air 15 K warmer than standard a thousand feet on the altimeter are some 1,052 ft of height.
#[inline]
#[must_use]
pub fn true_height_ratio(pressure_altitude_m: f64, temperature_k: f64) -> f64 {
    temperature_k / standard_temperature_k(pressure_altitude_m)
}

/// Geopotential altitude of a geometric height above mean sea level, m: H = r·h/(r + h).
#[inline]
#[must_use]
pub fn geopotential_m(geometric_m: f64) -> f64 {
    EARTH_RADIUS_M * geometric_m / (EARTH_RADIUS_M + geometric_m)
}

/// Geometric height of a geopotential altitude, m.
#[inline]
#[must_use]
pub fn geometric_m(geopotential_m: f64) -> f64 {
    EARTH_RADIUS_M * geopotential_m / (EARTH_RADIUS_M - geopotential_m)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The two layers meet: the constant that stands for a power is that power.
    #[test]
    fn prop_layers_meet_at_the_tropopause() {
        let ratio = (TROPOPAUSE_K / T0_K).powf(EXPONENT);
        assert!((TROPOPAUSE_PRESSURE_RATIO / ratio - 1.0).abs() < 1e-15);
    }
}
