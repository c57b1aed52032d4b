//! What a recovery cost in height: nothing but differences of two motions that were one up to the full stall.

use air::units::M_PER_FT;
use practice::log::{Flown, Log};
use serde_json::{Value, json};

/// What stands at the head of the file.
pub const ABOUT: &str = "Heights are true heights above sea level in feet, times seconds of the recording. A cost is the clean flight's height less the faulty one's, to the lowest point within 30 s after the full stall of each, and 30 s after the full stall. For two faults, alone_ft is what each costs alone at the same size.";

/// The later reading: so long after the full stall, s.
pub const LATER_S: f64 = 30.0;

/// Decimals that carry meaning.
pub fn tidy(x: f64) -> f64 {
    (x * 100.0).round() / 100.0
}

/// What a flight came to after the full stall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Time of the full stall, s.
    pub full_s: f64,
    /// True height above sea level then, m.
    pub full_m: f64,
    /// Lowest one within 30 s after it, m, and when, s.
    pub lowest_m: f64,
    pub lowest_s: f64,
    /// Height 30 s after it, m.
    pub later_m: f64,
}

/// Reads them off; none where the wing did not stall or the flight ended too early.
pub fn read(log: &Log, flown: &Flown, elevation_m: f64) -> Option<Reading> {
    let full_s = *flown.moments.get("full_stall")?;
    let height_at = |at_s: f64| {
        let index = log.samples.partition_point(|s| s.seen.t < at_s);
        let (a, b) = (
            log.samples.get(index.checked_sub(1)?)?,
            log.samples.get(index)?,
        );
        let share = (at_s - a.seen.t) / (b.seen.t - a.seen.t).max(1e-9);
        Some(elevation_m + a.seen.height + share * (b.seen.height - a.seen.height))
    };
    let later_s = full_s + LATER_S;
    let lowest = log
        .samples
        .iter()
        .filter(|s| (full_s..=later_s).contains(&s.seen.t))
        .min_by(|a, b| a.seen.height.total_cmp(&b.seen.height))?;
    Some(Reading {
        full_s,
        full_m: height_at(full_s)?,
        lowest_m: elevation_m + lowest.seen.height,
        lowest_s: lowest.seen.t,
        later_m: height_at(later_s)?,
    })
}

impl Reading {
    /// For the truth.
    pub fn told(&self) -> Value {
        let ft = |m: f64| tidy(m / M_PER_FT);
        json!({
            "full_stall_ft": ft(self.full_m), "lowest_ft": ft(self.lowest_m), "lowest_s": tidy(self.lowest_s),
            "after_30_s_ft": ft(self.later_m),
        })
    }

    /// What another flight lost against this one: to the lowest point, and 30 s after.
    pub fn cost(&self, other: &Reading) -> Value {
        let ft = |m: f64| tidy(m / M_PER_FT);
        json!({
            "lowest_ft": ft(self.lowest_m - other.lowest_m), "after_30_s_ft": ft(self.later_m - other.later_m),
        })
    }
}
