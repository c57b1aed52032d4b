//! Blocks of turning one way: the primitive that most maneuvers are made of.

use super::{Features, STEP_S};

/// Bank under which the wings count as level, rad (3°): the residue of trim and of attitude filters.
const LEVEL_RAD: f64 = 0.052;
/// Bank that makes it a turn at all, rad (8°).
const TURNING_RAD: f64 = 0.14;
/// A block of less turning than this is no turn, rad (15°): wander and gusts.
const LEAST_RAD: f64 = 0.26;

/// One block of turning one way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Where the roll-in leaves wings level, s.
    pub start_s: f64,
    /// Where the roll-out is back at wings level, s.
    pub end_s: f64,
    /// Heading turned, right positive, rad.
    pub turned_rad: f64,
    /// 75th percentile of the bank without sign, rad: the bank that was held, not the roll-in and roll-out.
    pub held_bank_rad: f64,
    /// Greatest bank without sign, rad.
    pub greatest_bank_rad: f64,
    /// Mean airspeed, m/s.
    pub ias_mps: f64,
    /// Height gained, m.
    pub gained_m: f64,
    /// Greatest minus least altitude, m.
    pub range_m: f64,
}

impl Turn {
    /// To the right.
    #[must_use]
    pub fn right(&self) -> bool {
        self.turned_rad > 0.0
    }
    /// Length, s.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        self.end_s - self.start_s
    }
}

/// All turns of a flight in order.
pub fn find(features: &Features) -> Vec<Turn> {
    let mut blocks: Vec<(usize, usize)> = Vec::new();
    let bank = &features.bank;
    let mut index = 0;
    while index < features.len {
        if bank[index].is_nan() || bank[index].abs() < TURNING_RAD || !features.known[index] {
            index += 1;
            continue;
        }
        let right = bank[index] > 0.0;
        let same = |i: usize| {
            features.known[i]
                && bank[i].is_finite()
                && (bank[i] > 0.0) == right
                && bank[i].abs() > LEVEL_RAD
        };
        let mut from = index;
        while from > 0 && same(from - 1) {
            from -= 1;
        }
        let mut to = index;
        while to + 1 < features.len && same(to + 1) {
            to += 1;
        }
        // A bump that levels the wings for up to 2.5 s without rolling the other way does not end a turn.
        let joins = blocks.last().is_some_and(|(_, last): &(usize, usize)| {
            (from - last.min(&from)) as f64 * STEP_S <= 2.5
                && (bank[*last] > 0.0) == right
                && (*last..=from)
                    .all(|i| bank[i].abs() < 2.0 * LEVEL_RAD || (bank[i] > 0.0) == right)
        });
        if joins && let Some(block) = blocks.last_mut() {
            block.1 = to;
        } else {
            blocks.push((from, to));
        }
        index = to + 1;
    }
    blocks
        .iter()
        .filter_map(|(from, to)| turn(features, *from, *to))
        .collect()
}

/// The figures of a block; `None` when it turned too little.
fn turn(features: &Features, from: usize, to: usize) -> Option<Turn> {
    if to < from + 4 {
        return None;
    }
    let window = super::Window::new(features, from, to);
    let turned_rad = window.net_turn();
    let bank = window.mean_bank();
    let real = turned_rad.abs() >= LEAST_RAD && turned_rad * bank > 0.0;
    real.then(|| Turn {
        start_s: edge(features, from, true),
        end_s: edge(features, to, false),
        turned_rad,
        held_bank_rad: window.percentile(&features.bank, 0.75, f64::abs),
        greatest_bank_rad: window.percentile(&features.bank, 1.0, f64::abs),
        ias_mps: window.mean_ias(),
        gained_m: window.net_height(),
        range_m: window.height_range(),
    })
}

/// Where the bank crosses the level limit next to a block's first or last sample, between the samples.
fn edge(features: &Features, index: usize, first: bool) -> f64 {
    let inside = features.bank[index].abs();
    let Some(next) = (if first {
        index.checked_sub(1)
    } else {
        Some(index + 1)
    }) else {
        return features.time_s(index);
    };
    let outside = features.bank.get(next).copied().unwrap_or(f64::NAN);
    if outside.is_nan() {
        return features.time_s(index);
    }
    let signed = outside * features.bank[index].signum();
    let share = ((inside - LEVEL_RAD) / (inside - signed).max(1e-6)).clamp(0.0, 1.0) * STEP_S;
    features.time_s(index) + if first { -share } else { share }
}
