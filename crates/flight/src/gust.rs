//! How rough the air was.
//!
//! A vertical gust w changes the lift by Δn = (C_Lα/C_L)·w/V at 1 g. Written with the stall speed,
//! C_L = C_Lmax·(Vs/V)², no wing data are needed: w = Δn·(C_Lmax/C_Lα)·Vs²/V. C_Lmax/C_Lα is the angle
//! between no lift and the stall, about 0.3 rad for light aircraft. Source of the relation: 14 CFR
//! 23.341 (amendment 62) gust loads, alleviation factor left out; the use of it backwards is ours.

use crate::{Air, stats};

/// Angle of attack between no lift and the stall, rad.
const LIFT_RANGE_RAD: f64 = 0.3;
/// Below this the air is calm, m/s: half of what MIL-F-8785C calls light at low level (σ_w = 0.1·W20,
/// W20 = 15 kt).
const CALM_MPS: f64 = 0.4;
/// Above this it is rough, m/s: between light (0.77) and moderate (W20 = 30 kt, 1.54 m/s).
const ROUGH_MPS: f64 = 1.1;

/// Noise of a normal accelerometer on an engine that runs, g (from memory).
const LOAD_NOISE_G: f64 = 0.025;

/// What shows gusts.
pub struct Clues<'a> {
    /// Recorded normal load, g, as it came.
    pub load: Option<&'a [f64]>,
    /// Pitch minus path, rad; asked for only where the load does not tell.
    pub incidence: &'a dyn Fn() -> Option<Vec<f64>>,
    /// Noise of that times the speed, m/s.
    pub incidence_noise_mps: f64,
    /// True airspeed, m/s.
    pub tas: &'a [f64],
    /// Bank, rad.
    pub bank: Option<&'a [f64]>,
    /// Stall speed, m/s.
    pub stall_mps: f64,
    /// In the air.
    pub flying: &'a [bool],
    /// s.
    pub step_s: f64,
}

/// 1-σ of the vertical gusts over the flight, m/s (NaN: cannot tell), and the class.
pub fn estimate(clues: &Clues<'_>) -> (f64, Air) {
    let lag = ((1.0 / clues.step_s).round() as usize).max(1);
    let steady = |i: usize| {
        clues.flying[i]
            && clues.tas[i] > 1.1 * clues.stall_mps
            && clues.bank.is_none_or(|bank| bank[i].abs() < 0.2)
    };
    // Second differences over a second take out what the pilot does slowly.
    let rough = |values: &[f64], size: &dyn Fn(usize) -> f64| {
        let all = (lag..values.len().saturating_sub(lag))
            .filter(|i| steady(*i))
            .map(|i| {
                (values[i] - (values[i - lag] + values[i + lag]) / 2.0)
                    * size(i)
                    * (2.0_f64 / 3.0).sqrt()
            });
        stats::spread(all)
    };
    let by_load = clues.load.map_or(f64::NAN, |load| {
        rough(load, &|i| {
            LIFT_RANGE_RAD * clues.stall_mps.powi(2) / clues.tas[i].max(15.0)
        })
    });
    let speed = stats::median(
        (0..clues.tas.len())
            .filter(|i| steady(*i))
            .map(|i| clues.tas[i]),
    );
    let noise = LOAD_NOISE_G * LIFT_RANGE_RAD * clues.stall_mps.powi(2) / speed;
    let (seen, noise) = if by_load.is_finite() {
        (by_load, noise)
    } else {
        let by_incidence =
            (clues.incidence)().map_or(f64::NAN, |incidence| rough(&incidence, &|i| clues.tas[i]));
        (by_incidence, clues.incidence_noise_mps)
    };
    if !seen.is_finite() || !speed.is_finite() {
        return (f64::NAN, Air::Light);
    }
    let gust = (seen * seen - noise * noise).max(0.0).sqrt() / share_seen(speed);
    (gust, classify(gust))
}

/// How much of the gusts a second difference over one second sees.
///
/// With the vertical Dryden spectrum the correlation at a time t is σ²·(1 − t/2T)·e^(−t/T), T = L/V;
/// L = 1,750 ft above 2,000 ft (MIL-F-8785C, 3.7.2).
fn share_seen(speed_mps: f64) -> f64 {
    let time = 533.4 / speed_mps;
    let correlation = |t: f64| (1.0 - t / (2.0 * time)) * (-t / time).exp();
    ((1.5 - 2.0 * correlation(1.0) + 0.5 * correlation(2.0)) * 2.0 / 3.0).sqrt()
}

fn classify(gust_mps: f64) -> Air {
    if gust_mps > ROUGH_MPS {
        Air::Rough
    } else if gust_mps < CALM_MPS {
        Air::Calm
    } else {
        Air::Light
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// MIL-F-8785C, 3.7: light turbulence at low level is W20 = 15 kt, moderate 30 kt, σ_w = 0.1·W20.
    #[test]
    fn val_published_gust_strengths_fall_into_their_class() {
        let kt = 1852.0 / 3600.0;
        assert_eq!(classify(0.1 * 15.0 * kt), Air::Light);
        assert_eq!(classify(0.1 * 30.0 * kt), Air::Rough);
        assert_eq!(classify(0.2), Air::Calm);
    }

    /// Law: of a walk that stays alike for long a short second difference sees little, and never all.
    #[test]
    fn prop_a_second_sees_a_part_of_the_gusts_that_grows_with_speed() {
        assert!(share_seen(30.0) < share_seen(60.0));
        assert!(share_seen(60.0) < 1.0);
    }
}
