//! Everything by which a reconstructed flight leaves: the page's series, KML, GPX, CSV, Parquet, and the
//! zip that holds a student's record. Bytes out; no file is opened here.
//!
//! Numbers leave in display units (feet, knots, degrees), the unit last in every name, with origin and 1-σ
//! where known. What the recorder could not support is absent, what is unknown for a while is NaN or empty.

mod archive;
mod column;
mod csv;
mod error;
mod gpx;
mod kml;
mod parquet;
mod path;
mod phases;
mod place;
mod quantities;
pub mod series;
mod time;
mod units;
mod xml;

pub use archive::{safe_name, zip, zip_into};
pub use error::ExportError;

use aircraft::Aircraft;
use debrief::Debrief;
use flight::Flight;

/// The flight as typed columns for the debrief page; see [`mod@series`] for the layout.
#[must_use]
pub fn series(flight: &Flight, aircraft: &Aircraft) -> Vec<u8> {
    series::write(flight, aircraft)
}

/// The path and its maneuvers as OGC KML 2.3, altitudes absolute. Without a position only names are in it.
#[must_use]
pub fn kml(flight: &Flight, debrief: &Debrief) -> Vec<u8> {
    kml::write(flight, debrief).into_bytes()
}

/// The path as GPX 1.1: one track, segments split at holes, a waypoint where each maneuver begins.
#[must_use]
pub fn gpx(flight: &Flight, debrief: &Debrief) -> Vec<u8> {
    gpx::write(flight, debrief).into_bytes()
}

/// The whole flight as a table after RFC 4180: a row for each sample, each quantity with its 1-σ, and the
/// maneuver and phase of the moment.
#[must_use]
pub fn csv(flight: &Flight, debrief: &Debrief) -> Vec<u8> {
    csv::write(flight, debrief)
}

/// The whole flight as Apache Parquet: the same columns as [`fn@csv`], typed, with unit, origin and 1-σ of
/// each in the file's metadata (keys `columns` and `proofwing`).
///
/// # Errors
/// [`ExportError::Parquet`] when the library refuses, which no flight should bring about.
pub fn parquet(flight: &Flight, debrief: &Debrief) -> Result<Vec<u8>, ExportError> {
    parquet::write(flight, debrief).map_err(|error| ExportError::Parquet(error.to_string()))
}
