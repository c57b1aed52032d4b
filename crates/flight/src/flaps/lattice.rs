//! Where the flaps can be, second by second, and how they get there.
//!
//! One state for each detent at rest, and one for each second of travel between two neighbors, down
//! and up apart. Passing a detent without stopping is a lever moved through more than one notch.

/// Highest number of detents that is followed; more than any light aircraft has.
pub(super) const MAX_DETENTS: usize = 8;

/// Chance that a movement down, up goes on past a detent. Out in stages is taught, and all in at once
/// is a common fault (common practice, no source).
const PASS: [f64; 2] = [0.08, 0.15];

/// A way from one state to another within one bin.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub from: u16,
    pub to: u16,
    pub kind: Kind,
}

/// What a way between states means.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Kind {
    /// At rest, and stays.
    Stay(u8),
    /// On the move between two detents, or arriving.
    Carry,
    /// Arrives at a detent and stops, with this chance.
    Stop(f64),
    /// Arrives at a detent and goes on, down or up: the lever was moved past it.
    Pass {
        boundary: u8,
        down: bool,
        chance: f64,
    },
    /// Begins to move from rest.
    Start { boundary: u8, down: bool },
}

/// States, positions and the ways between them for one rate of travel.
#[derive(Clone, Debug)]
pub(super) struct Lattice {
    /// Position of each state, as an index into `shares`.
    pub position: Vec<u16>,
    /// For each position, the share of each detent (two neighbors at most).
    pub shares: Vec<(u8, f64)>,
    /// Ways, ordered by `from`.
    pub pairs: Vec<Pair>,
    /// For each state where its ways begin in `pairs`; one more entry tells the end.
    pub leaving: Vec<usize>,
    /// For each state the detent nearest to its position.
    pub nearest: Vec<usize>,
    /// Number of detents.
    pub detents: usize,
}

impl Lattice {
    /// Lattice for detent angles (rad, rising) and a rate of travel, in bins of `bin_s`.
    pub fn new(angles_rad: &[f64], travel_radps: f64, bin_s: f64) -> Self {
        let detents = angles_rad.len();
        let mut shares: Vec<(u8, f64)> = (0..detents).map(|k| (k as u8, 0.0)).collect();
        let mut position: Vec<u16> = (0..detents as u16).collect();
        let mut first = Vec::new();
        for boundary in 0..detents.saturating_sub(1) {
            let travel = angles_rad[boundary + 1] - angles_rad[boundary];
            let bins = (travel / (travel_radps * bin_s)).round().clamp(2.0, 8.0) as usize;
            let here = shares.len() as u16;
            shares.extend((1..bins).map(|j| (boundary as u8, j as f64 / bins as f64)));
            let inner = bins - 1;
            first.push((position.len() as u16, inner));
            position.extend((0..inner as u16).map(|j| here + j));
            position.extend((0..inner as u16).rev().map(|j| here + j));
        }
        let mut pairs = ways(detents, &first);
        pairs.sort_by_key(|pair| pair.from);
        let begin = |state: usize| pairs.partition_point(|pair| usize::from(pair.from) < state);
        let leaving = (0..=position.len()).map(begin).collect();
        let nearest = position
            .iter()
            .map(|at| {
                let (low, share) = shares[usize::from(*at)];
                usize::from(low) + usize::from(share > 0.5)
            })
            .collect();
        Self {
            position,
            shares,
            pairs,
            leaving,
            nearest,
            detents,
        }
    }

    /// Number of states.
    pub fn states(&self) -> usize {
        self.position.len()
    }

    /// A value known at the detents, at each position.
    pub fn spread(&self, at_detents: &[f64], into: &mut Vec<f64>) {
        into.clear();
        into.extend(self.shares.iter().map(|&(low, share)| {
            let low = usize::from(low);
            let from = at_detents.get(low).copied().unwrap_or(0.0);
            let to = at_detents.get(low + 1).copied().unwrap_or(from);
            from + share * (to - from)
        }));
    }
}

/// All ways.
fn ways(detents: usize, first: &[(u16, usize)]) -> Vec<Pair> {
    let mut pairs = Vec::new();
    let last_down = |b: usize| first[b].0 + first[b].1 as u16 - 1;
    let last_up = |b: usize| first[b].0 + 2 * first[b].1 as u16 - 1;
    for k in 0..detents {
        let to = k as u16;
        pairs.push(Pair {
            from: to,
            to,
            kind: Kind::Stay(k as u8),
        });
        if k > 0 {
            let stop = if k + 1 < detents { 1.0 - PASS[0] } else { 1.0 };
            pairs.push(Pair {
                from: last_down(k - 1),
                to,
                kind: Kind::Stop(stop),
            });
        }
        if k + 1 < detents {
            let stop = if k > 0 { 1.0 - PASS[1] } else { 1.0 };
            pairs.push(Pair {
                from: last_up(k),
                to,
                kind: Kind::Stop(stop),
            });
        }
    }
    for (b, &(start, inner)) in first.iter().enumerate() {
        for down in [true, false] {
            let base = if down { start } else { start + inner as u16 };
            let boundary = b as u8;
            let rest = if down { b } else { b + 1 };
            pairs.push(Pair {
                from: rest as u16,
                to: base,
                kind: Kind::Start { boundary, down },
            });
            let passing = match (down, b.checked_sub(1)) {
                (true, Some(before)) => Some(last_down(before)),
                (false, _) if b + 1 < first.len() => Some(last_up(b + 1)),
                _ => None,
            };
            if let Some(from) = passing {
                let chance = PASS[usize::from(!down)];
                let kind = Kind::Pass {
                    boundary,
                    down,
                    chance,
                };
                pairs.push(Pair {
                    from,
                    to: base,
                    kind,
                });
            }
            for j in 1..inner as u16 {
                pairs.push(Pair {
                    from: base + j - 1,
                    to: base + j,
                    kind: Kind::Carry,
                });
            }
        }
    }
    pairs
}
