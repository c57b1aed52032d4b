//! The samples of a maneuver, in the units a pilot reads.

use super::Scene;
use crate::svg::Point;
use crate::words;
use air::units::{M_PER_FT, MPS_PER_KT};
use debrief::EventDebrief;
use flight::{Flight, Origin, Series};
use standard::Mark;

/// m/s in one knot, m in one foot: names that say which way a number goes.
pub(super) fn feet(m: f64) -> f64 {
    m / M_PER_FT
}

pub(super) fn knots(mps: f64) -> f64 {
    mps / MPS_PER_KT
}

/// Value of a series at a sample, NaN in a hole of the recording.
pub(super) fn at(flight: &Flight, series: &Series, index: usize) -> f64 {
    if flight.known.get(index).copied().unwrap_or(false) {
        series.at(index)
    } else {
        f64::NAN
    }
}

/// `degrees`, `degrees, derived`.
pub(super) fn origin(unit: &str, series: &Series) -> String {
    match series.origin {
        Origin::Measured => unit.to_owned(),
        Origin::Derived => format!("{unit}, derived"),
        Origin::Assumed => format!("{unit}, assumed"),
    }
}

/// Typical 1-σ of a series between two samples, in its own unit; `None` where it is not known.
pub(super) fn sigma(series: &Series, first: usize, last: usize) -> Option<f64> {
    let value = series.sigma_at((first + last) / 2);
    (value.is_finite() && value > 0.0).then_some(value)
}

impl<'a> Scene<'a> {
    pub(super) fn bounds(&self) -> (usize, usize) {
        let clock = self.flight.clock;
        let first = clock.index(self.maneuver.start_s);
        (first, clock.index(self.maneuver.end_s).max(first))
    }

    /// Events of a name that are likelier than not, in order of time.
    pub(super) fn events(&self, name: &str) -> Vec<&'a EventDebrief> {
        let mut all: Vec<&EventDebrief> = self
            .maneuver
            .events
            .iter()
            .filter(|event| {
                event.at_s.is_finite() && event.probability >= 0.5 && {
                    // `crossing_3` is a crossing.
                    let rest = event.name.strip_prefix(name);
                    rest.is_some_and(|rest| {
                        rest.is_empty()
                            || rest.strip_prefix('_').is_some_and(|number| {
                                !number.is_empty() && number.bytes().all(|b| b.is_ascii_digit())
                            })
                    })
                }
            })
            .collect();
        all.sort_by(|a, b| a.at_s.total_cmp(&b.at_s));
        all
    }

    pub(super) fn event(&self, name: &str) -> Option<f64> {
        self.events(name).first().map(|event| event.at_s)
    }

    pub(super) fn fact(&self, name: &str) -> Option<f64> {
        let fact = self.maneuver.facts.get(name)?;
        fact.value.is_finite().then_some(fact.value)
    }

    pub(super) fn mark(&self, criterion: &str) -> Option<&'a Mark> {
        self.maneuver
            .marks
            .iter()
            .find(|mark| mark.criterion == criterion)
    }

    /// Heading, or the direction through the air where the nose was not recorded: continuous, rad.
    pub(super) fn heading(&self) -> Option<&'a Series> {
        let flight = self.flight;
        flight
            .heading
            .as_ref()
            .or(flight.air_track.as_ref())
            .or(flight.track.as_ref())
    }

    /// Path over the ground between two samples, m east and north; NaN in holes. `None` without positions.
    pub(super) fn ground(&self, first: usize, last: usize) -> Option<Vec<Point>> {
        let (east, north) = (self.flight.east.as_ref()?, self.flight.north.as_ref()?);
        let points: Vec<Point> = (first..=last)
            .map(|index| (at(self.flight, east, index), at(self.flight, north, index)))
            .collect();
        let known = points
            .iter()
            .filter(|(x, y)| x.is_finite() && y.is_finite())
            .count();
        (known > 3).then_some(points)
    }

    /// The wind of the maneuver: from, degrees true, and speed, kt. The maneuver's own where it was worked out.
    pub(super) fn wind(&self) -> Option<(f64, f64, Option<f64>)> {
        if let (Some(from), Some(speed)) = (
            self.fact("wind_from_deg"),
            self.maneuver
                .facts
                .get("wind_speed_kt")
                .filter(|fact| fact.value.is_finite()),
        ) {
            return Some((from, speed.value, speed.sigma));
        }
        let flight = &self.debrief.flight;
        let (from, speed) = (flight.wind_from_deg?, flight.wind_kt?);
        (from.is_finite() && speed.is_finite()).then_some((from, speed, flight.wind_sigma_kt))
    }

    pub(super) fn wind_words(&self) -> Option<String> {
        let (from, speed, sigma) = self.wind()?;
        let from = ((from / 5.0).round() * 5.0).rem_euclid(360.0);
        let from = if from == 0.0 { 360.0 } else { from };
        Some(format!(
            "wind {from:03.0}°\u{A0}true {}",
            words::with_sigma(speed, sigma, "kt")
        ))
    }

    /// Airspeed where there is one, else ground speed: series, name and unit.
    pub(super) fn speed(&self) -> Option<(&'a Series, &'static str, &'static str)> {
        if let Some(ias) = &self.flight.ias {
            let unit = if ias.origin == Origin::Measured {
                "kt, indicated"
            } else {
                "kt, from GNSS and wind"
            };
            return Some((ias, "Airspeed", unit));
        }
        let ground = self.flight.ground_speed.as_ref()?;
        Some((ground, "Ground speed", "kt; no airspeed recorded"))
    }
}

/// Least and greatest of finite values.
pub(super) fn range(values: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let (low, high) = values
        .filter(|value| value.is_finite())
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        });
    (low <= high).then_some((low, high))
}

/// Middle of finite values.
pub(super) fn median(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut values: Vec<f64> = values.filter(|value| value.is_finite()).collect();
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}
