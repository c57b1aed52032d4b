//! One recovery as it was flown: its moments, the actions in it, and what the fitted airplane leaves unexplained.

use crate::actions::{Actions, Climb, Course, Style};
use crate::airplane::{Airplane, Moment};
use crate::flown::{Flown, STEP_S, slope};
use crate::gusts;
use crate::run::{Air, Run, Start, run};
use crate::stall;
use air::units::G0_MPS2;

/// After the full stall, s, when the second reading is taken.
pub const READING_S: f64 = 30.0;

/// Excess beyond the airplane's by half seconds after an unloading.
pub type ComingBack = [f64; COMING_BACK];
/// Its length: then the flow is back.
pub const COMING_BACK: usize = 10;
/// Unloaded later by less than this, s, the flow came back alike.
const ALIKE_S: f64 = 1.5;
/// Its step, s.
pub const COMING_STEP_S: f64 = 0.5;

/// When things happened, s from the flight's first sample.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Times {
    /// Full stall; for a recovery at the cue, where it began. Heights count from here, and the unloading is timed from it.
    pub stall_s: f64,
    /// The wing is unloaded.
    pub release_s: f64,
    /// Unloaded again after another stall.
    pub second_s: Option<f64>,
    /// Steepest path.
    pub steep_s: f64,
    /// Lowest point.
    pub low_s: f64,
    /// Second reading: 30 s after the full stall, or where the recording or the maneuver ends.
    pub end_s: f64,
}

/// The recovery.
#[derive(Clone, Debug)]
pub struct Recovery {
    /// What was flown.
    pub flown: Flown,
    /// The airplane of the day.
    pub airplane: Airplane,
    /// When.
    pub times: Times,
    /// What the pilot did.
    pub actions: Actions,
    /// Excess beyond the airplane's, by sample of `flown`.
    pub beyond: Vec<f64>,
    /// What the air gave of it while the wing was stalled and shortly after, by sample.
    air: Vec<f64>,
    /// When the throttle was fully open, where that was told, s.
    pub power_told_s: Option<f64>,
    /// When the recovery was done: what is flown after it belongs to the next task, s.
    pub done_s: Option<f64>,
    /// The moments as they were told.
    told: Told,
}

/// Moments as the recognition tells them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Told {
    /// Full stall; for a recovery at the cue, where it began, s.
    pub stall_s: f64,
    /// Its 1-σ, s.
    pub stall_sigma_s: f64,
    /// The wing is unloaded, s.
    pub release_s: f64,
    /// Unloaded again after another stall, s.
    pub second_s: Option<f64>,
    /// Whether the wing stalled at all.
    pub full: bool,
}

impl Recovery {
    /// Reads a recovery out of what was flown and told.
    #[must_use]
    pub fn read(flown: Flown, airplane: Airplane, told: Told) -> Option<Recovery> {
        let first_s = flown.samples.first()?.t;
        // Some seconds of recovery, or there is nothing to read.
        let long_enough = told.stall_s >= first_s && told.stall_s + 6.0 <= flown.end_s();
        if !long_enough || !told.release_s.is_finite() {
            return None;
        }
        let release_s = told.release_s.clamp(told.stall_s, flown.end_s() - 4.0);
        let stall_s = if told.full {
            stall::moment(&flown, &airplane, &told, release_s)
        } else {
            told.stall_s
        };
        let end_s = (stall_s + READING_S).min(flown.end_s());
        let release_s = release_s.max(stall_s).min(end_s - 4.0);
        let second_s = told.second_s;
        let release_s = answered(&flown, release_s, second_s, end_s);
        // Another stall comes out of a pull: without one the first is still going on.
        let second_s = second_s.filter(|t| *t > release_s + 1.6 || pulled(&flown, release_s, *t));
        let from = second_s.map_or(release_s, |t| t.clamp(release_s, end_s - 3.0));
        let low_s = lowest(&flown, from, end_s)?;
        // Stalled again for longer: the second release is shortly before the path turns up.
        let bottom = flown
            .span(from, low_s)
            .min_by(|a, b| a.path.total_cmp(&b.path))?
            .t;
        let from = if second_s.is_some() {
            from.max(bottom - 1.2)
        } else {
            from
        };
        // Where the nose is held down for a while, the pull begins at the end of it.
        let least = flown
            .span(from, low_s)
            .map(|s| s.path)
            .fold(f64::INFINITY, f64::min);
        let held = flown
            .span(from, low_s)
            .filter(|s| s.path < least + HELD_RAD);
        let steep_s = held.last()?.t.max(from + 0.2);
        let times = Times {
            stall_s,
            release_s,
            second_s: second_s.map(|_| from),
            steep_s,
            low_s: low_s.max(steep_s + 0.3),
            end_s,
        };
        let air = gusts::excess(&flown, &times);
        let actions = actions(&flown, &airplane, &times, &air);
        let beyond = beyond(&flown, &airplane, &times);
        Some(Recovery {
            flown,
            airplane,
            times,
            actions,
            beyond,
            air,
            power_told_s: None,
            done_s: None,
            told,
        })
    }

    /// How much earlier the stall counts here than it was told, s; negative: later.
    #[must_use]
    pub fn dropped_before_s(&self) -> f64 {
        self.told.stall_s - self.times.stall_s
    }

    /// Whether the wing stalled before it was unloaded: what begins at the cue, or at a decision, has no drop.
    #[must_use]
    pub fn stalled(&self) -> bool {
        self.told.full
    }

    /// With the moment at which the throttle was fully open.
    #[must_use]
    pub fn with_power(mut self, at_s: Option<f64>) -> Recovery {
        self.power_told_s = at_s;
        self
    }

    /// With the moment at which the recovery was done.
    #[must_use]
    pub fn with_end(mut self, at_s: Option<f64>) -> Recovery {
        self.done_s = at_s;
        self
    }

    /// The last moment of it before the second reading, s.
    #[must_use]
    pub fn over_s(&self) -> f64 {
        self.done_s
            .unwrap_or(self.times.end_s)
            .min(self.times.end_s)
    }

    /// The same flight read with another airplane and release.
    #[must_use]
    pub fn again(&self, airplane: Airplane, release_s: f64) -> Option<Recovery> {
        let told = Told {
            release_s,
            ..self.told
        };
        let flown = self.flown.clone();
        let other = Recovery::read(flown, airplane, told)?;
        Some(other.with_power(self.power_told_s).with_end(self.done_s))
    }

    /// Where a run from a time on begins: what was flown then.
    #[must_use]
    pub fn start(&self, t: f64) -> Start {
        let s = self.flown.at(t);
        Start {
            t: s.t,
            height: s.height,
            tas: s.tas,
            path: s.path,
        }
    }

    /// What the airplane's attached flow leaves unexplained at a time.
    #[must_use]
    pub fn beyond_at(&self, t: f64) -> f64 {
        by_sample(&self.flown, &self.beyond, t)
    }

    /// What the air gave at a time at which the airplane could not show it.
    fn air_at(&self, t: f64) -> f64 {
        by_sample(&self.flown, &self.air, t)
    }

    /// The same by time after the unloading: what flow that comes back costs in drag.
    #[must_use]
    pub fn coming_back(&self) -> ComingBack {
        let mut out = [0.0; COMING_BACK];
        for (k, value) in out.iter_mut().enumerate() {
            let from = self.last_release_s() + k as f64 * COMING_STEP_S;
            let count = (COMING_STEP_S / STEP_S).round();
            *value = (0..count as usize)
                .map(|j| self.beyond_at(from + j as f64 * STEP_S))
                .sum::<f64>()
                / count;
        }
        out
    }

    /// Whether a recovery that begins then is not the one that was flown.
    #[must_use]
    pub fn elsewhere(&self, from_s: f64) -> bool {
        from_s < self.last_release_s() - 0.2
    }

    /// Flies actions from a time on in the air of the day. Where that is not the unloading that was flown, the flow comes back
    /// as in the reference.
    #[must_use]
    pub fn fly(
        &self,
        airplane: &Airplane,
        actions: &Actions,
        from_s: f64,
        coming_back: &ComingBack,
    ) -> Run {
        let elsewhere = self.elsewhere(from_s);
        let own_s = self.last_release_s();
        let back = |since_s: f64| {
            let place = (since_s / COMING_STEP_S).floor();
            if place < 0.0 {
                return 0.0;
            }
            coming_back.get(place as usize).copied().unwrap_or(0.0)
        };
        let beyond = |t: f64| {
            let flown = self.beyond_at(t);
            let since_own = t - own_s;
            if !elsewhere {
                flown
            } else if since_own < 0.0 {
                self.air_at(t) + back(t - from_s)
            } else if since_own >= COMING_BACK as f64 * COMING_STEP_S {
                flown + back(t - from_s)
            } else if own_s - from_s < ALIKE_S {
                // What the flow that came back then cost is no air of the day; the rest is.
                flown - back(since_own) + back(t - from_s)
            } else {
                // Out of a stall that was held it costs nobody knows how much: the air alone.
                self.air_at(t) + back(t - from_s)
            }
        };
        let air = Air {
            density_root: self.flown.about.density_root,
            beyond: &beyond,
            rising: &|t| self.air_at(t),
        };
        run(
            airplane,
            &air,
            &self.start(from_s),
            actions,
            self.times.end_s,
        )
    }

    /// Where the recovery that came off begins.
    #[must_use]
    pub fn last_release_s(&self) -> f64 {
        self.times.second_s.unwrap_or(self.times.release_s)
    }

    /// The actions flown again in the model.
    #[must_use]
    pub fn replay(&self) -> Run {
        let own = [0.0; COMING_BACK];
        self.fly(&self.airplane, &self.actions, self.last_release_s(), &own)
    }
}

fn by_sample(flown: &Flown, values: &[f64], t: f64) -> f64 {
    let first = flown.samples.first().map_or(0.0, |s| s.t);
    let place = ((t - first) / STEP_S).round().max(0.0) as usize;
    values.get(place).copied().unwrap_or(0.0)
}

/// A path within this of its steepest is held, rad.
const HELD_RAD: f64 = 0.015;

/// A wing that is unloaded gains speed within the first time, s; where it began to gain later, it was unloaded about the
/// second after that.
const GAINS_S: [f64; 2] = [1.3, 0.4];

/// The unloading, or a later one where the airplane did not answer the one that was told: in a stall that is held the angle
/// of attack may dip below its limit for a moment, but the airplane goes on down and gains no speed.
fn answered(flown: &Flown, release_s: f64, second_s: Option<f64>, end_s: f64) -> f64 {
    let turned = flown
        .span(release_s, end_s.min(release_s + 9.0))
        .min_by(|a, b| a.path.total_cmp(&b.path))
        .map_or(release_s, |s| s.t);
    let release_s = match second_s {
        Some(t) if t < release_s + 1.6 && turned > release_s + 3.8 => t,
        _ => release_s,
    };
    let slowest = flown
        .span(release_s, turned)
        .min_by(|a, b| a.tas.total_cmp(&b.tas))
        .map_or(release_s, |s| s.t);
    if slowest > release_s + GAINS_S[0] {
        (slowest + GAINS_S[1]).min(end_s - 4.0)
    } else {
        release_s
    }
}

/// Whether the path was pulled upward between two times: half a second of more than a tenth of a g above what carries it.
fn pulled(flown: &Flown, from: f64, to: f64) -> bool {
    let pulling = flown
        .span(from, to)
        .filter(|s| s.load * s.bank.cos() > s.path.cos() + 0.1)
        .count();
    pulling as f64 * STEP_S >= 0.5
}

/// The lowest point: the first minimum of height that is followed by a gain of 10 ft, else the lowest of all.
fn lowest(flown: &Flown, from: f64, to: f64) -> Option<f64> {
    let mut best: Option<(f64, f64)> = None;
    for s in flown.span(from + 0.5, to) {
        match best {
            Some((_, height)) if s.height > height + 6.0 => break,
            Some((_, height)) if s.height >= height => {}
            _ => best = Some((s.t, s.height)),
        }
    }
    best.map(|(t, _)| t)
}

fn actions(flown: &Flown, airplane: &Airplane, times: &Times, air: &[f64]) -> Actions {
    let root = flown.about.density_root;
    let from = times.second_s.unwrap_or(times.release_s);
    let steep = flown.at(times.steep_s);
    let rising = by_sample(flown, air, times.steep_s);
    let mean_load = |a: f64, b: f64| {
        let (sum, count) = flown
            .span(a, b)
            .fold((0.0, 0.0), |(sum, n), s| (sum + s.load, n + 1.0));
        if count > 0.0 { sum / count } else { 1.0 }
    };
    // The pull is what takes most of the dive away; what comes after is flown by speed.
    let pulled = flown
        .span(times.steep_s, times.low_s)
        .find(|s| s.path > 0.35 * steep.path)
        .map_or(times.low_s, |s| s.t);
    let first_s = flown.samples.first().map_or(0.0, |s| s.t);
    let course = |value: &dyn Fn(&crate::flown::Sample) -> f64| Course {
        first_s,
        step_s: STEP_S,
        values: flown.samples.iter().map(value).collect(),
    };
    // The nose goes down until the path is as steep as it gets; what comes then is no unloading.
    let down = flown
        .span(from, times.steep_s)
        .find(|s| s.path < steep.path + HELD_RAD)
        .map_or(times.steep_s, |s| s.t);
    Actions {
        style: Style {
            unload_load: mean_load(from, down).clamp(-0.2, 0.95),
            steepest_rad: steep.path - rising,
            pull_at: steep.tas * root / airplane.flap(steep.flap).0,
            pull_load: mean_load(times.steep_s, pulled.max(times.steep_s + 0.4)).clamp(1.03, 3.0),
            lift_used: lift_used(flown, airplane, times.steep_s, pulled),
        },
        power: course(&|s| s.power),
        flaps: course(&|s| s.flap),
        bank: course(&|s| s.bank),
        climb: Climb::As(course(&|s| s.tas * root)),
    }
}

/// The share of the greatest lift that a pull went up to: the stall speed is power off, and the propeller's stream, flaps
/// that are not told and a stall speed that is not the file's all show here. Never less than what a careful pull uses,
/// never more than what a stream can add.
fn lift_used(flown: &Flown, airplane: &Airplane, from: f64, to: f64) -> f64 {
    let mut shares: Vec<f64> = flown
        .span(from, to.max(from + 0.4))
        .map(|s| {
            s.load
                / airplane
                    .greatest_load(s.tas * flown.about.density_root, s.flap)
                    .max(0.2)
        })
        .collect();
    shares.sort_by(f64::total_cmp);
    let high = shares.get(shares.len() * 9 / 10).copied().unwrap_or(0.95);
    high.clamp(0.92, 1.35)
}

/// Measured excess less the airplane's; nothing while the wing is stalled, where the airplane's does not hold.
fn beyond(flown: &Flown, airplane: &Airplane, times: &Times) -> Vec<f64> {
    let rate = slope(&flown.samples, |s| s.tas, 0.6);
    let again = times.second_s.unwrap_or(times.release_s);
    flown
        .samples
        .iter()
        .zip(&rate)
        .map(|(s, rate)| {
            let eas = s.tas * flown.about.density_root;
            if s.t < again + 0.3 {
                return 0.0;
            }
            let model = airplane.excess(&Moment {
                eas_mps: eas,
                load: s.load.clamp(-0.5, airplane.greatest_load(eas, s.flap)),
                flap_rad: s.flap,
                thrust: s.power,
            });
            let seen = rate / G0_MPS2 + s.path.sin();
            (seen - model).clamp(-0.25, 0.25)
        })
        .collect()
}
