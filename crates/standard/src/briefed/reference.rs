//! What a figure over the ground was flown about, as a person writes it: latitude and longitude in degrees.

use super::limits;
use super::{Asked, Kind};
use air::geodesy::{Place, inverse};
use maneuver::Reference;

/// A place: latitude and longitude, degrees, north and east positive.
pub type LatLon = [f64; 2];

fn place([latitude, longitude]: LatLon) -> Place {
    Place {
        latitude_rad: latitude.to_radians(),
        longitude_rad: longitude.to_radians(),
    }
}

/// Checks the places of a key: their ranges, the distance from one to the next, and that the kind is flown about them.
pub(super) fn checked<const N: usize>(
    key: &'static str,
    kind: Option<Kind>,
    places: [LatLon; N],
) -> Result<[LatLon; N], String> {
    for [latitude, longitude] in places {
        limits::LATITUDE_DEG.checked(latitude)?;
        limits::LONGITUDE_DEG.checked(longitude)?;
    }
    let (least, most) = limits::APART_M;
    for (from, to) in places.iter().zip(places.iter().skip(1)) {
        let apart_m = inverse(place(*from), place(*to))
            .map(|leg| leg.distance_m)
            .map_err(|error| error.to_string())?;
        if !(least..=most).contains(&apart_m) {
            return Err(format!(
                "two neighbors of {key} are {apart_m:.0} m apart; {least} to {most} m are possible"
            ));
        }
    }
    match kind {
        Some(kind) if limits::reference_of(kind).is_none_or(|known| known != key) => {
            Err(format!("a maneuver of kind '{}' has no {key}", kind.id()))
        }
        _ => Ok(places),
    }
}

impl Asked {
    /// What a maneuver of the kind was to be flown about, where that was given.
    #[must_use]
    pub fn reference(&self, kind: Kind) -> Option<Reference> {
        let all = [
            self.point.map(|one| Reference::Point(place(one))),
            self.line.map(|two| Reference::Line(two.map(place))),
            self.pylons.map(|two| Reference::Pylons(two.map(place))),
            self.corners.map(|four| Reference::Corners(four.map(place))),
        ];
        all.into_iter().flatten().find(|one| one.fits(kind))
    }
}
