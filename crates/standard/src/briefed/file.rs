//! The TOML file.

use super::limits::{self, Limit};
use super::reference::{self, LatLon};
use super::runway::RunwayEntry;
use super::{Asked, Briefed, Recovery, form_of};
use crate::pack::{PLAIN, PackError};
use crate::words;
use maneuver::Kind;
use serde::Deserialize;
use toml::Spanned;

/// Reads the file; see [`Briefed::read`].
pub(super) fn read(text: &str, name: &str) -> Result<Briefed, PackError> {
    let file: File = toml::from_str(text).map_err(|error| PackError::toml(name, text, &error))?;
    let place = (name, text);
    let entries = file
        .maneuver
        .iter()
        .map(|entry| entry.checked(place))
        .collect::<Result<Vec<_>, _>>()?;
    let recovery = file
        .recovery
        .as_ref()
        .map(|word| recovery(place, word))
        .transpose()?;
    let runways = file
        .runway
        .iter()
        .map(|runway| {
            runway
                .get_ref()
                .checked()
                .map_err(|what| wrong(place, runway, what, limits::MEND_RUNWAY))
        })
        .collect::<Result<Vec<_>, _>>()?;
    Ok(Briefed {
        entries,
        recovery,
        runways,
    })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    recovery: Option<Spanned<String>>,
    #[serde(default)]
    maneuver: Vec<Entry>,
    #[serde(default)]
    runway: Vec<Spanned<RunwayEntry>>,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    kind: Option<Spanned<String>>,
    number: Option<Spanned<usize>>,
    nth: Option<Spanned<usize>>,
    at_s: Option<Spanned<f64>>,
    variant: Option<Spanned<String>>,
    recovery: Option<Spanned<String>>,
    bank_deg: Option<Spanned<f64>>,
    heading_deg: Option<Spanned<f64>>,
    speed_kias: Option<Spanned<f64>>,
    altitude_ft: Option<Spanned<f64>>,
    point_ft: Option<Spanned<f64>>,
    point: Option<Spanned<LatLon>>,
    line: Option<Spanned<[LatLon; 2]>>,
    pylons: Option<Spanned<[LatLon; 2]>>,
    corners: Option<Spanned<[LatLon; 4]>>,
}

type Place<'a> = (&'a str, &'a str);

fn wrong<T>((name, text): Place, found: &Spanned<T>, what: String, mend: &str) -> PackError {
    PackError::at(name, text, found.span().start, what, mend)
}

fn recovery(place: Place, word: &Spanned<String>) -> Result<Recovery, PackError> {
    Recovery::from_id(word.get_ref()).ok_or_else(|| {
        let what = limits::unknown_recovery(word.get_ref());
        wrong(place, word, what, limits::MEND_RECOVERY)
    })
}

fn variant(
    place: Place,
    kind: Option<Kind>,
    word: &Spanned<String>,
) -> Result<&'static str, PackError> {
    form_of(kind, word.get_ref()).ok_or_else(|| {
        let (what, mend) = words::unknown_variant(kind, word.get_ref(), &[PLAIN]);
        wrong(place, word, what, &mend)
    })
}

/// A number within what an aircraft can be asked for.
fn within(
    place: Place,
    found: Option<&Spanned<f64>>,
    limit: Limit,
) -> Result<Option<f64>, PackError> {
    let Some(number) = found else {
        return Ok(None);
    };
    limit
        .checked(*number.get_ref())
        .map(Some)
        .map_err(|what| wrong(place, number, what, limits::MEND_NUMBER))
}

/// The landmarks of a key.
fn landmarks<const N: usize>(
    place: Place,
    kind: Option<Kind>,
    (key, found): (&'static str, Option<&Spanned<[LatLon; N]>>),
) -> Result<Option<[LatLon; N]>, PackError> {
    let Some(places) = found else {
        return Ok(None);
    };
    reference::checked(key, kind, *places.get_ref())
        .map(Some)
        .map_err(|what| wrong(place, places, what, limits::MEND_PLACES))
}

fn counted(place: Place, found: Option<&Spanned<usize>>) -> Result<Option<usize>, PackError> {
    match found {
        Some(number) if *number.get_ref() == 0 => Err(wrong(
            place,
            number,
            limits::COUNTING.to_owned(),
            limits::MEND_COUNTING,
        )),
        other => Ok(other.map(|number| *number.get_ref())),
    }
}

impl Entry {
    fn checked(&self, place: Place) -> Result<Asked, PackError> {
        let kind = match &self.kind {
            None => None,
            Some(word) => Some(Kind::from_id(word.get_ref()).ok_or_else(|| {
                let what = limits::unknown_kind(word.get_ref());
                wrong(place, word, what, limits::MEND_KIND)
            })?),
        };
        Ok(Asked {
            kind,
            number: counted(place, self.number.as_ref())?,
            nth: counted(place, self.nth.as_ref())?,
            at_s: within(place, self.at_s.as_ref(), limits::AT_S)?,
            variant: self
                .variant
                .as_ref()
                .map(|word| variant(place, kind, word))
                .transpose()?,
            recovery: self
                .recovery
                .as_ref()
                .map(|word| recovery(place, word))
                .transpose()?,
            bank_deg: within(place, self.bank_deg.as_ref(), limits::BANK_DEG)?,
            heading_deg: within(place, self.heading_deg.as_ref(), limits::HEADING_DEG)?,
            speed_kias: within(place, self.speed_kias.as_ref(), limits::SPEED_KIAS)?,
            altitude_ft: within(place, self.altitude_ft.as_ref(), limits::ALTITUDE_FT)?,
            point_ft: within(place, self.point_ft.as_ref(), limits::POINT_FT)?,
            point: match &self.point {
                None => None,
                Some(one) => reference::checked("point", kind, [*one.get_ref()])
                    .map(|[point]| Some(point))
                    .map_err(|what| wrong(place, one, what, limits::MEND_PLACES))?,
            },
            line: landmarks(place, kind, ("line", self.line.as_ref()))?,
            pylons: landmarks(place, kind, ("pylons", self.pylons.as_ref()))?,
            corners: landmarks(place, kind, ("corners", self.corners.as_ref()))?,
        })
    }
}
