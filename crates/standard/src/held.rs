//! The worst deviation that was *kept up*: the standard fails consistent exceedance, not a spike.

/// The most that a series kept up for a time, on either side, and when.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// Lowest value kept up.
    pub low: f64,
    /// Highest value kept up.
    pub high: f64,
    /// Sample at which `low` was kept up (middle of the time).
    pub low_at: usize,
    /// Sample at which `high` was kept up.
    pub high_at: usize,
}

/// Extremes of a series kept up for `length` samples: the highest value that every one of some `length`
/// neighbors reached, and the lowest likewise. Unknown samples (NaN) break a stretch. When no stretch is
/// that long, the longest known one counts as a whole. `None` when nothing is known.
#[must_use]
pub fn held(values: &[f64], length: usize) -> Option<Held> {
    let longest = longest_known(values)?;
    let length = length.clamp(1, longest);
    let mut result: Option<Held> = None;
    for start in 0..=values.len() - length {
        let stretch = &values[start..start + length];
        if stretch.iter().any(|value| value.is_nan()) {
            continue;
        }
        let floor = stretch.iter().copied().fold(f64::INFINITY, f64::min);
        let ceiling = stretch.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let middle = start + length / 2;
        let best = result.get_or_insert(Held {
            low: ceiling,
            high: floor,
            low_at: middle,
            high_at: middle,
        });
        if floor > best.high {
            (best.high, best.high_at) = (floor, middle);
        }
        if ceiling < best.low {
            (best.low, best.low_at) = (ceiling, middle);
        }
    }
    result
}

fn longest_known(values: &[f64]) -> Option<usize> {
    values
        .split(|value| value.is_nan())
        .map(<[f64]>::len)
        .max()
        .filter(|longest| *longest > 0)
}

/// Excursions outside the limits.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Excursions {
    /// How many.
    pub count: usize,
    /// Of them, as long as asked or longer.
    pub lasting: usize,
    /// Samples outside altogether.
    pub samples: usize,
    /// Samples of the longest.
    pub longest: usize,
}

/// Counts the excursions of a series outside `low..high`; those of `lasting` samples or more apart.
#[must_use]
pub fn excursions(
    values: &[f64],
    low: Option<f64>,
    high: Option<f64>,
    lasting: usize,
) -> Excursions {
    let outside =
        |value: &f64| low.is_some_and(|low| *value < low) || high.is_some_and(|high| *value > high);
    let mut counts = Excursions::default();
    for run in values
        .split(|value| !outside(value))
        .map(<[f64]>::len)
        .filter(|run| *run > 0)
    {
        counts.count += 1;
        counts.lasting += usize::from(run >= lasting);
        counts.samples += run;
        counts.longest = counts.longest.max(run);
    }
    counts
}

/// How strong the noise from sample to sample is, as a standard deviation: from second differences,
/// which a steady motion and a steady drift leave out. Robust (median). 0 for fewer than 5 values.
///
/// White noise of deviation σ gives second differences of deviation √6 σ; the median of the absolute
/// value of a normal variable is 0.6745 of its deviation.
#[must_use]
pub fn roughness(values: &[f64]) -> f64 {
    let mut differences: Vec<f64> = values
        .windows(3)
        .map(|three| (three[0] - 2.0 * three[1] + three[2]).abs())
        .filter(|difference| difference.is_finite())
        .collect();
    if differences.len() < 3 {
        return 0.0;
    }
    let middle = differences.len() / 2;
    let (_, median, _) = differences.select_nth_unstable_by(middle, f64::total_cmp);
    *median / (0.6745 * 6_f64.sqrt())
}
