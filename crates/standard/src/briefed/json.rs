//! The same as JSON, with the same keys, limits and words as the file.

use super::limits::{self, Limit};
use super::reference::{self, LatLon};
use super::{Asked, Recovery, form_of};
use crate::pack::PLAIN;
use crate::words;
use maneuver::Kind;
use serde::de::{Deserialize, Deserializer, Error};
use serde::{Serialize, Serializer};

/// An entry before it is checked.
#[derive(serde::Deserialize)]
#[serde(deny_unknown_fields)]
struct AskedJson {
    kind: Option<String>,
    number: Option<usize>,
    nth: Option<usize>,
    at_s: Option<f64>,
    variant: Option<String>,
    recovery: Option<Recovery>,
    bank_deg: Option<f64>,
    heading_deg: Option<f64>,
    speed_kias: Option<f64>,
    altitude_ft: Option<f64>,
    point_ft: Option<f64>,
    point: Option<LatLon>,
    line: Option<[LatLon; 2]>,
    pylons: Option<[LatLon; 2]>,
    corners: Option<[LatLon; 4]>,
}

impl TryFrom<AskedJson> for Asked {
    type Error = String;

    fn try_from(entry: AskedJson) -> Result<Asked, String> {
        let kind = entry.kind.map(|id| {
            Kind::from_id(&id)
                .ok_or_else(|| format!("{}; {}", limits::unknown_kind(&id), limits::MEND_KIND))
        });
        let kind = kind.transpose()?;
        let variant = entry.variant.map(|id| {
            form_of(kind, &id).ok_or_else(|| {
                let (what, mend) = words::unknown_variant(kind, &id, &[PLAIN]);
                format!("{what}; {mend}")
            })
        });
        Ok(Asked {
            kind,
            variant: variant.transpose()?,
            number: counted("number", entry.number)?,
            nth: counted("nth", entry.nth)?,
            at_s: within(entry.at_s, limits::AT_S)?,
            recovery: entry.recovery,
            bank_deg: within(entry.bank_deg, limits::BANK_DEG)?,
            heading_deg: within(entry.heading_deg, limits::HEADING_DEG)?,
            speed_kias: within(entry.speed_kias, limits::SPEED_KIAS)?,
            altitude_ft: within(entry.altitude_ft, limits::ALTITUDE_FT)?,
            point_ft: within(entry.point_ft, limits::POINT_FT)?,
            point: landmarks("point", kind, entry.point.map(|one| [one]))?.map(|[point]| point),
            line: landmarks("line", kind, entry.line)?,
            pylons: landmarks("pylons", kind, entry.pylons)?,
            corners: landmarks("corners", kind, entry.corners)?,
        })
    }
}

fn within(number: Option<f64>, limit: Limit) -> Result<Option<f64>, String> {
    number
        .map(|number| limit.checked(number))
        .transpose()
        .map_err(|what| format!("{what}; {}", limits::MEND_NUMBER))
}

fn landmarks<const N: usize>(
    key: &'static str,
    kind: Option<Kind>,
    places: Option<[LatLon; N]>,
) -> Result<Option<[LatLon; N]>, String> {
    places
        .map(|places| reference::checked(key, kind, places))
        .transpose()
        .map_err(|what| format!("{what}; {}", limits::MEND_PLACES))
}

fn counted(key: &str, number: Option<usize>) -> Result<Option<usize>, String> {
    if number == Some(0) {
        let (what, mend) = (limits::COUNTING, limits::MEND_COUNTING);
        return Err(format!("{key} 0: {what}; {mend}"));
    }
    Ok(number)
}

impl<'de> Deserialize<'de> for Asked {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        AskedJson::deserialize(deserializer)?
            .try_into()
            .map_err(D::Error::custom)
    }
}

impl Serialize for Recovery {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(self.id())
    }
}

impl<'de> Deserialize<'de> for Recovery {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        let id = String::deserialize(deserializer)?;
        Recovery::from_id(&id).ok_or_else(|| {
            let what = limits::unknown_recovery(&id);
            D::Error::custom(format!("{what}; {}", limits::MEND_RECOVERY))
        })
    }
}
