//! When the power lever moved, from the best channel that shows it.
//!
//! The lever itself is seldom recorded. Manifold pressure follows it within a few tenths of a second;
//! engine speed and fuel flow follow as the propeller spins up or down, about a second behind
//! (common practice, no source). Each channel carries that delay and what is not known of it.

use super::motion::Motion;
use super::wave::Wave;
use flight::{Origin, Series};

/// A channel that follows the lever, 0 at its lowest in the flight and 1 at its highest.
pub struct Lever {
    /// 0 to 1.
    pub wave: Wave,
    /// Delay of a movement's beginning behind the lever, s.
    delay_s: f64,
    /// What is not known of a moment read from it, s.
    pub sigma_s: f64,
    /// `Measured` for the lever itself.
    pub origin: Origin,
    /// Whether it follows through the propeller's inertia.
    spins: bool,
}

/// Part of the channel's range in this flight that is a movement and not noise.
const MOVE: f64 = 0.12;

impl Lever {
    /// The best channel of this flight, `None` when nothing shows power.
    pub fn best(motion: &Motion) -> Option<Lever> {
        let flight = motion.flight;
        let choices = [
            (
                &flight.throttle,
                &motion.throttle,
                0.0,
                0.25,
                Origin::Measured,
                false,
            ),
            (
                &flight.manifold_pressure,
                &motion.manifold,
                0.35,
                0.4,
                Origin::Derived,
                false,
            ),
            (
                &flight.engine_speed,
                &motion.engine,
                0.7,
                0.5,
                Origin::Derived,
                true,
            ),
            (
                &flight.fuel_flow,
                &motion.fuel,
                0.7,
                0.6,
                Origin::Derived,
                true,
            ),
            (
                &flight.power,
                &motion.power,
                0.8,
                0.8,
                Origin::Derived,
                true,
            ),
        ];
        choices
            .into_iter()
            .find_map(|(series, wave, delay_s, sigma_s, origin, spins)| {
                let (low, high) = range(series.as_ref()?)?;
                // A governed propeller keeps its speed: such a channel says nothing.
                let worth = wave.is_known() && high > low && (high - low) > 0.15 * high.abs();
                worth.then(|| Lever {
                    wave: wave.map(|value| (value - low) / (high - low)),
                    delay_s,
                    sigma_s,
                    origin,
                    spins,
                })
            })
    }

    /// Delay of a movement's beginning behind the lever, s.
    pub fn delay_s(&self) -> f64 {
        self.delay_s
    }

    /// When the largest reduction in the interval began.
    pub fn cut_start(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let rate = self.wave.rate(1.0);
        let (steepest, rate_min) = rate.lowest(from_s, to_s)?;
        let drop = self.wave.at((steepest - 2.0).max(from_s - 2.0)) - self.wave.at(steepest + 2.0);
        if drop.is_nan() || drop < MOVE {
            return None;
        }
        // Engine speed also sags with airspeed: only a good part of the steepest rate is the lever.
        let part = if self.spins { 0.3 } else { 0.15 };
        let quiet = rate.last_beyond(from_s - 3.0, steepest, part * rate_min, true)?;
        Some(quiet - self.delay_s)
    }

    /// When the lever came to idle: the last time before `to_s` that it was clearly above.
    pub fn idle_at(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let floor = self.wave.quantile(from_s, to_s, 0.02);
        let before = self.wave.quantile(from_s, to_s, 0.95);
        if !(floor < 0.25 && before - floor > MOVE) {
            return None;
        }
        if self.spins {
            // A lever closed within a second is home when the engine runs down half as fast as it will.
            let rate = self.wave.rate(1.0);
            let (steepest, rate_min) = rate.lowest(from_s, to_s)?;
            return rate.last_beyond(from_s, steepest, 0.5 * rate_min, true);
        }
        let above = self.wave.last_beyond(from_s, to_s, floor + 0.05, true)?;
        Some(above - 0.5 * self.delay_s)
    }

    /// When the lever reached the top of a push that ends in `from_s..to_s`; `None` when power did not
    /// rise there.
    pub fn full_at(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let (_, top) = self.wave.highest(from_s, to_s)?;
        let (low_at, low) = self.wave.lowest(from_s, to_s.min(from_s + 8.0))?;
        if top - low < MOVE {
            return None;
        }
        if !self.spins {
            let at = self
                .wave
                .first_beyond(low_at, to_s, low + 0.95 * (top - low), true)?;
            return Some(at - self.delay_s);
        }
        // Engine speed has passed a quarter of its rise about 0.3 s after the lever is home.
        let settled = self.wave.quantile(low_at, (low_at + 8.0).min(to_s), 0.9);
        let at = self
            .wave
            .first_beyond(low_at, to_s, low + 0.25 * (settled - low), true)?;
        Some(at - 0.3)
    }

    /// When the lever came to rest before `before_s` (power set for the maneuver).
    pub fn set_at(&self, from_s: f64, before_s: f64) -> Option<f64> {
        if !self.wave.is_known() {
            return None;
        }
        let level = self.wave.median(before_s - 0.5, before_s + 4.0);
        let at = self
            .wave
            .last_beyond(from_s, before_s + 2.0, level - 0.06, false)?;
        Some(
            at - if self.spins {
                2.0 * self.delay_s
            } else {
                self.delay_s
            },
        )
    }

    /// Whether power was already near its top at a time.
    pub fn is_full(&self, at_s: f64, top: f64) -> bool {
        self.wave.at(at_s) > top - MOVE
    }
}

/// So many values of a flight tell the range of a channel: each maneuver asks for it, and the time for
/// that must not grow with the length of the flight.
const ENOUGH: usize = 25_000;

/// Lowest and highest known value of a series, the last hundredth at each end left out.
fn range(series: &Series) -> Option<(f64, f64)> {
    let mut known: Vec<f64> = series
        .values
        .iter()
        .step_by(1 + series.values.len() / ENOUGH)
        .copied()
        .filter(|v| v.is_finite())
        .collect();
    if known.len() < 10 {
        return None;
    }
    let hundredth = known.len() / 100;
    let top = known.len() - 1 - hundredth;
    let (_, low, _) = known.select_nth_unstable_by(hundredth, f64::total_cmp);
    let low = *low;
    let (_, high, _) = known.select_nth_unstable_by(top, f64::total_cmp);
    Some((low, *high))
}
