//! Speed minima: every place where the aircraft was slowed and then sped up again, with the signatures by
//! which a stall can be told. A stall is one of these, but so are a zoom climb, the end of slow flight, a
//! chandelle and a level-off: the kinds decide.

use super::{Features, STEP_S, Scale};
use crate::kinds::stall_signature;
use air::units::MPS_PER_FPM;

/// A swing of airspeed smaller than this share is no minimum of its own: two stalls with less speed
/// between them are one maneuver with a secondary stall.
const SWING: f64 = 0.07;
/// Above this many stall speeds nothing is a stall, even heavy, banked 45° (√1.41 = 1.19) or with a
/// stall speed that is guessed 10 % low.
const FASTEST: f64 = 1.45;

/// One minimum of airspeed with its surroundings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dip {
    /// When the airspeed was least, s.
    pub at_s: f64,
    /// Least airspeed, m/s.
    pub ias_mps: f64,
    /// Least airspeed over the stall speed of the likely configuration, reduced to 1 g.
    pub ratio: f64,
    /// Highest speed before it, back to the last maximum, m/s.
    pub before_mps: f64,
    /// When that was, s.
    pub before_s: f64,
    /// Highest speed after it, up to the next maximum, m/s.
    pub after_mps: f64,
    /// When that was, s.
    pub after_s: f64,
    /// Greatest acceleration in the 9 s after, share of the least speed per second.
    pub recovery_rate: f64,
    /// Speed regained in 15 s, share of the least speed.
    pub regained: f64,
    /// Speed lost per second in the 10 s before, share of the least speed.
    pub decay: f64,
    /// Pitch from its highest around the minimum to its lowest in the next seconds, rad; NaN unknown.
    pub pitch_drop_rad: f64,
    /// Highest pitch in the 10 s before, rad; NaN unknown.
    pub pitch_rad: f64,
    /// The same fall of the climb rate, m/s.
    pub climb_drop_mps: f64,
    /// Mean climb rate in the 9 s before, m/s.
    pub climb_mps: f64,
    /// Mean climb rate from 32 to 10 s before: a stabilized descent or a level deceleration, m/s.
    pub approach_mps: f64,
    /// Greatest climb rate in the 14 s before, m/s.
    pub zoom_mps: f64,
    /// Power at the entry, before the recovery adds any, 0 to 1; NaN unknown.
    pub power: f64,
    /// Greatest 3 s mean of power in the 15 s after, 0 to 1; NaN unknown.
    pub power_after: f64,
    /// Mean rate of change of specific energy in the 9 s before, m/s.
    pub energy_mps: f64,
    /// Greatest 4 s mean of it in the 10 s before (or around the first cue, where that is less), m/s.
    pub energy_best_mps: f64,
    /// Mean of it from 3 to 13 s after, m/s.
    pub energy_after_mps: f64,
    /// Bank flown in the 12 s before: the greatest 2 s mean without sign, and in the last 2.5 s only what was
    /// held all of 2 s, because a wing that drops at the break passes through its bank in less, rad.
    pub bank_rad: f64,
    /// Greatest 2 s mean of the load factor in the 7 s before, g; NaN unknown.
    pub load: f64,
    /// Greatest heading change in any 8 s of the 12 s before, rad.
    pub turned_rad: f64,
    /// Greatest share of the greatest lift within 4 s, by the flight's estimate; NaN unknown.
    pub lift_ratio: f64,
    /// Stall warning on within 5 s before to 2 s after: share of time; NaN not recorded.
    pub warning: f64,
    /// Greatest angle of attack within 4 s over the greatest of the flight; NaN unknown.
    pub aoa_share: f64,
    /// Seconds spent within 10 % of the least speed before it.
    pub plateau_s: f64,
    /// Mean climb rate from 10 to 28 s after, or to the climb that lasts if it comes before (what is flown
    /// after the recovery says nothing about it), m/s.
    pub settled_mps: f64,
    /// Greatest 5 s mean climb rate in the 75 s after, m/s.
    pub climb_after_mps: f64,
    /// First moment after it of a climb that lasts (6 s mean over 250 ft/min, above 1.2 stall speeds), s;
    /// NaN when there is none.
    pub climbing_s: f64,
}

/// Every minimum of airspeed in the air, in order.
pub fn find(features: &Features) -> Vec<Dip> {
    let extremes = zigzag(features);
    let aoa_greatest = super::smooth::percentile(&features.aoa, 0.999);
    let mut dips = Vec::new();
    for (place, extreme) in extremes.iter().enumerate() {
        if extreme.high || place == 0 {
            continue;
        }
        let before = extremes[place - 1];
        let after = extremes
            .get(place + 1)
            .map_or(features.len.saturating_sub(1), |e| e.index);
        if features.ias[extreme.index] > FASTEST * features.scale.vs1_mps
            || grounded(features, extreme.index)
        {
            continue;
        }
        dips.push(dip(
            features,
            extreme.index,
            before.index,
            after,
            aoa_greatest,
        ));
    }
    drop_secondary(features, &mut dips);
    dips
}

/// Samples of the maxima of airspeed, in order.
pub(super) fn high_extremes(features: &Features) -> Vec<usize> {
    let all = zigzag(features).into_iter();
    all.filter(|extreme| extreme.high)
        .map(|extreme| extreme.index)
        .collect()
}

pub(super) fn grounded(features: &Features, index: usize) -> bool {
    let reach = (3.0 / STEP_S) as usize;
    let last = (index + reach).min(features.len.saturating_sub(1));
    features.on_ground[index.saturating_sub(reach)..=last]
        .iter()
        .any(|ground| *ground)
        || features.ias[index] < 0.45 * features.scale.vs1_mps
}

#[derive(Clone, Copy)]
struct Extreme {
    index: usize,
    high: bool,
}

/// Alternating maxima and minima of airspeed that lie at least `SWING` apart. Holes and the ground begin anew.
fn zigzag(features: &Features) -> Vec<Extreme> {
    let mut out = Vec::new();
    let (mut high, mut low): (Option<usize>, Option<usize>) = (None, None);
    let mut rising = false;
    let v = &features.ias;
    for index in 0..features.len {
        if !features.known[index] || v[index].is_nan() {
            (high, low, rising) = (None, None, false);
            continue;
        }
        let (Some(h), Some(l)) = (high, low) else {
            (high, low) = (Some(index), Some(index));
            continue;
        };
        if rising {
            if v[index] > v[h] {
                high = Some(index);
            } else if v[index] < v[h] * (1.0 - SWING) {
                out.push(Extreme {
                    index: h,
                    high: true,
                });
                (rising, low) = (false, Some(index));
            }
        } else {
            if v[index] > v[h] && out.is_empty() {
                high = Some(index);
            }
            if v[index] < v[l] {
                low = Some(index);
            } else if v[index] > v[l] * (1.0 + SWING) {
                // The first swing of a stretch has no maximum of its own before it: its beginning stands for one.
                if out.last().is_none_or(|last: &Extreme| !last.high) {
                    out.push(Extreme {
                        index: h.min(l),
                        high: true,
                    });
                }
                out.push(Extreme {
                    index: l,
                    high: false,
                });
                (rising, high) = (true, Some(index));
            }
        }
    }
    if rising && let Some(h) = high {
        out.push(Extreme {
            index: h,
            high: true,
        });
    }
    out
}

/// Two stalls with less than 1.22 stall speeds between them, within half a minute, are one attempt with a
/// secondary stall: the aircraft was never flying normally in between. The first stands for both, if it is
/// one at all and not just the speed settling into the descent.
fn drop_secondary(features: &Features, dips: &mut Vec<Dip>) {
    let vs = features.scale.vs1_mps;
    let mut place = 0;
    while place + 1 < dips.len() {
        let (first, second) = (dips[place], dips[place + 1]);
        let between = features.window(first.at_s, second.at_s).max(&features.ias);
        let apart = second.at_s - first.at_s;
        // No attempt can be set up anew within a quarter of a minute.
        let chained = (between < 1.22 * vs && apart < 30.0) || (between < 1.4 * vs && apart < 18.0);
        if chained && stall_signature::evidence(features, &first).total() > 0.5 {
            dips[place].climbing_s = second.climbing_s;
            dips[place].after_s = second.after_s;
            dips[place].after_mps = second.after_mps;
            dips.remove(place + 1);
        } else {
            place += 1;
        }
    }
}

pub(super) fn dip(
    features: &Features,
    index: usize,
    before: usize,
    after: usize,
    aoa_greatest: f64,
) -> Dip {
    let at = features.time_s(index);
    let w = |from: f64, to: f64| features.window(at + from, at + to);
    let ias = features.ias[index];
    let load = w(-3.0, 1.0).percentile(&features.load, 0.5, |n| n).max(1.0);
    let load = if load.is_finite() { load } else { 1.0 };
    Dip {
        at_s: at,
        ias_mps: ias,
        ratio: ias / load.min(1.6).sqrt() / stall_speed(features, index),
        before_mps: features.ias[before],
        before_s: features.time_s(before),
        after_mps: features.ias.get(after).copied().unwrap_or(f64::NAN),
        after_s: features.time_s(after),
        recovery_rate: greatest_rise(features, index, 9.0, 3.0) / ias,
        regained: w(0.0, 15.0).max(&features.ias) / ias - 1.0,
        decay: (features.at(&features.ias, at - 10.0) / ias - 1.0) / 10.0,
        pitch_drop_rad: w(-7.0, 1.5).max(&features.pitch) - w(-0.5, 7.0).min(&features.pitch),
        pitch_rad: w(-10.0, 1.0).max(&features.pitch),
        climb_drop_mps: w(-7.0, 0.5).max(&features.climb) - w(-1.0, 9.0).min(&features.climb),
        climb_mps: w(-9.0, -1.0).mean_climb(),
        approach_mps: w(-32.0, -10.0).mean_climb(),
        zoom_mps: w(-14.0, 0.0).max(&features.climb),
        power: entry_power(features, at),
        power_after: best_mean(features, at, 15.0, 3.0, |w| w.mean_power()),
        energy_mps: w(-9.0, -1.0).mean_energy_rate(),
        energy_best_mps: entry_energy(features, at),
        energy_after_mps: w(3.0, 13.0).mean_energy_rate(),
        bank_rad: flown_bank(features, at),
        load: best_mean(features, at - 7.0, 7.0, 2.0, |w| w.mean(&features.load)),
        turned_rad: fastest_turn(features, index),
        lift_ratio: w(-4.0, 3.0).percentile(&features.lift_ratio, 0.9, |l| l),
        warning: w(-5.0, 2.0).mean(&features.warning),
        aoa_share: w(-4.0, 3.0).max(&features.aoa) / aoa_greatest,
        plateau_s: plateau(features, index, before),
        settled_mps: settled(features, at),
        climb_after_mps: best_mean(features, at + 3.0, 72.0, 5.0, |w| w.mean_climb()),
        climbing_s: climbing(features, at),
    }
}

/// Power with which the stall was entered: the mean of the 6 s or of the last 2 s before the least speed,
/// whichever is more (a power-on entry recovered at its first cue lasts 3 s), but not more than there was
/// around the first cue: in a secondary stall the recovery's power comes before the least speed.
fn entry_power(features: &Features, at_s: f64) -> f64 {
    let mean = |from: f64, to: f64| features.window(from, to).mean_power();
    let before = mean(at_s - 6.0, at_s - 1.5).max(mean(at_s - 3.5, at_s - 1.5));
    match cue(features, at_s) {
        Some(cue_s) => before.min(mean(cue_s, cue_s + 2.5).max(mean(cue_s - 3.0, cue_s))),
        None => before,
    }
}

/// The same for the energy, where there are no engine figures.
fn entry_energy(features: &Features, at_s: f64) -> f64 {
    let best =
        |from: f64, within: f64| best_mean(features, from, within, 4.0, |w| w.mean_energy_rate());
    let before = best(at_s - 6.5, 6.0);
    cue(features, at_s).map_or(before, |cue_s| before.min(best(cue_s - 4.0, 8.0)))
}

/// When 0.8 of the greatest lift was first in use on the way down to the least speed, s.
fn cue(features: &Features, at_s: f64) -> Option<f64> {
    let run = features.window(at_s - 16.0, at_s);
    let first = run
        .slice(&features.lift_ratio)
        .iter()
        .position(|share| *share > 0.8)
        // In use all along is slow flight, and no sign of the entry.
        .filter(|first| *first > 0)?;
    Some(features.time_s(run.from + first))
}

/// Stall speed of the likely flap setting. Unknown flaps count as clean: the lower speed of the flaps is
/// then only a bonus that no look-alike gets by itself.
fn stall_speed(features: &Features, index: usize) -> f64 {
    let Scale {
        vs1_mps, vs0_mps, ..
    } = features.scale;
    let out = features.flaps_out.get(index).copied().unwrap_or(f64::NAN);
    if out.is_finite() {
        vs1_mps + out * (vs0_mps - vs1_mps)
    } else {
        vs1_mps
    }
}

fn greatest_rise(features: &Features, index: usize, within_s: f64, over_s: f64) -> f64 {
    let over = (over_s / STEP_S) as usize;
    let last = (index + (within_s / STEP_S) as usize).min(features.len.saturating_sub(over + 1));
    (index..=last.max(index))
        .filter_map(|i| Some((features.ias.get(i + over)? - features.ias.get(i)?) / over_s))
        .filter(|rise| rise.is_finite())
        .fold(f64::NAN, f64::max)
}

/// Greatest mean over `width_s` within `within_s` after a time.
fn best_mean(
    features: &Features,
    at_s: f64,
    within_s: f64,
    width_s: f64,
    mean: impl Fn(&super::Window<'_>) -> f64,
) -> f64 {
    let steps = ((within_s - width_s) / STEP_S).max(0.0) as usize;
    (0..=steps)
        .map(|i| at_s + i as f64 * STEP_S)
        .take_while(|t| t + width_s <= features.end_s())
        .map(|t| mean(&features.window(t, t + width_s)))
        .filter(|m| m.is_finite())
        .fold(f64::NAN, f64::max)
}

/// See [`Dip::bank_rad`].
fn flown_bank(features: &Features, at_s: f64) -> f64 {
    let before = best_mean(features, at_s - 12.0, 9.5, 2.0, |w| w.mean_abs_bank());
    let last = best_mean(features, at_s - 4.5, 4.5, 2.0, |w| held(w, &features.bank));
    before.max(last)
}

/// Bank held one way all through a window, without sign.
pub(super) fn held(window: &super::Window<'_>, bank: &[f64]) -> f64 {
    let (low, high) = (window.min(bank), window.max(bank));
    low.max(-high).max(0.0)
}

fn fastest_turn(features: &Features, index: usize) -> f64 {
    let over = (8.0 / STEP_S) as usize;
    let first = index.saturating_sub((12.0 / STEP_S) as usize);
    (first..=index)
        .filter_map(|i| Some((features.heading.get(i + over)? - features.heading.get(i)?).abs()))
        .filter(|turned| turned.is_finite())
        .fold(f64::NAN, f64::max)
}

fn plateau(features: &Features, index: usize, before: usize) -> f64 {
    let limit = features.ias[index] * 1.10;
    let slow = (before..index)
        .rev()
        .take_while(|i| features.ias[*i] < limit)
        .count();
    slow as f64 * STEP_S
}

fn settled(features: &Features, at_s: f64) -> f64 {
    let climbing_s = climbing(features, at_s);
    let (from, to) = if climbing_s < at_s + 22.0 {
        (climbing_s.min(at_s + 10.0), climbing_s + 6.0)
    } else {
        (at_s + 10.0, at_s + 28.0)
    };
    features.window(from, to).mean_climb()
}

fn climbing(features: &Features, at_s: f64) -> f64 {
    let slow = 1.2 * features.scale.vs1_mps;
    let mut t = at_s + 1.0;
    while t < at_s + 75.0 && t + 6.0 <= features.end_s() {
        let ahead = features.window(t, t + 6.0);
        if ahead.mean_climb() > 250.0 * MPS_PER_FPM && features.at(&features.ias, t) > slow {
            return t;
        }
        t += STEP_S;
    }
    f64::NAN
}
