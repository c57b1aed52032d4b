//! Stall speeds from the flight's own stalls.
//!
//! At the greatest lift n/V² has its maximum, so V_S = V/√n there (lift = n W at the greatest lift coefficient;
//! FAA-H-8083-25C, ch. 5). A quick entry reaches a little more lift: 0.7 % of the speed for each kt/s beyond the 1 kt/s of the rule
//! (14 CFR 23.201 as amended to 1996 for the rate; size by √((R + 2)/(R + 1)), R = 2V/(c V̇) with a chord of 1.5 m, from
//! flight-test practice, from memory), known to half of itself. No wing lifts more than its
//! greatest lift: the slowest V/√n held for 3 s is a bound from above where no stall was flown.

use crate::linear::Square;
use crate::prior::Scales;
use crate::regress::Belief;
use crate::samples::{flaps, share};
use air::units::MPS_PER_KT;
use aircraft::Aircraft;
use flight::{Flight, Origin};
use maneuver::{Kind, Maneuver};

/// One stall.
#[derive(Clone, Debug, PartialEq)]
pub struct Flown {
    /// Detent.
    pub detent: usize,
    /// Calibrated speed at 1 g and 1 kt/s, m/s.
    pub cas_mps: f64,
    /// 1-σ, what all stalls of the flight share left out, m/s.
    pub sigma_mps: f64,
    /// With the throttle closed.
    pub power_off: bool,
}

/// What the stalls of a flight share: the indicator's own error, m/s (0.8 kt, as the flight has it).
const INDICATOR_MPS: f64 = 0.4;
/// Part of the speed for each kt/s.
const RATE: f64 = 0.007;

/// The stalls of a flight that went past the break.
pub fn flown(
    flight: &Flight,
    maneuvers: &[Maneuver],
    aircraft: &Aircraft,
    scales: &Scales,
) -> Vec<Flown> {
    let measured = flight
        .ias
        .as_ref()
        .is_some_and(|ias| ias.origin == Origin::Measured);
    if !measured {
        return Vec::new();
    }
    maneuvers
        .iter()
        .filter(|one| matches!(one.kind, Kind::PowerOffStall | Kind::PowerOnStall))
        .filter_map(|one| {
            let full = one
                .event("full_stall")
                .filter(|event| event.probability >= 0.7)?;
            one_stall(
                flight,
                aircraft,
                scales,
                full.at_s,
                one.kind == Kind::PowerOffStall,
            )
        })
        .collect()
}

fn one_stall(
    flight: &Flight,
    aircraft: &Aircraft,
    scales: &Scales,
    at_s: f64,
    off: bool,
) -> Option<Flown> {
    let ias = flight.ias.as_ref()?;
    let load = flight.load.as_ref()?;
    let here = flight.clock.index(at_s);
    let (flap, detent) = flaps(flight, aircraft, scales, here, ias.at(here))?;
    let power = share(flight, here).unwrap_or(if off { 0.0 } else { 1.0 });
    if off && power > 0.15 {
        return None;
    }
    let mean = |centre_s: f64, of: &dyn Fn(usize) -> f64| {
        let (from, to) = (
            flight.clock.index(centre_s - 0.5),
            flight.clock.index(centre_s + 0.5),
        );
        let all: Vec<f64> = (from..=to)
            .map(of)
            .filter(|value| value.is_finite())
            .collect();
        all.iter().sum::<f64>() / all.len() as f64
    };
    let cas = |i: usize| aircraft.calibrated_mps(ias.at(i), flap);
    // The greatest lift comes before the nose falls.
    let lifts = (-20..=6).filter_map(|step| {
        let at = at_s + 0.25 * f64::from(step);
        let speed = mean(at, &cas);
        let lift = mean(at, &|i| load.at(i)) / (speed * speed);
        (lift.is_finite() && speed > 8.0).then_some((lift, at, speed))
    });
    let (lift, break_s, speed) = lifts.max_by(|a, b| a.0.total_cmp(&b.0))?;
    let rate_kt = (mean(break_s - 5.0, &cas) - speed) / 5.0 / MPS_PER_KT;
    if !rate_kt.is_finite() || !(-1.0..8.0).contains(&rate_kt) {
        return None;
    }
    let value = lift.sqrt().recip();
    let more = RATE * (rate_kt.max(0.0) - 1.0);
    let gust = if flight.gust_mps.is_finite() {
        flight.gust_mps
    } else {
        0.7
    };
    let parts = [
        0.5 * value * more,
        // A mean of a second, of a load with a steady error of 0.01 to 0.02.
        0.5 * value * 0.02,
        0.5 * gust,
        // The indicator lags by some tenths of a second, by as much as is not known of them.
        0.15 * rate_kt.abs() * MPS_PER_KT,
        0.3,
        detent_mps(flight, aircraft, scales, detent),
    ];
    Some(Flown {
        detent,
        cas_mps: value * (1.0 + more),
        sigma_mps: parts.iter().map(|part| part * part).sum::<f64>().sqrt(),
        power_off: off,
    })
}

/// What is not known of a stall speed because nobody recorded the flaps, 1-σ, m/s: the next detent may have been the one. Half of what lies
/// between the two; a detent's stall speeds differ by a tenth over the whole travel (from memory, as in the prior).
fn detent_mps(flight: &Flight, aircraft: &Aircraft, scales: &Scales, detent: usize) -> f64 {
    let recorded = flight
        .flaps
        .as_ref()
        .is_some_and(|flaps| flaps.angle.origin == Origin::Measured);
    if recorded || detent == 0 || scales.detents_rad.len() < 3 {
        return 0.0;
    }
    let before = crate::prior::stall(aircraft, scales).mean;
    let at = |k: usize| before.get(k).copied();
    let next = |k: Option<usize>| Some((at(k?)? - at(detent)?).abs());
    let away = next(detent.checked_sub(1))
        .into_iter()
        .chain(next(Some(detent + 1)));
    0.5 * away.fold(0.0, f64::max)
}

/// What the stalls make of what was believed. The bound of slow flight serves the detents without a stall.
pub fn learn(before: &Belief, stalls: &[Flown], bounds: &[Option<f64>]) -> Belief {
    let count = before.mean.len();
    // One more for the error of the indicator, which all share.
    let mut belief = Belief {
        mean: before.mean.iter().copied().chain([0.0]).collect(),
        cov: Square::diagonal(&[vec![0.0; count], vec![INDICATOR_MPS * INDICATOR_MPS]].concat()),
    };
    for i in 0..count {
        for j in 0..count {
            belief.cov.add(i, j, before.cov.at(i, j));
        }
    }
    let row = |detent: usize| -> Vec<f64> {
        (0..=count)
            .map(|k| if k == detent || k == count { 1.0 } else { 0.0 })
            .collect()
    };
    for stall in stalls.iter().filter(|stall| stall.power_off) {
        belief = belief.seen(&row(stall.detent), stall.cas_mps, stall.sigma_mps);
    }
    for (detent, bound) in bounds.iter().enumerate() {
        let stalled = stalls
            .iter()
            .any(|stall| stall.power_off && stall.detent == detent);
        if let (Some(bound), false) = (bound, stalled) {
            belief = below(&belief, &row(detent), *bound, 0.6);
        }
    }
    let mut cov = Square::zeros(count);
    for i in 0..count {
        for j in 0..count {
            cov.add(i, j, belief.cov.at(i, j));
        }
    }
    belief.mean.truncate(count);
    Belief {
        mean: belief.mean,
        cov,
    }
}

/// After x·θ was found to lie below a bound that is itself known to `sigma`: mean and variance of the normal law cut off there.
fn below(belief: &Belief, x: &[f64], bound: f64, sigma: f64) -> Belief {
    let mean = crate::linear::dot(x, &belief.mean);
    let variance = belief.cov.quadratic(x);
    let wide = (variance + sigma * sigma).sqrt();
    let z = (bound - mean) / wide;
    if !z.is_finite() || z > 3.0 || variance <= 0.0 {
        return belief.clone();
    }
    let ratio = density_over_share(z);
    let cut_mean = mean - variance * ratio / wide;
    let cut_variance = variance - variance * variance * ratio * (z + ratio) / (wide * wide);
    let precision = 1.0 / cut_variance - 1.0 / variance;
    if !precision.is_finite() || precision <= 1e-9 {
        return belief.clone();
    }
    let value = (cut_mean / cut_variance - mean / variance) / precision;
    belief.seen(x, value, precision.sqrt().recip())
}

/// φ(z)/Φ(z) of the normal law.
fn density_over_share(z: f64) -> f64 {
    if z < -6.0 {
        // The first terms of the asymptotic series of Mills' ratio.
        return -z - 1.0 / z;
    }
    let density = (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt();
    // Abramowitz & Stegun 26.2.17, to 7.5e-8.
    let t = 1.0 / (1.0 + 0.231_641_9 * z.abs());
    let tail = density
        * t
        * (0.319_381_530
            + t * (-0.356_563_782
                + t * (1.781_477_937 + t * (-1.821_255_978 + t * 1.330_274_429))));
    let share = if z < 0.0 { tail } else { 1.0 - tail };
    density / share.max(1e-300)
}

/// For each detent the slowest V/√n that was held for three seconds with the throttle closed, m/s.
pub fn bounds(flight: &Flight, aircraft: &Aircraft, scales: &Scales) -> Vec<Option<f64>> {
    let mut out = vec![None; scales.detents_rad.len()];
    let (Some(ias), Some(load)) = (&flight.ias, &flight.load) else {
        return out;
    };
    if ias.origin != Origin::Measured {
        return out;
    }
    let long = (3.0 / flight.clock.step_s).round().max(1.0) as usize;
    let (mut held, mut lifts, mut now) = (0, 0.0, None);
    let mut window = std::collections::VecDeque::new();
    for i in 0..flight.clock.len {
        let grounded = flight.on_ground.get(i).copied().unwrap_or(true)
            || !flight.known.get(i).copied().unwrap_or(false);
        let idle = share(flight, i).is_some_and(|share| share < 0.15);
        let setting = flaps(flight, aircraft, scales, i, ias.at(i));
        let cas = setting.map_or(f64::NAN, |(flap, _)| {
            aircraft.calibrated_mps(ias.at(i), flap)
        });
        let lift = load.at(i) / (cas * cas);
        let detent = setting.map(|(_, detent)| detent);
        if grounded || !idle || !lift.is_finite() || cas < 8.0 || (held > 0 && detent != now) {
            (held, lifts) = (0, 0.0);
            window.clear();
            continue;
        }
        now = detent;
        held += 1;
        lifts += lift;
        window.push_back(lift);
        if held > long {
            lifts -= window.pop_front().unwrap_or(0.0);
            held = long;
        }
        if held == long
            && let Some(slot) = detent.and_then(|detent| out.get_mut(detent))
        {
            let speed = (lifts / long as f64).max(1e-9).sqrt().recip();
            *slot = Some(slot.map_or(speed, |least: f64| least.min(speed)));
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Law: a normal law cut off at its mean has the mean −√(2/π) and the variance 1 − 2/π (any textbook).
    #[test]
    fn val_a_law_cut_in_half_has_the_half_normal_moments() {
        let belief = Belief::independent(&[(0.0, 1.0)]);
        let cut = below(&belief, &[1.0], 0.0, 0.0);
        let pi = std::f64::consts::PI;
        assert!((cut.mean[0] + (2.0 / pi).sqrt()).abs() < 1e-6);
        assert!((cut.cov.at(0, 0) - (1.0 - 2.0 / pi)).abs() < 1e-6);
    }

    /// Law: a bound far above says nothing, one far below pulls all the way.
    #[test]
    fn prop_a_bound_only_ever_pulls_down() {
        let belief = Belief::independent(&[(26.0, 1.5)]);
        assert_eq!(below(&belief, &[1.0], 40.0, 0.6), belief);
        let cut = below(&belief, &[1.0], 20.0, 0.6);
        assert!(cut.mean[0] < 22.0 && cut.mean[0] > 18.0);
    }
}
