//! Power as a share of what full throttle would give at the same speed and height.
//!
//! Which channels show it depends on the aircraft: fuel flow is about linear in power (best), manifold
//! pressure times engine speed is nearly so, and the speed of a fixed-pitch propeller lies between
//! windmilling and full throttle, both of which depend on airspeed. How much *full* is, is learned from
//! the flight: the upper edge of the cloud over airspeed, held to what propellers do. Source of the
//! relations: FAA-H-8083-25C, ch. 7 "Aircraft Systems" (fixed-pitch and constant-speed propellers);
//! the edges are ours.

use aircraft::{Aircraft, Propeller};

use crate::{Origin, PowerState, Series, Sigma, stats};

/// Engine channels on the time base.
#[derive(Default)]
pub struct Engine {
    /// rad/s.
    pub speed: Option<Vec<f64>>,
    /// Pa.
    pub manifold: Option<Vec<f64>>,
    /// m³/s.
    pub fuel: Option<Vec<f64>>,
    /// 0 to 1.
    pub throttle: Option<Vec<f64>>,
    /// Share of rated, as recorded.
    pub share: Option<Vec<f64>>,
}

/// How the aircraft moved, which power must be seen against.
pub struct Motion<'a> {
    /// Indicated (or equivalent) airspeed, m/s.
    pub ias: Option<&'a [f64]>,
    /// √(density / sea-level density).
    pub density_root: &'a [f64],
    /// In the air.
    pub flying: &'a [bool],
    /// s between samples.
    pub step_s: f64,
}

/// Least share that counts as full; a throttle a little short of the stop is meant as full.
const FULL: f64 = 0.90;
/// Greatest share that counts as idle.
const IDLE: f64 = 0.10;
/// Lowest place of a lever whose scale begins at zero that may still be the stop.
const LOWEST: f64 = 0.15;

/// Power over the flight, and its class per sample.
pub fn estimate(
    engine: &Engine,
    aircraft: &Aircraft,
    motion: &Motion<'_>,
) -> (Option<Series>, Vec<PowerState>) {
    let len = motion.flying.len();
    let governed = governed(engine, aircraft, motion);
    let found = engine
        .share
        .as_ref()
        .and_then(|share| of_recorded(share))
        .or_else(|| of_flow(engine.fuel.as_deref()?, aircraft, motion, governed))
        .or_else(|| of_manifold(engine, motion))
        .or_else(|| of_speed(engine.speed.as_deref()?, aircraft, motion, governed));
    let mut states = vec![PowerState::Unknown; len];
    if let Some(found) = &found {
        for (state, share) in states.iter_mut().zip(&found.share) {
            *state = classify(*share, found.sigma);
        }
    }
    if let Some(throttle) = &engine.throttle {
        let share = found.as_ref().map(|found| found.share.as_slice());
        by_lever(throttle, share, &mut states);
    }
    let series = found.map(|found| Series {
        values: found.share,
        sigma: Sigma::Constant(found.sigma),
        origin: Origin::Derived,
    });
    (series, states)
}

struct Found {
    share: Vec<f64>,
    sigma: f64,
}

fn classify(share: f64, sigma: f64) -> PowerState {
    if share.is_nan() || sigma > 0.3 {
        PowerState::Unknown
    } else if share < IDLE {
        PowerState::Idle
    } else if share > FULL {
        PowerState::Full
    } else {
        PowerState::Partial
    }
}

/// The lever leads the engine, and its stops are certain, where they were reached: a throttle that was never closed has its
/// lowest place somewhere in between, and the engine shows it. The stop is then where the scale begins.
fn by_lever(throttle: &[f64], share: Option<&[f64]>, states: &mut [PowerState]) {
    let high = stats::quantile(throttle.iter().copied(), 0.995);
    let lowest = stats::quantile(throttle.iter().copied(), 0.005);
    let there = share.map_or(f64::NAN, |share| {
        let near = throttle.iter().zip(share);
        let near = near.filter(|(lever, share)| **lever < lowest + 0.03 && share.is_finite());
        stats::median(near.map(|(_, share)| *share))
    });
    let low = if lowest > LOWEST && there > IDLE {
        0.0
    } else {
        lowest
    };
    if high < low + 0.3 {
        return;
    }
    for (state, lever) in states.iter_mut().zip(throttle) {
        let share = (lever - low) / (high - low);
        if share.is_nan() {
            continue;
        }
        *state = if share < 0.05 {
            PowerState::Idle
        } else if share > 0.95 {
            PowerState::Full
        } else {
            PowerState::Partial
        };
    }
}

fn of_recorded(share: &[f64]) -> Option<Found> {
    let high = stats::quantile(share.iter().copied(), 0.99);
    // Recorders write per cent of rated; at height full throttle gives less than rated.
    (high > 0.3).then(|| Found {
        share: share
            .iter()
            .map(|value| (value / high).clamp(0.0, 1.1))
            .collect(),
        sigma: 0.06,
    })
}

/// A propeller with a governor: the engine turns as fast slow as fast at high power.
fn governed(engine: &Engine, aircraft: &Aircraft, motion: &Motion<'_>) -> bool {
    match aircraft.engine.propeller {
        Propeller::ConstantSpeed => return true,
        Propeller::FixedPitch => return false,
        Propeller::Unknown => {}
    }
    let (Some(speed), Some(ias)) = (&engine.speed, motion.ias) else {
        return false;
    };
    let middle = stats::median(
        ias.iter()
            .zip(motion.flying)
            .filter(|(_, flying)| **flying)
            .map(|(ias, _)| *ias),
    );
    let top = |slow: bool| {
        let side = speed
            .iter()
            .zip(ias)
            .zip(motion.flying)
            .filter(|((_, ias), flying)| **flying && (**ias < middle) == slow);
        stats::quantile(side.map(|((speed, _), _)| *speed), 0.97)
    };
    let (slow, fast) = (top(true), top(false));
    (slow / fast - 1.0).abs() < 0.012
}

/// How much of the full value at high speed is left at rest, as an expectation: a fixed-pitch propeller
/// holds the engine down when slow; behind a governor only the ram air is missing.
fn sag(governed: bool) -> (f64, f64) {
    if governed { (0.08, 0.04) } else { (0.25, 0.08) }
}

/// The upper edge of `values` over airspeed: full(V) = top·(1 − sag·(1 − V/V_top)).
struct Edge {
    top: f64,
    sag: f64,
    speed_mps: f64,
}

impl Edge {
    fn find(values: &[f64], motion: &Motion<'_>, expected: (f64, f64)) -> Option<Self> {
        let Some(ias) = motion.ias else {
            let top = stats::quantile(values.iter().copied(), 0.985);
            return (top > 0.0).then_some(Self {
                top,
                sag: 0.0,
                speed_mps: 1.0,
            });
        };
        let air = |i: &usize| motion.flying[*i] && values[*i].is_finite() && ias[*i].is_finite();
        let flown: Vec<usize> = (0..values.len().min(ias.len())).filter(air).collect();
        let speed_mps = stats::quantile(flown.iter().map(|i| ias[*i]), 0.95).max(10.0);
        let least = (8.0 / motion.step_s) as usize;
        // The highest each speed has seen, by bands of a tenth; short bands say nothing.
        let mut bands: Vec<(f64, f64)> = Vec::new();
        for band in 3..11 {
            let (low, high) = (f64::from(band) * 0.1, f64::from(band + 1) * 0.1);
            let inside: Vec<usize> = flown
                .iter()
                .copied()
                .filter(|i| (low..high).contains(&(ias[*i] / speed_mps)))
                .collect();
            if inside.len() >= least {
                let share = 1.0 - (least as f64 / 2.0 / inside.len() as f64).max(0.02);
                bands.push((
                    low + 0.05,
                    stats::quantile(inside.iter().map(|i| values[*i]), share),
                ));
            }
        }
        let mut best: Option<(f64, Self)> = None;
        for step in -8..=8 {
            let sag = (expected.0 + expected.1 * f64::from(step) / 4.0).max(0.0);
            let full = |x: f64| 1.0 - sag * (1.0 - x);
            // The edge touches the highest band and lies above the others, which may never have seen
            // full power: only those close below it pull.
            let top = bands
                .iter()
                .map(|(x, value)| value / full(*x))
                .fold(0.0, f64::max);
            let misfit: f64 = bands
                .iter()
                .map(|(x, value)| {
                    let below = (1.0 - value / (top * full(*x))) / 0.02;
                    (below * below).min(6.0)
                })
                .sum();
            let cost = misfit + (f64::from(step) / 4.0).powi(2);
            if top > 0.0 && best.as_ref().is_none_or(|(least, _)| cost < *least) {
                best = Some((
                    cost,
                    Self {
                        top,
                        sag,
                        speed_mps,
                    },
                ));
            }
        }
        best.map(|(_, edge)| edge)
    }

    fn at(&self, ias: f64) -> f64 {
        let x = if ias.is_finite() {
            (ias / self.speed_mps).clamp(0.0, 1.2)
        } else {
            1.0
        };
        self.top * (1.0 - self.sag * (1.0 - x))
    }
}

fn of_flow(
    fuel: &[f64],
    aircraft: &Aircraft,
    motion: &Motion<'_>,
    governed: bool,
) -> Option<Found> {
    // Full-throttle flow falls with the density of the air that the engine breathes.
    let values: Vec<f64> = fuel
        .iter()
        .zip(motion.density_root)
        .map(|(flow, root)| flow / (root * root))
        .collect();
    let edge = Edge::find(&values, motion, sag(governed))?;
    let low = stats::quantile(fuel.iter().copied(), 0.005);
    if low.is_nan() || edge.top < 1.3 * low {
        // It never changed: nothing to learn from.
        return None;
    }
    // Idle burns 4 to 15 % of full (common practice, no source); lower only if this flight shows it.
    let idle = if low < 0.2 * edge.top {
        low.max(0.02 * edge.top)
    } else {
        0.08 * edge.top
    };
    let rated = aircraft
        .engine
        .rated_power_w
        .map_or(0.0, |power| power * FLOW_PER_WATT);
    // An engine that never burned half of what its rating needs never ran full here.
    let sigma = if edge.top < 0.5 * rated { 0.35 } else { 0.06 };
    let share = (0..values.len())
        .map(|i| {
            let full = edge.at(motion.ias.map_or(f64::NAN, |ias| ias[i]));
            ((values[i] - idle) / (full - idle)).clamp(0.0, 1.1)
        })
        .collect();
    Some(Found { share, sigma })
}

/// Fuel per power, m³/s per W: 0.45 lb per horsepower and hour at 6 lb a gallon, the lean end of what
/// piston engines do at full power (FAA-H-8083-25C, ch. 11, specific fuel consumption; figure from memory).
const FLOW_PER_WATT: f64 = 0.45 / 6.0 * air::units::M3PS_PER_GPH / air::units::W_PER_HP;

fn of_manifold(engine: &Engine, motion: &Motion<'_>) -> Option<Found> {
    let manifold = engine.manifold.as_deref()?;
    let speed = engine.speed.as_deref();
    let top_speed = speed.map_or(f64::NAN, |speed| {
        stats::quantile(speed.iter().copied(), 0.98)
    });
    let low = stats::quantile(manifold.iter().copied(), 0.01);
    let values: Vec<f64> = (0..manifold.len())
        .map(|i| {
            let turning = speed.map_or(1.0, |speed| (speed[i] / top_speed).clamp(0.2, 1.1));
            let root = motion.density_root.get(i).copied().unwrap_or(1.0);
            // An engine makes no power below about a third of an atmosphere (common practice, no source).
            (manifold[i] - low.min(38_000.0)) * turning / (root * root)
        })
        .collect();
    let edge = Edge::find(&values, motion, (0.12, 0.06))?;
    if stats::quantile(manifold.iter().copied(), 0.98) < 1.3 * low {
        return None;
    }
    let share = (0..values.len())
        .map(|i| (values[i] / edge.at(motion.ias.map_or(f64::NAN, |ias| ias[i]))).clamp(0.0, 1.1))
        .collect();
    Some(Found { share, sigma: 0.08 })
}

/// Advance ratio of a windmilling propeller over that of the greatest level speed: a propeller is laid out so that there it is near its best
/// efficiency, at eight tenths of the advance ratio where it takes no power any more (McCormick 1995, ch. 6, fig. 6.15, from memory).
const WINDMILL: f64 = 1.25;

/// Between windmilling (speed in proportion to airspeed) and full throttle, power goes with the cube.
fn of_speed(
    speed: &[f64],
    aircraft: &Aircraft,
    motion: &Motion<'_>,
    governed: bool,
) -> Option<Found> {
    let edge = Edge::find(
        speed,
        motion,
        if governed { (0.0, 0.01) } else { (0.17, 0.06) },
    )?;
    let ias = motion.ias?;
    let root = |i: usize| motion.density_root.get(i).copied().unwrap_or(1.0);
    let ratio = (0..speed.len())
        .filter(|i| motion.flying[*i] && ias[*i] > 18.0)
        .map(|i| speed[i] / (ias[i] / root(i)));
    let slowest = stats::quantile(ratio, 0.01);
    // A throttle that was never closed shows no windmilling: at full power and the greatest speed a propeller turns for its
    // distance at least so much faster.
    let middle = stats::median(motion.density_root.iter().copied());
    let windmill = slowest.min(edge.top * middle / edge.speed_mps / WINDMILL);
    let rated = aircraft.engine.rated_speed_radps.unwrap_or(0.0);
    let unsure = edge.top < 0.75 * rated;
    let share = (0..speed.len())
        .map(|i| {
            let full = edge.at(ias[i]);
            // On the ground and slow, idle is a little over a quarter of full speed.
            let idle = (windmill * ias[i] / root(i)).clamp(0.26 * edge.top, 0.9 * full);
            let share = (speed[i].powi(3) - idle.powi(3)) / (full.powi(3) - idle.powi(3));
            // Behind a governor full speed tells only that the power is not low.
            if governed && share > 0.85 {
                f64::NAN
            } else {
                share.clamp(0.0, 1.1)
            }
        })
        .collect();
    Some(Found {
        share,
        sigma: if unsure { 0.35 } else { 0.1 },
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn states(throttle: &[f64], share: &[f64]) -> Vec<PowerState> {
        let mut states = vec![PowerState::Unknown; throttle.len()];
        by_lever(throttle, Some(share), &mut states);
        states
    }

    /// Law: idle is the closed throttle (FAA-H-8083-3C, glossary, from memory). A lesson that never closed it has no idle, however its lever moved.
    #[test]
    fn prop_a_throttle_that_was_never_closed_is_never_idle() {
        let lever: Vec<f64> = (0..400)
            .map(|i| 0.45 + 0.55 * f64::from(i % 100) / 99.0)
            .collect();
        let share: Vec<f64> = lever.iter().map(|lever| lever.powi(2)).collect();
        let states = states(&lever, &share);
        assert!(states.iter().all(|state| *state != PowerState::Idle));
        assert!(states.contains(&PowerState::Full));
    }

    /// Law: a recorder whose scale does not begin at zero has its stop where the engine idles.
    #[test]
    fn prop_a_lever_that_stops_above_zero_is_idle_there() {
        let lever: Vec<f64> = (0..400)
            .map(|i| 0.2 + 0.8 * f64::from(i % 100) / 99.0)
            .collect();
        let share: Vec<f64> = lever.iter().map(|lever| (lever - 0.2) / 0.8).collect();
        let states = states(&lever, &share);
        assert_eq!(states[0], PowerState::Idle);
        assert_eq!(states[99], PowerState::Full);
    }

    /// Law: between a stop and the other one the engine is at part power.
    #[test]
    fn prop_between_the_stops_power_is_partial() {
        let lever: Vec<f64> = (0..400).map(|i| f64::from(i % 100) / 99.0).collect();
        let states = states(&lever, &lever);
        assert_eq!(states[0], PowerState::Idle);
        assert_eq!(states[50], PowerState::Partial);
        assert_eq!(states[99], PowerState::Full);
    }
}
