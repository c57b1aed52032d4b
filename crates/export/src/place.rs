//! Where the flight was: from its flat frame back to the ellipsoid, and its unbroken stretches.

use air::geodesy::radii_of_curvature_m;
use flight::{Flight, Series};

/// Turns east and north of the flight's frame into latitude and longitude.
pub(crate) struct Places<'a> {
    east: &'a Series,
    north: &'a Series,
    origin_rad: [f64; 2],
    meridian_m: f64,
    parallel_m: f64,
}

/// A place in degrees.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct Place {
    pub(crate) latitude_deg: f64,
    pub(crate) longitude_deg: f64,
}

impl<'a> Places<'a> {
    /// `None` when the flight has no position.
    ///
    /// The frame is the one that the flight was made in: equirectangular with the ellipsoid's two radii of
    /// curvature at the origin, so that the way back is exact and a recorded fix keeps its place.
    pub(crate) fn of(flight: &'a Flight) -> Option<Self> {
        let origin_rad = [flight.origin_latitude_rad, flight.origin_longitude_rad];
        let (meridian_m, normal_m) = radii_of_curvature_m(origin_rad[0]);
        let parallel_m = normal_m * origin_rad[0].cos();
        let sound = origin_rad.iter().all(|angle| angle.is_finite()) && parallel_m.abs() > 1.0;
        sound.then_some(Self {
            east: flight.east.as_ref()?,
            north: flight.north.as_ref()?,
            origin_rad,
            meridian_m,
            parallel_m,
        })
    }

    /// The place at a sample; `None` where it is unknown.
    pub(crate) fn at(&self, index: usize) -> Option<Place> {
        let latitude_deg =
            (self.origin_rad[0] + self.north.at(index) / self.meridian_m).to_degrees();
        let longitude_deg =
            (self.origin_rad[1] + self.east.at(index) / self.parallel_m).to_degrees();
        // GPX 1.1 and KML 2.3 want longitudes below 180 and latitudes on the globe.
        let longitude_deg = (longitude_deg + 180.0).rem_euclid(360.0) - 180.0;
        (latitude_deg.abs() <= 90.0 && longitude_deg.is_finite()).then_some(Place {
            latitude_deg,
            longitude_deg,
        })
    }
}

/// Height that a map shows, m above mean sea level: the height where it is known, else the altitude the
/// pilot flew by.
pub(crate) fn elevation_m(flight: &Flight, index: usize) -> Option<f64> {
    [&flight.height, &flight.altitude]
        .into_iter()
        .flatten()
        .map(|series| series.at(index))
        .find(|value| value.is_finite())
}

/// First and last sample of every stretch where something holds.
pub(crate) fn runs(len: usize, holds: impl Fn(usize) -> bool) -> Vec<(usize, usize)> {
    let mut out = Vec::new();
    let mut start = None;
    for index in 0..=len {
        match (start, index < len && holds(index)) {
            (None, true) => start = Some(index),
            (Some(first), false) => {
                out.push((first, index.saturating_sub(1)));
                start = None;
            }
            _ => {}
        }
    }
    out
}
