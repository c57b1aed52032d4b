//! The flight as the debrief page reads it: columns of typed numbers behind a short description.
//!
//! | bytes | what |
//! |---|---|
//! | 4 | `PWS1` |
//! | 4 | length of the header, u32 little-endian |
//! | that many | the [`Header`] as JSON, UTF-8, padded with spaces so that what follows starts at a multiple of 8 |
//! | 4 × `len` each | the columns: f32 little-endian, one number a sample, NaN where unknown |
//!
//! A column starts `offset` bytes behind the header. Sample `i` is `i × step_s` seconds after the first.
//! Directions are unwrapped. `stall_margin_percent` is the speed above the stall speed *of the moment* (of
//! the flap setting, the mass and the load factor then): 100·(1/√(lift ratio) − 1).

mod read;

pub use read::{Read, ReadError, read};

use aircraft::Aircraft;
use flight::{Air, Fit, Flight};
use serde::{Deserialize, Serialize};

use crate::column::{Column, known, origin_id};
use crate::units::Unit;
use crate::{place, quantities, time};

/// The first four bytes.
pub const MAGIC: [u8; 4] = *b"PWS1";

/// Room that is kept free for the header, so that the numbers need not be moved once it is known: bytes for
/// itself, for a column and for a flap movement. What is not needed stays spaces.
const ROOM: usize = 2_048;
const COLUMN_ROOM: usize = 320;
const STEP_ROOM: usize = 160;

/// What stands before the numbers. Numbers that are not known are null.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Header {
    /// Seconds between samples.
    pub step_s: f64,
    /// Samples of each column.
    pub len: usize,
    /// UTC of the first sample, RFC 3339.
    pub start_utc: Option<String>,
    /// Where `east_m` and `north_m` are zero.
    pub origin: Option<OriginPlace>,
    /// Magnetic variation, degrees, east positive: true = magnetic + variation.
    pub variation_deg: Option<f64>,
    /// `rich`, `panel`, `gnss_attitude`, `gnss`, `sparse`.
    pub fit: String,
    /// `calm`, `light`, `rough`.
    pub air: String,
    /// Type of the aircraft as the school writes it.
    pub aircraft: String,
    /// Angle of attack at the stall with the flaps up, degrees, where the aircraft file has it.
    #[serde(default)]
    pub critical_aoa_deg: Option<f64>,
    /// Wing span, m, where the aircraft file has it.
    #[serde(default)]
    pub wing_span_m: Option<f64>,
    /// The aircraft's flap settings in order of angle, for ticks and limits.
    pub flap_detents: Vec<FlapDetent>,
    /// What the columns are, in the order in which they lie.
    pub columns: Vec<ColumnHeader>,
    /// Flap movements.
    pub flap_steps: Vec<FlapStep>,
    /// Holes of the recording, s: first and last sample of each; all values there are NaN.
    pub gaps: Vec<(f64, f64)>,
}

/// A place.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct OriginPlace {
    /// WGS-84, north positive.
    pub latitude_deg: f64,
    /// WGS-84, east positive.
    pub longitude_deg: f64,
}

/// One flap setting of the aircraft.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct FlapDetent {
    /// Angle, degrees.
    pub angle_deg: f64,
    /// Highest indicated airspeed, kt.
    pub limit_kt: Option<f64>,
    /// Stall speed at the reference mass, kt indicated.
    pub stall_kt: Option<f64>,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ColumnHeader {
    /// Name with the unit last.
    pub id: String,
    /// For people.
    pub title: String,
    /// Unit of the values, of `sigma`, `low` and `high`; `1` for plain numbers.
    pub unit: String,
    /// `measured`, `derived`, `assumed`.
    pub origin: String,
    /// Bytes from the end of the header.
    pub offset: usize,
    /// 1-σ: the constant one, or the median of a varying one (over at most 1,001 samples spread evenly).
    pub sigma: Option<f64>,
    /// Whether σ differs from sample to sample.
    pub sigma_varies: bool,
    /// Least value.
    pub low: Option<f64>,
    /// Greatest value.
    pub high: Option<f64>,
}

/// One flap movement.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct FlapStep {
    /// When, s.
    pub at_s: Option<f64>,
    /// 1-σ of the time, s.
    pub sigma_s: Option<f64>,
    /// From, degrees.
    pub from_deg: Option<f64>,
    /// To, degrees.
    pub to_deg: Option<f64>,
    /// Chance that it happened at all, 0 to 1.
    pub probability: Option<f64>,
    /// `measured` or `derived`.
    pub origin: String,
}

/// The whole flight in one piece, for [`read`] and for the page. Never fails: what is not known is absent
/// or NaN.
pub(crate) fn write(flight: &Flight, aircraft: &Aircraft) -> Vec<u8> {
    let known = known(flight);
    let columns = quantities::columns(flight);
    let steps = flight.flaps.as_ref().map_or(0, |flaps| flaps.steps.len());
    let room = (ROOM + COLUMN_ROOM * columns.len() + STEP_ROOM * steps).next_multiple_of(8);
    let mut out = Vec::with_capacity(room + columns.len() * known.len() * 4);
    out.resize(room, b' ');
    let described = columns
        .iter()
        .map(|column| describe(column, &known, room, &mut out))
        .collect();
    let header = header(flight, aircraft, &known, described);
    // Strings, numbers and lists always have a JSON form; an empty header would be refused by the reader.
    let text = serde_json::to_vec(&header).unwrap_or_default();
    let needed = (MAGIC.len() + 4 + text.len()).next_multiple_of(8);
    if needed > room {
        // Long names or very many holes: the numbers move on.
        out.splice(room..room, std::iter::repeat_n(b' ', needed - room));
    }
    let length = u32::try_from(needed.max(room) - MAGIC.len() - 4).unwrap_or(u32::MAX);
    let head = MAGIC.into_iter().chain(length.to_le_bytes()).chain(text);
    for (slot, byte) in out.iter_mut().zip(head) {
        *slot = byte;
    }
    out
}

fn describe(column: &Column<'_>, known: &[bool], start: usize, out: &mut Vec<u8>) -> ColumnHeader {
    let offset = out.len().saturating_sub(start);
    let range = column.write(known, out);
    ColumnHeader {
        id: column.id.to_owned(),
        title: column.title.to_owned(),
        unit: column.unit.word().to_owned(),
        origin: origin_id(column.origin).to_owned(),
        offset,
        sigma: column.usual_sigma(known).and_then(number),
        sigma_varies: column.varies(),
        low: range.and_then(|(low, _)| number(f64::from(low))),
        high: range.and_then(|(_, high)| number(f64::from(high))),
    }
}

pub(crate) fn header(
    flight: &Flight,
    aircraft: &Aircraft,
    known: &[bool],
    columns: Vec<ColumnHeader>,
) -> Header {
    let in_unit = |value: f64, unit: Unit| number(value / unit.si());
    Header {
        step_s: number(flight.clock.step_s).unwrap_or(0.0),
        len: known.len(),
        start_utc: flight.start_unix_s.and_then(time::utc),
        origin: place::Places::of(flight).map(|_| OriginPlace {
            latitude_deg: flight.origin_latitude_rad.to_degrees(),
            longitude_deg: flight.origin_longitude_rad.to_degrees(),
        }),
        variation_deg: in_unit(flight.variation_rad, Unit::Degree),
        fit: fit_id(flight.fit).to_owned(),
        air: air_id(flight.air).to_owned(),
        aircraft: aircraft.name.clone(),
        critical_aoa_deg: aircraft
            .critical_aoa_rad
            .and_then(|angle| in_unit(angle, Unit::Degree)),
        wing_span_m: aircraft.wing_span_m.and_then(number),
        flap_detents: aircraft
            .flaps
            .iter()
            .filter_map(|detent| {
                Some(FlapDetent {
                    angle_deg: in_unit(detent.angle_rad, Unit::Degree)?,
                    limit_kt: detent
                        .limit_mps
                        .and_then(|speed| in_unit(speed, Unit::Knot)),
                    stall_kt: detent
                        .stall_mps
                        .and_then(|speed| in_unit(speed, Unit::Knot)),
                })
            })
            .collect(),
        columns,
        flap_steps: flight
            .flaps
            .iter()
            .flat_map(|flaps| &flaps.steps)
            .map(flap_step)
            .collect(),
        gaps: place::runs(known.len(), |index| known.get(index) == Some(&false))
            .into_iter()
            .map(|(first, last)| (flight.clock.time_s(first), flight.clock.time_s(last)))
            .filter(|(first, last)| first.is_finite() && last.is_finite())
            .collect(),
    }
}

fn flap_step(step: &flight::FlapStep) -> FlapStep {
    FlapStep {
        at_s: number(step.at_s),
        sigma_s: number(step.sigma_s),
        from_deg: number(step.from_rad.to_degrees()),
        to_deg: number(step.to_rad.to_degrees()),
        probability: number(step.probability),
        origin: origin_id(step.origin).to_owned(),
    }
}

/// Six digits behind the point are less than anybody measures in any of the units, and spare the header
/// the tail of a conversion.
fn number(value: f64) -> Option<f64> {
    let tidy = (value * 1e6).round() / 1e6;
    tidy.is_finite().then_some(tidy)
}

fn fit_id(fit: Fit) -> &'static str {
    match fit {
        Fit::Rich => "rich",
        Fit::Panel => "panel",
        Fit::GnssAttitude => "gnss_attitude",
        Fit::Gnss => "gnss",
        Fit::Sparse => "sparse",
    }
}

fn air_id(air: Air) -> &'static str {
    match air {
        Air::Calm => "calm",
        Air::Light => "light",
        Air::Rough => "rough",
    }
}
