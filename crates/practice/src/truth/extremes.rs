//! How far a flown maneuver went from where it began: from the motion itself, ten times a second, before any recorder.
//!
//! An excursion is a band: its end was kept up for a second (`low`, `high`), or reached at all (`raw_…`). Nothing here knows
//! of the debrief or of how it finds anything.

use crate::log::{Flown, Sample};
use crate::pilot::LOG_S;
use air::units::{M_PER_FT, MPS_PER_KT, wrap_pi};
use serde_json::{Map, Value, json};

/// An excursion counts once it was kept up for so long, s: the standard fails what is *consistently* outside and gives no
/// seconds (FAA-S-ACS-6C, appendix 1); a second is assumed here as in the packs.
const KEPT_S: f64 = 1.0;

/// How far something went to either side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    /// Lowest and highest that was kept up.
    pub low: f64,
    /// Highest that was kept up.
    pub high: f64,
    /// Lowest and highest at all.
    pub raw_low: f64,
    /// Highest at all.
    pub raw_high: f64,
}

impl Band {
    /// Of a row, a value each [`LOG_S`]; none of an empty one. A row shorter than a second counts as a whole.
    #[must_use]
    pub fn of(values: &[f64]) -> Option<Band> {
        let length = ((KEPT_S / LOG_S).round() as usize + 1).min(values.len());
        if length == 0 {
            return None;
        }
        let least = |row: &[f64]| row.iter().copied().fold(f64::INFINITY, f64::min);
        let most = |row: &[f64]| row.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let kept = |row: fn(f64, f64) -> f64, from: f64, ends: &dyn Fn(&[f64]) -> f64| {
            values.windows(length).map(ends).fold(from, row)
        };
        Some(Band {
            low: kept(f64::min, f64::INFINITY, &most),
            high: kept(f64::max, f64::NEG_INFINITY, &least),
            raw_low: least(values),
            raw_high: most(values),
        })
    }

    /// The end that lies farther from `middle`, of what was kept up.
    #[must_use]
    pub fn worst(&self, middle: f64) -> f64 {
        if (self.low - middle).abs() > (self.high - middle).abs() {
            self.low
        } else {
            self.high
        }
    }

    fn json(&self) -> Value {
        let [low, high, raw_low, raw_high] =
            [self.low, self.high, self.raw_low, self.raw_high].map(super::tidy);
        json!({ "low": low, "high": high, "raw_low": raw_low, "raw_high": raw_high })
    }
}

/// The samples of a maneuver, and what its deviations count from.
#[derive(Clone, Copy, Debug)]
pub struct Span<'s> {
    /// In order; never empty.
    pub samples: &'s [Sample],
    /// The first: the entry.
    pub entry: &'s Sample,
    /// What was flown.
    pub flown: &'s Flown,
}

impl<'s> Span<'s> {
    /// Of a maneuver in a log; none where nothing was logged of it.
    #[must_use]
    pub fn of(flown: &'s Flown, log: &'s [Sample]) -> Option<Span<'s>> {
        let samples = within(log, flown.start_s, flown.end_s);
        let entry = samples.first()?;
        Some(Span {
            samples,
            entry,
            flown,
        })
    }

    /// A part of it.
    #[must_use]
    pub fn part(&self, from_s: f64, to_s: f64) -> &'s [Sample] {
        within(self.samples, from_s, to_s)
    }

    /// When a moment of it was.
    #[must_use]
    pub fn at(&self, moment: &str) -> Option<f64> {
        self.flown.moments.get(moment).copied()
    }

    /// Where the wing let go, or spoke of it first.
    #[must_use]
    pub fn stall_s(&self) -> Option<f64> {
        self.at("full_stall").or_else(|| self.at("first_cue"))
    }

    /// The airspeed that was asked for, else that of the entry, kt.
    #[must_use]
    pub fn asked_kt(&self) -> f64 {
        let asked = self.flown.asked.get("target_ias");
        asked.map_or(self.entry.seen.ias, |speed| *speed) / MPS_PER_KT
    }

    /// How far the heading turned since the entry, added up, deg, + right.
    #[must_use]
    pub fn turned_deg(&self) -> Vec<f64> {
        let mut last = self.entry.seen.heading;
        let mut sum = 0.0;
        self.samples
            .iter()
            .map(|sample| {
                sum += wrap_pi(sample.seen.heading - last);
                last = sample.seen.heading;
                sum.to_degrees()
            })
            .collect()
    }
}

fn within(samples: &[Sample], from_s: f64, to_s: f64) -> &[Sample] {
    // Times are sums of steps: a thousandth either way is the same moment.
    let from = samples.partition_point(|sample| sample.seen.t < from_s - 1e-3);
    let to = samples.partition_point(|sample| sample.seen.t < to_s + 1e-3);
    samples.get(from..to).unwrap_or_default()
}

/// A row of something over samples.
pub fn row(samples: &[Sample], of: impl Fn(&Sample) -> f64) -> Vec<f64> {
    samples.iter().map(of).collect()
}

/// The extremes of a maneuver as the truth file has them: ft, kt, deg, g.
#[must_use]
pub fn of(span: &Span<'_>) -> Value {
    let mut all = Map::new();
    let entry = span.entry.seen;
    let asked = span.asked_kt();
    let turned = span.turned_deg();
    let mut band = |name: &str, samples: &[Sample], of: &dyn Fn(&Sample) -> f64| {
        if let Some(band) = Band::of(&row(samples, of)) {
            all.insert(name.to_owned(), band.json());
        }
    };
    band("altitude_dev", span.samples, &|s| {
        (s.seen.height - entry.height) / M_PER_FT
    });
    band("ias_dev", span.samples, &|s| {
        s.seen.ias / MPS_PER_KT - asked
    });
    band("bank", span.samples, &|s| s.seen.bank.to_degrees());
    band("pitch", span.samples, &|s| s.seen.pitch.to_degrees());
    band("lateral_g", span.samples, &|s| s.seen.lateral_g);
    if span.flown.kind.ends_with("stall")
        && let Some(stall_s) = span.stall_s()
    {
        let before = span.part(entry.t, stall_s);
        band("bank_to_stall", before, &|s| s.seen.bank.to_degrees());
        band("heading_change_to_stall", before, &|s| {
            wrap_pi(s.seen.heading - entry.heading).to_degrees()
        });
        let recovery = span.part(stall_s, span.flown.end_s);
        band("bank_in_recovery", recovery, &|s| s.seen.bank.to_degrees());
    }
    let mut number = |name: &str, value: f64| {
        if value.is_finite() {
            all.insert(name.to_owned(), json!(super::tidy(value)));
        }
    };
    let ias = row(span.samples, |s| s.seen.ias / MPS_PER_KT);
    let least = |values: &[f64]| values.iter().copied().fold(f64::INFINITY, f64::min);
    number("heading_turned", turned.last().copied().unwrap_or(0.0));
    number("ias_min", least(&ias));
    number(
        "ias_max",
        ias.iter().copied().fold(f64::NEG_INFINITY, f64::max),
    );
    let agl = row(span.samples, |s| s.seen.agl / M_PER_FT);
    number("min_agl_ft", least(&agl));
    let last = span.samples.last().unwrap_or(span.entry);
    number(
        "altitude_change",
        (last.seen.height - entry.height) / M_PER_FT,
    );
    if span.flown.kind.ends_with("stall")
        && let Some(stall_s) = span.stall_s()
    {
        let until = span.at("positive_climb").unwrap_or(span.flown.end_s);
        let height = row(span.part(stall_s, until), |s| s.seen.height / M_PER_FT);
        if let Some(at_stall) = height.first() {
            number("altitude_lost_ft", at_stall - least(&height));
        }
        if let Some(at) = span.part(stall_s, span.flown.end_s).first() {
            number("ias_at_stall", at.seen.ias / MPS_PER_KT);
        }
    }
    Value::Object(all)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_kept_up_for_a_second_counts_and_a_spike_does_not() {
        // By hand: two seconds at 10, half a second at 50, all else zero; ten values a second.
        let mut values = vec![0.0; 100];
        values[20..41].fill(10.0);
        values[60..65].fill(50.0);
        values[80] = -7.0;
        let band = Band::of(&values).expect("not empty");
        assert_eq!((band.low, band.high), (0.0, 10.0));
        assert_eq!((band.raw_low, band.raw_high), (-7.0, 50.0));
        assert_eq!(band.worst(0.0), 10.0);
        assert_eq!(band.worst(8.0), 0.0);
    }

    #[test]
    fn a_short_row_counts_as_a_whole() {
        let band = Band::of(&[3.0, 5.0]).expect("not empty");
        // Kept up over all of it: never below 3, never above 5.
        assert_eq!((band.low, band.high), (5.0, 3.0));
        assert_eq!(Band::of(&[]), None);
    }
}
