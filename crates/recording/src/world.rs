//! What the columns say together: references worked out from those that are sure, and how well a
//! reading of another column agrees with them.
//!
//! Relations used (all from elementary mechanics of flight, e.g. FAA-H-8083-25C ch. 5 and 11):
//! ground speed and track are the rate of change of position; vertical speed that of altitude;
//! tan(bank) = V·(rate of turn)/g in a coordinated turn; pitch = flight path angle + angle of attack;
//! airspeed is ground speed within a wind; 1 g at rest and in level flight.

use crate::Quantity;
use crate::sample::{Facts, Sample, median};
use crate::vocabulary::{Dimension, Unit};

/// One relation's verdict.
pub struct Verdict {
    pub points: f64,
    pub reason: String,
}

/// A reading of a column that is to be judged.
pub struct Guess<'a> {
    /// Column.
    pub index: usize,
    /// What it may measure.
    pub quantity: Quantity,
    /// In which unit.
    pub unit: &'a Unit,
    /// What its numbers are like, in the file's unit.
    pub facts: &'a Facts,
    /// Its values on the rows of the sample, SI.
    pub si: Vec<f64>,
    /// Whether its name says so.
    pub named: bool,
}

/// References in SI on the rows of the sample; empty when they are not to be had.
#[derive(Default)]
pub struct World {
    pub position_speed: Vec<f64>,
    pub course: Vec<f64>,
    /// Magnetic variation at the flight's place and year, rad, east positive.
    pub variation: Option<f64>,
    /// Column of the ground speed, and its values.
    pub ground_speed: Option<(usize, Vec<f64>)>,
    pub airspeed: Option<(usize, Vec<f64>)>,
    /// Whether the speeds are metric: a recorder seldom mixes systems.
    pub metric: Option<bool>,
    /// Altitudes: column, values, whether the unit is written.
    pub altitudes: Vec<(usize, Vec<f64>, bool)>,
    /// Vertical speeds with a written unit: column, values.
    pub vertical_speeds: Vec<(usize, Vec<f64>)>,
    /// Vertical speeds whose unit is still open: column, values as written.
    pub vertical_open: Vec<(usize, Vec<f64>)>,
    pub tracks: Vec<(usize, Vec<f64>)>,
    pub headings: Vec<(usize, Vec<f64>)>,
    pub bank: Option<(usize, Vec<f64>)>,
    pub engine_speed: Option<(usize, Vec<f64>)>,
}

/// Metres in a radian of a great circle (mean Earth radius, IUGG).
const EARTH_M: f64 = 6_371_008.8;
/// Above this an airplane flies or is about to, m/s.
pub const MOVING_MPS: f64 = 15.0;

impl World {
    /// Speed and course over the ground from positions in rad.
    pub fn set_position(&mut self, sample: &Sample, latitude: &[f64], longitude: &[f64]) {
        let north = sample.rate(latitude, 2.0);
        let east = sample.turn_rate(longitude, 2.0);
        let mut course = Vec::with_capacity(north.len());
        let mut speed = Vec::with_capacity(north.len());
        for ((north, east), latitude) in north.iter().zip(&east).zip(latitude) {
            let (n, e) = (north * EARTH_M, east * EARTH_M * latitude.cos());
            let v = n.hypot(e);
            // A jump between two sources is no speed.
            let v = if v < 400.0 { v } else { f64::NAN };
            speed.push(v);
            course.push(if v > 5.0 { e.atan2(n) } else { f64::NAN });
        }
        self.position_speed = speed;
        self.course = course;
    }

    /// Magnetic variation where the flight is; it changes by a tenth of a degree a year, so that the year
    /// will do.
    pub fn set_variation(&mut self, sample: &Sample, latitude: &[f64], longitude: &[f64]) {
        let place = latitude
            .iter()
            .zip(longitude)
            .find(|(a, b)| a.is_finite() && b.is_finite());
        self.variation = place.and_then(|(&latitude, &longitude)| {
            let year = sample
                .year
                .clamp(air::magnetic::FIRST_YEAR, air::magnetic::LAST_YEAR);
            let field = air::magnetic::variation(latitude, longitude, 0.0, year, 180).ok()?;
            Some(field.value_rad)
        });
    }

    /// The best speed there is, for everything that needs one roughly; not from column `but`.
    pub(crate) fn speed(&self, but: usize) -> &[f64] {
        if known(&self.position_speed) >= 20 {
            return &self.position_speed;
        }
        let other = |slot: &'_ Option<(usize, Vec<f64>)>| {
            slot.as_ref().is_some_and(|(index, _)| *index != but)
        };
        match (&self.ground_speed, &self.airspeed) {
            (Some((_, speed)), _) if other(&self.ground_speed) => speed,
            (_, Some((_, speed))) if other(&self.airspeed) => speed,
            _ => &[],
        }
    }

    /// Rate of turn, right positive, from the course over the ground, else from track or heading.
    pub(crate) fn turn(&self, sample: &Sample, but: usize) -> Vec<f64> {
        if known(&self.course) >= 20 {
            return sample.turn_rate(&self.course, 3.0);
        }
        self.tracks
            .iter()
            .chain(&self.headings)
            .find(|(index, _)| *index != but)
            .map(|(_, angle)| sample.turn_rate(angle, 3.0))
            .unwrap_or_default()
    }

    pub(crate) fn climb(&self, sample: &Sample, but: usize) -> Vec<f64> {
        self.altitudes
            .iter()
            .find(|(index, ..)| *index != but)
            .map(|(_, altitude, _)| sample.rate(altitude, 4.0))
            .unwrap_or_default()
    }

    /// Whether any column speaks for a static port.
    pub(crate) fn has_air_data(&self) -> bool {
        self.airspeed.is_some()
    }
}

/// Whether a series is the speed over the positions.
pub fn is_speed(si: &[f64], speed: &[f64]) -> bool {
    closeness(si, speed).is_some_and(|(error, usual)| error < 0.03 * usual + 0.7)
}

/// Number of values that are there.
pub fn known(values: &[f64]) -> usize {
    values.iter().filter(|value| value.is_finite()).count()
}

/// Median distance of two speeds while moving, and their usual size.
pub fn closeness(si: &[f64], speed: &[f64]) -> Option<(f64, f64)> {
    let pairs: Vec<(f64, f64)> = si
        .iter()
        .zip(speed)
        .filter(|(a, b)| a.is_finite() && **b > MOVING_MPS)
        .map(|(&a, &b)| (a, b))
        .collect();
    if pairs.len() < 20 {
        return None;
    }
    let error = median(pairs.iter().map(|(a, b)| (a - b).abs()).collect());
    let usual = median(pairs.iter().map(|(_, b)| *b).collect());
    Some((error, usual))
}

/// Units to be tried for a quantity when none is written, with what speaks for each beforehand.
pub fn unit_priors(quantity: Quantity) -> &'static [(&'static str, f64)] {
    match quantity.dimension() {
        Dimension::Angle => match quantity {
            Quantity::Latitude | Quantity::Longitude => &[("deg", 1.0), ("rad", -0.5)],
            _ => &[("deg", 0.8), ("rad", 0.0)],
        },
        Dimension::Length => &[("ft", 0.6), ("m", 0.4)],
        Dimension::Speed => match quantity {
            Quantity::VerticalSpeed => &[("fpm", 0.6), ("mps", 0.4), ("fps", -0.5)],
            _ => &[("kt", 0.7), ("mps", 0.2), ("kmh", 0.2), ("mph", -0.2)],
        },
        Dimension::Rate => &[("degps", 0.5), ("radps", 0.2)],
        Dimension::Load => &[("g", 0.8), ("mps2", 0.2), ("mg", -0.2)],
        Dimension::Pressure => &[
            ("inhg", 0.5),
            ("hpa", 0.5),
            ("kpa", -0.3),
            ("pa", -0.3),
            ("psi", -1.0),
        ],
        Dimension::Temperature => &[("c", 0.7), ("f", 0.2), ("k", -0.3)],
        Dimension::Revs => &[("rpm", 1.0)],
        Dimension::Flow => &[("gph", 0.4), ("lph", 0.3), ("pph", -0.5)],
        Dimension::Ratio => &[("percent", 0.4), ("one", 0.4)],
        Dimension::Flag => &[("flag", 1.0), ("percent", -0.5)],
        Dimension::Time | Dimension::Other => &[("one", 0.0)],
    }
}
