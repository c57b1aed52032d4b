//! From bytes to a [`Recording`]: channels in SI on the recorder's own clock, and an account of
//! everything that was odd. No file is opened here; the caller hands over the bytes.
//!
//! ```
//! let table = "time,alt ft,ias kt\n2025-05-08T20:17:24Z,3370,81.3\n2025-05-08T20:17:25Z,3372,81.3\n";
//! let read = recording::read("flight.csv", table.as_bytes(), &recording::ReadOptions::default())?;
//! let ias_mps = read.recordings[0].values(recording::Quantity::AirspeedIndicated).unwrap();
//! assert!((ias_mps[0] - 41.82).abs() < 0.01);
//! # Ok::<(), recording::ReadError>(())
//! ```

mod agree;
mod assemble;
mod calendar;
mod cell;
mod channel;
mod civil;
mod clean;
mod clock;
mod column;
mod container;
mod counters;
mod digits;
mod error;
mod gpx;
mod head;
mod map;
mod names;
mod normalize;
mod options;
mod plausible;
mod position;
mod quantity;
mod recognize;
mod report;
mod sample;
mod sequence;
mod spread;
mod summary;
mod table;
mod vocabulary;
mod words;
mod world;

pub use channel::*;
pub use error::{Cause, ReadError};
pub use map::SavedMap;
pub use options::{MapEntry, ReadOptions, Target};
pub use report::{ColumnReport, Report, TimeReport};

/// What [`read`] gives: the recordings in order of time, and what was understood.
#[derive(Clone, Debug, Default)]
pub struct Read {
    /// One for each flight or power-up in the file; never empty.
    pub recordings: Vec<Recording>,
    /// What was understood, and what was odd.
    pub report: Report,
}

/// Reads a recording: any table with a time in it, or GPX, plain or packed.
///
/// `name` is used in messages only; what the bytes are is found from the bytes.
///
/// # Errors
/// When there is nothing to be read; damaged parts of a readable file become notes instead.
pub fn read(name: &str, bytes: &[u8], options: &ReadOptions) -> Result<Read, ReadError> {
    let mut first_error = None;
    let mut best: Option<Read> = None;
    for member in container::open(name, bytes, options)? {
        match assemble::read_text(&member.name, &member.bytes, member.notes, options) {
            Ok(mut read) => {
                read.report.container = member.container;
                read.report.encoding = member.encoding.to_owned();
                match &mut best {
                    None => best = Some(read),
                    Some(best) => best.recordings.append(&mut read.recordings),
                }
            }
            Err(error) => {
                first_error.get_or_insert(error);
            }
        }
    }
    best.ok_or_else(|| {
        first_error.unwrap_or(ReadError {
            file: name.to_owned(),
            line: 0,
            column: 0,
            cause: Cause::Empty,
        })
    })
}

/// Milliseconds that each stage of reading a plain table takes; for measuring only.
#[doc(hidden)]
#[must_use]
pub fn time_stages(name: &str, bytes: &[u8]) -> Vec<(&'static str, f64)> {
    assemble::time_stages(name, bytes)
}
