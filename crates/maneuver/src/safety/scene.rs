//! The flight as the watchers see it: quantities with the σ of the instrument, not of the smoother alone.

use super::{LimitOrigin, SafetyEvent, learned};
use crate::safety::held::Excursion;
use crate::{Fact, Kind, Maneuver};
use air::units::{M_PER_FT, MPS_PER_KT};
use aircraft::Aircraft;
use flight::{Air, Flight, Origin, Series};

/// An airspeed system is held to a few knots by its position error and its gauge; airspeed out of ground speed and
/// wind is no better than the wind (assumed, as the marks of a standard take them).
const AIRSPEED_MPS: f64 = 1.2 * MPS_PER_KT;
const DERIVED_AIRSPEED_MPS: f64 = 4.0 * MPS_PER_KT;
/// An attitude sensor is held to the better part of a degree, worse while rough air shakes its filter (assumed).
const ATTITUDE_DEG: f64 = 0.8;
const ATTITUDE_ROUGH_DEG: f64 = 1.5;
/// One elevation is given for the whole area: fields and hills differ from it by this (assumed).
const TERRAIN_M: f64 = 50.0 * M_PER_FT;
/// A stall speed published for the highest mass is this share too high or too low on the day, where nobody said the
/// mass (assumed: four fifths of the load of a trainer change it by 8 %).
const MASS_SHARE: f64 = 0.03;

/// What the watchers look at.
pub(super) struct Scene<'a> {
    pub flight: &'a Flight,
    pub aircraft: &'a Aircraft,
    pub maneuvers: &'a [Maneuver],
    /// Height above runways that were rolled on, where no terrain was given.
    learned: Option<Series>,
}

/// What one kind of event is measured against.
pub(super) struct Against {
    pub id: &'static str,
    pub unit: &'static str,
    pub origin: Origin,
    pub limit_origin: LimitOrigin,
    pub source: &'static str,
}

impl<'a> Scene<'a> {
    pub fn new(flight: &'a Flight, aircraft: &'a Aircraft, maneuvers: &'a [Maneuver]) -> Scene<'a> {
        Scene {
            flight,
            aircraft,
            maneuvers,
            learned: flight.agl.is_none().then(|| learned::agl(flight)).flatten(),
        }
    }

    /// Known and in the air.
    pub fn flying(&self, index: usize) -> bool {
        let known = self.flight.known.get(index).copied().unwrap_or(false);
        known && !self.flight.on_ground.get(index).copied().unwrap_or(false)
    }

    /// Airspeed and its 1-σ, m/s; NaN where not flying.
    pub fn airspeed(&self, index: usize) -> (f64, f64) {
        let Some(ias) = self.flight.ias.as_ref().filter(|_| self.flying(index)) else {
            return (f64::NAN, f64::NAN);
        };
        let own = ias.sigma_at(index);
        let sigma = if ias.origin == Origin::Measured {
            own.hypot(AIRSPEED_MPS)
        } else {
            own.max(DERIVED_AIRSPEED_MPS)
        };
        (ias.at(index), sigma)
    }

    /// Airspeed as the recorder measured it; out of position and wind it is too vague near a stall.
    pub fn has_measured_airspeed(&self) -> Result<(), &'static str> {
        measured(self.flight.ias.as_ref()).map_or(Err("no airspeed was recorded"), |_| Ok(()))
    }

    /// An angle of the attitude and its 1-σ, rad; NaN where not flying.
    pub fn angle(&self, series: &Series, index: usize) -> (f64, f64) {
        if !self.flying(index) {
            return (f64::NAN, f64::NAN);
        }
        let sensor = if self.flight.air == Air::Rough {
            ATTITUDE_ROUGH_DEG
        } else {
            ATTITUDE_DEG
        };
        (
            series.at(index),
            series.sigma_at(index).hypot(sensor.to_radians()),
        )
    }

    /// Recorded bank: the bank of a coordinated turn says nothing where a wing drops.
    pub fn bank(&self) -> Result<&'a Series, &'static str> {
        measured(self.flight.bank.as_ref()).ok_or("no bank was recorded")
    }

    /// Recorded pitch.
    pub fn pitch(&self) -> Result<&'a Series, &'static str> {
        measured(self.flight.pitch.as_ref()).ok_or("no pitch was recorded")
    }

    /// Height above ground; above a runway that was rolled on, and near it alone, where no terrain was given.
    pub fn agl(&self) -> Result<&Series, &'static str> {
        let why = "the elevation of the terrain was not given, and no roll shows that of a runway";
        self.flight
            .agl
            .as_ref()
            .or(self.learned.as_ref())
            .ok_or(why)
    }

    /// Whether some of the flying was too far from a runway for its altitude to stand for the ground's.
    pub fn watches_near_runways_only(&self) -> bool {
        let far = |agl: &Series| self.all().any(|i| self.flying(i) && agl.at(i).is_nan());
        self.learned.as_ref().is_some_and(far)
    }

    /// Height above ground and its 1-σ, m; NaN where not flying.
    pub fn height(&self, agl: &Series, index: usize) -> (f64, f64) {
        if !self.flying(index) {
            return (f64::NAN, f64::NAN);
        }
        (agl.at(index), agl.sigma_at(index).hypot(TERRAIN_M))
    }

    /// Stall speed at a load factor, with its 1-σ, m/s: for the flaps that were recorded, else for full flap, which
    /// is the slowest and so the last to complain.
    pub fn stall_speed(&self, index: usize, load: f64) -> Option<(f64, f64)> {
        let recorded = self.flight.flaps.as_ref().map(|flaps| &flaps.angle);
        let detent = measured(recorded)
            .and_then(|angle| self.aircraft.nearest_detent(angle.at(index)))
            .or_else(|| self.aircraft.flaps.len().checked_sub(1));
        let figure = detent.and_then(|detent| self.aircraft.stall_speed_at(detent, load));
        let (value, own) = match figure {
            Some(figure) => (figure.value_mps, figure.sigma_mps),
            None => {
                let speeds = &self.aircraft.speeds;
                let slow = speeds.vs0_mps.or(speeds.vs1_mps)?;
                (slow * (load * self.aircraft.mass_ratio()).sqrt(), 0.0)
            }
        };
        let mass = if self.aircraft.mass.actual_kg.is_some() {
            0.0
        } else {
            MASS_SHARE * value
        };
        value.is_finite().then_some((value, own.hypot(mass)))
    }

    /// The maneuver that a moment lies in.
    pub fn maneuver_at(&self, at_s: f64) -> Option<usize> {
        self.maneuvers
            .iter()
            .position(|maneuver| (maneuver.start_s..=maneuver.end_s).contains(&at_s))
    }

    /// Maneuvers of some kinds that are at least likely to be what they are called.
    pub fn likely(&self, kinds: &'static [Kind]) -> impl Iterator<Item = (usize, &'a Maneuver)> {
        const LIKELY: f64 = 0.75;
        let all = self.maneuvers.iter().enumerate();
        all.filter(|(_, maneuver)| maneuver.confidence >= LIKELY)
            .filter(|(_, maneuver)| kinds.contains(&maneuver.kind))
    }

    /// Samples from one time to another.
    pub fn samples(&self, from_s: f64, to_s: f64) -> std::ops::Range<usize> {
        let clock = self.flight.clock;
        let end = (clock.index(to_s) + 1).min(clock.len);
        clock.index(from_s).min(end)..end
    }

    /// Samples of the whole flight.
    pub fn all(&self) -> std::ops::Range<usize> {
        0..self.flight.clock.len
    }

    /// Excursions as events.
    pub fn events(&self, against: &Against, excursions: Vec<Excursion>) -> Vec<SafetyEvent> {
        let clock = self.flight.clock;
        let event = |excursion: Excursion| SafetyEvent {
            id: against.id,
            start_s: clock.time_s(excursion.first),
            end_s: clock.time_s(excursion.last),
            at_s: clock.time_s(excursion.worst),
            value: Fact {
                value: excursion.reading.value,
                unit: against.unit,
                sigma: excursion.reading.sigma,
                origin: against.origin,
            },
            limit: excursion.reading.limit,
            limit_origin: against.limit_origin,
            source: against.source,
            sure: excursion.sure,
            maneuver: self.maneuver_at(clock.time_s(excursion.worst)),
        };
        excursions.into_iter().map(event).collect()
    }
}

/// The series if the recorder measured it.
pub(super) fn measured(series: Option<&Series>) -> Option<&Series> {
    series.filter(|series| series.origin == Origin::Measured)
}
