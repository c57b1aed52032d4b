//! What one flight leaves for the next of the same aircraft.
//!
//! Kept is what the flight *alone* says (precision and precision times mean, no prior in it), so that several can be
//! added in any order and one can be taken away again. Before it is added it is widened by what differs from day to
//! day: precision Λ becomes (Λ⁻¹ + Q)⁻¹ = Λ − Λ(Λ + Q⁻¹)⁻¹Λ (the matrix inversion lemma).

use crate::linear::Square;
use crate::model::{B, BEND, DayFit, G, I_DENSITY, I0, T_DENSITY, T0, T1, T2};
use crate::prior::Scales;
use crate::regress::Belief;
use serde::{Deserialize, Serialize};

/// What a flight leaves. As JSON it is a few hundred numbers.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
        let near = |a: f64, b: f64| (a / b - 1.0).abs() < 0.1;
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

/// Prior of drag and thrust and of the stall speeds with the earlier flights in it, and how many of them fitted.
pub(crate) fn with_earlier(
    law: Belief,
    stall: Belief,
    scales: &Scales,
    earlier: &[Carried],
) -> (Belief, Belief, usize) {
    let fitting: Vec<&Carried> = earlier
        .iter()
        .filter(|one| one.fits(scales, law.mean.len(), stall.mean.len()))
        .collect();
    if fitting.is_empty() {
        return (law, stall, 0);
    }
    let day_law = day(&law);
    let day_stall = vec![DAY_STALL_MPS * DAY_STALL_MPS; stall.mean.len()];
    let laws = fitting
        .iter()
        .map(|one| (&one.law_precision, one.law_information.as_slice()));
    let stalls = fitting
        .iter()
        .map(|one| (&one.stall_precision, one.stall_information.as_slice()));
    (
        join(&law, laws, &day_law),
        join(&stall, stalls, &day_stall),
        fitting.len(),
    )
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
    let mut precision = before.cov.inverse();
    let mut information = precision.times(&before.mean);
    let tight: Vec<f64> = day
        .iter()
        .map(|variance| 1.0 / variance.max(1e-12))
        .collect();
    for (own, vector) in flights {
        let inner = own.plus(&Square::diagonal(&tight)).inverse();
        let through = own.product(&inner);
        precision = precision.plus(&own.less(&through.product(own)));
        let less = through.times(vector);
        for ((slot, own), less) in information.iter_mut().zip(vector).zip(less) {
            *slot += own - less;
        }
    }
    let cov = precision.inverse();
    // This flight has a day of its own, too.
    Belief {
        mean: precision.solve(&information),
        cov: cov.plus(&Square::diagonal(day)),
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
