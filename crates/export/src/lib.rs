//! Everything by which a reconstructed flight leaves: the page's series, KML, GPX, CSV, Parquet, and the
//! zip that holds a student's record. Bytes out; no file is opened here.
//!
//! Numbers leave in display units (feet, knots, degrees), the unit last in every name, with origin and 1-σ
//! where known. What the recorder could not support is absent, what is unknown for a while is NaN or empty.

mod column;
mod place;
mod quantities;
pub mod series;
mod time;
mod units;

use aircraft::Aircraft;
use flight::Flight;

/// The flight as typed columns for the debrief page; see [`mod@series`] for the layout.
#[must_use]
pub fn series(flight: &Flight, aircraft: &Aircraft) -> Vec<u8> {
    series::write(flight, aircraft)
}
