//! The aircraft's own scale: stall speed, cruise speed, and how tall its vertical speeds are.

use super::smooth::percentile_of;
use air::units::MPS_PER_KT;
use aircraft::Aircraft;

/// Speeds by which a maneuver is judged, indicated, m/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Scale {
    /// Stall speed, clean.
    pub vs1_mps: f64,
    /// Stall speed in landing configuration.
    pub vs0_mps: f64,
    /// Best rate of climb.
    pub vy_mps: f64,
    /// Speed of ordinary flying: the 85th percentile in the air, at least 1.7 times the stall speed.
    pub cruise_mps: f64,
    /// Share of a 100-kt aircraft by which sink limits and heights are scaled, at least 0.85 (below that,
    /// ordinary idle descents would look like emergency descents).
    pub k: f64,
    /// The stall speed comes from the aircraft file.
    pub told: bool,
}

impl Scale {
    /// From the aircraft file when it says so, else from the flight itself.
    pub fn of(ias: &[f64], on_ground: &[bool], known: &[bool], aircraft: &Aircraft) -> Scale {
        let mut flown: Vec<f64> = ias
            .iter()
            .zip(on_ground.iter().zip(known))
            .filter(|(v, (ground, known))| v.is_finite() && !**ground && **known)
            .map(|(v, _)| *v)
            .collect();
        // Below 15 m/s nothing that this tool knows flies: a taxi that was not recognized as ground.
        flown.retain(|v| *v > 15.0);
        let cruise = percentile_of(&mut flown, 0.85);
        let cruise = if cruise.is_finite() { cruise } else { 50.0 };
        let told = aircraft.speeds.vs1_mps.or(aircraft.speeds.vs0_mps);
        let vs1 = told.unwrap_or_else(|| guess_stall_speed(&mut flown, cruise));
        let vs0 = aircraft.speeds.vs0_mps.unwrap_or(vs1 * 0.92).min(vs1);
        let cruise = cruise.max(1.7 * vs1);
        Scale {
            vs1_mps: vs1,
            vs0_mps: vs0,
            // 1.4 to 1.5 clean stall speeds in light trainers (common practice, no source).
            vy_mps: aircraft.speeds.vy_mps.unwrap_or(1.42 * vs1),
            cruise_mps: cruise,
            k: (cruise / (100.0 * MPS_PER_KT)).max(0.85),
            told: told.is_some(),
        }
    }
}

/// The slowest seconds of a flight are near the stall if it was stalled or flown slowly at all: a little
/// under the clean stall speed, because flaps and power lower it and the break itself is slower. Otherwise
/// light trainers stall at about half their cruise speed (0.40–0.58 over the handbook figures of
/// single-engine trainers; common practice, no source).
fn guess_stall_speed(flown: &mut [f64], cruise: f64) -> f64 {
    // The slowest five seconds, so that one bad sample does not count.
    let slowest = percentile_of(flown, 10.0 / (flown.len() as f64).max(12.0));
    let share = slowest / cruise;
    if share.is_nan() || share > 0.62 {
        0.53 * cruise
    } else {
        slowest.max(0.40 * cruise) / 0.93
    }
}
