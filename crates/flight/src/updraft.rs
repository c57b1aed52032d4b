//! Rising and sinking air.
//!
//! Attitude and angle of attack say how the aircraft moves through the air, the climb rate how it moves over the ground:
//! what is between them is the air's own motion. Through the air sin γ = cos α sin θ − sin α cos φ cos θ (B. Etkin, L.
//! Reid, *Dynamics of Flight*, 3rd ed. 1996, ch. 4, without sideslip), and w = climb − V sin γ. The angle of attack is a
//! vane's; without one it is what the wing needs for the lift it gives: straight in n·(Vs/V)², a line that is fitted over
//! the flight, in which the air rises as much as it sinks.

use aircraft::Aircraft;

use crate::lift::angle_of_attack;
use crate::matrix::{Matrix, solve};
use crate::recorded::series;
use crate::stats::median;
use crate::{Flight, Origin, Series, Sigma};

const DEG: f64 = std::f64::consts::PI / 180.0;
/// Slower than this nothing flies, m/s.
const SLOW_MPS: f64 = 12.0;
/// A vane is this certain in slow flight, rad (judgment: half a degree).
const VANE_RAD: f64 = 0.5 * DEG;
/// What a vane and attitude may differ by for all of a flight, rad: more is no angle of attack.
const ZERO_RAD: f64 = 5.0 * DEG;
/// The line is this certain, m/s (judgment: a degree at 35 m/s).
const LINE_MPS: f64 = 0.6;
/// Averaged over so long to each side, with a vane and without, s.
const HALF_S: [f64; 2] = [0.5, 1.0];

/// Vertical speed of the air, up, m/s; NaN where it cannot be told; `None` without attitude or air data.
pub fn find(flight: &Flight, aircraft: &Aircraft) -> Option<Series> {
    by_vane(flight).or_else(|| by_lift(flight, aircraft))
}

fn flying(flight: &Flight, tas: &Series, i: usize) -> bool {
    flight.on_ground.get(i) == Some(&false) && tas.at(i) > SLOW_MPS
}

/// Mean of what is known around a sample.
fn mean(value: impl Fn(usize) -> f64, i: usize, reach: usize, len: usize) -> f64 {
    let (sum, count) = (i.saturating_sub(reach)..(i + reach + 1).min(len))
        .map(value)
        .filter(|v| v.is_finite())
        .fold((0.0, 0.0), |(sum, n), v| (sum + v, n + 1.0));
    sum / count
}

fn reach(flight: &Flight, half_s: f64) -> usize {
    let samples = (half_s / flight.clock.step_s).round().max(0.0);
    // A time base without a step reaches no further than the flight.
    samples.min(flight.clock.len as f64) as usize
}

fn by_vane(flight: &Flight) -> Option<Series> {
    let aoa = flight
        .aoa
        .as_ref()
        .filter(|aoa| aoa.origin == Origin::Measured)?;
    let (pitch, bank) = (flight.pitch.as_ref()?, flight.bank.as_ref()?);
    let (climb, tas) = (flight.climb.as_ref()?, flight.tas.as_ref()?);
    let len = flight.clock.len;
    let off: Vec<f64> = (0..len)
        .map(|i| {
            if !flying(flight, tas, i) {
                return f64::NAN;
            }
            let (pitch, aoa) = (pitch.at(i), aoa.at(i));
            let through = aoa.cos() * pitch.sin() - aoa.sin() * bank.at(i).cos() * pitch.cos();
            (climb.at(i) / tas.at(i)).clamp(-1.0, 1.0) - through
        })
        .collect();
    // Over a flight the air rises as much as it sinks: what stays is the vane's zero.
    let zero = median(off.iter().copied().filter(|v| v.is_finite()));
    let wide = median(
        off.iter()
            .map(|v| (v - zero).abs())
            .filter(|v| v.is_finite()),
    );
    if !zero.is_finite() || zero.abs() > ZERO_RAD || wide > ZERO_RAD {
        return None;
    }
    let reach = reach(flight, HALF_S[0]);
    let values = (0..len)
        .map(|i| tas.at(i) * mean(|k| off.get(k).map_or(f64::NAN, |v| v - zero), i, reach, len))
        .collect();
    let sigma = Sigma::Each((0..len).map(|i| (VANE_RAD * tas.at(i)) as f32).collect());
    Some(series(values, sigma, Origin::Derived))
}

/// Terms of the line: 1, lift, lift times power (slipstream), bend, flaps.
const TERMS: usize = 5;
/// Expected with 1-σ, rad; slope as in the flap inference (16 ± 4°; from memory), flaps at full travel.
const EXPECTED: [(f64, f64); TERMS] = [
    (-3.0 * DEG, 5.0 * DEG),
    (16.0 * DEG, 4.0 * DEG),
    (0.0, 1.5 * DEG),
    (0.0, 4.0 * DEG),
    (-3.5 * DEG, 1.5 * DEG),
];
/// Beyond this share of the greatest lift the line is none.
const STRAIGHT: f64 = 0.9;
/// Steeper banks are left out, rad.
const STEEP_RAD: f64 = 0.9;
/// Fewer seconds than this fit no line.
const LEAST: usize = 60;
/// One sample a second: gusts stay alike for some ten.
const WORTH: f64 = 0.1;

fn by_lift(flight: &Flight, aircraft: &Aircraft) -> Option<Series> {
    let (pitch, bank) = (flight.pitch.as_ref()?, flight.bank.as_ref()?);
    let (climb, tas) = (flight.climb.as_ref()?, flight.tas.as_ref()?);
    let (ias, load) = (flight.ias.as_ref()?, flight.load.as_ref()?);
    if ias.origin == Origin::Derived {
        return None;
    }
    let stall = aircraft
        .stall_speed_at(0, 1.0)
        .map(|figure| figure.value_mps)
        .or(aircraft.speeds.vs1_mps)?;
    let full = aircraft.flaps.last().map_or(0.6, |d| d.angle_rad).max(0.1);
    let len = flight.clock.len;
    let reach = reach(flight, HALF_S[1]).max(1);
    let terms = |i: usize| -> [f64; TERMS] {
        let u = mean(|k| ias.at(k), i, reach, len) / stall;
        let lift = mean(|k| load.at(k), i, reach, len) / (u * u).max(0.1);
        let power = flight.power.as_ref().map_or(f64::NAN, |p| p.at(i));
        let power = if power.is_finite() { power } else { 0.5 };
        let angle = flight.flaps.as_ref().map_or(f64::NAN, |f| f.angle.at(i));
        // The first part of the travel does most of it.
        let flap = (angle / full).clamp(0.0, 1.0).sqrt();
        let flap = if flap.is_finite() { flap } else { 0.0 };
        [1.0, lift, power * lift, (lift - 0.45).powi(2), flap]
    };
    let path = |k: usize| (climb.at(k) / tas.at(k)).clamp(-1.0, 1.0).asin();
    let above_path = |i: usize| {
        let one = |k: usize| angle_of_attack(pitch.at(k), bank.at(k), path(k));
        mean(one, i, reach, len)
    };
    let each_second = (1.0 / flight.clock.step_s).round().max(1.0) as usize;
    let seen: Vec<([f64; TERMS], f64)> = (0..len)
        .step_by(each_second)
        .filter(|i| flying(flight, tas, *i) && bank.at(*i).abs() < STEEP_RAD)
        .map(|i| (terms(i), above_path(i)))
        .filter(|(terms, y)| terms[1] < STRAIGHT && (y + terms.iter().sum::<f64>()).is_finite())
        .collect();
    let line = fitted(&seen)?;
    let values = (0..len)
        .map(|i| {
            let terms = terms(i);
            if !flying(flight, tas, i) || terms[1].is_nan() || terms[1] > STRAIGHT {
                return f64::NAN;
            }
            tas.at(i) * (value(&line, &terms) - above_path(i))
        })
        .collect();
    Some(series(values, Sigma::Constant(LINE_MPS), Origin::Derived))
}

fn value(line: &[f64; TERMS], terms: &[f64; TERMS]) -> f64 {
    line.iter().zip(terms).map(|(a, b)| a * b).sum()
}

/// The line by least squares with Student weights (4 degrees of freedom; K. Lange et al., "Robust statistical modeling
/// using the t distribution", 1989) about what is expected.
fn fitted(seen: &[([f64; TERMS], f64)]) -> Option<[f64; TERMS]> {
    if seen.len() < LEAST {
        return None;
    }
    let mut line = EXPECTED.map(|(expected, _)| expected);
    let mut scale = 1.5 * DEG;
    for _ in 0..6 {
        let mut normal: Matrix<TERMS> = [[0.0; TERMS]; TERMS];
        let mut right: Matrix<TERMS> = [[0.0; TERMS]; TERMS];
        for (k, (expected, sigma)) in EXPECTED.iter().enumerate() {
            normal[k][k] = sigma.powi(-2);
            right[k][0] = expected * sigma.powi(-2);
        }
        for (terms, y) in seen {
            let off = y - value(&line, terms);
            let weight = WORTH / (scale * scale) * 5.0 / (4.0 + (off / scale).powi(2));
            for (k, term) in terms.iter().enumerate() {
                for (cell, other) in normal[k].iter_mut().zip(terms) {
                    *cell += weight * term * other;
                }
                right[k][0] += weight * term * y;
            }
        }
        let solved = solve(&normal, &right);
        line = std::array::from_fn(|k| solved[k][0]);
        let off = seen
            .iter()
            .map(|(terms, y)| (y - value(&line, terms)).abs());
        scale = (1.48 * median(off)).max(0.2 * DEG);
    }
    line.iter().all(|v| v.is_finite()).then_some(line)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Clock, Flaps};
    use std::f64::consts::TAU;

    const STEP_S: f64 = 0.5;
    const SECONDS: usize = 600;

    fn put(value: impl Fn(f64) -> f64) -> Option<Series> {
        let len = (SECONDS as f64 / STEP_S) as usize;
        let values = (0..len).map(|i| value(i as f64 * STEP_S)).collect();
        Some(series(values, Sigma::Constant(0.1), Origin::Measured))
    }

    /// Level flight, slower and faster between 1.2 and 1.8 VS, the nose where the line has it, in air that rises and sinks
    /// by 1.5 m/s about once a minute: the path through the air is level, so that it climbs as the air does.
    fn flown(vane: bool) -> (Flight, Aircraft, impl Fn(f64) -> f64) {
        let text = "format = \"proofwing/aircraft/1\"\nname = \"Test\"\n[speeds]\nvs1_kias = 50\n";
        let aircraft = aircraft::parse(text, "test.toml").map(|(a, _)| a).ok();
        let aircraft = aircraft.unwrap_or_else(|| panic!("the test's aircraft"));
        let stall = aircraft.speeds.vs1_mps.unwrap_or(25.7);
        let air = |t: f64| 1.5 * (TAU * t / 61.0).sin();
        let speed = move |t: f64| stall * (1.5 + 0.3 * (TAU * t / 97.0).sin());
        let alpha = move |t: f64| (-2.0 + 15.0 * (stall / speed(t)).powi(2)) * DEG;
        let len = (SECONDS as f64 / STEP_S) as usize;
        let mut flight = Flight::empty(Clock {
            step_s: STEP_S,
            len,
        });
        flight.on_ground = vec![false; len];
        flight.tas = put(speed);
        flight.ias = put(speed);
        flight.climb = put(air);
        flight.pitch = put(alpha);
        flight.bank = put(|_| 0.0);
        flight.load = put(|_| 1.0);
        flight.power = put(|_| 0.5);
        flight.flaps = None::<Flaps>;
        // A vane is set to a degree or so.
        flight.aoa = if vane {
            put(move |t| alpha(t) + 1.0 * DEG)
        } else {
            None
        };
        (flight, aircraft, air)
    }

    /// Law: what climbs in level flight through the air is the air.
    #[test]
    fn law_the_air_is_what_the_path_through_it_does_not_show() {
        for vane in [true, false] {
            let (flight, aircraft, air) = flown(vane);
            let found = find(&flight, &aircraft).unwrap_or_else(|| panic!("no air found"));
            let mut worst: f64 = 0.0;
            for i in 20..found.values.len() - 20 {
                worst = worst.max((found.at(i) - air(i as f64 * STEP_S)).abs());
            }
            let allowed = if vane { 0.1 } else { 0.35 };
            assert!(worst < allowed, "vane {vane}: {worst:.2} m/s off");
        }
    }

    /// Nothing is claimed where the wing stalls, nor without attitude.
    #[test]
    fn unit_beyond_the_line_and_without_attitude_nothing_is_told() {
        let (mut flight, aircraft, _) = flown(false);
        flight.load = put(|t| if t > 300.0 && t < 310.0 { 3.5 } else { 1.0 });
        let found = find(&flight, &aircraft).unwrap_or_else(|| panic!("no air found"));
        assert!(found.at(610).is_nan());
        flight.pitch = None;
        assert!(find(&flight, &aircraft).is_none());
    }
}
