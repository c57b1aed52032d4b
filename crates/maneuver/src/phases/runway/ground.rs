//! Position and motion over the ground around one maneuver.

use crate::phases::motion::Motion;
use crate::phases::wave::Wave;
use flight::Series;

/// Waves over the ground, cut like those of the [`Motion`] they belong to.
pub struct Ground {
    /// East of the flight's origin, m.
    pub east: Wave,
    /// North of it, m.
    pub north: Wave,
    /// Ground speed, m/s.
    pub speed: Wave,
    /// Track, true, rad, unwrapped.
    pub track: Wave,
    /// Wind from west to east, m/s.
    pub wind_east: Wave,
    /// Wind from south to north, m/s.
    pub wind_north: Wave,
}

impl Ground {
    /// Cuts the quantities between two times.
    pub fn new(motion: &Motion, from_s: f64, to_s: f64) -> Ground {
        let flight = motion.flight;
        let cut = |series: &Option<Series>| Wave::cut_option(flight, series.as_ref(), from_s, to_s);
        Ground {
            east: cut(&flight.east),
            north: cut(&flight.north),
            speed: cut(&flight.ground_speed),
            track: cut(&flight.track).unwrapped(),
            wind_east: cut(&flight.wind_east),
            wind_north: cut(&flight.wind_north),
        }
    }

    /// Place at a time, m east and north; `None` where it is not known.
    pub fn place(&self, at_s: f64) -> Option<(f64, f64)> {
        let place = (self.east.at(at_s), self.north.at(at_s));
        (place.0.is_finite() && place.1.is_finite()).then_some(place)
    }

    /// Distance between two places on the way, m, in a straight line: a roll is straight.
    pub fn between(&self, from_s: f64, to_s: f64) -> Option<f64> {
        let (from, to) = (self.place(from_s)?, self.place(to_s)?);
        Some((to.0 - from.0).hypot(to.1 - from.1))
    }
}

/// 1-σ of the difference of two places half a minute apart, m: a receiver's slow wander and its noise
/// (common practice, no source).
pub const PLACES_M: f64 = 2.5;
