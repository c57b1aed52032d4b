//! The decision rule: a mark is given only where the measurement can carry it.
//!
//! With a measured value `x` of standard deviation `σ` and no other knowledge, the conformance
//! probability is that of a normal variable inside the limits (JCGM 106:2012, chapter 7, from memory: `p =
//! Φ((U − x)/σ)` for one upper limit U, `p = Φ((U − x)/σ) − Φ((L − x)/σ)` for two). A mark is `met` from p =
//! 0.95, `not_met` up to 0.05, else `too_close`. For one limit that is a guard band of 1.645 σ on both
//! sides, as ISO 14253-1 and ILAC-G8:09/2019 draw it.

use crate::model::Verdict;

/// From here a mark is `met`.
pub const MET_FROM: f64 = 0.95;
/// Down to here a mark is `not_met`.
pub const NOT_MET_TO: f64 = 0.05;
/// Guard band of a single limit in σ that belongs to these (the normal quantile of 0.95).
pub const GUARD_SIGMAS: f64 = 1.644_853_626_951_472_2;

/// The mark that a probability of being within the standard carries. NaN cannot decide.
#[must_use]
pub fn verdict(probability: f64) -> Verdict {
    if probability >= MET_FROM {
        Verdict::Met
    } else if probability <= NOT_MET_TO {
        Verdict::NotMet
    } else {
        Verdict::TooClose
    }
}

/// Probability that a quantity which reached from `lowest` to `highest` stayed within `low..high`, when
/// both ends share one error of standard deviation `sigma`. With `lowest == highest` this is the rule
/// for a single value. 0 ≤ result ≤ 1; NaN when nothing was measured.
#[must_use]
pub fn within(lowest: f64, highest: f64, low: Option<f64>, high: Option<f64>, sigma: f64) -> f64 {
    if !(lowest.is_finite() && highest.is_finite() && sigma.is_finite()) {
        return f64::NAN;
    }
    let sigma = sigma.max(1e-9);
    // Shift both ends by a common error e: within if low − lowest ≤ e ≤ high − highest.
    let upper = high.map_or(1.0, |high| normal_cdf((high - highest) / sigma));
    let lower = low.map_or(0.0, |low| normal_cdf((low - lowest) / sigma));
    (upper - lower).clamp(0.0, 1.0)
}

/// The normal distribution function, to 1e-7.
///
/// Complementary error function after W. J. Cody's family of rational fits, here the Chebyshev form of
/// Press et al., *Numerical Recipes* (2nd ed., section 6.2), fractional error below 1.2e-7.
#[must_use]
pub fn normal_cdf(x: f64) -> f64 {
    0.5 * erfc(-x / std::f64::consts::SQRT_2)
}

fn erfc(x: f64) -> f64 {
    const COEFFICIENTS: [f64; 10] = [
        -1.265_512_23,
        1.000_023_68,
        0.374_091_96,
        0.096_784_18,
        -0.186_288_06,
        0.278_868_07,
        -1.135_203_98,
        1.488_515_87,
        -0.822_152_23,
        0.170_872_77,
    ];
    let t = 1.0 / (1.0 + 0.5 * x.abs());
    let series = COEFFICIENTS
        .iter()
        .rev()
        .fold(0.0, |sum, coefficient| sum * t + coefficient);
    let tail = t * (-x * x + series).exp();
    if x >= 0.0 { tail } else { 2.0 - tail }
}
