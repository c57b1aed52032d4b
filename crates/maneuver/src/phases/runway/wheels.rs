//! The attitude on all wheels: what the nose is held off from.

use crate::phases::motion::Motion;
use flight::Flight;

/// Below this share of the touchdown speed no elevator holds the nose up: it has a quarter of the force (V²).
const SLOW: f64 = 0.5;
/// So long after the touchdown the airplane is still on this runway or beside it, s.
const SOON_S: f64 = 120.0;
/// Least time of slow rolling that tells, s.
const LEAST_S: f64 = 3.0;
/// 1-σ of that attitude against the runway's: noise, and the slope of a runway along its length, up to 1 % or so (assumed).
const HERE_RAD: f64 = 0.4 * std::f64::consts::PI / 180.0;
/// The same of another place on the field: taxiways slope up to 2 % (assumed).
const ELSEWHERE_RAD: f64 = 0.8 * std::f64::consts::PI / 180.0;

/// Pitch with all wheels down and its 1-σ, rad: in the slow part of this roll, else wherever the airplane taxied.
/// `None` where it never rolled slowly with its pitch recorded.
pub fn attitude(motion: &Motion, touchdown_s: f64, touchdown_mps: f64) -> Option<(f64, f64)> {
    let flight = motion.flight;
    let clock = flight.clock;
    let most = SLOW * touchdown_mps;
    let after = clock.index(touchdown_s)..clock.index(touchdown_s + SOON_S);
    // So soon after the touchdown nothing flies so slowly; elsewhere a strong wind may make it seem so.
    let grounded = |index: usize| flight.on_ground.get(index) == Some(&true);
    slow(flight, after, most, |_| true)
        .map(|pitch| (pitch, HERE_RAD))
        .or_else(|| slow(flight, 0..clock.len, most, grounded).map(|pitch| (pitch, ELSEWHERE_RAD)))
}

/// Median pitch where the wheels are `grounded` and the airplane is slow.
fn slow(
    flight: &Flight,
    range: std::ops::Range<usize>,
    most_mps: f64,
    grounded: impl Fn(usize) -> bool,
) -> Option<f64> {
    let (pitch, speed) = (flight.pitch.as_ref()?, flight.ground_speed.as_ref()?);
    let rolls = |index: &usize| {
        grounded(*index) && flight.known.get(*index) != Some(&false) && speed.at(*index) < most_mps
    };
    let mut all: Vec<f64> = range
        .filter(rolls)
        .map(|index| pitch.at(index))
        .filter(|pitch| pitch.is_finite())
        .collect();
    if (all.len() as f64) * flight.clock.step_s < LEAST_S {
        return None;
    }
    let middle = all.len() / 2;
    Some(*all.select_nth_unstable_by(middle, f64::total_cmp).1)
}
