//! A runway by its two ends, as a person writes it.

use super::limits;
use air::geodesy::{Place, inverse};
use air::units::M_PER_FT;
use serde::{Deserialize, Serialize};

/// A runway: `from` and `to` are its ends, latitude and longitude in degrees, north and east positive. Which end is
/// the threshold, each landing shows.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "RunwayEntry")]
pub struct GivenRunway {
    /// One end.
    pub from: [f64; 2],
    /// The other.
    pub to: [f64; 2],
    /// Feet above mean sea level.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub elevation_ft: Option<f64>,
}

/// The same before it is checked.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct RunwayEntry {
    from: [f64; 2],
    to: [f64; 2],
    elevation_ft: Option<f64>,
}

impl RunwayEntry {
    /// Checks ranges and length.
    pub(super) fn checked(&self) -> Result<GivenRunway, String> {
        for [latitude, longitude] in [self.from, self.to] {
            limits::LATITUDE_DEG.checked(latitude)?;
            limits::LONGITUDE_DEG.checked(longitude)?;
        }
        let elevation = self
            .elevation_ft
            .map(|feet| limits::ELEVATION_FT.checked(feet));
        let given = GivenRunway {
            from: self.from,
            to: self.to,
            elevation_ft: elevation.transpose()?,
        };
        let runway = given.runway();
        let length_m = inverse(runway.from, runway.to)
            .map(|leg| leg.distance_m)
            .map_err(|error| error.to_string())?;
        let (least, most) = limits::LENGTH_M;
        if (least..=most).contains(&length_m) {
            Ok(given)
        } else {
            Err(format!(
                "the two ends are {:.0} m apart; a runway is {least} to {most} m long",
                length_m
            ))
        }
    }
}

impl TryFrom<RunwayEntry> for GivenRunway {
    type Error = String;

    fn try_from(entry: RunwayEntry) -> Result<GivenRunway, String> {
        entry
            .checked()
            .map_err(|what| format!("{what}; {}", limits::MEND_RUNWAY))
    }
}

impl GivenRunway {
    /// From four or five numbers with commas: latitude and longitude of one end, of the other, and the elevation in
    /// feet where it is known.
    ///
    /// # Errors
    /// What is wrong and how to mend it.
    pub fn from_numbers(text: &str) -> Result<GivenRunway, String> {
        let numbers: Vec<f64> = text
            .split(',')
            .map(|number| number.trim().parse::<f64>())
            .collect::<Result<_, _>>()
            .map_err(|_| {
                format!(
                    "'{text}' is not four or five numbers; {}",
                    limits::MEND_NUMBERS
                )
            })?;
        let (ends, elevation_ft) = match numbers.as_slice() {
            [a, b, c, d] => ([[*a, *b], [*c, *d]], None),
            [a, b, c, d, feet] => ([[*a, *b], [*c, *d]], Some(*feet)),
            _ => {
                return Err(format!(
                    "'{text}' is not four or five numbers; {}",
                    limits::MEND_NUMBERS
                ));
            }
        };
        let [from, to] = ends;
        RunwayEntry {
            from,
            to,
            elevation_ft,
        }
        .checked()
        .map_err(|what| format!("{what}; {}", limits::MEND_NUMBERS))
    }

    /// In SI.
    #[must_use]
    pub fn runway(&self) -> maneuver::Runway {
        let place = |[latitude, longitude]: [f64; 2]| Place {
            latitude_rad: latitude.to_radians(),
            longitude_rad: longitude.to_radians(),
        };
        maneuver::Runway {
            from: place(self.from),
            to: place(self.to),
            elevation_m: self.elevation_ft.map(|feet| feet * M_PER_FT),
        }
    }
}
