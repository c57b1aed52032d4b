//! The even time base, and channels brought onto it.

use std::borrow::Cow;

use recording::{Quantity, Recording};

use crate::Clock;
use crate::faults::{self, Fault};

/// Longest stretch without rows that the smoother bridges, s (or five intervals, if that is longer).
const BRIDGED_S: f64 = 10.0;
/// Longest flight, s: a week. A broken clock must not ask for the memory of a century.
const LONGEST_S: f64 = 7.0 * 86_400.0;

/// The time base of a recording.
pub struct Grid<'a> {
    recording: &'a Recording,
    /// The even clock.
    pub clock: Clock,
    /// Rows near enough to say something, per sample.
    pub known: Vec<bool>,
    /// Stretches between long holes, as sample ranges.
    pub stretches: Vec<std::ops::Range<usize>>,
    /// For each sample the last row at or before it, and how far between it and the next the sample
    /// lies (0..1).
    place: Vec<(u32, f32)>,
    /// Whether those rows are near enough to count as a reading.
    usable: Vec<bool>,
    /// Rows and samples are the same, so that a channel is its own column.
    even: bool,
    /// Stretches of channels that are not to be used.
    faults: Vec<Fault>,
}

impl<'a> Grid<'a> {
    /// Lays the time base over a recording.
    pub fn new(recording: &'a Recording) -> Self {
        let time = &recording.time_s;
        let step_s = step(time);
        let end = time.last().copied().unwrap_or(0.0).clamp(0.0, LONGEST_S);
        let len = if time.is_empty() {
            0
        } else {
            (end / step_s + 1e-6) as usize + 1
        };
        let clock = Clock { step_s, len };
        let interval = if recording.interval_s > 0.0 {
            recording.interval_s
        } else {
            step_s
        };
        // Between rows farther apart than this only the sample next to a row gets a value.
        let near = 1.6 * step_s;
        let hole = 2.5 * interval.max(step_s).max(1.2);
        let bridged = BRIDGED_S.max(5.0 * interval);
        let mut place = Vec::with_capacity(len);
        let mut known = Vec::with_capacity(len);
        let mut is_usable = Vec::with_capacity(len);
        let mut stretches: Vec<std::ops::Range<usize>> = Vec::new();
        let mut row = 0_usize;
        for i in 0..len {
            let t = clock.time_s(i);
            while row + 1 < time.len() && time[row + 1] <= t + 1e-9 {
                row += 1;
            }
            let before = time[row];
            let after = time.get(row + 1).copied();
            let gap = after.map_or(0.0, |after| after - before);
            let to = after.map_or(f64::INFINITY, |after| after - t);
            let share = (t - before) / gap;
            let mut usable = true;
            let at = if t - before < 0.2 * step_s || after.is_none() {
                (row as u32, 0.0)
            } else if to < 0.2 * step_s {
                (row as u32, 1.0)
            } else if gap <= near || (t - before).min(to) <= 0.5 * step_s {
                (row as u32, share as f32)
            } else {
                usable = false;
                (row as u32, share as f32)
            };
            place.push(at);
            is_usable.push(usable);
            known.push(gap <= hole || (t - before).min(to) < 0.5 * interval.max(step_s));
            let in_hole = gap > bridged && (t - before).min(to) > 0.2 * step_s;
            if !in_hole {
                match stretches.last_mut() {
                    Some(last) if last.end == i && !(gap > bridged && to < 0.2 * step_s) => {
                        last.end = i + 1
                    }
                    _ => stretches.push(i..i + 1),
                }
            }
        }
        let own = |(i, (row, share)): (usize, &(u32, f32))| {
            (*share <= 0.0 || *share >= 1.0) && *row as usize + usize::from(*share >= 1.0) == i
        };
        let even = time.len() == len
            && place.iter().enumerate().all(own)
            && is_usable.iter().chain(&known).all(|there| *there);
        let mut grid = Self {
            recording,
            clock,
            known,
            stretches,
            place,
            usable: is_usable,
            even,
            faults: Vec::new(),
        };
        grid.faults = faults::screen(&grid);
        grid
    }

    /// A channel on the time base, NaN where there is no value; `None` when the recorder has no such
    /// channel or it never says anything.
    pub fn values(&self, quantity: Quantity) -> Option<Vec<f64>> {
        let values = self.recording.values(quantity)?;
        self.resample(values, quantity, false)
    }

    /// The same for looking at only: borrowed where the channel needs no work.
    pub fn glance(&self, quantity: Quantity) -> Option<Cow<'_, [f64]>> {
        let values = self.recording.values(quantity)?;
        let faultless = !self.faults.iter().any(|fault| fault.quantity == quantity);
        if self.even && faultless && values.len() == self.clock.len {
            let any = values.iter().any(|value| value.is_finite());
            return any.then_some(Cow::Borrowed(values));
        }
        self.resample(values, quantity, false).map(Cow::Owned)
    }

    /// The recorder's usual interval, s.
    pub fn interval_s(&self) -> f64 {
        let interval = self.recording.interval_s;
        if interval.is_finite() {
            interval.clamp(self.clock.step_s, 60.0)
        } else {
            self.clock.step_s
        }
    }

    /// Whether a channel ever says anything.
    pub fn has(&self, quantity: Quantity) -> bool {
        self.recording
            .values(quantity)
            .is_some_and(|values| values.iter().any(|value| value.is_finite()))
    }

    /// A channel for passing on as it is: also between rows that a slow recorder sets far apart, where the
    /// smoother would want no reading.
    pub fn filled(&self, quantity: Quantity) -> Option<Vec<f64>> {
        let values = self.recording.values(quantity)?;
        self.resample(values, quantity, true)
    }

    /// An angle (or longitude) on the time base, made continuous first.
    pub fn angle(&self, quantity: Quantity) -> Option<Vec<f64>> {
        let mut values = self.recording.values(quantity)?.to_vec();
        unwrap(&mut values);
        self.resample(&values, quantity, false)
    }

    /// A switch or step on the time base: the row before, never a value between two.
    pub fn steps(&self, quantity: Quantity) -> Option<Vec<f64>> {
        let values = self.recording.values(quantity)?;
        let out: Vec<f64> = self
            .place
            .iter()
            .zip(&self.known)
            .map(|((row, share), known)| {
                let row = *row as usize + usize::from(*share >= 0.999);
                if *known {
                    values.get(row).copied().unwrap_or(f64::NAN)
                } else {
                    f64::NAN
                }
            })
            .collect();
        out.iter().any(|value| value.is_finite()).then_some(out)
    }

    /// UTC of the first sample, s since 1970.
    pub fn start_unix_s(&self) -> Option<f64> {
        self.recording.start_unix_s
    }

    /// Rounding of a channel as 1-σ, or `floor` if that is more.
    pub fn rounding(&self, quantity: Quantity, floor: f64) -> f64 {
        let step = self
            .recording
            .channel(quantity)
            .map_or(0.0, |channel| channel.resolution);
        // A rounded value is off by up to half a step, evenly: σ = step/√12.
        if step.is_finite() {
            (step / 12_f64.sqrt()).max(floor)
        } else {
            floor
        }
    }

    /// What was found wrong with the channels.
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    fn resample(&self, values: &[f64], quantity: Quantity, fill: bool) -> Option<Vec<f64>> {
        let there = if fill { &self.known } else { &self.usable };
        let mut any = false;
        let finite = |value: f64| if value.is_finite() { value } else { f64::NAN };
        let mut out: Vec<f64> = if self.even && values.len() == self.clock.len {
            let each = values.iter().map(|value| {
                any |= value.is_finite();
                finite(*value)
            });
            each.collect()
        } else {
            self.place
                .iter()
                .zip(there)
                .map(|((row, share), there)| {
                    let row = *row as usize;
                    let value = if !*there {
                        f64::NAN
                    } else if *share <= 0.0 {
                        values.get(row).copied().unwrap_or(f64::NAN)
                    } else if *share >= 1.0 {
                        values.get(row + 1).copied().unwrap_or(f64::NAN)
                    } else {
                        let share = f64::from(*share);
                        match (values.get(row), values.get(row + 1)) {
                            (Some(a), Some(b)) => a + share * (b - a),
                            _ => f64::NAN,
                        }
                    };
                    any |= value.is_finite();
                    finite(value)
                })
                .collect()
        };
        for fault in self
            .faults
            .iter()
            .filter(|fault| fault.quantity == quantity)
        {
            if let Some(span) = out.get_mut(fault.span.clone()) {
                span.fill(f64::NAN);
            }
        }
        any.then_some(out)
    }
}

/// The recorder's usual interval, between 0.1 and 1 s; an irregular recorder gets 1 s.
fn step(time: &[f64]) -> f64 {
    let mut steps: Vec<f64> = time
        .windows(2)
        .map(|pair| pair[1] - pair[0])
        .filter(|step| *step > 0.0)
        .collect();
    if steps.is_empty() {
        return 1.0;
    }
    let middle = steps.len() / 2;
    let (_, median, _) = steps.select_nth_unstable_by(middle, f64::total_cmp);
    let median = *median;
    // Rounding is slow, and almost every step is the usual one.
    let whole = |times: f64| (times - 1.0).abs() < 0.2 || (times - times.round()).abs() < 0.2;
    let regular = steps.iter().filter(|step| whole(*step / median)).count();
    if median > 1.0 || regular * 10 < steps.len() * 8 {
        return 1.0;
    }
    // Recorders keep to tenths and hundredths of a second; a median of 0.1999 is 0.2.
    (median.clamp(0.1, 1.0) * 200.0).round() / 200.0
}

/// Makes an angle continuous, skipping missing values.
pub fn unwrap(values: &mut [f64]) {
    let turn = std::f64::consts::TAU;
    let (mut last, mut turns) = (f64::NAN, 0.0);
    for value in values {
        if value.is_finite() {
            let step = *value - turn * turns - last;
            // Rounding is slow, and almost every step is less than half a turn.
            if step.abs() > 3.0 {
                turns += (step / turn).round();
            }
            *value -= turn * turns;
            last = *value;
        }
    }
}
