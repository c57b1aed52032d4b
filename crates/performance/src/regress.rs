//! A linear law seen through noise with heavy tails, and what was believed before.
//!
//! y = x·θ + e, θ ~ N(m, C) before, e Student-t with four degrees of freedom and an unknown scale. Given the
//! weights w = (ν + 1)/(ν + (e/s)²) the posterior is that of the conjugate normal model,
//! (C⁻¹ + XᵀWX/s²)⁻¹(C⁻¹m + XᵀWy/s²); weights, scale and mean are found in turns (Lange, Little & Taylor,
//! *JASA* 84, 1989). Two things make the plain normal formula too sure of itself, and are put right in the precision:
//! the t law carries (ν + 1)/(ν + 3) of the information that the weights promise (the same source, section 2), and
//! neighbors in time see the same air: only 1/(1 + 2 Σ (1 − k/(K + 1)) ρ_k) of the samples count, ρ_k the autocorrelations of the
//! residuals up to half a minute (Newey & West, *Econometrica* 55, 1987). The first one alone would not do: a gust along the
//! path comes and goes within seconds, which makes neighbors unlike, while one across it lasts.

use crate::linear::{Square, dot};

/// Degrees of freedom of the noise.
const NU: f64 = 4.0;

/// What is believed of the parameters: a normal law.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Belief {
    /// Means.
    pub mean: Vec<f64>,
    /// Covariance.
    pub cov: Square,
}

impl Belief {
    /// Independent parameters, each with mean and 1-σ.
    #[must_use]
    pub fn independent(each: &[(f64, f64)]) -> Belief {
        let variances: Vec<f64> = each.iter().map(|(_, sigma)| sigma * sigma).collect();
        Belief {
            mean: each.iter().map(|(mean, _)| *mean).collect(),
            cov: Square::diagonal(&variances),
        }
    }

    /// After x·θ was seen to be `value` with a normal error of `sigma`.
    #[must_use]
    pub fn seen(&self, x: &[f64], value: f64, sigma: f64) -> Belief {
        let gain = self.cov.times(x);
        let spread = dot(&gain, x) + sigma * sigma;
        if !spread.is_finite() || spread <= 0.0 {
            return self.clone();
        }
        let off = value - dot(&self.mean, x);
        let mut cov = self.cov.clone();
        cov.add_outer(&gain, -1.0 / spread);
        let mean = self
            .mean
            .iter()
            .zip(&gain)
            .map(|(mean, gain)| mean + gain * off / spread)
            .collect();
        Belief { mean, cov }
    }

    /// 1-σ of x·θ.
    #[must_use]
    pub fn sigma(&self, x: &[f64]) -> f64 {
        self.cov.quadratic(x).max(0.0).sqrt()
    }
}

/// One sample of the law.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// What multiplies the parameters.
    pub x: Vec<f64>,
    /// What came out.
    pub y: f64,
    /// How noisy this one is against the others, 1 = as usual.
    pub relative: f64,
    /// Whether the row before it is its neighbor in time.
    pub joins: bool,
}

/// What came of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Fitted {
    /// Belief afterwards.
    pub belief: Belief,
    /// Scale of the noise of a row of relative noise 1.
    pub scale: f64,
    /// Autocorrelation of the residuals, as the first one of a first-order process worth as much, 0 to 0.95.
    pub correlation: f64,
    /// How many independent samples the rows are worth.
    pub effective: f64,
    /// What the rows alone say: precision.
    pub precision: Square,
    /// The same times their own estimate.
    pub information: Vec<f64>,
}

/// Fits. `least` is the smallest scale that is believed, whatever the residuals say.
#[must_use]
pub fn fit(rows: &[Row], before: &Belief, least: f64) -> Fitted {
    let size = before.mean.len();
    let prior = before.cov.inverse();
    let pull = prior.times(&before.mean);
    let mut mean = before.mean.clone();
    let mut scale = first_scale(rows, &mean).max(least);
    let mut correlation: f64 = 0.0;
    let mut precision = Square::zeros(size);
    let mut information = vec![0.0; size];
    for _ in 0..25 {
        let errors: Vec<f64> = rows
            .iter()
            .map(|row| (row.y - dot(&row.x, &mean)) / row.relative)
            .collect();
        let weight = |e: &f64| (NU + 1.0) / (NU + (e / scale).powi(2));
        correlation = autocorrelation(rows, &errors, scale);
        let worth = (1.0 - correlation) / (1.0 + correlation) * (NU + 1.0) / (NU + 3.0);
        precision = Square::zeros(size);
        information = vec![0.0; size];
        let mut sum = 0.0;
        for (row, e) in rows.iter().zip(&errors) {
            let w = weight(e);
            sum += w * e * e;
            let tight = worth * w / (scale * row.relative).powi(2);
            precision.add_outer(&row.x, tight);
            for (slot, x) in information.iter_mut().zip(&row.x) {
                *slot += tight * x * row.y;
            }
        }
        let all = prior.plus(&precision);
        let right: Vec<f64> = pull.iter().zip(&information).map(|(a, b)| a + b).collect();
        let next = all.solve(&right);
        let moved = next
            .iter()
            .zip(&mean)
            .map(|(a, b)| (a - b).abs())
            .fold(0.0, f64::max);
        mean = next;
        if !rows.is_empty() {
            scale = (sum / rows.len() as f64).sqrt().max(least);
        }
        if moved < 1e-9 {
            break;
        }
    }
    Fitted {
        belief: Belief {
            mean,
            cov: prior.plus(&precision).inverse(),
        },
        scale,
        correlation,
        effective: rows.len() as f64 * (1.0 - correlation) / (1.0 + correlation),
        precision,
        information,
    }
}

/// The middle size of the residuals to begin with.
fn first_scale(rows: &[Row], mean: &[f64]) -> f64 {
    let mut sizes: Vec<f64> = rows
        .iter()
        .map(|row| ((row.y - dot(&row.x, mean)) / row.relative).abs())
        .filter(|e| e.is_finite())
        .collect();
    sizes.sort_by(f64::total_cmp);
    1.4826 * sizes.get(sizes.len() / 2).copied().unwrap_or(0.0)
}

/// Samples that are looked back: half a minute of pieces of four seconds.
const LAGS: usize = 7;

/// What a first-order process would have for a first autocorrelation if as many of its samples counted: of neighbors in time,
/// with what lies far out drawn in.
fn autocorrelation(rows: &[Row], errors: &[f64], scale: f64) -> f64 {
    let drawn: Vec<f64> = errors
        .iter()
        .map(|e| e.clamp(-3.0 * scale, 3.0 * scale))
        .collect();
    let mut products = [0.0; LAGS];
    let mut squares = [0.0; LAGS];
    let mut pairs = 0;
    // How many before this one follow each other without a gap.
    let mut run = 0;
    for (i, row) in rows.iter().enumerate() {
        run = if row.joins && i > 0 { run + 1 } else { 0 };
        let Some(b) = drawn.get(i) else { break };
        pairs += usize::from(run > 0);
        for (lag, (product, square)) in products.iter_mut().zip(&mut squares).enumerate() {
            if let (true, Some(a)) = (
                run > lag,
                i.checked_sub(lag + 1).and_then(|at| drawn.get(at)),
            ) {
                *product += a * b;
                *square += 0.5 * (a * a + b * b);
            }
        }
    }
    if pairs < 8 {
        // Too few to tell: what slow air does to samples some seconds apart (judgment).
        return if rows.is_empty() { 0.0 } else { 0.3 };
    }
    let all: f64 = products
        .iter()
        .zip(&squares)
        .enumerate()
        .filter(|(_, (_, square))| **square > 0.0)
        .map(|(lag, (product, square))| {
            (1.0 - (lag + 1) as f64 / (LAGS + 1) as f64) * product / square
        })
        .sum();
    // Neighbors that are unlike never count for more than themselves.
    (all.max(0.0) / (1.0 + all.max(0.0))).min(0.95)
}
