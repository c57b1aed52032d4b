//! Steps in their order, one after the other: a search over the stretches in which each could be.

use super::runs::{self, Run};
use crate::pack::Step;
use maneuver::features::{Features, STEP_S};

/// From one step to the next, s: rolling in or out, leveling off. Assumed: 20 degrees of bank take about three
/// seconds, a climb of 500 ft/min is leveled off within as many more.
const TRANSITION_S: f64 = 8.0;
/// So much of a maneuver that the program knows may be touched, s: what bounds are known to.
const TOUCHED_S: f64 = 2.0;
/// A search gives up after so many trials: steps that fit everywhere would try every combination.
const TRIALS: usize = 200_000;
/// The share of a turn with the power that was asked for.
const WITH_POWER: f64 = 0.8;

/// Every chain of the steps that takes none of the time in `taken`, first come first served: spans of the steps.
pub(super) fn chains(features: &Features, steps: &[Step], taken: &[Run]) -> Vec<Vec<Run>> {
    let runs: Vec<Vec<Run>> = steps.iter().map(|step| runs::of(features, step)).collect();
    let mut search = Search {
        features,
        steps,
        runs: &runs,
        taken,
        trials: 0,
    };
    let mut found: Vec<Vec<Run>> = Vec::new();
    let mut after_s = 0.0;
    for first in runs.first().map_or(&[][..], Vec::as_slice) {
        // A long stretch may be the first step of several, one after the other.
        while first.1 > after_s {
            let mut chain = Vec::with_capacity(steps.len());
            let bounds = (first.0.max(after_s), first.1);
            if !search.step_in(*first, bounds, &mut chain) {
                break;
            }
            after_s = chain.last().map_or(first.1, |last| last.1);
            found.push(chain);
        }
    }
    found
}

struct Search<'a> {
    features: &'a Features,
    steps: &'a [Step],
    runs: &'a [Vec<Run>],
    taken: &'a [Run],
    trials: usize,
}

impl Search<'_> {
    /// Continues a chain after its last span; `true` when it is complete.
    fn go_on(&mut self, chain: &mut Vec<Run>) -> bool {
        let at = chain.len();
        if at == self.steps.len() {
            return true;
        }
        let Some(before_s) = chain.last().map(|last| last.1) else {
            return false;
        };
        let runs = self.runs;
        let Some(all) = runs.get(at) else {
            return false;
        };
        let first = all.partition_point(|run| run.1 <= before_s);
        let near = all.get(first..).unwrap_or(&[]).iter();
        for run in near.take_while(|run| run.0 <= before_s + TRANSITION_S) {
            if self.step_in(*run, (run.0.max(before_s), run.1), chain) {
                return true;
            }
        }
        false
    }

    /// Tries the next step of the chain within a stretch, from its earliest moment on.
    fn step_in(&mut self, run: Run, (from_s, to_s): Run, chain: &mut Vec<Run>) -> bool {
        let at = chain.len();
        let (Some(step), true) = (self.steps.get(at), from_s < to_s) else {
            return false;
        };
        let mut ends = vec![to_s];
        if !step.primitive.turn() {
            if at + 1 == self.steps.len() {
                // Nobody can tell where level flight ceases to belong to it: it takes the least that fits.
                let least = (step.min_s / STEP_S).ceil() as usize;
                let most = ((to_s - from_s) / STEP_S).floor() as usize;
                ends = (least..=most).map(|n| from_s + n as f64 * STEP_S).collect();
            } else if let Some(next) = self.runs.get(at + 1) {
                // The next step may begin before this one's stretch ends: gathering speed is level flight, too.
                let first = next.partition_point(|next| next.0 <= from_s);
                let inside = next.get(first..).unwrap_or(&[]).iter();
                ends.extend(inside.map(|next| next.0).take_while(|next| *next < to_s));
                // Of a long stretch the last part leads on to the next step.
                ends.sort_by(f64::total_cmp);
            }
        }
        for end_s in ends {
            self.trials += 1;
            if self.trials > TRIALS {
                return false;
            }
            let start_s = self.start(step, at, run, (from_s, end_s));
            if !self.fits(step, start_s, end_s) || self.is_taken(chain, start_s, end_s) {
                continue;
            }
            chain.push((start_s, end_s));
            if self.go_on(chain) {
                return true;
            }
            chain.pop();
        }
        false
    }

    /// The first step begins no earlier than it must: nobody can tell since when level flight belongs to it.
    fn start(&self, step: &Step, at: usize, run: Run, (from_s, end_s): Run) -> f64 {
        if at > 0 || step.primitive.turn() {
            return from_s;
        }
        if step.height_m.is_some() {
            return run.0.max(from_s);
        }
        from_s.max(end_s - step.max_s.unwrap_or(step.min_s))
    }

    fn fits(&self, step: &Step, start_s: f64, end_s: f64) -> bool {
        // Both ends stand on the grid.
        let seconds = end_s - start_s;
        if seconds + STEP_S < step.min_s || step.max_s.is_some_and(|most| seconds > most + STEP_S) {
            return false;
        }
        let window = self.features.window(start_s, end_s);
        // What is not known lies in no band.
        let within = |value: f64, band: Option<Run>| {
            band.is_none_or(|(low, high)| (low..=high).contains(&value))
        };
        let held_bank = || window.percentile(&self.features.bank, 0.75, f64::abs);
        within(window.net_turn().abs(), step.turned_rad)
            && within(window.net_height().abs(), step.height_m)
            && (step.bank_rad.is_none() || within(held_bank(), step.bank_rad))
            && step.power.is_none_or(|wanted| {
                window.share(&self.features.power, |power| runs::is(wanted, power)) >= WITH_POWER
            })
    }

    /// Whether the chain with this span would take time from something else.
    fn is_taken(&self, chain: &[Run], start_s: f64, end_s: f64) -> bool {
        let from_s = chain.last().map_or(start_s, |last| last.1);
        self.taken
            .iter()
            .any(|(start, end)| end.min(end_s) - start.max(from_s) > TOUCHED_S)
    }
}
