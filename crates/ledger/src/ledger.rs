//! The ledger: every foot lost shared among causes, at both readings.
//!
//! The shares come from putting one cause right after the other, in the order of [`Cause::ALL`], in the same model and
//! the same air, and add up to the difference between the flight and the recovery with all of them put right; what is
//! left of the loss is what any recovery costs today. [`Ledger::orderless`] shares by Shapley's value instead: the mean
//! over every order (L. S. Shapley, "A value for n-person games", 1953).

use crate::airplane::Airplane;
use crate::causes::{Cause, Reference, corrected, present};
use crate::good::good;
use crate::recovery::Recovery;
use rand::SeedableRng;
use rand_distr::{Distribution, StandardNormal};
use rand_pcg::Pcg64;

/// A number with its 1-σ, m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Measure {
    /// Value.
    pub value_m: f64,
    /// 1-σ.
    pub sigma_m: f64,
}

/// One cause with what it cost.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Share {
    /// Cause.
    pub cause: Cause,
    /// To the lowest point; negative: it helped.
    pub lowest: Measure,
    /// At the second reading.
    pub later: Measure,
}

/// The whole.
#[derive(Clone, Debug, PartialEq)]
pub struct Ledger {
    /// Height lost from the stall to the lowest point.
    pub lost_lowest: Measure,
    /// Height lost from the stall to the second reading; negative where it ended higher.
    pub lost_later: Measure,
    /// What any recovery costs today, at both readings: the losses less the shares.
    pub any_recovery: [Measure; 2],
    /// Causes in the order in which they were put right.
    pub shares: Vec<Share>,
    /// Causes that were there but cost together, at both readings, less than good recoveries differ by: nothing is charged.
    pub untold: Vec<Cause>,
    /// Share of each cause over every order, at both readings, m; in the order of `shares`.
    pub orderless: Vec<[f64; 2]>,
    /// How far the replay in the model is off the flight at both readings, m.
    pub replay_off_m: [f64; 2],
    /// When the second reading was taken, s after the stall.
    pub later_s: f64,
}

/// Number of possible worlds that σ is taken from.
const WORLDS: usize = 24;
/// What the model's form is wrong by: a share of the cost, and height, m (judgment: held against paired flights, see
/// docs/height-ledger.md).
const FORM: (f64, f64) = (0.22, 5.0);
/// More, m, where the stall was held: how long it was held hangs on two moments that a recording shows to some tenths of
/// a second, at thirty feet a second (judgment, as above).
const HELD_M: f64 = 10.0;
/// 1-σ of what a good recovery loses in the model, at both readings, m (judgment, as above).
const GOOD_M: [f64; 2] = [11.0, 14.0];
/// A sum below this many of its σ at both readings is not told.
const TOLD: f64 = 1.0;
/// More causes than this are not shared over every order: 2ⁿ runs.
const MOST: usize = 6;

impl Ledger {
    /// Draws up the ledger of a recovery. `airplanes` are draws of what is believed of the airplane (none: it counts as
    /// known), `release_sigma_s` how well the moment of the unloading is known.
    #[must_use]
    pub fn new(
        recovery: &Recovery,
        reference: &Reference,
        airplanes: &[Airplane],
        release_sigma_s: f64,
    ) -> Ledger {
        let causes = present(recovery, reference);
        let flown = lost(recovery);
        let worlds = worlds(recovery, reference, airplanes, release_sigma_s, &causes);
        let rough = rough(recovery.flown.about.gust_mps);
        let mut drawn_up = Shares {
            steps: successive(recovery, reference, &causes),
            sigmas: Vec::new(),
            orderless: orderless(recovery, reference, &causes),
        };
        drawn_up.sigmas = causes
            .iter()
            .enumerate()
            .map(|(k, &cause)| {
                [0, 1].map(|reading| {
                    let drawn: Vec<f64> = worlds
                        .iter()
                        .filter_map(|w| w.get(k).map(|s| s[reading]))
                        .collect();
                    let value = drawn_up.steps.get(k).map_or(0.0, |s| s[reading]);
                    rough * form(spread(&drawn), value, cause == Cause::StallHeld)
                })
            })
            .collect();
        let of_all = |reading: usize| {
            let charged = drawn_up.sum(reading);
            let drawn: Vec<f64> = worlds
                .iter()
                .map(|w| w.iter().map(|s| s[reading]).sum())
                .collect();
            rough * form(spread(&drawn), charged, causes.contains(&Cause::StallHeld))
        };
        let mut whole = [of_all(0), of_all(1)];
        if let Some(good) = good(recovery, reference) {
            let said = [flown[0] - good[0], flown[1] - good[1]];
            whole = drawn_up.weighed(said, whole, GOOD_M.map(|sigma| rough * sigma));
        }
        let little = |reading: usize| drawn_up.sum(reading).abs() < TOLD * whole[reading];
        let untold = if little(0) && little(1) {
            drawn_up = Shares::default();
            causes.clone()
        } else {
            Vec::new()
        };
        let height = recovery.flown.about.height_sigma_m;
        let rest = |reading: usize| Measure {
            value_m: flown[reading] - drawn_up.sum(reading),
            sigma_m: whole[reading].hypot(height),
        };
        let any_recovery = [rest(0), rest(1)];
        let measured = |value_m: f64| Measure {
            value_m,
            sigma_m: height,
        };
        Ledger {
            lost_lowest: measured(flown[0]),
            lost_later: measured(flown[1]),
            any_recovery,
            shares: drawn_up.shares(&causes),
            untold,
            orderless: drawn_up.orderless,
            replay_off_m: replay_off(recovery, reference),
            later_s: recovery.times.end_s - recovery.times.stall_s,
        }
    }

    /// What all causes together cost at a reading (0 lowest point, 1 later), m.
    #[must_use]
    pub fn charged_m(&self, reading: usize) -> f64 {
        let value = |share: &Share| if reading == 0 { share.lowest } else { share.later }.value_m;
        self.shares.iter().map(value).sum()
    }
}

/// Shares as they are drawn up.
#[derive(Default)]
struct Shares {
    /// Successive shares, m.
    steps: Vec<[f64; 2]>,
    /// Their 1-σ.
    sigmas: Vec<[f64; 2]>,
    /// Order-free shares.
    orderless: Vec<[f64; 2]>,
}

impl Shares {
    /// All together at a reading, m.
    fn sum(&self, reading: usize) -> f64 {
        self.steps.iter().map(|s| s[reading]).sum()
    }

    /// Weighs the sum with what it should be by the second opinion; gives the σ of the new sum.
    ///
    /// A sum S with σ and an independent saying of it with σ': the best of both moves by (said − S) σ²/(σ² + σ'²), and
    /// every share by its part of the variance (the update of a Gaussian by a measurement of a sum; A. Gelman et al.,
    /// *Bayesian Data Analysis*, 3rd ed. 2013, ch. 2 and 3).
    fn weighed(&mut self, said: [f64; 2], whole: [f64; 2], doubt: [f64; 2]) -> [f64; 2] {
        let mut after = whole;
        for reading in 0..2 {
            let sum = self.sum(reading);
            let parts: f64 = self.sigmas.iter().map(|s| s[reading].powi(2)).sum();
            if parts <= 0.0 {
                continue;
            }
            let (own, other) = (whole[reading].powi(2), doubt[reading].powi(2));
            let moves = (said[reading] - sum) * own / (own + other);
            for ((step, sigma), orderless) in self
                .steps
                .iter_mut()
                .zip(&mut self.sigmas)
                .zip(&mut self.orderless)
            {
                let part = sigma[reading].powi(2) / parts;
                step[reading] += moves * part;
                orderless[reading] += moves * part;
                sigma[reading] *= (1.0 - part * own / (own + other)).sqrt();
            }
            after[reading] = (own * other / (own + other)).sqrt();
        }
        after
    }

    fn shares(&self, causes: &[Cause]) -> Vec<Share> {
        causes
            .iter()
            .zip(self.steps.iter().zip(&self.sigmas))
            .map(|(cause, (step, sigma))| {
                let one = |reading: usize| Measure {
                    value_m: step[reading],
                    sigma_m: sigma[reading],
                };
                Share {
                    cause: *cause,
                    lowest: one(0),
                    later: one(1),
                }
            })
            .collect()
    }
}

/// Height lost at both readings as flown, m.
fn lost(recovery: &Recovery) -> [f64; 2] {
    let [lowest, later] = flown_heights(recovery);
    let stall = recovery.flown.at(recovery.times.stall_s).height;
    [stall - lowest, stall - later]
}

fn flown_heights(recovery: &Recovery) -> [f64; 2] {
    let times = &recovery.times;
    let lowest = recovery
        .flown
        .span(times.stall_s, times.end_s)
        .map(|s| s.height)
        .fold(f64::INFINITY, f64::min);
    [lowest, recovery.flown.at(times.end_s).height]
}

/// Heights at both readings with causes put right, m.
#[must_use]
pub fn heights(recovery: &Recovery, reference: &Reference, right: &[Cause]) -> [f64; 2] {
    let corrected = corrected(recovery, reference, right);
    let run = recovery.fly(
        &recovery.airplane,
        &corrected.actions,
        corrected.from_s,
        &reference.coming_back,
    );
    // What was lost before the run begins counts too.
    let before = recovery
        .flown
        .span(recovery.times.stall_s, corrected.from_s)
        .map(|s| s.height)
        .fold(f64::INFINITY, f64::min);
    let lowest = run.lowest().map_or(before, |s| s.height).min(before);
    let later = run.steps.last().map_or(before, |s| s.height);
    [lowest, later]
}

fn replay_off(recovery: &Recovery, reference: &Reference) -> [f64; 2] {
    let (replayed, flown) = (heights(recovery, reference, &[]), flown_heights(recovery));
    [replayed[0] - flown[0], replayed[1] - flown[1]]
}

/// What each cause adds at both readings when it is put right after those before it, m.
fn successive(recovery: &Recovery, reference: &Reference, causes: &[Cause]) -> Vec<[f64; 2]> {
    let mut right = Vec::new();
    let mut now = base(recovery, reference, causes);
    causes
        .iter()
        .map(|cause| {
            right.push(*cause);
            let next = heights(recovery, reference, &right);
            let share = [next[0] - now[0], next[1] - now[1]];
            now = next;
            share
        })
        .collect()
}

/// What the first cause is held against: the replay, so that what the model gets wrong is in both; but the flight itself
/// where the first cause put right begins the recovery elsewhere: that has nothing to do with how well the dive that
/// was flown is replayed.
fn base(recovery: &Recovery, reference: &Reference, causes: &[Cause]) -> [f64; 2] {
    let elsewhere = causes.first().is_some_and(|first| {
        corrected(recovery, reference, &[*first]).from_s < recovery.last_release_s() - 0.5
    });
    if elsewhere {
        flown_heights(recovery)
    } else {
        heights(recovery, reference, &[])
    }
}

/// Shapley's shares, from the heights of every set of causes; scaled to nothing: they add up by themselves.
fn orderless(recovery: &Recovery, reference: &Reference, causes: &[Cause]) -> Vec<[f64; 2]> {
    let n = causes.len();
    if n == 0 || n > MOST {
        return vec![[f64::NAN; 2]; n];
    }
    let of_set = |set: usize| {
        let right: Vec<Cause> = causes
            .iter()
            .enumerate()
            .filter(|(k, _)| set >> k & 1 == 1)
            .map(|(_, cause)| *cause)
            .collect();
        if right.is_empty() {
            base(recovery, reference, causes)
        } else {
            heights(recovery, reference, &right)
        }
    };
    let all: Vec<[f64; 2]> = (0..1_usize << n).map(of_set).collect();
    let factorial = |k: usize| (1..=k).map(|v| v as f64).product::<f64>();
    (0..n)
        .map(|k| {
            let mut share = [0.0; 2];
            for set in (0..1_usize << n).filter(|set| set >> k & 1 == 0) {
                let size = set.count_ones() as usize;
                let weight = factorial(size) * factorial(n - size - 1) / factorial(n);
                if let (Some(with), Some(without)) = (all.get(set | 1 << k), all.get(set)) {
                    for reading in 0..2 {
                        share[reading] += weight * (with[reading] - without[reading]);
                    }
                }
            }
            share
        })
        .collect()
}

/// The successive shares in worlds that could be the real one.
fn worlds(
    recovery: &Recovery,
    reference: &Reference,
    airplanes: &[Airplane],
    release_sigma_s: f64,
    causes: &[Cause],
) -> Vec<Vec<[f64; 2]>> {
    if causes.is_empty() {
        return Vec::new();
    }
    let mut random = Pcg64::seed_from_u64(1);
    (0..WORLDS)
        .filter_map(|k| {
            let mut chance = || -> f64 { StandardNormal.sample(&mut random) };
            let reference = shaken(reference, &mut chance);
            let release = recovery.times.release_s + release_sigma_s.min(1.0) * chance();
            let airplane = airplanes
                .get(k % airplanes.len().max(1))
                .unwrap_or(&recovery.airplane);
            let other = recovery.again(airplane.clone(), release)?;
            Some(successive(&other, &reference, causes))
        })
        .collect()
}

/// Nobody knows how the same pilot would have flown it well: a style within what good recoveries differ by (judgment).
fn shaken(reference: &Reference, chance: &mut impl FnMut() -> f64) -> Reference {
    let mut other = *reference;
    other.style.steepest_rad = (other.style.steepest_rad + 0.06 * chance()).min(-0.05);
    other.style.pull_at += 0.05 * chance();
    other.style.pull_load = (other.style.pull_load + 0.05 * chance()).max(1.05);
    other.style.unload_load = (other.style.unload_load + 0.07 * chance()).min(0.97);
    other.unload_s[0] = (other.unload_s[0] + 0.35 * chance()).max(0.3);
    other.power_s[0] += 0.3 * chance();
    other
}

/// How much wider the model's σ are in gusts of a strength, m/s: what the air does adds to what the model lacks
/// (judgment, as above).
fn rough(gust_mps: f64) -> f64 {
    let gust = if gust_mps.is_finite() { gust_mps } else { 0.5 };
    (0.9 + 0.9 * gust.clamp(0.0, 3.0).powi(2)).sqrt()
}

/// 1-σ of a cost from what the possible worlds differ by and what the model's form is wrong by, m.
fn form(spread: f64, cost: f64, held: bool) -> f64 {
    let held = if held { HELD_M } else { 0.0 };
    spread.hypot(FORM.0 * cost).hypot(FORM.1).hypot(held)
}

/// Standard deviation about the mean.
fn spread(values: &[f64]) -> f64 {
    let n = values.len() as f64;
    if n < 2.0 {
        return 0.0;
    }
    let mean = values.iter().sum::<f64>() / n;
    (values.iter().map(|v| (v - mean).powi(2)).sum::<f64>() / (n - 1.0)).sqrt()
}
