//! Forward–backward over the lattice: the chance of each state in each bin, and of each movement.

use super::channel::{Channel, Effects};
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
    /// Chance of each state after each bin, `[t * states + state]`.
    forward: Vec<f64>,
    /// The ways that were followed, bin after bin: index of the pair and its chance.
    ways: Vec<(u16, f64)>,
    /// Where the ways of each bin end.
    ends: Vec<usize>,
    /// What each bin's chances were divided by.
    norm: Vec<f64>,
}

/// What one channel tells in one bin.
#[derive(Clone, Copy, Default)]
struct Look {
    valid: bool,
    decay: f64,
    gain: f64,
    rho: f64,
    /// 1 over the scale of the surprise.
    narrow: f64,
}

/// Most channels.
const CHANNELS: usize = 2;

/// One value for each channel.
type Each = [f64; CHANNELS];

impl Look {
    fn new(channel: &Channel, t: usize, unseen: &mut i32) -> Self {
        let mut look = Self {
            valid: channel.valid[t],
            decay: channel.decay,
            gain: channel.gain,
            ..Self::default()
        };
        if !look.valid {
            *unseen += 1;
            return look;
        }
        let plain = channel.scale * channel.widen[t];
        let scale = if *unseen == 0 {
            look.rho = channel.rho;
            plain
        } else {
            let lost = 1.0 - channel.decay.powi(2 * *unseen);
            let fast = (1.0 - channel.rho * channel.rho).sqrt().recip();
            (plain * fast).hypot(channel.drift() * lost.sqrt())
        };
        look.narrow = 1.0 / scale;
        *unseen = 0;
        look
    }

    /// Likelihood of a surprise (Student-t of three degrees of freedom without its constant), and what
    /// of it goes into the drift: less of a wild one.
    #[inline]
    fn judge(&self, surprise: f64) -> (f64, f64) {
        let square = (surprise * self.narrow).powi(2);
        let (tail, tame) = (1.0 + square * (1.0 / 3.0), 1.0 + square * (1.0 / 9.0));
        let tails = tail * tail;
        let share = 1.0 / (tails * tame);
        (
            self.narrow * tame * share,
            self.gain * surprise * tails * share,
        )
    }
}

/// Runs the lattice over the bins. `whole` also gives positions and movements, which only the last
/// round is asked for.
pub(super) fn run(
    lattice: &Lattice,
    channels: &[Channel],
    effects: &Effects,
    habits: &Habits,
    room: &mut Room,
    posterior: &mut Posterior,
    whole: bool,
) {
    let bins = channels.first().map_or(0, |channel| channel.y.len());
    posterior.log_likelihood = forward(lattice, channels, effects, habits, room, bins);
    backward(lattice, room, bins, posterior, whole);
}

fn forward(
    lattice: &Lattice,
    channels: &[Channel],
    effects: &Effects,
    habits: &Habits,
    room: &mut Room,
    bins: usize,
) -> f64 {
    let states = lattice.states();
    let (mut offset, mut drag) = (Vec::new(), Vec::new());
    lattice.spread(&effects.offset_rad, &mut offset);
    lattice.spread(&effects.drag, &mut drag);
    room.forward.clear();
    room.forward.resize(bins * states, 0.0);
    room.ways.clear();
    room.ends.clear();
    room.norm.clear();
    let mut now: Vec<Each> = vec![[0.0; CHANNELS]; lattice.shares.len()];
    let mut then = now.clone();
    let mut drift: Vec<Each> = vec![[0.0; CHANNELS]; states];
    let mut next_drift = drift.clone();
    let mut unseen = [60_i32; CHANNELS];
    // States that are followed on, with their chances.
    let mut followed: Vec<(usize, f64)> = (habits.first.iter().copied().enumerate())
        .filter(|(_, chance)| *chance >= LEAST)
        .collect();
    let mut total = 0.0;
    for t in 0..bins {
        let mut looks = [Look::default(); CHANNELS];
        for (c, channel) in channels.iter().enumerate().take(CHANNELS) {
            looks[c] = Look::new(channel, t, &mut unseen[c]);
            if looks[c].valid {
                channel.residuals(t, &offset, &drag, now.iter_mut().map(|each| &mut each[c]));
            }
        }
        let current = &mut room.forward[t * states..(t + 1) * states];
        for (from, mass) in followed.drain(..) {
            let was = usize::from(lattice.position[from]);
            for index in lattice.leaving[from]..lattice.leaving[from + 1] {
                let pair = &lattice.pairs[index];
                let to = usize::from(pair.to);
                let at = usize::from(lattice.position[to]);
                let mut chance = transition(pair.kind, lattice.detents, habits, t);
                let mut drifts = [0.0; CHANNELS];
                for (c, look) in looks.iter().enumerate() {
                    drifts[c] = look.decay * drift[from][c];
                    if look.valid {
                        let past = look.rho * (then[was][c] - drifts[c]);
                        let (likely, taken) = look.judge(now[at][c] - drifts[c] - past);
                        chance *= likely;
                        drifts[c] += taken;
                    }
                }
                room.ways.push((index as u16, chance));
                current[to] += mass * chance;
                for (sum, drift) in next_drift[to].iter_mut().zip(drifts) {
                    *sum += mass * chance * drift;
                }
            }
        }
        room.ends.push(room.ways.len());
        let sum: f64 = current.iter().sum();
        let sum = if sum.is_finite() && sum > 1e-280 {
            sum
        } else {
            1.0
        };
        for (state, chance) in current.iter_mut().enumerate() {
            let sums = std::mem::take(&mut next_drift[state]);
            if *chance > 0.0 {
                drift[state] = sums.map(|sum| sum / *chance);
                *chance /= sum;
                if *chance >= LEAST {
                    followed.push((state, *chance));
                }
            }
        }
        room.norm.push(sum);
        total += sum.ln();
        std::mem::swap(&mut now, &mut then);
    }
    total
}

#[inline]
fn transition(kind: Kind, detents: usize, habits: &Habits, t: usize) -> f64 {
    let boundaries = detents - 1;
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

fn backward(lattice: &Lattice, room: &Room, bins: usize, out: &mut Posterior, whole: bool) {
    let states = lattice.states();
    let detents = lattice.detents;
    let boundaries = detents - 1;
    let renew = |series: &mut Vec<f32>, width: usize| {
        series.clear();
        series.resize(bins * width, 0.0);
    };
    renew(&mut out.rest, detents);
    if whole {
        renew(&mut out.near, detents);
        out.down.iter_mut().for_each(|part| renew(part, boundaries));
        out.up.iter_mut().for_each(|part| renew(part, boundaries));
    }
    let mut after = vec![1.0; states];
    let mut before = vec![0.0; states];
    for t in (0..bins).rev() {
        let current = &room.forward[t * states..(t + 1) * states];
        let rest = &mut out.rest[t * detents..(t + 1) * detents];
        for ((rest, chance), after) in rest.iter_mut().zip(current).zip(&after) {
            *rest = (chance * after) as f32;
        }
        if whole {
            let near = &mut out.near[t * detents..(t + 1) * detents];
            for ((nearest, chance), after) in lattice.nearest.iter().zip(current).zip(&after) {
                near[*nearest] += (chance * after) as f32;
            }
        }
        let past = if t > 0 {
            Some(&room.forward[(t - 1) * states..t * states])
        } else {
            None
        };
        let begin = if t > 0 { room.ends[t - 1] } else { 0 };
        let by = 1.0 / room.norm[t];
        for (index, way) in &room.ways[begin..room.ends[t]] {
            let pair = &lattice.pairs[usize::from(*index)];
            let (from, to) = (usize::from(pair.from), usize::from(pair.to));
            let part = way * after[to] * by;
            before[from] += part;
            let Some(past) = past.filter(|_| whole) else {
                continue;
            };
            let (boundary, down, passing) = match pair.kind {
                Kind::Start { boundary, down } => (boundary, down, 0),
                Kind::Pass { boundary, down, .. } => (boundary, down, 1),
                _ => continue,
            };
            let series = if down { &mut out.down } else { &mut out.up };
            series[passing][t * boundaries + usize::from(boundary)] = (past[from] * part) as f32;
        }
        std::mem::swap(&mut after, &mut before);
        before.fill(0.0);
    }
}
