//! On the ground or in the air.

use crate::grid::Grid;

/// What tells.
pub struct Clues<'a> {
    /// Ground speed, m/s.
    pub ground_speed: Option<&'a [f64]>,
    /// Indicated airspeed, m/s.
    pub ias: Option<&'a [f64]>,
    /// Climb, m/s.
    pub climb: Option<&'a [f64]>,
    /// Slowest speed that flies, m/s.
    pub slowest_mps: f64,
}

/// In the air, per sample: faster than the slowest flying speed, or between two such moments closer
/// than a quarter of a minute (a stall flown slower than the published speed is not a landing).
pub fn flying(grid: &Grid<'_>, clues: &Clues<'_>) -> Vec<bool> {
    let at = |values: Option<&[f64]>, i: usize| {
        values.and_then(|v| v.get(i)).copied().unwrap_or(f64::NAN)
    };
    let least = 0.75 * clues.slowest_mps;
    let mut out: Vec<bool> = (0..grid.clock.len)
        .map(|i| {
            let speed = at(clues.ias, i);
            let ground = at(clues.ground_speed, i);
            let fast = if speed.is_nan() {
                ground > least
            } else {
                speed > least || ground > 2.0 * least
            };
            fast || at(clues.climb, i).abs() > 1.5
        })
        .collect();
    let bridge = (15.0 / grid.clock.step_s) as usize;
    let mut last = None;
    for i in 0..out.len() {
        if out[i] {
            if let Some(from) = last
                && i - from <= bridge
                && i - from > 1
            {
                out[from..i].fill(true);
            }
            last = Some(i);
        }
    }
    out
}
