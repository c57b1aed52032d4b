//! Beyond a limit, for how long, and how surely.
//!
//! The greatest of many noisy samples is beyond a limit more often than the flight was. So an excursion counts when
//! it was kept up, and its size is the greatest that was kept up, not the peak.

use std::ops::Range;

/// One sample against its limit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Reading {
    /// Measured, SI.
    pub value: f64,
    /// 1-σ of `value − limit`, SI.
    pub sigma: f64,
    /// Limit, SI.
    pub limit: f64,
    /// `value − limit` where more is worse, the other way round where less is.
    pub beyond: f64,
}

impl Reading {
    /// More than the limit is beyond it.
    pub fn above(value: f64, sigma: f64, limit: f64) -> Reading {
        Reading {
            value,
            sigma,
            limit,
            beyond: value - limit,
        }
    }

    /// Less than the limit is beyond it.
    pub fn below(value: f64, sigma: f64, limit: f64) -> Reading {
        Reading {
            beyond: limit - value,
            ..Reading::above(value, sigma, limit)
        }
    }

    /// Standard deviations beyond the limit; NaN when not known.
    fn deviations(&self) -> f64 {
        self.beyond / self.sigma.max(1e-9)
    }
}

/// A stretch beyond a limit, as samples.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Excursion {
    pub first: usize,
    pub last: usize,
    pub worst: usize,
    pub reading: Reading,
    pub sure: bool,
}

/// From so many standard deviations an excursion is told as probable, and from so many as sure: one-sided 84 and
/// 98 %.
const PROBABLE: f64 = 1.0;
const SURE: f64 = 2.0;
/// Two excursions less than this apart are one: the same pull, the same dive, s.
const TOGETHER_S: f64 = 10.0;

/// Excursions of `reading` over a range of samples `step_s` apart, kept up for `hold_s`. A sample without a reading
/// ends one.
pub(super) fn excursions(
    range: Range<usize>,
    step_s: f64,
    hold_s: f64,
    reading: impl Fn(usize) -> Option<Reading>,
) -> Vec<Excursion> {
    let need = samples(hold_s, step_s);
    let mut found: Vec<Excursion> = Vec::new();
    let mut run: Vec<Reading> = Vec::new();
    let end = range.end;
    for index in range.start..=end {
        let next = (index < end)
            .then(|| reading(index))
            .flatten()
            .filter(|reading| reading.deviations() >= PROBABLE);
        if let Some(reading) = next {
            run.push(reading);
            continue;
        }
        if let Some(excursion) = excursion(&run, index.saturating_sub(run.len()), need) {
            join(&mut found, excursion, samples(TOGETHER_S, step_s));
        }
        run.clear();
    }
    found
}

/// Samples that span a time: one more than its steps.
fn samples(time_s: f64, step_s: f64) -> usize {
    if step_s > 0.0 && time_s.is_finite() {
        (time_s / step_s - 1e-6).ceil().max(0.0) as usize + 1
    } else {
        1
    }
}

fn excursion(run: &[Reading], first: usize, need: usize) -> Option<Excursion> {
    // In each stretch of the time that counts, the least; of these the greatest.
    let kept = |measure: fn(&Reading) -> f64| {
        run.windows(need)
            .enumerate()
            .filter_map(|(start, window)| {
                let least = window
                    .iter()
                    .enumerate()
                    .min_by(|a, b| measure(a.1).total_cmp(&measure(b.1)))?;
                Some((start + least.0, *least.1))
            })
            .max_by(|a, b| measure(&a.1).total_cmp(&measure(&b.1)))
    };
    let (worst, reading) = kept(|reading| reading.beyond)?;
    let surest = kept(Reading::deviations)?.1;
    Some(Excursion {
        first,
        last: first + run.len() - 1,
        worst: first + worst,
        reading,
        sure: surest.deviations() >= SURE,
    })
}

/// Adds one, or lets it continue the one before.
fn join(found: &mut Vec<Excursion>, next: Excursion, together: usize) {
    match found.last_mut() {
        Some(last) if next.first <= last.last + together => {
            let end = next.last;
            let sure = last.sure || next.sure;
            let first = last.first;
            if next.reading.beyond > last.reading.beyond {
                *last = next;
            }
            (last.first, last.last, last.sure) = (first, end, sure);
        }
        _ => found.push(next),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(values: &[f64]) -> Vec<Excursion> {
        excursions(0..values.len(), 1.0, 1.0, |index| {
            Some(Reading::above(values[index], 1.0, 10.0))
        })
    }

    #[test]
    fn prop_a_spike_is_no_excursion() {
        assert_eq!(of(&[9.0, 30.0, 9.0, 9.0]), []);
        assert_eq!(of(&[9.0, f64::NAN, 30.0, f64::NAN]), []);
    }

    #[test]
    fn prop_what_was_kept_up_counts_and_not_the_peak() {
        let all = of(&[9.0, 12.5, 20.0, 12.5, 9.0]);
        assert_eq!(all.len(), 1);
        assert_eq!(all[0].reading.value, 12.5);
        assert!(all[0].sure);
        assert_eq!((all[0].first, all[0].last), (1, 3));
    }

    #[test]
    fn prop_within_the_noise_is_nothing_and_between_is_probable() {
        assert_eq!(of(&[10.9, 10.9, 10.9]), []);
        assert!(!of(&[11.5, 11.5, 11.5])[0].sure);
        assert!(of(&[12.1, 12.1, 12.1])[0].sure);
    }

    #[test]
    fn prop_one_pull_is_one_excursion() {
        let mut values = vec![13.0; 4];
        values.extend([9.0; 3]);
        values.extend([14.0; 4]);
        values.extend([9.0; 14]);
        values.extend([13.0; 2]);
        let all = of(&values);
        assert_eq!(all.len(), 2);
        assert_eq!(all[0].reading.value, 14.0);
        assert_eq!((all[0].first, all[0].last), (0, 10));
    }

    #[test]
    fn prop_an_empty_range_is_nothing() {
        assert_eq!(of(&[]), []);
    }
}
