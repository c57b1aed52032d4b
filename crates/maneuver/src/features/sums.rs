//! Prefix sums: the mean of any feature over any span in constant time, and a few order statistics.

use super::smooth::percentile_of;
use super::{Features, STEP_S};

/// Running sums of one series, NaN left out.
#[derive(Clone, Debug, Default)]
struct Running {
    sum: Vec<f64>,
    count: Vec<u32>,
}

impl Running {
    fn of(values: impl Iterator<Item = f64>) -> Running {
        let (mut sum, mut count) = (vec![0.0], vec![0]);
        let (mut s, mut n) = (0.0, 0);
        for value in values {
            if value.is_finite() {
                s += value;
                n += 1;
            }
            sum.push(s);
            count.push(n);
        }
        Running { sum, count }
    }

    fn mean(&self, from: usize, to: usize) -> f64 {
        let (Some(a), Some(b)) = (self.sum.get(from), self.sum.get(to + 1)) else {
            return f64::NAN;
        };
        let n = self.count[to + 1] - self.count[from];
        if n == 0 {
            f64::NAN
        } else {
            (b - a) / f64::from(n)
        }
    }
}

/// The running sums that the kinds ask for.
#[derive(Clone, Debug, Default)]
pub struct Sums {
    ias: Running,
    climb: Running,
    bank: Running,
    abs_bank: Running,
    energy: Running,
    power: Running,
    unknown: Running,
    abs_turn: Running,
}

impl Sums {
    pub fn of(features: &Features) -> Sums {
        let turned = features
            .heading
            .iter()
            .enumerate()
            .map(|(i, h)| (h - features.heading[i.saturating_sub(1)]).abs());
        Sums {
            ias: Running::of(features.ias.iter().copied()),
            climb: Running::of(features.climb.iter().copied()),
            bank: Running::of(features.bank.iter().copied()),
            abs_bank: Running::of(features.bank.iter().map(|b| b.abs())),
            energy: Running::of(features.energy_rate.iter().copied()),
            power: Running::of(features.power.iter().copied()),
            unknown: Running::of(features.known.iter().map(|k| f64::from(u8::from(!k)))),
            abs_turn: Running::of(turned),
        }
    }
}

/// A span of the flight that can be asked questions. Both ends included.
#[derive(Clone, Copy, Debug)]
pub struct Window<'a> {
    features: &'a Features,
    /// First sample.
    pub from: usize,
    /// Last sample.
    pub to: usize,
}

impl<'a> Window<'a> {
    pub(super) fn new(features: &'a Features, from: usize, to: usize) -> Window<'a> {
        Window { features, from, to }
    }

    /// Length, s.
    #[must_use]
    pub fn seconds(&self) -> f64 {
        (self.to - self.from) as f64 * STEP_S
    }
    /// Share of the span in holes of the recording.
    #[must_use]
    pub fn unknown(&self) -> f64 {
        self.features.sums().unknown.mean(self.from, self.to)
    }
    /// Mean airspeed, m/s.
    #[must_use]
    pub fn mean_ias(&self) -> f64 {
        self.features.sums().ias.mean(self.from, self.to)
    }
    /// Mean climb rate, m/s.
    #[must_use]
    pub fn mean_climb(&self) -> f64 {
        self.features.sums().climb.mean(self.from, self.to)
    }
    /// Mean bank with its sign, rad.
    #[must_use]
    pub fn mean_bank(&self) -> f64 {
        self.features.sums().bank.mean(self.from, self.to)
    }
    /// Mean of the bank without its sign, rad.
    #[must_use]
    pub fn mean_abs_bank(&self) -> f64 {
        self.features.sums().abs_bank.mean(self.from, self.to)
    }
    /// Mean rate of change of specific energy, m/s.
    #[must_use]
    pub fn mean_energy_rate(&self) -> f64 {
        self.features.sums().energy.mean(self.from, self.to)
    }
    /// Mean power, 0 to 1; NaN where unknown.
    #[must_use]
    pub fn mean_power(&self) -> f64 {
        self.features.sums().power.mean(self.from, self.to)
    }
    /// All turning added up without its sign, rad.
    #[must_use]
    pub fn total_turn(&self) -> f64 {
        let mean = self.features.sums().abs_turn.mean(self.from, self.to);
        mean * (self.to - self.from + 1) as f64
    }
    /// Heading at the end minus heading at the start, rad.
    #[must_use]
    pub fn net_turn(&self) -> f64 {
        self.ends(&self.features.heading)
    }
    /// Altitude at the end minus altitude at the start, m.
    #[must_use]
    pub fn net_height(&self) -> f64 {
        self.ends(&self.features.altitude)
    }
    /// Greatest altitude minus least, m.
    #[must_use]
    pub fn height_range(&self) -> f64 {
        self.max(&self.features.altitude) - self.min(&self.features.altitude)
    }
    /// Last value minus first of any series.
    #[must_use]
    pub fn ends(&self, series: &[f64]) -> f64 {
        self.slice(series).last().copied().unwrap_or(f64::NAN)
            - self.slice(series).first().copied().unwrap_or(f64::NAN)
    }
    /// The samples of a series in the span.
    #[must_use]
    pub fn slice<'b>(&self, series: &'b [f64]) -> &'b [f64] {
        series
            .get(self.from..(self.to + 1).min(series.len()))
            .unwrap_or(&[])
    }
    /// Mean of any series by adding up, NaN left out.
    #[must_use]
    pub fn mean(&self, series: &[f64]) -> f64 {
        let (mut sum, mut count) = (0.0, 0.0);
        for value in self.slice(series).iter().filter(|v| v.is_finite()) {
            sum += value;
            count += 1.0;
        }
        if count > 0.0 { sum / count } else { f64::NAN }
    }
    /// Least value, NaN when there is none.
    #[must_use]
    pub fn min(&self, series: &[f64]) -> f64 {
        self.slice(series)
            .iter()
            .copied()
            .filter(|v| v.is_finite())
            .fold(f64::NAN, f64::min)
    }
    /// Greatest value, NaN when there is none.
    #[must_use]
    pub fn max(&self, series: &[f64]) -> f64 {
        self.slice(series)
            .iter()
            .copied()
            .filter(|v| v.is_finite())
            .fold(f64::NAN, f64::max)
    }
    /// A percentile (0 to 1) of what `of` makes of each sample.
    #[must_use]
    pub fn percentile(&self, series: &[f64], share: f64, of: impl Fn(f64) -> f64) -> f64 {
        let mut values: Vec<f64> = self
            .slice(series)
            .iter()
            .map(|v| of(*v))
            .filter(|v| v.is_finite())
            .collect();
        percentile_of(&mut values, share)
    }
    /// Share of the known samples for which `test` holds, NaN when none is known.
    #[must_use]
    pub fn share(&self, series: &[f64], test: impl Fn(f64) -> bool) -> f64 {
        let (mut yes, mut all) = (0.0, 0.0);
        for value in self.slice(series).iter().filter(|v| v.is_finite()) {
            all += 1.0;
            if test(*value) {
                yes += 1.0;
            }
        }
        if all > 0.0 { yes / all } else { f64::NAN }
    }
    /// Time of the sample where a series is least, s.
    #[must_use]
    pub fn time_of_min(&self, series: &[f64]) -> f64 {
        self.time_of(series, |a, b| a < b)
    }
    /// Time of the sample where a series is greatest, s.
    #[must_use]
    pub fn time_of_max(&self, series: &[f64]) -> f64 {
        self.time_of(series, |a, b| a > b)
    }
    fn time_of(&self, series: &[f64], better: impl Fn(f64, f64) -> bool) -> f64 {
        let mut best: Option<(usize, f64)> = None;
        for (offset, value) in self
            .slice(series)
            .iter()
            .enumerate()
            .filter(|(_, v)| v.is_finite())
        {
            if best.is_none_or(|(_, b)| better(*value, b)) {
                best = Some((offset, *value));
            }
        }
        best.map_or(f64::NAN, |(offset, _)| {
            self.features.time_s(self.from + offset)
        })
    }
}
