//! What a figure over the ground was flown about, as a person gives it: a point, a line, two pylons, the corners of a
//! field.
//!
//! A recording shows no landmark, so that the reference is solved from the path ([`crate::phases::point`],
//! [`crate::phases::line`]). Where a person gives it, the figure is worked out about the one that was given, unless
//! the path cannot have been flown about it: then that is said, and the solved one is used. It is done when a flight
//! is marked and not when it is reconstructed, so that a reference may be given at any time.

use crate::phases::{self, Given};
use crate::{Bounds, Kind, Maneuver, SetBy, Span};
use air::geodesy::{LocalFrame, Place};
use aircraft::Aircraft;
use flight::Flight;

/// A landmark, or several.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reference {
    /// What turns were flown around.
    Point(Place),
    /// Two places on the line that S-turns were flown across.
    Line([Place; 2]),
    /// The two pylons, in any order.
    Pylons([Place; 2]),
    /// The corners of the field, in order around it.
    Corners([Place; 4]),
}

impl Reference {
    /// Whether a kind is flown about such a reference.
    #[must_use]
    pub fn fits(&self, kind: Kind) -> bool {
        match self {
            Reference::Point(_) => matches!(kind, Kind::TurnsAroundAPoint | Kind::SteepSpiral),
            Reference::Line(_) => kind == Kind::STurns,
            Reference::Pylons(_) => kind == Kind::EightsOnPylons,
            Reference::Corners(_) => kind == Kind::RectangularCourse,
        }
    }

    /// The same on the flight's own plane.
    fn on_the_plane(&self, flight: &Flight) -> Option<Given> {
        let origin = Place {
            latitude_rad: flight.origin_latitude_rad,
            longitude_rad: flight.origin_longitude_rad,
        };
        let frame = LocalFrame::new(origin, 0.0).ok()?;
        let at = |place: Place| {
            let [east, north, _] = frame.enu_m(place.latitude_rad, place.longitude_rad, 0.0);
            (east, north)
        };
        Some(match *self {
            Reference::Point(place) => Given::Point(at(place)),
            Reference::Line(places) => Given::Line(places.map(at)),
            Reference::Pylons(places) => Given::Pylons(places.map(at)),
            Reference::Corners(places) => Given::Corners(places.map(at)),
        })
    }
}

/// Works out anew each maneuver whose reference was given: `given` has one for each of them, or none.
pub fn place(
    flight: &Flight,
    aircraft: &Aircraft,
    given: &[Option<Reference>],
    maneuvers: &mut [Maneuver],
) {
    if given.iter().all(Option::is_none) {
        return;
    }
    let spans: Vec<Span> = maneuvers.iter().map(span_of).collect();
    for ((maneuver, span), reference) in maneuvers.iter_mut().zip(&spans).zip(given) {
        let known = reference
            .filter(|reference| reference.fits(maneuver.kind))
            .and_then(|reference| reference.on_the_plane(flight));
        let Some(known) = known else { continue };
        let anew = phases::detail_about(flight, aircraft, (span, &spans), Some(&known));
        *maneuver = Maneuver {
            confidence: maneuver.confidence,
            agreement: maneuver.agreement,
            set_by: maneuver.set_by,
            direction: maneuver.direction,
            ..anew
        };
    }
}

fn span_of(maneuver: &Maneuver) -> Span {
    Span {
        kind: maneuver.kind,
        direction: maneuver.direction,
        start_s: maneuver.start_s,
        end_s: maneuver.end_s,
        score: 0.0,
        agreement: maneuver.agreement,
        anchor_s: None,
        // A person's bounds hold; the program's may follow what was given.
        bounds: match maneuver.set_by {
            SetBy::Person => Bounds::Given,
            SetBy::Program => Bounds::Sought,
        },
    }
}
