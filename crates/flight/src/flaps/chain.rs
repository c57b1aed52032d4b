//! Forward–backward over the lattice: the chance of each state in each bin, and of each movement.

use super::channel::{Channel, Effects, taken};
use super::lattice::{Kind, Lattice};

/// Chances of beginning to move, per bin.
#[derive(Clone, Debug)]
pub(super) struct Habits {
    /// `[t * boundaries + b]`: from detent b down to b + 1.
    pub down: Vec<f32>,
    /// The same up, from b + 1 to b.
    pub up: Vec<f32>,
    /// Chances of the detents at the first bin.
    pub first: Vec<f64>,
}

/// What forward–backward gives.
#[derive(Clone, Debug, Default)]
pub(super) struct Posterior {
    /// Chance of each detent at rest, `[t * detents + k]`.
    pub rest: Vec<f32>,
    /// Chance of each detent as the nearest to the position, `[t * detents + k]`.
    pub near: Vec<f32>,
    /// Chance that a movement down over boundary b began here, `[t * boundaries + b]`: from rest, and
    /// in passing.
    pub down: [Vec<f32>; 2],
    /// The same up.
    pub up: [Vec<f32>; 2],
    /// Log likelihood of the flight.
    pub log_likelihood: f64,
}

/// States less likely than this are not followed on: a path that matters begins anew in every bin.
const LEAST: f64 = 1e-5;

/// Room that is used again from round to round.
#[derive(Default)]
pub(super) struct Room {
    forward: Vec<f64>,
    ways: Vec<f64>,
    norm: Vec<f64>,
}

/// Student-t of three degrees of freedom without its constant.
#[inline]
fn student(residual: f64, scale: f64) -> f64 {
    let x = residual / scale;
    let tail = 1.0 + x * x / 3.0;
    1.0 / (scale * tail * tail)
}

/// Runs the lattice over the bins.
pub(super) fn run(
    lattice: &Lattice,
    channels: &[Channel],
    effects: &Effects,
    habits: &Habits,
    room: &mut Room,
) -> Posterior {
    let bins = channels.first().map_or(0, |channel| channel.y.len());
    let log_likelihood = forward(lattice, channels, effects, habits, room, bins);
    let mut posterior = backward(lattice, room, bins);
    posterior.log_likelihood = log_likelihood;
    posterior
}

fn forward(
    lattice: &Lattice,
    channels: &[Channel],
    effects: &Effects,
    habits: &Habits,
    room: &mut Room,
    bins: usize,
) -> f64 {
    let (states, pairs) = (lattice.states(), lattice.pairs.len());
    let positions = lattice.shares.len();
    let boundaries = lattice.detents - 1;
    let (mut offset, mut drag) = (Vec::new(), Vec::new());
    lattice.spread(&effects.offset_rad, &mut offset);
    lattice.spread(&effects.drag, &mut drag);
    room.forward.resize(bins * states, 0.0);
    room.ways.resize(bins * pairs, 0.0);
    room.norm.resize(bins, 0.0);
    let mut now = vec![0.0; positions * channels.len()];
    let mut then = now.clone();
    let mut drift = vec![0.0; states * channels.len()];
    let mut next_drift = drift.clone();
    let mut unseen = vec![60_i32; channels.len()];
    let mut previous = vec![0.0; states];
    for (state, chance) in habits.first.iter().enumerate() {
        previous[state] = *chance;
    }
    let mut total = 0.0;
    for t in 0..bins {
        let (mut scales, mut rhos) = ([0.0; 2], [0.0; 2]);
        for (c, channel) in channels.iter().enumerate() {
            if channel.valid[t] {
                let span = c * positions..(c + 1) * positions;
                channel.residuals(t, &offset, &drag, &mut now[span]);
                let lost = 1.0 - channel.decay.powi(2 * unseen[c]);
                let fresh = unseen[c] > 0;
                rhos[c] = if fresh { 0.0 } else { channel.rho };
                let fast = if fresh {
                    (1.0 - channel.rho * channel.rho).sqrt().recip()
                } else {
                    1.0
                };
                scales[c] =
                    (channel.scale * channel.widen[t] * fast).hypot(channel.drift() * lost.sqrt());
                unseen[c] = 0;
            } else {
                unseen[c] += 1;
            }
        }
        let current = &mut room.forward[t * states..(t + 1) * states];
        current.fill(0.0);
        next_drift.fill(0.0);
        let ways = &mut room.ways[t * pairs..(t + 1) * pairs];
        for (way, pair) in ways.iter_mut().zip(&lattice.pairs) {
            let (from, to) = (usize::from(pair.from), usize::from(pair.to));
            if previous[from] < LEAST {
                *way = 0.0;
                continue;
            }
            let mut chance = transition(pair.kind, lattice.detents, habits, t, boundaries);
            let at = usize::from(lattice.position[to]);
            let was = usize::from(lattice.position[from]);
            let mut drifts = [0.0; 2];
            for (c, channel) in channels.iter().enumerate() {
                drifts[c] = channel.decay * drift[c * states + from];
                if channel.valid[t] {
                    let past = then[c * positions + was] - drifts[c];
                    let surprise = now[c * positions + at] - drifts[c] - rhos[c] * past;
                    chance *= student(surprise, scales[c]);
                    drifts[c] += taken(channel.gain, surprise, scales[c]);
                }
            }
            *way = chance;
            let mass = previous[from] * chance;
            current[to] += mass;
            for (c, d) in drifts.iter().enumerate().take(channels.len()) {
                next_drift[c * states + to] += mass * d;
            }
        }
        let sum: f64 = current.iter().sum();
        let sum = if sum.is_finite() && sum > 1e-280 {
            sum
        } else {
            1.0
        };
        for (state, chance) in current.iter_mut().enumerate() {
            if *chance > 0.0 {
                for c in 0..channels.len() {
                    next_drift[c * states + state] /= *chance;
                }
            }
            *chance /= sum;
        }
        room.norm[t] = sum;
        total += sum.ln();
        previous.copy_from_slice(current);
        std::mem::swap(&mut drift, &mut next_drift);
        std::mem::swap(&mut now, &mut then);
    }
    total
}

#[inline]
fn transition(kind: Kind, detents: usize, habits: &Habits, t: usize, boundaries: usize) -> f64 {
    let down = |b: usize| f64::from(habits.down[t * boundaries + b]);
    let up = |b: usize| f64::from(habits.up[t * boundaries + b]);
    match kind {
        Kind::Stay(k) => {
            let k = usize::from(k);
            let leave_down = if k + 1 < detents { down(k) } else { 0.0 };
            let leave_up = if k > 0 { up(k - 1) } else { 0.0 };
            1.0 - leave_down - leave_up
        }
        Kind::Carry => 1.0,
        Kind::Stop(chance) | Kind::Pass { chance, .. } => chance,
        Kind::Start {
            boundary,
            down: true,
        } => down(usize::from(boundary)),
        Kind::Start {
            boundary,
            down: false,
        } => up(usize::from(boundary)),
    }
}

fn backward(lattice: &Lattice, room: &Room, bins: usize) -> Posterior {
    let (states, pairs) = (lattice.states(), lattice.pairs.len());
    let detents = lattice.detents;
    let boundaries = detents - 1;
    let series = |width: usize| vec![0.0_f32; bins * width];
    let mut out = Posterior {
        rest: series(detents),
        near: series(detents),
        down: [series(boundaries), series(boundaries)],
        up: [series(boundaries), series(boundaries)],
        log_likelihood: 0.0,
    };
    let mut after = vec![1.0; states];
    let mut before = vec![0.0; states];
    for t in (0..bins).rev() {
        let current = &room.forward[t * states..(t + 1) * states];
        for state in 0..states {
            let chance = (current[state] * after[state]) as f32;
            if state < detents {
                out.rest[t * detents + state] = chance;
            }
            let (low, share) = lattice.shares[usize::from(lattice.position[state])];
            let nearest = usize::from(low) + usize::from(share > 0.5);
            out.near[t * detents + nearest] += chance;
        }
        before.fill(0.0);
        let ways = &room.ways[t * pairs..(t + 1) * pairs];
        let past = if t > 0 {
            Some(&room.forward[(t - 1) * states..t * states])
        } else {
            None
        };
        for (way, pair) in ways.iter().zip(&lattice.pairs) {
            if *way <= 0.0 {
                continue;
            }
            let (from, to) = (usize::from(pair.from), usize::from(pair.to));
            let part = way * after[to] / room.norm[t];
            before[from] += part;
            let Some(past) = past else { continue };
            let (boundary, down, passing) = match pair.kind {
                Kind::Start { boundary, down } => (boundary, down, 0),
                Kind::Pass { boundary, down, .. } => (boundary, down, 1),
                _ => continue,
            };
            let series = if down { &mut out.down } else { &mut out.up };
            series[passing][t * boundaries + usize::from(boundary)] = (past[from] * part) as f32;
        }
        after.copy_from_slice(&before);
    }
    out
}
