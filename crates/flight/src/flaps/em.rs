//! Finds lines, flap effects, noise and flap positions together: expectation–maximization from
//! several starts, of which the likeliest is kept (one start alone can slip by a detent).

use aircraft::Aircraft;

use super::bins::Bins;
use super::chain::{self, Habits, Posterior, Room};
use super::channel::{Channel, Effects, Learned, Sizes};
use super::lattice::Lattice;
use super::prior;

const DEG: f64 = std::f64::consts::PI / 180.0;

/// Size and shape (power of the angle) of the flap effects at the starts, and size of their drag.
const STARTS: [(f64, f64, f64); 4] = [
    (1.0, 0.75, 0.8),
    (1.1, 0.95, 1.0),
    (0.85, 0.95, 0.6),
    (1.0, 0.55, 1.2),
];
/// Weights of the bins slow enough for flaps in the first fit that are tried.
const SLOW: [f32; 2] = [0.05, 0.3];
/// How tightly the starts hold their effects, so that the line is found first.
const HELD: f64 = 0.2;
/// Rate of flap travel, rad/s: between slow electric flaps (3 deg/s) and quick or hand-operated ones
/// (10 deg/s). The result hardly depends on it.
const TRAVEL: f64 = 5.0 * DEG;
/// Rounds for each start, and for the one that is kept.
const ROUNDS: [usize; 2] = [3, 5];
/// Bins that the starts are tried on; the rest of a long flight waits for the last rounds.
const MOST: usize = 1500;
/// Half a window for local roughness, bins.
const AROUND: usize = 20;

/// All that was learned in one flight.
pub(super) struct Solution {
    pub posterior: Posterior,
    /// Innovation of the angle of attack about each bin, rad (1-σ).
    pub rough_rad: Vec<f64>,
}

/// The search under way.
struct Run<'a> {
    bins: &'a Bins,
    lattice: Lattice,
    channels: Vec<Channel>,
    effects: Effects,
    posterior: Posterior,
    score: f64,
    room: Room,
    residuals: Vec<f64>,
    sizes: Sizes,
}

/// Runs the whole search.
pub(super) fn solve(bins: &Bins, aircraft: &Aircraft, angles_rad: &[f64]) -> Option<Solution> {
    let (effects, learned) = search(&bins.busiest(MOST), aircraft, angles_rad)?;
    let known = aircraft
        .flaps
        .iter()
        .skip(1)
        .all(|d| d.aoa_offset_rad.is_some());
    let habits = prior::habits(bins, aircraft, angles_rad.len());
    let mut run = Run::new(bins, aircraft, angles_rad, effects);
    run.take_over(&learned);
    run.effects.looseness = 1.0;
    if known {
        // The starts were scaled to find the line; what was learned from this aircraft counts.
        let told = prior::effects(aircraft, angles_rad, 1.0, 1.0, 1.0);
        (run.effects.offset_prior, run.effects.drag_prior) = (told.offset_prior, told.drag_prior);
    }
    let mut rough_rad = Vec::new();
    for left in (0..ROUNDS[1]).rev() {
        run.look(&habits, left == 0);
        rough_rad = run.maximize(true);
    }
    Some(Solution {
        posterior: run.posterior,
        rough_rad,
    })
}

/// The likeliest of the starts on a part of the flight: effects, and what the channels learned.
fn search(part: &Bins, aircraft: &Aircraft, angles_rad: &[f64]) -> Option<(Effects, Vec<Learned>)> {
    let habits = prior::habits(part, aircraft, angles_rad.len());
    let blank = prior::effects(aircraft, angles_rad, 1.0, 1.0, 1.0);
    let mut run = Run::new(part, aircraft, angles_rad, blank);
    let fresh = run.learned();
    let mut best: Option<(f64, Effects, Vec<Learned>)> = None;
    for (size, shape, draggy) in STARTS {
        for weight in SLOW {
            run.effects = prior::effects(aircraft, angles_rad, size, shape, draggy);
            run.effects.looseness = HELD;
            run.take_over(&fresh);
            run.begin(weight);
            for _ in 0..ROUNDS[0] {
                run.look(&habits, false);
                run.maximize(true);
            }
            if best.as_ref().is_none_or(|best| run.score >= best.0) {
                best = Some((run.score, run.effects.clone(), run.learned()));
            }
        }
    }
    best.map(|(_, effects, learned)| (effects, learned))
}

/// Fits lines, effects and noise to known positions: `rest` is the share of each detent in each bin.
pub(super) fn known(
    bins: &Bins,
    aircraft: &Aircraft,
    angles_rad: &[f64],
    rest: Vec<f32>,
) -> Effects {
    let effects = prior::effects(aircraft, angles_rad, STARTS[0].0, STARTS[0].1, 1.0);
    let mut run = Run::new(bins, aircraft, angles_rad, effects);
    run.begin(SLOW[1]);
    run.posterior.rest = rest;
    for _ in 0..5 {
        run.maximize(true);
    }
    run.effects
}

impl<'a> Run<'a> {
    fn new(bins: &'a Bins, aircraft: &Aircraft, angles_rad: &[f64], effects: Effects) -> Self {
        Self {
            bins,
            lattice: Lattice::new(angles_rad, TRAVEL, bins.bin_s),
            channels: vec![
                prior::load_line(bins, prior::stall_angle_rad(aircraft)),
                prior::force_line(bins),
            ],
            effects,
            posterior: Posterior::default(),
            score: f64::MIN,
            room: Room::default(),
            residuals: Vec::new(),
            sizes: Sizes::default(),
        }
    }

    fn learned(&self) -> Vec<Learned> {
        self.channels.iter().map(Channel::learned).collect()
    }

    /// Goes on from what was learned.
    fn take_over(&mut self, learned: &[Learned]) {
        for (channel, learned) in self.channels.iter_mut().zip(learned) {
            channel.take_over(learned);
        }
        prior::force_left_side(self.bins, &mut self.channels, &mut self.residuals);
        self.channels.iter_mut().for_each(Channel::update_base);
    }

    /// First lines: clean where too fast for flaps, and next to nothing known elsewhere.
    fn begin(&mut self, slow: f32) {
        let detents = self.lattice.detents;
        let rest = &mut self.posterior.rest;
        rest.clear();
        rest.resize(self.bins.len() * detents, 0.0);
        for (t, chances) in rest.chunks_exact_mut(detents).enumerate() {
            chances[0] = if self.bins.ias_mps[t] > self.bins.limit_mps {
                1.0
            } else {
                slow
            };
        }
        self.maximize(false);
    }

    /// Chances of the positions under the present lines.
    fn look(&mut self, habits: &Habits, whole: bool) {
        chain::run(
            &self.lattice,
            &self.channels,
            &self.effects,
            habits,
            &mut self.room,
            &mut self.posterior,
            whole,
        );
        self.score = self.posterior.log_likelihood - self.effects.penalty();
    }

    /// Lines and, unless at the start, noise under the present chances. Gives the innovation of the angle
    /// of attack about each bin (empty at the start).
    fn maximize(&mut self, noise: bool) -> Vec<f64> {
        let rest = &self.posterior.rest;
        let mut rough_rad = Vec::new();
        for index in 0..self.channels.len() {
            if index == 1 {
                prior::force_left_side(self.bins, &mut self.channels, &mut self.residuals);
            }
            let channel = &mut self.channels[index];
            // At the start twice, so that the weights of the second fit see the first one's residuals.
            for _ in 0..if noise { 1 } else { 2 } {
                channel.update_base();
                channel.fit(rest, &self.lattice, &mut self.effects);
            }
            channel.update_base();
            if !noise {
                continue;
            }
            let detents = self.lattice.detents;
            channel.expected(rest, detents, &self.effects, &mut self.residuals);
            let scale = channel.scale;
            let told = channel.learn_noise(&self.residuals, &mut self.sizes);
            if index == 0 {
                rough_rad = if told {
                    let innovations = channel.surprises(&self.residuals, scale);
                    about(&innovations, 3.0 * channel.scale)
                } else {
                    vec![f64::NAN; self.bins.len()]
                };
            }
        }
        rough_rad
    }
}

/// Mean size of the surprises about each bin, a wild one cut to `most`, as the 1-σ of a normal distribution.
fn about(innovations: &[f64], most: f64) -> Vec<f64> {
    let (mut sums, mut counts) = (vec![0.0], vec![0_usize]);
    for x in innovations {
        let (known, size) = if x.is_finite() {
            (1, x.abs().min(most))
        } else {
            (0, 0.0)
        };
        sums.push(sums[sums.len() - 1] + size);
        counts.push(counts[counts.len() - 1] + known);
    }
    (0..innovations.len())
        .map(|t| {
            let (from, to) = (
                t.saturating_sub(AROUND),
                (t + AROUND + 1).min(innovations.len()),
            );
            let count = counts[to] - counts[from];
            if count < 5 {
                f64::NAN
            } else {
                1.25 * (sums[to] - sums[from]) / count as f64
            }
        })
        .collect()
}
