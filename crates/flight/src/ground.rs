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
    rise_again(&mut out, grid.clock.step_s, clues);
    out
}

/// Standing, m/s.
const STILL_MPS: f64 = 2.5;
/// A landing comes down to it and a takeoff climbs from it by at least so much within [`REACH_S`], m.
const LEAST_M: f64 = 25.0;
const REACH_S: f64 = 40.0;

/// Slow over the ground is not on it: into a strong wind an airplane in slow flight is slower than its stall speed.
/// A stretch counts as ground where it stood, where it was descended to, or where it began (ended) the recording
/// and was climbed from (descended to).
fn rise_again(flying: &mut [bool], step_s: f64, clues: &Clues<'_>) {
    let Some(climb) = clues.climb else {
        return;
    };
    let reach = (REACH_S / step_s) as usize;
    let net = |from: usize, to: usize| {
        let inside = climb.get(from..to).unwrap_or(&[]).iter();
        inside.filter(|c| c.is_finite()).sum::<f64>() * step_s
    };
    let speed = clues.ground_speed.or(clues.ias).unwrap_or(&[]);
    let mut from = 0;
    while from < flying.len() {
        if flying[from] {
            from += 1;
            continue;
        }
        let to = (from..flying.len())
            .find(|i| flying[*i])
            .unwrap_or(flying.len());
        let still = speed
            .get(from..to)
            .unwrap_or(&[])
            .iter()
            .filter(|v| **v < STILL_MPS)
            .count() as f64
            * step_s;
        let descended = net(from.saturating_sub(reach), from) < -LEAST_M;
        let climbed = net(to, (to + reach).min(flying.len())) > LEAST_M;
        let whole = from == 0 && to == flying.len();
        let ground = still >= 3.0 || descended || (from == 0 && climbed) || whole;
        if !ground {
            flying[from..to].fill(true);
        }
        from = to;
    }
}
