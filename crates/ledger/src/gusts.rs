//! What the air did while the wing was stalled.
//!
//! After the unloading the airplane itself shows rising and sinking air: it is in what lies beyond the model. While the
//! wing is stalled nothing of the airplane is known well enough for that, but a run that unloads earlier flies in that
//! very air. A vane shows it all the time; without one it is known until shortly before the stall and again from shortly
//! after the unloading, and between both it is drawn as gusts pass: what is alike at one moment is alike by e^(−t/T) at
//! the other (exponential correlation; Dryden spectra, MIL-F-8785C, 3.7.2, with T = L/V of some 10 s).

use crate::flown::Flown;
use crate::recovery::Times;

/// T, s.
const ALIKE_S: f64 = 10.0;
/// Without a vane: before the stall and after the unloading nobody knows for so long, s.
const UNKNOWN_S: f64 = 2.0;
/// Averaged over so long at both ends, s.
const SEEN_S: f64 = 3.0;
/// 1-σ of the air's speed by a vane, and from load and attitude, m/s (judgment).
const SIGMA_MPS: [f64; 2] = [0.4, 0.6];

/// Excess that the air gave, by sample, as far as it can be told; nothing where it cannot.
///
/// A measured w with σ out of gusts of strength σ<sub>g</sub> is best taken as w σ<sub>g</sub>²/(σ<sub>g</sub>² + σ²): in
/// still air it is noise.
pub(crate) fn excess(flown: &Flown, times: &Times) -> Vec<f64> {
    let about = &flown.about;
    if !about.gust_mps.is_finite() || about.gust_mps <= 0.0 {
        return vec![0.0; flown.samples.len()];
    }
    let sigma = SIGMA_MPS[usize::from(!about.air_in_stall)];
    let gust = about.gust_mps * about.gust_mps;
    let believed = gust / (gust + sigma * sigma);
    let drawn = Gap::new(flown, times);
    flown
        .samples
        .iter()
        .map(|s| {
            let up = if about.air_in_stall || drawn.seen(s.t) {
                s.air
            } else {
                drawn.at(s.t)
            };
            up.map_or(0.0, |up| believed * up / s.tas)
        })
        .collect()
}

/// The time in which the air is not seen, with its speed at both ends, m/s.
struct Gap {
    from_s: f64,
    to_s: f64,
    before: Option<f64>,
    after: Option<f64>,
}

impl Gap {
    fn new(flown: &Flown, times: &Times) -> Gap {
        let from_s = times.stall_s - UNKNOWN_S;
        let to_s = times.second_s.unwrap_or(times.release_s) + UNKNOWN_S;
        let mean = |a: f64, b: f64| {
            let seen = flown.span(a, b).filter_map(|s| s.air);
            let (sum, count) = seen.fold((0.0, 0.0), |(sum, n), v| (sum + v, n + 1.0));
            (count > 0.0).then(|| sum / count)
        };
        Gap {
            from_s,
            to_s,
            before: mean(from_s - SEEN_S, from_s),
            after: mean(to_s, to_s + SEEN_S),
        }
    }

    fn seen(&self, t: f64) -> bool {
        t < self.from_s || t > self.to_s
    }

    /// The best linear estimate of such a process between two known moments, or beside one.
    fn at(&self, t: f64) -> Option<f64> {
        let far = |s: f64| (s / ALIKE_S).sinh();
        let (since, until) = (t - self.from_s, self.to_s - t);
        match (self.before, self.after) {
            (Some(before), Some(after)) => {
                Some((before * far(until) + after * far(since)) / far(since + until))
            }
            (Some(before), None) => Some(before * (-since / ALIKE_S).exp()),
            (None, Some(after)) => Some(after * (-until / ALIKE_S).exp()),
            (None, None) => None,
        }
    }
}
