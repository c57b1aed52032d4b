//! One equation that shows the flaps: a measured quantity against what flaps up would give.
//!
//! residual = y − rows · coefficients − offset_gain · D(position) − drag_gain · d(position)
//!
//! The residual is a slow drift b (the line is never quite right) that decays by `decay` a bin, plus an
//! AR(1) series of correlation `rho` (gusts, filters): the surprise is
//!
//! (e_t − b) − rho (e_(t−1) − b), and the drift takes the share `gain` of it.
//!
//! The surprise is Student-t with three degrees of freedom: its heavy tails are what a gust, a stick
//! jerk or a wrong line near the stall look like.

use super::lattice::Lattice;

/// Largest number of coefficients with the detents' own.
const MOST: usize = 24;

/// Correlations that are tried.
const RHOS: [f64; 5] = [0.1, 0.3, 0.5, 0.65, 0.8];
/// Decays with gains that are tried: memories of 20 and 50 s, drifts from small to large.
const DRIFTS: [(f64, f64); 3] = [(0.98, 0.1), (0.98, 0.2), (0.95, 0.2)];
/// Every so many bins tell the scale.
const STRIDE: usize = 2;
/// Neighbors in the two tables, and the present one.
const TRIES: usize = 5;

/// Room for the sizes of surprises, by try.
pub(super) type Sizes = [Vec<f64>; TRIES];

/// One equation over the bins.
#[derive(Clone, Debug)]
pub(super) struct Channel {
    /// Left side.
    pub y: Vec<f64>,
    /// Regressors, one row of `width` for each bin.
    pub rows: Vec<f64>,
    /// Regressors in a row.
    pub width: usize,
    /// Expected value and 1-σ of each coefficient.
    pub prior: Vec<(f64, f64)>,
    /// One more thing that is expected: a row, its value and the value's 1-σ.
    pub anchor: Option<(Vec<f64>, f64, f64)>,
    /// The equation holds in this bin.
    pub valid: Vec<bool>,
    /// Widening of the noise in this bin, 1 or more.
    pub widen: Vec<f64>,
    /// 1 over `widen`.
    pub narrow: Vec<f64>,
    /// Factor of the angle-of-attack offset.
    pub offset_gain: Vec<f64>,
    /// Factor of the added drag.
    pub drag_gain: Vec<f64>,
    /// Which of the two this equation learns.
    pub learns_offset: bool,
    /// Coefficients.
    pub coefficients: Vec<f64>,
    /// Where `rho` stands in its table.
    pub rho_index: usize,
    /// Where `decay` and `gain` stand in theirs.
    pub drift_index: usize,
    /// Correlation of the fast part from bin to bin.
    pub rho: f64,
    /// What is left of the drift after a bin.
    pub decay: f64,
    /// Share of a surprise that goes into the drift.
    pub gain: f64,
    /// Scale of the surprise.
    pub scale: f64,
    /// y − rows · coefficients.
    pub base: Vec<f64>,
    /// Smallest credible scale.
    pub floor: f64,
}

/// Flap effects at the detents.
#[derive(Clone, Debug)]
pub(super) struct Effects {
    /// Change of angle of attack at the same lift, rad, 0 or less.
    pub offset_rad: Vec<f64>,
    /// Added drag over weight at the clean stall speed.
    pub drag: Vec<f64>,
    /// Prior mean and 1-σ of `offset_rad`.
    pub offset_prior: Vec<(f64, f64)>,
    /// Prior mean and 1-σ of `drag`.
    pub drag_prior: Vec<(f64, f64)>,
    /// Angle of each detent as a share of the full one.
    pub shares: Vec<f64>,
    /// How tightly the effects are held to their starting values: 1 as the prior says, less = tighter.
    pub looseness: f64,
}

impl Effects {
    /// Keeps the offsets within what flaps do. Full flap: half to twice what the stall speeds say.
    /// Between: at least the share of the angle (to the power 1.1) of full flap's, because a flap's
    /// effectiveness falls with its angle (Abbott & von Doenhoff, Theory of Wing Sections, ch. 8, from
    /// memory), and at most that share to the power 0.35. Without this a small notch is used to mend the line.
    fn hold_offsets(&mut self) {
        let Some(last) = self.offset_rad.len().checked_sub(1) else {
            return;
        };
        let expected = self.offset_prior[last].0;
        let full = self.offset_rad[last].clamp(2.0 * expected, 0.5 * expected);
        self.offset_rad[last] = full;
        for k in 1..last {
            let share = self.shares[k];
            self.offset_rad[k] =
                self.offset_rad[k].clamp(full * share.powf(0.35), full * share.powf(1.1));
        }
    }

    /// Minus log of the prior at the present values.
    pub fn penalty(&self) -> f64 {
        let part = |values: &[f64], prior: &[(f64, f64)]| -> f64 {
            values
                .iter()
                .zip(prior)
                .skip(1)
                .map(|(value, (mean, sigma))| 0.5 * ((value - mean) / sigma).powi(2))
                .sum()
        };
        part(&self.offset_rad, &self.offset_prior) + part(&self.drag, &self.drag_prior)
    }
}

/// What a channel has learned.
#[derive(Clone, Debug)]
pub(super) struct Learned {
    coefficients: Vec<f64>,
    rho_index: usize,
    drift_index: usize,
    scale: f64,
}

impl Channel {
    /// What it has learned.
    pub fn learned(&self) -> Learned {
        Learned {
            coefficients: self.coefficients.clone(),
            rho_index: self.rho_index,
            drift_index: self.drift_index,
            scale: self.scale,
        }
    }

    /// Takes what another one, or this one earlier, has learned.
    pub fn take_over(&mut self, learned: &Learned) {
        self.coefficients.clone_from(&learned.coefficients);
        (self.rho_index, self.drift_index) = (learned.rho_index, learned.drift_index);
        self.scale = learned.scale;
        (self.rho, (self.decay, self.gain)) = (RHOS[self.rho_index], DRIFTS[self.drift_index]);
    }

    /// Brings `base` up to date.
    pub fn update_base(&mut self) {
        let rows = self.rows.chunks_exact(self.width);
        let line = rows.map(|row| along(row, &self.coefficients));
        self.base.clear();
        self.base
            .extend(self.y.iter().zip(line).map(|(y, line)| y - line));
    }

    /// The line for flaps up, bin by bin.
    pub fn lines(&self) -> impl Iterator<Item = f64> {
        let rows = self.rows.chunks_exact(self.width);
        rows.map(|row| along(row, &self.coefficients))
    }

    /// Flap effect of a detent in a bin.
    fn effect(&self, t: usize, k: usize, effects: &Effects) -> f64 {
        self.offset_gain[t] * effects.offset_rad[k] + self.drag_gain[t] * effects.drag[k]
    }

    /// Residuals in a bin at every position.
    pub fn residuals<'a>(
        &self,
        t: usize,
        offset: &[f64],
        drag: &[f64],
        into: impl Iterator<Item = &'a mut f64>,
    ) {
        let (base, a, b) = (self.base[t], self.offset_gain[t], self.drag_gain[t]);
        for ((out, d), drag) in into.zip(offset).zip(drag) {
            *out = base - a * d - b * drag;
        }
    }

    /// Fits coefficients and the own flap effects to the bins, weighted by the chance of each detent
    /// at rest (`rest[t * detents + k]`). Weighted least squares with the priors as observations.
    pub fn fit(&mut self, rest: &[f32], lattice: &Lattice, effects: &mut Effects) {
        let detents = lattice.detents;
        let p = self.width;
        let size = (p + detents - 1).min(MOST);
        let mut normal = vec![0.0; size * size];
        let mut right = vec![0.0; size];
        let loose = 1.0 / self.spread();
        // What a bin tells about something constant: the answer of the surprise to a lasting step.
        let lasting = self.lasting();
        let information = (lasting / self.scale).powi(2);
        for t in 0..self.y.len() {
            if !self.valid[t] {
                continue;
            }
            let row = &self.rows[t * p..(t + 1) * p];
            let narrow = self.narrow[t];
            let (own, own_values) = if self.learns_offset {
                (self.offset_gain[t], &effects.offset_rad)
            } else {
                (self.drag_gain[t], &effects.drag)
            };
            // All detents see the same row, so that its square is added once.
            let (mut sum, mut pull) = (0.0, 0.0);
            for (k, chance) in rest[t * detents..(t + 1) * detents].iter().enumerate() {
                let chance = f64::from(*chance);
                if chance < 0.02 {
                    continue;
                }
                let effect = self.effect(t, k, effects);
                let x = (self.base[t] - effect) * narrow * loose;
                let weight = chance * information * narrow * narrow * 4.0 / (3.0 + x * x);
                let target = self.y[t] - effect + own * own_values[k];
                sum += weight;
                pull += weight * target;
                if k > 0 {
                    let at = p + k - 1;
                    let w = weight * own;
                    right[at] += w * target;
                    for (sum, x) in normal[at * size..].iter_mut().zip(row) {
                        *sum += w * x;
                    }
                    normal[at * size + at] += w * own;
                }
            }
            for (i, x) in row.iter().enumerate() {
                right[i] += pull * x;
                let w = sum * x;
                for (sum, y) in normal[i * size..].iter_mut().zip(&row[..=i]) {
                    *sum += w * y;
                }
            }
        }
        let own_prior = if self.learns_offset {
            &effects.offset_prior
        } else {
            &effects.drag_prior
        };
        let own_prior = own_prior
            .iter()
            .skip(1)
            .map(|(mean, sigma)| (*mean, effects.looseness * sigma));
        let priors = self.prior.iter().copied().chain(own_prior);
        for (i, (mean, sigma)) in priors.enumerate() {
            let weight = 1.0 / (sigma * sigma);
            normal[i * size + i] += weight;
            right[i] += weight * mean;
        }
        if let Some((row, value, sigma)) = &self.anchor {
            let weight = 1.0 / (sigma * sigma);
            for i in 0..p {
                right[i] += weight * row[i] * value;
                for j in 0..=i {
                    normal[i * size + j] += weight * row[i] * row[j];
                }
            }
        }
        let Some(solution) = solve(&mut normal, right, size) else {
            return;
        };
        self.coefficients.copy_from_slice(&solution[..p]);
        let own = if self.learns_offset {
            &mut effects.offset_rad
        } else {
            &mut effects.drag
        };
        own[1..].copy_from_slice(&solution[p..]);
        if self.learns_offset {
            effects.hold_offsets();
        }
    }

    /// Expected residual in each bin under the chances at rest (moving bins: what is left of them).
    pub fn expected(&self, rest: &[f32], detents: usize, effects: &Effects, into: &mut Vec<f64>) {
        into.clear();
        into.extend(rest.chunks_exact(detents).enumerate().map(|(t, chances)| {
            let total: f64 = chances.iter().map(|c| f64::from(*c)).sum();
            if !self.valid[t] || total < 0.5 {
                return f64::NAN;
            }
            let effect: f64 = chances
                .iter()
                .enumerate()
                .map(|(k, c)| f64::from(*c) * self.effect(t, k, effects))
                .sum();
            self.base[t] - effect / total
        }));
    }

    /// 1-σ of the drift.
    pub fn drift(&self) -> f64 {
        self.gain * self.scale / (1.0 - self.decay * self.decay).sqrt()
    }

    /// 1-σ of the residual.
    pub fn spread(&self) -> f64 {
        self.drift()
            .hypot(self.scale / (1.0 - self.rho * self.rho).sqrt())
    }

    /// Steady answer of the surprise to a lasting unit step.
    fn lasting(&self) -> f64 {
        // With x the surprise and b the drift: x = (1 − ρ)(1 − b), b = decay b + gain x.
        let fast = 1.0 - self.rho;
        fast / (1.0 + fast * self.gain / (1.0 - self.decay))
    }

    /// Learns correlation, drift and scale from the expected residuals: a step of a search by likelihood
    /// over [`RHOS`] and [`DRIFTS`]. `false` when too few bins tell.
    pub fn learn_noise(&mut self, residuals: &[f64], sizes: &mut Sizes) -> bool {
        let (rho, drift) = (self.rho_index, self.drift_index);
        let near = |index: usize, count: usize| index.saturating_sub(1)..(index + 2).min(count);
        let mut tries = [(rho, drift); TRIES];
        let others = near(rho, RHOS.len()).map(|r| (r, drift)).chain(
            near(drift, DRIFTS.len())
                .filter(|d| *d != drift)
                .map(|d| (rho, d)),
        );
        for (slot, one) in tries.iter_mut().zip(others) {
            *slot = one;
        }
        self.surprise_sizes(residuals, &tries, sizes);
        let mut best: Option<(f64, f64, usize, usize)> = None;
        for (sizes, (r, d)) in sizes.iter_mut().zip(tries) {
            if sizes.len() < 20 {
                continue;
            }
            let middle = sizes.len() / 2;
            let median = *sizes.select_nth_unstable_by(middle, f64::total_cmp).1;
            // The median of |t| with three degrees of freedom is 0.765 of its scale.
            let scale = (median / 0.765).max(self.floor);
            let cost = 2.0 * log_tails(sizes, scale) + sizes.len() as f64 * scale.ln();
            if best.is_none_or(|b| cost < b.0) {
                best = Some((cost, scale, r, d));
            }
        }
        let Some((_, scale, r, d)) = best else {
            return false;
        };
        (self.rho_index, self.drift_index, self.scale) = (r, d, scale);
        (self.rho, (self.decay, self.gain)) = (RHOS[r], DRIFTS[d]);
        true
    }

    /// Sizes of the surprises, widening taken out, in every second bin, for all tries in one walk: each
    /// waits for its own last value, so that together they take little longer than one.
    fn surprise_sizes(
        &self,
        residuals: &[f64],
        tries: &[(usize, usize); TRIES],
        sizes: &mut Sizes,
    ) {
        let rho = tries.map(|(rho, _)| RHOS[rho]);
        let decay = tries.map(|(_, drift)| DRIFTS[drift].0);
        let gain = tries.map(|(_, drift)| DRIFTS[drift].1);
        let by = 1.0 / (9.0 * self.scale * self.scale);
        let (mut drift, mut plain) = ([0.0; TRIES], [0.0; TRIES]);
        let (mut seen, mut before) = (0, 0.0);
        for sizes in sizes.iter_mut() {
            sizes.clear();
            sizes.reserve(residuals.len() / STRIDE + 1);
        }
        for (t, (residual, narrow)) in residuals.iter().zip(&self.narrow).enumerate() {
            if !residual.is_finite() {
                for (drift, decay) in drift.iter_mut().zip(decay) {
                    *drift *= decay;
                }
                seen = 0;
                continue;
            }
            let alike = if seen > 0 { 1.0 } else { 0.0 };
            for k in 0..TRIES {
                let kept = drift[k] * decay[k];
                let surprise = residual - kept - alike * rho[k] * (before - kept);
                plain[k] = surprise * narrow;
                // As in the chain.
                drift[k] = kept + gain[k] * surprise / (1.0 + plain[k] * plain[k] * by);
            }
            before = *residual;
            seen += 1;
            if seen > 5 && t % STRIDE == 0 {
                for (sizes, plain) in sizes.iter_mut().zip(plain) {
                    if plain.is_finite() {
                        sizes.push(plain.abs());
                    }
                }
            }
        }
    }

    /// The surprises, widening taken out; `scale` is the one that tells a wild one.
    pub fn surprises(&self, residuals: &[f64], scale: f64) -> Vec<f64> {
        let (mut drift, mut seen, mut before) = (0.0, 0, 0.0);
        let by = 1.0 / (9.0 * scale * scale);
        residuals
            .iter()
            .zip(&self.narrow)
            .map(|(residual, narrow)| {
                drift *= self.decay;
                if !residual.is_finite() {
                    seen = 0;
                    return f64::NAN;
                }
                let past = if seen > 0 {
                    self.rho * (before - drift)
                } else {
                    0.0
                };
                let surprise = residual - drift - past;
                before = *residual;
                let plain = surprise * narrow;
                drift += self.gain * surprise / (1.0 + plain * plain * by);
                seen += 1;
                if seen > 5 { plain } else { f64::NAN }
            })
            .collect()
    }
}

#[inline]
fn along(row: &[f64], coefficients: &[f64]) -> f64 {
    row.iter().zip(coefficients).map(|(x, c)| x * c).sum()
}

/// Sum of ln(1 + x²/3) over sizes in scales; one logarithm for every eight.
fn log_tails(sizes: &[f64], scale: f64) -> f64 {
    let by = 1.0 / (3.0 * scale * scale);
    let product = |eight: &[f64]| {
        eight
            .iter()
            .map(|x| (1.0 + x * x * by).min(1e30))
            .product::<f64>()
    };
    sizes.chunks(8).map(|eight| product(eight).ln()).sum()
}

/// Solves a symmetric system whose lower half is filled, by Cholesky; `None` when it is not positive.
fn solve(normal: &mut [f64], mut right: Vec<f64>, size: usize) -> Option<Vec<f64>> {
    for i in 0..size {
        for j in 0..=i {
            let mut sum = normal[i * size + j];
            for k in 0..j {
                sum -= normal[i * size + k] * normal[j * size + k];
            }
            if i == j {
                if sum.is_nan() || sum <= 0.0 {
                    return None;
                }
                normal[i * size + i] = sum.sqrt();
            } else {
                normal[i * size + j] = sum / normal[j * size + j];
            }
        }
    }
    for i in 0..size {
        for k in 0..i {
            right[i] -= normal[i * size + k] * right[k];
        }
        right[i] /= normal[i * size + i];
    }
    for i in (0..size).rev() {
        for k in i + 1..size {
            right[i] -= normal[k * size + i] * right[k];
        }
        right[i] /= normal[i * size + i];
    }
    right.iter().all(|x| x.is_finite()).then_some(right)
}
