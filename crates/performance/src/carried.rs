//! What one flight leaves for the next of the same aircraft.
//!
//! Kept is what the flight *alone* says (precision and precision times mean, no prior in it), so that several can be
//! added in any order and one can be taken away again: precisions add, and so do precisions times means (Gelman et al.,
//! *Bayesian Data Analysis*, 3rd ed., sections 2.5 and 3.5). What a flight says of its own day is widened by what differs
//! from day to day before it is added, and the sum once more before it counts for today: precision Λ becomes
//! (Λ⁻¹ + Q)⁻¹ = Λ − Λ(Λ + Q⁻¹)⁻¹Λ (the matrix inversion lemma). So however many flights there are, today is known from
//! them no better than Q, and a flight that shows nothing changes nothing.

use crate::linear::Square;
use crate::model::{B, BEND, DayFit, G, I_DENSITY, I0, T_DENSITY, T0, T1, T2};
use crate::prior::Scales;
use crate::regress::Belief;
use serde::{Deserialize, Serialize};

/// What a flight leaves. As JSON it is a few hundred numbers, for machines; SI, speeds calibrated.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Carried {
    /// The scale that the law is in, m/s.
    pub vs1_cas_mps: f64,
    /// Detents, rad.
    pub detents_rad: Vec<f64>,
    /// Drag and thrust: precision.
    pub law_precision: Square,
    /// The same times the mean.
    pub law_information: Vec<f64>,
    /// Stall speeds: precision.
    pub stall_precision: Square,
    /// The same times the mean.
    pub stall_information: Vec<f64>,
}

/// What differs from one day to the next, as a share of a parameter: engine, mixture, loading as told and as it was, bugs on the wing (judgment).
const DAY: f64 = 0.05;
/// The same for stall speeds, m/s: the center of gravity and the weight.
const DAY_STALL_MPS: f64 = 0.4;

impl Carried {
    /// Whether it is of the same aircraft in the same units, and sound.
    fn fits(&self, scales: &Scales, law: usize, stall: usize) -> bool {
        // The law is in stall speeds of the file: with another one the same numbers mean another drag.
        let near = |a: f64, b: f64| (a / b - 1.0).abs() < 0.01;
        let same = self.detents_rad.len() == scales.detents_rad.len()
            && self
                .detents_rad
                .iter()
                .zip(&scales.detents_rad)
                .all(|(a, b)| (a - b).abs() < 0.01);
        let sound = |m: &Square, v: &[f64], size: usize| {
            m.size() == size && m.sound() && v.len() == size && v.iter().all(|x| x.is_finite())
        };
        same && near(self.vs1_cas_mps, scales.vs1_cas_mps)
            && sound(&self.law_precision, &self.law_information, law)
            && sound(&self.stall_precision, &self.stall_information, stall)
    }
}

/// What was believed before, with the earlier flights in it.
pub(crate) struct Before {
    /// Drag and thrust.
    pub law: Belief,
    /// Stall speeds.
    pub stall: Belief,
    /// Earlier flights in it.
    pub used: usize,
    /// Earlier flights in the units of another aircraft file, which are not.
    pub left_out: usize,
}

/// Adds earlier flights, in any order, to what the aircraft file says.
pub(crate) fn with_earlier(
    law: Belief,
    stall: Belief,
    scales: &Scales,
    earlier: &[Carried],
) -> Before {
    let (fitting, strangers): (Vec<&Carried>, Vec<&Carried>) = earlier
        .iter()
        .filter(|one| one.says_something())
        .partition(|one| one.fits(scales, law.mean.len(), stall.mean.len()));
    let (used, left_out) = (fitting.len(), strangers.len());
    if fitting.is_empty() {
        return Before {
            law,
            stall,
            used,
            left_out,
        };
    }
    let day_law = day(&law);
    let day_stall = vec![DAY_STALL_MPS * DAY_STALL_MPS; stall.mean.len()];
    let laws = fitting
        .iter()
        .map(|one| (&one.law_precision, one.law_information.as_slice()));
    let stalls = fitting
        .iter()
        .map(|one| (&one.stall_precision, one.stall_information.as_slice()));
    Before {
        law: join(&law, laws, &day_law),
        stall: join(&stall, stalls, &day_stall),
        used,
        left_out,
    }
}

/// Variance from day to day.
fn day(law: &Belief) -> Vec<f64> {
    let mean = |at: usize| law.mean.get(at).copied().unwrap_or(0.0).abs();
    (0..law.mean.len())
        .map(|at| {
            let size = match at {
                T1 | T2 => DAY * mean(T0),
                T_DENSITY => DAY * mean(at),
                I0 | I_DENSITY => DAY * 0.1,
                BEND => 0.1,
                T0 | G | B => DAY * mean(at),
                _ => 0.1 * mean(at).max(0.01),
            };
            size * size
        })
        .collect()
}

fn join<'a>(
    before: &Belief,
    flights: impl Iterator<Item = (&'a Square, &'a [f64])>,
    day: &[f64],
) -> Belief {
    let tight: Vec<f64> = day
        .iter()
        .map(|variance| 1.0 / variance.max(1e-12))
        .collect();
    let size = before.mean.len();
    let mut all = (Square::zeros(size), vec![0.0; size]);
    for (own, vector) in flights {
        all = add(all, widened(own, vector, &tight));
    }
    // This flight has a day of its own, too.
    let today = widened(&all.0, &all.1, &tight);
    let own = before.cov.inverse();
    let vector = own.times(&before.mean);
    let (precision, information) = add((own, vector), today);
    Belief {
        mean: precision.solve(&information),
        cov: precision.inverse(),
    }
}

fn add(one: (Square, Vec<f64>), other: (Square, Vec<f64>)) -> (Square, Vec<f64>) {
    let vector = one.1.iter().zip(&other.1).map(|(a, b)| a + b).collect();
    (one.0.plus(&other.0), vector)
}

/// Precision and information after a normal law of precision `tight` was added to what they tell of.
fn widened(own: &Square, vector: &[f64], tight: &[f64]) -> (Square, Vec<f64>) {
    let inner = own.plus(&Square::diagonal(tight)).inverse();
    let through = own.product(&inner);
    let less = through.times(vector);
    (
        own.less(&through.product(own)),
        vector.iter().zip(less).map(|(a, b)| a - b).collect(),
    )
}

impl Carried {
    /// Whether it says anything.
    #[must_use]
    pub fn says_something(&self) -> bool {
        let some = |m: &Square| (0..m.size()).any(|i| m.at(i, i) > 1e-9);
        some(&self.law_precision) || some(&self.stall_precision)
    }
}

impl DayFit {
    /// What this flight leaves for later ones: itself alone, without the prior and without earlier flights.
    #[must_use]
    pub fn carried(&self) -> Carried {
        let empty = |size: usize| (Square::zeros(size), vec![0.0; size]);
        let (law_precision, law_information) = self
            .own
            .clone()
            .unwrap_or_else(|| empty(self.law.mean.len()));
        let (stall_precision, stall_information) = self
            .own_stall
            .clone()
            .unwrap_or_else(|| empty(self.stall.mean.len()));
        Carried {
            vs1_cas_mps: self.vs1_cas_mps,
            detents_rad: self.detents_rad.clone(),
            law_precision,
            law_information,
            stall_precision,
            stall_information,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(mean: f64, variance: f64) -> (Square, Vec<f64>) {
        (Square::diagonal(&[1.0 / variance]), vec![mean / variance])
    }

    /// Gelman et al., *Bayesian Data Analysis*, 3rd ed., section 5.4, for a normal mean of which each of several days is a
    /// draw: 1/V = Σ 1/(σ² + τ²), the middle weighted by these, a new day known to V + τ²; and section 2.5: with a
    /// normal prior, precisions add.
    #[test]
    fn val_joining_is_the_normal_model_with_days() {
        let (prior, tau2) = (Belief::independent(&[(25.0, 1.5)]), 0.16);
        let flights = [one(26.0, 0.25), one(27.0, 0.5), one(26.4, 2.0)];
        let with = join(
            &prior,
            flights.iter().map(|(m, v)| (m, v.as_slice())),
            &[tau2],
        );
        let weights = [1.0 / 0.41, 1.0 / 0.66, 1.0 / 2.16];
        let sum: f64 = weights.iter().sum();
        let middle = (26.0 * weights[0] + 27.0 * weights[1] + 26.4 * weights[2]) / sum;
        let today = 1.0 / (1.0 / sum + tau2);
        let precision = 1.0 / 2.25 + today;
        let mean = (25.0 / 2.25 + middle * today) / precision;
        assert!((with.mean[0] - mean).abs() < 1e-9, "{with:?} {mean}");
        assert!((with.cov.at(0, 0) * precision - 1.0).abs() < 1e-9);
    }

    /// Laws: the order does not matter, a flight that shows nothing changes nothing, σ never grows, and a thousand flights tell
    /// no more of today than a day differs from another.
    #[test]
    fn prop_flights_only_ever_narrow_down_to_a_day() {
        let prior = Belief::independent(&[(25.0, 1.5)]);
        let join = |flights: &[(Square, Vec<f64>)]| {
            join(
                &prior,
                flights.iter().map(|(m, v)| (m, v.as_slice())),
                &[0.16],
            )
        };
        let (a, b) = (one(26.0, 0.25), one(27.0, 0.5));
        let nothing = (Square::zeros(1), vec![0.0]);
        let (ab, ba) = (join(&[a.clone(), b.clone()]), join(&[b.clone(), a.clone()]));
        assert!((ab.mean[0] - ba.mean[0]).abs() < 1e-12);
        assert!((ab.cov.at(0, 0) - ba.cov.at(0, 0)).abs() < 1e-12);
        let still = join(std::slice::from_ref(&nothing));
        assert!((still.mean[0] - 25.0).abs() < 1e-9 && (still.cov.at(0, 0) - 2.25).abs() < 1e-9);
        assert!(join(std::slice::from_ref(&a)).cov.at(0, 0) < 2.25);
        let many = join(&vec![a; 1000]);
        let floor = 1.0 / (1.0 / 2.25 + 1.0 / 0.16);
        assert!(many.cov.at(0, 0) > floor && many.cov.at(0, 0) < 1.01 * floor);
    }
}
