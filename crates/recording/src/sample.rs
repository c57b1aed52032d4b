//! A thinned copy of the table, about one row a second, to ask the numbers what they mean.

use crate::sequence::Segment;
use crate::table::{Kind, Table};

/// Rows asked at most; a flight of an hour at one a second fits.
const ROWS_MAX: usize = 2000;

/// The sample. Columns are in the file's own units.
pub struct Sample {
    /// s.
    pub time_s: Vec<f64>,
    /// Values by column; empty for columns that are no numbers.
    pub columns: Vec<Vec<f64>>,
    /// What each column is like.
    pub facts: Vec<Option<Facts>>,
    /// Year of the flight; of no flight that tells none, a recent one.
    pub year: i32,
}

/// What a column of numbers is like, from the sample.
#[derive(Clone, Debug)]
pub struct Facts {
    /// 2nd, 50th and 98th percentile.
    pub low: f64,
    pub median: f64,
    pub high: f64,
    /// Extremes of the sample.
    pub least: f64,
    pub most: f64,
    /// Different values, counted up to 40.
    pub distinct: usize,
    /// Smallest step between different neighbors in order of size.
    pub step: f64,
}

impl Sample {
    /// Thins the longest recording of the file.
    pub fn new(table: &Table, parts: &[Segment], absolute: bool) -> Self {
        let Some(part) = parts.iter().max_by_key(|part| part.rows.len()) else {
            return Self {
                time_s: Vec::new(),
                columns: Vec::new(),
                facts: Vec::new(),
                year: RECENT_YEAR,
            };
        };
        let rows = thin(part);
        let time_s = rows.iter().map(|&(_, second)| second).collect();
        let columns: Vec<Vec<f64>> = table
            .columns
            .iter()
            .map(|column| {
                if column.kind != Kind::Number {
                    return Vec::new();
                }
                rows.iter()
                    .map(|&(row, _)| column.values.get(row).copied().unwrap_or(f64::NAN))
                    .collect()
            })
            .collect();
        let facts = columns.iter().map(|values| facts_of(values)).collect();
        let year = part
            .seconds
            .first()
            .filter(|_| absolute)
            .map_or(RECENT_YEAR, |&second| year_of(second));
        Self {
            time_s,
            columns,
            facts,
            year,
        }
    }

    /// Values of a column times a factor plus an offset.
    pub fn scaled(&self, index: usize, factor: f64, offset: f64) -> Vec<f64> {
        self.columns
            .get(index)
            .map(|values| values.iter().map(|value| value * factor + offset).collect())
            .unwrap_or_default()
    }

    /// Rate of change over about `span_s` seconds, centered; NaN at holes and ends.
    pub fn rate(&self, values: &[f64], span_s: f64) -> Vec<f64> {
        self.difference(values, span_s, |a, b| b - a)
    }

    /// Rate of change of an angle in rad, across its wrap.
    pub fn turn_rate(&self, angle_rad: &[f64], span_s: f64) -> Vec<f64> {
        self.difference(angle_rad, span_s, |a, b| air::units::wrap_pi(b - a))
    }

    fn difference(
        &self,
        values: &[f64],
        span_s: f64,
        change: impl Fn(f64, f64) -> f64,
    ) -> Vec<f64> {
        let mut out = vec![f64::NAN; values.len()];
        let half = span_s / 2.0 - 0.05;
        let (mut from, mut to) = (0, 0);
        for (index, slot) in out.iter_mut().enumerate() {
            let Some(&now) = self.time_s.get(index) else {
                break;
            };
            // The nearest rows at least half the span away on either side.
            while self
                .time_s
                .get(from + 1)
                .is_some_and(|&time| time <= now - half)
            {
                from += 1;
            }
            while self.time_s.get(to).is_some_and(|&time| time < now + half) {
                to += 1;
            }
            let (Some(&ta), Some(&tb)) = (self.time_s.get(from), self.time_s.get(to)) else {
                continue;
            };
            let (Some(&va), Some(&vb)) = (values.get(from), values.get(to)) else {
                continue;
            };
            if ta <= now - half && tb - ta <= 4.0 * span_s.max(8.0) {
                *slot = change(va, vb) / (tb - ta);
            }
        }
        out
    }
}

/// Taken for a recording without a date.
const RECENT_YEAR: i32 = 2025;

/// Year of a Unix time, to a day.
fn year_of(unix_s: f64) -> i32 {
    // 1900 to 2200: the conversion cannot overflow.
    #[allow(clippy::cast_possible_truncation)]
    let year = (unix_s / 31_556_952.0).clamp(-70.0, 230.0).floor() as i32;
    1970 + year
}

/// Rows about a second apart; of a long recording whole stretches, evenly taken.
fn thin(part: &Segment) -> Vec<(usize, f64)> {
    let mut rows = Vec::new();
    let mut next = f64::NEG_INFINITY;
    for (&row, &second) in part.rows.iter().zip(&part.seconds) {
        if second >= next - 0.05 {
            rows.push((row, second));
            next = second + 1.0;
        }
    }
    if rows.len() <= ROWS_MAX {
        return rows;
    }
    const STRETCH: usize = 250;
    let stretches = ROWS_MAX / STRETCH;
    let pitch = rows.len() / stretches;
    (0..stretches)
        .flat_map(|index| {
            rows.get(index * pitch..index * pitch + STRETCH)
                .unwrap_or_default()
                .to_vec()
        })
        .collect()
}

fn facts_of(values: &[f64]) -> Option<Facts> {
    let mut known: Vec<f64> = values
        .iter()
        .copied()
        .filter(|value| value.is_finite())
        .collect();
    known.sort_by(f64::total_cmp);
    let at = |percent: usize| {
        known
            .get((known.len().checked_sub(1)?) * percent / 100)
            .copied()
    };
    let mut distinct = 1;
    let mut step = f64::INFINITY;
    for pair in known.windows(2) {
        if let &[a, b] = pair
            && b - a > 1e-9 * a.abs().max(1e-6)
        {
            distinct += 1;
            step = step.min(b - a);
        }
    }
    Some(Facts {
        low: at(2)?,
        median: at(50)?,
        high: at(98)?,
        least: at(0)?,
        most: at(100)?,
        distinct,
        step: if step.is_finite() { step } else { 0.0 },
    })
}

/// Median; NaN of nothing.
pub fn median(mut values: Vec<f64>) -> f64 {
    values.retain(|value| value.is_finite());
    let middle = values.len() / 2;
    if values.is_empty() {
        f64::NAN
    } else {
        *values.select_nth_unstable_by(middle, f64::total_cmp).1
    }
}

/// How two series go together: slope of `y` on `x` and correlation, from pairs that are both there.
#[derive(Clone, Copy, Debug)]
pub struct Fit {
    pub count: usize,
    pub slope: f64,
    pub correlation: f64,
}

/// Least squares with a free intercept. The slope is the geometric mean of both regressions, so that
/// noise in either series does not shrink it; it carries the sign of the correlation.
#[allow(clippy::cast_precision_loss)]
pub fn fit(x: &[f64], y: &[f64], lag: isize) -> Fit {
    let mut sums = [0.0_f64; 5];
    let mut count = 0_usize;
    for (index, &a) in x.iter().enumerate() {
        let Some(&b) = index.checked_add_signed(lag).and_then(|at| y.get(at)) else {
            continue;
        };
        if !a.is_finite() || !b.is_finite() {
            continue;
        }
        count += 1;
        for (sum, add) in sums.iter_mut().zip([a, b, a * a, a * b, b * b]) {
            *sum += add;
        }
    }
    let n = count as f64;
    let [sx, sy, sxx, sxy, syy] = sums;
    let (vx, vy, cov) = (
        sxx / n - (sx / n).powi(2),
        syy / n - (sy / n).powi(2),
        sxy / n - sx * sy / (n * n),
    );
    if count < 8 || vx <= 1e-15 || vy <= 1e-15 {
        return Fit {
            count,
            slope: f64::NAN,
            correlation: 0.0,
        };
    }
    let correlation = cov / (vx * vy).sqrt();
    Fit {
        count,
        slope: (vy / vx).sqrt() * correlation.signum(),
        correlation,
    }
}

/// The best fit over lags of a few rows: filters of recorders delay by seconds.
pub fn fit_lagged(x: &[f64], y: &[f64]) -> Fit {
    (-1..=3)
        .map(|lag| fit(x, y, lag))
        .max_by(|a, b| a.correlation.abs().total_cmp(&b.correlation.abs()))
        .unwrap_or(Fit {
            count: 0,
            slope: f64::NAN,
            correlation: 0.0,
        })
}

/// How an angle follows another: mean difference and the median deviation from it, rad.
pub fn angle_offset(
    a_rad: &[f64],
    b_rad: &[f64],
    use_row: impl Fn(usize) -> bool,
) -> (f64, f64, usize) {
    let differences: Vec<f64> = a_rad
        .iter()
        .zip(b_rad)
        .enumerate()
        .filter(|&(index, (a, b))| a.is_finite() && b.is_finite() && use_row(index))
        .map(|(_, (a, b))| air::units::wrap_pi(a - b))
        .collect();
    let (sin, cos) = differences
        .iter()
        .fold((0.0, 0.0), |(s, c), d| (s + d.sin(), c + d.cos()));
    let mean = sin.atan2(cos);
    let count = differences.len();
    let spread = median(
        differences
            .into_iter()
            .map(|d| air::units::wrap_pi(d - mean).abs())
            .collect(),
    );
    (mean, spread, count)
}
