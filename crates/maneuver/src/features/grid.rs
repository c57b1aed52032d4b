//! From the flight's own time base to the decoder's.

use super::STEP_S;
use flight::{Flight, Series};

/// Holes up to this long are bridged by a straight line, s: no maneuver can hide in them, and losing a
/// stall for a dropped row would be worse.
const BRIDGE_S: f64 = 6.0;

/// The even grid and how it lies on the flight's clock.
#[derive(Clone, Copy, Debug)]
pub struct Grid {
    /// Number of samples.
    pub len: usize,
    step_s: f64,
    source_len: usize,
}

impl Grid {
    /// Grid of a flight; empty when its clock makes no sense.
    pub fn of(flight: &Flight) -> Grid {
        let step_s = flight.clock.step_s;
        let source_len = flight.clock.len;
        let usable = step_s.is_finite() && step_s > 0.0 && source_len > 0;
        // Three days at two samples a second: more is a broken clock and not a flight.
        let limit = 72.0 * 3600.0 / STEP_S;
        let len = if usable {
            ((source_len.saturating_sub(1) as f64 * step_s / STEP_S).floor() + 1.0).min(limit)
                as usize
        } else {
            0
        };
        Grid {
            len,
            step_s,
            source_len,
        }
    }

    /// One series on the grid: bin means where the source is faster, straight lines where it is slower.
    pub fn series(&self, series: Option<&Series>) -> Vec<f64> {
        match series {
            Some(series) => {
                self.resample(|index| series.values.get(index).copied().unwrap_or(f64::NAN))
            }
            None => vec![f64::NAN; self.len],
        }
    }

    /// The same for plain floats on the flight's clock; an empty slice is an absent channel.
    pub fn floats(&self, values: &[f32]) -> Vec<f64> {
        self.resample(|index| {
            values
                .get(index)
                .map_or(f64::NAN, |value| f64::from(*value))
        })
    }

    /// Flags on the grid, nearest sample.
    pub fn flags(&self, values: &[bool]) -> Vec<bool> {
        (0..self.len)
            .map(|i| {
                let at = (i as f64 * STEP_S / self.step_s).round() as usize;
                values.get(at).copied().unwrap_or(false)
            })
            .collect()
    }

    /// Where the flight is known, holes shorter than `BRIDGE_S` bridged.
    pub fn known(&self, flight: &Flight) -> Vec<bool> {
        let mut known = if flight.known.is_empty() {
            vec![true; self.len]
        } else {
            self.flags(&flight.known)
        };
        let longest = (BRIDGE_S / STEP_S) as usize;
        let mut hole: Option<usize> = None;
        for index in 0..known.len() {
            if known[index] {
                if let Some(from) = hole.take()
                    && index - from <= longest
                {
                    known[from..index].fill(true);
                }
            } else if hole.is_none() {
                hole = Some(index);
            }
        }
        known
    }

    fn resample(&self, value: impl Fn(usize) -> f64) -> Vec<f64> {
        let mut out = Vec::with_capacity(self.len);
        let ratio = STEP_S / self.step_s.max(1e-6);
        for index in 0..self.len {
            let center = index as f64 * ratio;
            let y = if ratio > 1.5 {
                let from = (center - ratio * 0.5).ceil().max(0.0) as usize;
                let to = ((center + ratio * 0.5).floor() as usize)
                    .min(self.source_len.saturating_sub(1));
                mean((from..=to).map(&value))
            } else {
                let below = center.floor() as usize;
                let share = center - below as f64;
                let (a, b) = (value(below), value(below + 1));
                if share < 1e-9 || b.is_nan() {
                    a
                } else if a.is_nan() {
                    b
                } else {
                    a + share * (b - a)
                }
            };
            out.push(y);
        }
        bridge(&mut out, (BRIDGE_S / STEP_S) as usize);
        out
    }
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut count) = (0.0, 0.0);
    for value in values.filter(|v| v.is_finite()) {
        sum += value;
        count += 1.0;
    }
    if count > 0.0 { sum / count } else { f64::NAN }
}

/// Draws straight lines over holes of at most `longest` samples.
fn bridge(values: &mut [f64], longest: usize) {
    let mut last: Option<usize> = None;
    for index in 0..values.len() {
        if !values[index].is_finite() {
            values[index] = f64::NAN;
            continue;
        }
        if let Some(from) = last
            && index - from > 1
            && index - from <= longest + 1
        {
            let (a, b) = (values[from], values[index]);
            let length = (index - from) as f64;
            for (step, hole) in values[from + 1..index].iter_mut().enumerate() {
                *hole = a + (step + 1) as f64 / length * (b - a);
            }
        }
        last = Some(index);
    }
}
