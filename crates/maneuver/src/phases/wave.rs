//! One quantity over a stretch of time, and the questions that phases ask of it.
//!
//! Every question skips unknown samples (NaN); a question without an answer gives `None` or NaN, never
//! a guess.

use flight::{Flight, Series};

/// Evenly spaced values: sample `i` is at `start_s + i * step_s`.
#[derive(Clone, Debug, Default)]
pub struct Wave {
    start_s: f64,
    step_s: f64,
    values: Vec<f64>,
}

impl Wave {
    /// Takes the samples of `series` from `from_s` to `to_s` (both clamped to the flight).
    pub fn cut(flight: &Flight, series: &Series, from_s: f64, to_s: f64) -> Wave {
        let first = flight.clock.index(from_s);
        let last = flight.clock.index(to_s).max(first);
        let values = (first..=last).map(|index| series.at(index)).collect();
        Wave {
            start_s: flight.clock.time_s(first),
            step_s: flight.clock.step_s,
            values,
        }
    }

    /// The same for a quantity that may be absent; an absent one is an empty wave.
    pub fn cut_option(flight: &Flight, series: Option<&Series>, from_s: f64, to_s: f64) -> Wave {
        series.map_or_else(Wave::default, |series| {
            Wave::cut(flight, series, from_s, to_s)
        })
    }

    /// Whether there is a known value at all.
    pub fn is_known(&self) -> bool {
        self.values.iter().any(|value| value.is_finite())
    }

    /// Seconds between samples.
    pub fn step_s(&self) -> f64 {
        self.step_s
    }

    /// Time of a sample.
    fn time_s(&self, index: usize) -> f64 {
        self.start_s + index as f64 * self.step_s
    }

    /// Samples in a closed interval of time, with their times.
    pub fn between(
        &self,
        from_s: f64,
        to_s: f64,
    ) -> impl DoubleEndedIterator<Item = (f64, f64)> + '_ {
        let count = self.values.len();
        let place = |time_s: f64| {
            if self.step_s > 0.0 {
                ((time_s - self.start_s) / self.step_s).max(0.0)
            } else {
                0.0
            }
        };
        let first = (place(from_s) - 1e-9).ceil().max(0.0) as usize;
        let end = if to_s < self.start_s {
            0
        } else {
            (place(to_s) + 1e-9).floor() as usize + 1
        };
        let end = end.min(count);
        (first.min(end)..end).filter_map(|index| {
            let value = self.values.get(index).copied().unwrap_or(f64::NAN);
            value.is_finite().then_some((self.time_s(index), value))
        })
    }

    /// The known samples in a closed interval of time, with their times.
    pub fn samples(&self, from_s: f64, to_s: f64) -> Vec<(f64, f64)> {
        self.between(from_s, to_s).collect()
    }

    /// Value at a time, straight line between samples; NaN where a neighbor is unknown.
    pub fn at(&self, time_s: f64) -> f64 {
        if self.values.is_empty() || self.step_s <= 0.0 || !time_s.is_finite() {
            return f64::NAN;
        }
        let last = self.values.len() - 1;
        let place = ((time_s - self.start_s) / self.step_s).clamp(0.0, last as f64);
        let left = place.floor() as usize;
        let share = place - left as f64;
        let get = |index: usize| {
            self.values
                .get(index.min(last))
                .copied()
                .unwrap_or(f64::NAN)
        };
        if share < 1e-9 {
            get(left)
        } else {
            get(left) + share * (get(left + 1) - get(left))
        }
    }

    /// A wave made from this one value by value.
    pub fn map(&self, change: impl Fn(f64) -> f64) -> Wave {
        Wave {
            values: self.values.iter().map(|value| change(*value)).collect(),
            ..*self
        }
    }

    /// This wave less another cut alike; as it is where the other is not known at all.
    pub fn minus(&self, other: &Wave) -> Wave {
        if !other.is_known() {
            return self.clone();
        }
        let pairs = self.values.iter().zip(&other.values);
        Wave {
            values: pairs.map(|(a, b)| a - b).collect(),
            ..*self
        }
    }

    /// What two waves cut alike make together, sample by sample; empty where one of them is.
    pub fn with(&self, other: &Wave, make: impl Fn(f64, f64) -> f64) -> Wave {
        let pairs = self.values.iter().zip(&other.values);
        Wave {
            values: pairs.map(|(a, b)| make(*a, *b)).collect(),
            ..*self
        }
    }

    /// The greater of two waves cut alike, sample by sample.
    pub fn worse(&self, other: &Wave) -> Wave {
        let pairs = self.values.iter().zip(&other.values);
        Wave {
            values: pairs.map(|(a, b)| a.max(*b)).collect(),
            ..*self
        }
    }

    /// Greatest value and its time.
    pub fn highest(&self, from_s: f64, to_s: f64) -> Option<(f64, f64)> {
        self.between(from_s, to_s)
            .max_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// Smallest value and its time.
    pub fn lowest(&self, from_s: f64, to_s: f64) -> Option<(f64, f64)> {
        self.between(from_s, to_s)
            .min_by(|a, b| a.1.total_cmp(&b.1))
    }

    /// The deepest fall below the highest value so far; NaN when nothing is known.
    pub fn greatest_fall(&self, from_s: f64, to_s: f64) -> f64 {
        let mut top = f64::NEG_INFINITY;
        let mut deepest = f64::NAN;
        for (_, value) in self.between(from_s, to_s) {
            top = top.max(value);
            deepest = f64::max(deepest, top - value);
        }
        deepest
    }

    /// Mean, NaN when nothing is known.
    pub fn mean(&self, from_s: f64, to_s: f64) -> f64 {
        let (count, sum) = self
            .between(from_s, to_s)
            .fold((0.0, 0.0), |(n, sum), (_, value)| (n + 1.0, sum + value));
        if count > 0.0 { sum / count } else { f64::NAN }
    }

    /// Share of the interval, by quantile: 0 the smallest, 0.5 the median, 1 the greatest.
    pub fn quantile(&self, from_s: f64, to_s: f64, share: f64) -> f64 {
        let mut sorted: Vec<f64> = self.between(from_s, to_s).map(|(_, value)| value).collect();
        sorted.sort_by(f64::total_cmp);
        let last = sorted.len().saturating_sub(1);
        sorted
            .get((share * last as f64).round() as usize)
            .copied()
            .unwrap_or(f64::NAN)
    }

    /// Median.
    pub fn median(&self, from_s: f64, to_s: f64) -> f64 {
        self.quantile(from_s, to_s, 0.5)
    }

    /// First time in the interval at which the value passes `level`: from below when `upward`, else
    /// from above. A value already beyond at `from_s` counts as passing there.
    pub fn first_beyond(&self, from_s: f64, to_s: f64, level: f64, upward: bool) -> Option<f64> {
        let over = |value: f64| if upward { value - level } else { level - value };
        let mut before: Option<(f64, f64)> = None;
        for (time, value) in self.between(from_s, to_s) {
            let now = over(value);
            if now >= 0.0 {
                return Some(match before {
                    Some((t0, v0)) => t0 + (time - t0) * (-v0 / (now - v0)).clamp(0.0, 1.0),
                    None => time,
                });
            }
            before = Some((time, now));
        }
        None
    }

    /// Last time in the interval at which the value is beyond `level` (above when `upward`).
    pub fn last_beyond(&self, from_s: f64, to_s: f64, level: f64, upward: bool) -> Option<f64> {
        let over = |value: f64| if upward { value - level } else { level - value };
        let mut after: Option<(f64, f64)> = None;
        for (time, value) in self.between(from_s, to_s).rev() {
            let now = over(value);
            if now >= 0.0 {
                return Some(match after {
                    Some((t1, v1)) => t1 + (time - t1) * (-v1 / (now - v1)).clamp(0.0, 1.0),
                    None => time,
                });
            }
            after = Some((time, now));
        }
        None
    }

    /// The first stretch that stays beyond `level` for `hold_s`; its start.
    pub fn first_held(
        &self,
        from_s: f64,
        to_s: f64,
        level: f64,
        upward: bool,
        hold_s: f64,
    ) -> Option<f64> {
        let mut from = from_s;
        while let Some(start) = self.first_beyond(from, to_s, level, upward) {
            let inside = self.first_beyond(start + 1e-6, to_s, level, !upward);
            match inside {
                Some(back) if back - start < hold_s => from = back + 1e-6,
                _ => return Some(start),
            }
        }
        None
    }

    /// Seconds spent beyond `level`.
    pub fn seconds_beyond(&self, from_s: f64, to_s: f64, level: f64, upward: bool) -> f64 {
        self.between(from_s, to_s)
            .filter(|(_, value)| {
                if upward {
                    *value >= level
                } else {
                    *value <= level
                }
            })
            .count() as f64
            * self.step_s
    }

    /// Excursions that were kept up for `hold_s`: the lowest level that the value stayed at or below for
    /// so long, and the highest that it stayed at or above. In a stretch shorter than `hold_s`, the
    /// stretch itself counts.
    pub fn held(&self, from_s: f64, to_s: f64, hold_s: f64) -> Option<(f64, f64)> {
        let samples: Vec<f64> = self.between(from_s, to_s).map(|(_, value)| value).collect();
        if samples.is_empty() || self.step_s <= 0.0 {
            return None;
        }
        let width = ((hold_s / self.step_s).round() as usize + 1).clamp(1, samples.len());
        let low = samples
            .windows(width)
            .map(|w| w.iter().copied().fold(f64::MIN, f64::max));
        let high = samples
            .windows(width)
            .map(|w| w.iter().copied().fold(f64::MAX, f64::min));
        Some((low.fold(f64::MAX, f64::min), high.fold(f64::MIN, f64::max)))
    }

    /// Moving mean of `width_s`, centered.
    pub fn smooth(&self, width_s: f64) -> Wave {
        if self.step_s <= 0.0 {
            return self.clone();
        }
        let half = (width_s / self.step_s / 2.0).round() as usize;
        let count = self.values.len();
        let values = (0..count)
            .map(|index| {
                let near = self
                    .values
                    .get(index.saturating_sub(half)..(index + half + 1).min(count));
                let known = near
                    .unwrap_or_default()
                    .iter()
                    .filter(|value| value.is_finite());
                let (n, sum) = known.fold((0.0, 0.0), |(n, sum), value| (n + 1.0, sum + value));
                if n > 0.0 { sum / n } else { f64::NAN }
            })
            .collect();
        Wave { values, ..*self }
    }

    /// Rate of change by the straight line through the samples within `width_s` (least squares).
    pub fn rate(&self, width_s: f64) -> Wave {
        if self.step_s <= 0.0 {
            return self.clone();
        }
        let half = ((width_s / self.step_s / 2.0).round() as usize).max(1);
        let count = self.values.len();
        let values = (0..count)
            .map(|index| {
                let first = index.saturating_sub(half);
                let near = self
                    .values
                    .get(first..(index + half + 1).min(count))
                    .unwrap_or_default();
                slope(near) / self.step_s
            })
            .collect();
        Wave { values, ..*self }
    }

    /// Removes the jumps of one turn from an angle.
    pub fn unwrapped(&self) -> Wave {
        let turn = std::f64::consts::TAU;
        let mut last = f64::NAN;
        let values = self.values.iter().map(|value| {
            if !value.is_finite() {
                return f64::NAN;
            }
            let near = if last.is_finite() {
                value - turn * ((value - last) / turn).round()
            } else {
                *value
            };
            last = near;
            near
        });
        Wave {
            values: values.collect(),
            ..*self
        }
    }
}

/// Slope of the least-squares line through values one step apart; NaN with fewer than two known.
fn slope(values: &[f64]) -> f64 {
    let known = || {
        values
            .iter()
            .enumerate()
            .filter(|(_, value)| value.is_finite())
    };
    let count = known().count() as f64;
    if count < 2.0 {
        return f64::NAN;
    }
    let mean_x = known().map(|(x, _)| x as f64).sum::<f64>() / count;
    let mean_y = known().map(|(_, y)| y).sum::<f64>() / count;
    let (top, bottom) = known().fold((0.0, 0.0), |(top, bottom), (x, y)| {
        let dx = x as f64 - mean_x;
        (top + dx * (y - mean_y), bottom + dx * dx)
    });
    if bottom > 0.0 { top / bottom } else { f64::NAN }
}

#[cfg(test)]
mod tests {
    use super::Wave;

    fn wave(values: &[f64]) -> Wave {
        Wave {
            start_s: 10.0,
            step_s: 0.5,
            values: values.to_vec(),
        }
    }

    #[test]
    fn prop_a_crossing_lies_between_its_samples() {
        let w = wave(&[0.0, 1.0, 3.0, 1.0, 0.0]);
        assert_eq!(w.first_beyond(10.0, 12.0, 2.0, true), Some(10.75));
        assert_eq!(w.last_beyond(10.0, 12.0, 2.0, true), Some(11.25));
        assert_eq!(w.first_beyond(10.0, 12.0, 9.0, true), None);
    }

    #[test]
    fn prop_a_spike_shorter_than_the_hold_does_not_count() {
        let w = wave(&[0.0, 0.0, 9.0, 0.0, 4.0, 4.0, 4.0, 4.0, 0.0]);
        // 1 s is three samples: the lowest window maximum and the highest window minimum.
        assert_eq!(w.held(10.0, 14.0, 1.0), Some((4.0, 4.0)));
        assert_eq!(
            w.first_held(10.0, 14.0, 3.0, true, 1.0)
                .map(|t| (t * 1e3).round()),
            Some(11875.0)
        );
    }

    #[test]
    fn prop_unknown_samples_are_skipped() {
        let w = wave(&[1.0, f64::NAN, 3.0]);
        assert_eq!(w.mean(10.0, 11.0), 2.0);
        assert!(w.at(10.25).is_nan());
        assert!(wave(&[]).at(1.0).is_nan());
        assert_eq!(w.highest(0.0, 5.0), None);
    }

    #[test]
    fn prop_the_rate_of_a_line_is_its_slope() {
        let w = wave(&[0.0, 1.0, 2.0, 3.0, 4.0]).rate(1.0);
        assert!((w.at(11.0) - 2.0).abs() < 1e-12);
    }
}
