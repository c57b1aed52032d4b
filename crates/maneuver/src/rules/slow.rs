//! A state machine over airspeed: fast, slow, and how the slowness ended.

use super::Opinion;
use crate::Kind;
use crate::features::{Features, STEP_S};
use crate::kinds::{deg, fpm};

/// Below this many clean stall speeds it is slow: warning territory and a little more.
const SLOW: f64 = 1.16;
/// Above this it is over.
const FAST: f64 = 1.28;
/// This long between is flown, not passed through, s.
const FLOWN_S: f64 = 45.0;

/// Walks the flight once.
pub fn opinions(features: &Features) -> Vec<Opinion> {
    let vs = features.scale.vs1_mps;
    let mut all = Vec::new();
    let mut since: Option<usize> = None;
    for index in 0..features.len {
        let v = features.ias[index];
        let flying = features.known[index] && !features.on_ground[index] && v.is_finite();
        if !flying {
            since = None;
            continue;
        }
        match since {
            None if v < slow_limit(features, index) => since = Some(index),
            Some(from) if v > FAST * vs => {
                all.extend(judge(features, from, index));
                since = None;
            }
            _ => {}
        }
    }
    all.extend(flown_slowly(features));
    all.extend(zooms(features));
    all.extend(pulled(features));
    all
}

/// The limit rises with the load factor: a banked wing stalls faster.
fn slow_limit(features: &Features, index: usize) -> f64 {
    let load = features.load.get(index).copied().unwrap_or(f64::NAN);
    let load = if load.is_finite() {
        load.clamp(1.0, 1.6)
    } else {
        1.0 / features.bank[index].cos().max(0.6)
    };
    let load = if load.is_finite() { load } else { 1.0 };
    SLOW * features.scale.vs1_mps * load.sqrt()
}

/// What a slow stretch was.
fn judge(features: &Features, from: usize, to: usize) -> Vec<Opinion> {
    let slow = features.window(features.time_s(from), features.time_s(to));
    let low_s = slow.time_of_min(&features.ias);
    let mut all = Vec::new();
    let deepest = slow.min(&features.ias) / features.scale.vs1_mps;
    let regained =
        features.window(low_s, low_s + 15.0).max(&features.ias) / slow.min(&features.ias);
    let climbs = features
        .window(low_s + 4.0, low_s + 60.0)
        .max(&features.climb)
        > fpm(250.0);
    if deepest < 1.13 && regained > 1.15 && climbs {
        let roll = features.window(low_s - 11.0, low_s - 2.0);
        // Held for a few seconds of the approach, or still held at the least speed.
        let last = features.window(low_s - 3.0, low_s - 1.0);
        let bank = roll
            .percentile(&features.bank, 0.85, f64::abs)
            .max(last.percentile(&features.bank, 0.25, f64::abs));
        let power = features.window(low_s - 8.0, low_s - 1.0);
        let on = if power.mean_power().is_finite() {
            power.mean_power() > 0.45
        } else {
            power.mean_energy_rate() > -fpm(450.0) * features.scale.k
        };
        let kind = match (bank > deg(36.0), on) {
            (true, _) => Kind::AcceleratedStall,
            (false, true) => Kind::PowerOnStall,
            (false, false) => Kind::PowerOffStall,
        };
        let start_s = fast_before(features, from).max(low_s - 110.0);
        all.push(Opinion {
            kind,
            start_s,
            end_s: low_s + 22.0,
        });
    }
    all
}

/// Slow flight: under 1.34 stall speeds for long, most of it within a tenth of one speed, and level on the whole.
fn flown_slowly(features: &Features) -> Vec<Opinion> {
    let limit = 1.34 * features.scale.vs1_mps;
    let mut all = Vec::new();
    let mut index = 0;
    while index < features.len {
        let slow =
            |i: usize| features.known[i] && !features.on_ground[i] && features.ias[i] < limit;
        let from = index;
        while index < features.len && slow(index) {
            index += 1;
        }
        let window = features.window(features.time_s(from), features.time_s(index));
        if window.seconds() > FLOWN_S {
            let middle = window.percentile(&features.ias, 0.5, |v| v);
            let steady = window.share(&features.ias, |v| (v / middle - 1.0).abs() < 0.10);
            if steady > 0.7 && window.mean_climb().abs() < fpm(250.0) {
                let (start_s, end_s) = (fast_before(features, from), slow_end(features, index));
                all.push(Opinion {
                    kind: Kind::SlowFlight,
                    start_s,
                    end_s,
                });
            }
        }
        index = index.max(from) + 1;
    }
    all
}

/// The last moment before at maneuvering speed.
fn fast_before(features: &Features, from: usize) -> f64 {
    let fast = 1.5 * features.scale.vs1_mps;
    let limit = from.saturating_sub((120.0 / STEP_S) as usize);
    let at = (limit..from)
        .rev()
        .find(|i| features.ias[*i] > fast)
        .unwrap_or(limit);
    features.time_s(at)
}

fn slow_end(features: &Features, to: usize) -> f64 {
    features.time_s(to) + 6.0
}

/// Accelerated stalls: nearly all the lift there is used in a steep bank, and the bank halved within seconds.
fn pulled(features: &Features) -> Vec<Opinion> {
    const NEARLY_ALL: f64 = 0.85;
    const ROLLED_OUT_S: f64 = 8.0;
    let mut all = Vec::new();
    let mut index = 0;
    while index < features.len {
        let bank = features.bank[index].abs();
        let at_s = features.time_s(index);
        let used = features.lift_ratio[index] > NEARLY_ALL && bank > deg(33.0);
        let after = features.window(at_s, at_s + ROLLED_OUT_S);
        if !used
            || features.on_ground[index]
            || after.percentile(&features.bank, 0.0, f64::abs) > 0.5 * bank
        {
            index += 1;
            continue;
        }
        all.push(Opinion {
            kind: Kind::AcceleratedStall,
            start_s: fast_before(features, index),
            end_s: at_s + 22.0,
        });
        index += (ROLLED_OUT_S / STEP_S) as usize;
    }
    all
}

/// Unusual attitudes: a climb or a sink beyond what is flown on purpose, over within seconds.
fn zooms(features: &Features) -> Vec<Opinion> {
    let k = features.scale.k;
    let mut all = Vec::new();
    let mut index = 0;
    while index < features.len {
        let strong = features.climb[index].abs() > fpm(1500.0) * k && features.known[index];
        if !strong {
            index += 1;
            continue;
        }
        let from = index;
        let up = features.climb[index] > 0.0;
        while index < features.len
            && (features.climb[index] > 0.0) == up
            && features.climb[index].abs() > fpm(700.0) * k
        {
            index += 1;
        }
        let window = features.window(features.time_s(from), features.time_s(index));
        let peak_s = if up {
            window.time_of_max(&features.climb)
        } else {
            window.time_of_min(&features.climb)
        };
        let fast = features.at(&features.ias, peak_s) > 1.35 * features.scale.vs1_mps;
        if window.seconds() < 18.0 && fast {
            let end_s = features.time_s(index) + if up { 8.0 } else { 2.0 };
            all.push(Opinion {
                kind: Kind::UnusualAttitudeRecovery,
                start_s: peak_s,
                end_s,
            });
        }
        if !up && window.seconds() > 28.0 {
            let (start_s, end_s) = (features.time_s(from) - 4.0, features.time_s(index) + 4.0);
            all.push(Opinion {
                kind: Kind::EmergencyDescent,
                start_s,
                end_s,
            });
        }
        index += 1;
    }
    all
}
