//! Geometry of a steady, balanced turn.
//!
//! From lift·cos φ = m·g·cos γ and lift·sin φ = m·V·cos γ·ω, with true airspeed V, bank φ and climb
//! angle γ:
//!
//! - rate of turn ω = g·tan φ / V, in rad/s, right positive (the same climbing as level)
//! - radius R = V²·cos γ / (g·tan |φ|), in m through the air mass, unsigned
//! - load factor n = cos γ / cos φ, no unit
//! - pivotal height of eights on pylons: groundspeed² / g, in m above the pylon
//!
//! Holds while balanced; over the ground only in still air.
//! Sources: FAA-H-8083-25C, *Pilot's Handbook of Aeronautical Knowledge*, ch. 5, "Rate of Turn" and
//! "Radius of Turn"; FAA-H-8083-3C, *Airplane Flying Handbook*, ch. 7, "Eights on Pylons".
//! We keep g exact; the handbook's 1,091 and 11.26 are rounded for knots and feet (0.1 and 0.3 %).

use crate::AirError;
use crate::units::G0_MPS2;

pub(crate) const TAS_MPS_MIN: f64 = 10.0; // Below is taxi, where bank says nothing of turn.
pub(crate) const TAS_MPS_MAX: f64 = 300.0; // Above is no training aircraft: a broken sample.
pub(crate) const BANK_DEG_MIN: f64 = 1.0; // Below, R passes 20 km at 60 m/s: drift, not a turn.
pub(crate) const BANK_DEG_MAX: f64 = 80.0; // Above, n passes 5.7: not a level turn we mark.

/// One instant of a level turn; formulas and limits stand in the module docs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LevelTurn {
    /// Rate of turn, rad/s, right positive.
    pub rate_radps: f64,
    /// Radius through the air mass, m.
    pub radius_m: f64,
    /// Load factor.
    pub load_factor: f64,
}

/// Turn geometry at one sample, from true airspeed and bank (right positive).
///
/// # Errors
/// [`AirError::Airspeed`] and [`AirError::Bank`] outside 10 to 300 m/s and 1° to 80°.
///
/// ```
/// let turn = air::turn::level_turn(61.7, 0.5236)?; // 120 kt, 30° right
/// assert_eq!(turn.radius_m.round(), 672.0);
/// # Ok::<(), air::AirError>(())
/// ```
pub fn level_turn(tas_mps: f64, bank_rad: f64) -> Result<LevelTurn, AirError> {
    // `contains` is false for NaN: a dropped sample becomes an error, never a mark.
    if !(TAS_MPS_MIN..=TAS_MPS_MAX).contains(&tas_mps) {
        return Err(AirError::Airspeed(tas_mps));
    }
    if !(BANK_DEG_MIN..=BANK_DEG_MAX).contains(&bank_rad.to_degrees().abs()) {
        return Err(AirError::Bank(bank_rad.to_degrees()));
    }
    let lateral_mps2 = G0_MPS2 * bank_rad.tan();
    Ok(LevelTurn {
        rate_radps: lateral_mps2 / tas_mps,
        radius_m: tas_mps * tas_mps / lateral_mps2.abs(),
        load_factor: load_factor(bank_rad, 0.0),
    })
}

/// Rate of a balanced turn, rad/s, right positive: g·tan φ / V. Infinite or NaN at rest.
#[inline]
#[must_use]
pub fn rate_radps(tas_mps: f64, bank_rad: f64) -> f64 {
    G0_MPS2 * bank_rad.tan() / tas_mps
}

/// Bank of a balanced turn, rad, right positive: the inverse of [`rate_radps`].
#[inline]
#[must_use]
pub fn bank_rad(tas_mps: f64, rate_radps: f64) -> f64 {
    (rate_radps * tas_mps / G0_MPS2).atan()
}

/// Load factor of a steady balanced turn at a climb angle: cos γ / cos φ.
#[inline]
#[must_use]
pub fn load_factor(bank_rad: f64, climb_rad: f64) -> f64 {
    climb_rad.cos() / bank_rad.cos()
}

/// Bank, rad, unsigned, at which a level balanced turn has a load factor; NaN below 1.
#[inline]
#[must_use]
pub fn bank_for_load_factor_rad(load_factor: f64) -> f64 {
    if load_factor >= 1.0 {
        load_factor.recip().acos()
    } else {
        f64::NAN
    }
}

/// Pivotal height above a pylon, m: groundspeed² / g.
///
/// The handbook's groundspeed² / 11.3 (kt, ft) is this, rounded.
#[inline]
#[must_use]
pub fn pivotal_height_m(groundspeed_mps: f64) -> f64 {
    groundspeed_mps * groundspeed_mps / G0_MPS2
}
