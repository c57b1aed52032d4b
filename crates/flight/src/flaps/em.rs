//! Finds lines, flap effects, noise and flap positions together: expectation–maximization from
//! several starts, of which the likeliest is kept (one start alone can slip by a detent).

use aircraft::Aircraft;

use super::bins::Bins;
use super::chain::{self, Habits, Posterior, Room};
use super::channel::{Channel, Effects};
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
    pub lattice: Lattice,
    pub posterior: Posterior,
    pub effects: Effects,
    /// Innovation of the angle of attack about each bin, rad (1-σ).
    pub rough_rad: Vec<f64>,
    score: f64,
    channels: Vec<Channel>,
}

/// Runs the whole search.
pub(super) fn solve(bins: &Bins, aircraft: &Aircraft, angles_rad: &[f64]) -> Option<Solution> {
    let known = aircraft
        .flaps
        .iter()
        .skip(1)
        .all(|d| d.aoa_offset_rad.is_some());
    let lattice = Lattice::new(angles_rad, TRAVEL, bins.bin_s);
    let mut room = Room::default();
    let part = bins.busiest(MOST);
    let stall_rad = prior::stall_angle_rad(aircraft);
    let habits = prior::habits(&part, aircraft, angles_rad.len());
    let blank = vec![prior::load_line(&part, stall_rad), prior::force_line(&part)];
    let found = STARTS
        .iter()
        .flat_map(|start| SLOW.map(|weight| (start, weight)))
        .map(|(&(size, shape, draggy), weight)| {
            let mut effects = prior::effects(aircraft, angles_rad, size, shape, draggy);
            effects.looseness = HELD;
            let mut run = begin(&part, &lattice, blank.clone(), effects, weight);
            for _ in 0..ROUNDS[0] {
                round(&part, &habits, &mut run, &mut room);
            }
            run
        })
        .max_by(|a, b| a.score.total_cmp(&b.score))?;
    let habits = prior::habits(bins, aircraft, angles_rad.len());
    let mut channels = vec![
        prior::load_line(bins, prior::stall_angle_rad(aircraft)),
        prior::force_line(bins),
    ];
    for (channel, found) in channels.iter_mut().zip(&found.channels) {
        channel.take_over(found);
    }
    channels[1].y = prior::force_left_side(bins, &channels[0]);
    channels.iter_mut().for_each(Channel::update_base);
    let mut best = Solution { channels, ..found };
    best.effects.looseness = 1.0;
    if known {
        // The starts were scaled to find the line; what was learned from this aircraft counts.
        let told = prior::effects(aircraft, angles_rad, 1.0, 1.0, 1.0);
        (best.effects.offset_prior, best.effects.drag_prior) = (told.offset_prior, told.drag_prior);
    }
    for _ in 0..ROUNDS[1] {
        round(bins, &habits, &mut best, &mut room);
    }
    Some(best)
}

/// Fits lines, effects and noise to known positions: `rest` is the share of each detent in each bin.
pub(super) fn known(
    bins: &Bins,
    aircraft: &Aircraft,
    angles_rad: &[f64],
    rest: Vec<f32>,
) -> Effects {
    let lattice = Lattice::new(angles_rad, TRAVEL, bins.bin_s);
    let effects = prior::effects(aircraft, angles_rad, STARTS[0].0, STARTS[0].1, 1.0);
    let channels = vec![
        prior::load_line(bins, prior::stall_angle_rad(aircraft)),
        prior::force_line(bins),
    ];
    let mut run = begin(bins, &lattice, channels, effects, SLOW[1]);
    run.posterior.rest = rest;
    for _ in 0..5 {
        maximize(bins, &mut run, true);
    }
    run.effects.clone()
}

/// First lines: clean where too fast for flaps, and next to nothing known elsewhere.
fn begin(
    bins: &Bins,
    lattice: &Lattice,
    channels: Vec<Channel>,
    effects: Effects,
    slow: f32,
) -> Solution {
    let detents = lattice.detents;
    let mut rest = vec![0.0_f32; bins.len() * detents];
    for (t, chances) in rest.chunks_exact_mut(detents).enumerate() {
        chances[0] = if bins.ias_mps[t] > bins.limit_mps {
            1.0
        } else {
            slow
        };
    }
    let posterior = Posterior {
        rest,
        ..Posterior::default()
    };
    let mut run = Solution {
        lattice: lattice.clone(),
        posterior,
        effects,
        rough_rad: vec![f64::NAN; bins.len()],
        score: f64::MIN,
        channels,
    };
    maximize(bins, &mut run, false);
    run
}

/// One round: chances, then lines and noise.
fn round(bins: &Bins, habits: &Habits, run: &mut Solution, room: &mut Room) {
    run.posterior = chain::run(&run.lattice, &run.channels, &run.effects, habits, room);
    run.score = run.posterior.log_likelihood - run.effects.penalty();
    maximize(bins, run, true);
}

fn maximize(bins: &Bins, run: &mut Solution, noise: bool) {
    let Solution {
        lattice,
        posterior,
        effects,
        channels,
        rough_rad,
        ..
    } = run;
    let rest = &posterior.rest;
    for index in 0..channels.len() {
        if index == 1 {
            channels[1].y = prior::force_left_side(bins, &channels[0]);
        }
        let channel = &mut channels[index];
        // At the start twice, so that the weights of the second fit see the first one's residuals.
        for _ in 0..if noise { 1 } else { 2 } {
            channel.update_base();
            channel.fit(rest, lattice, effects);
        }
        channel.update_base();
        if !noise {
            continue;
        }
        let residuals = channel.expected(rest, lattice.detents, effects);
        let innovations = channel.learn_noise(&residuals);
        if index == 0 {
            *rough_rad = about(&innovations, 3.0 * channel.scale);
        }
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
