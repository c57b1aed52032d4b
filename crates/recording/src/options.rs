//! What the caller can set: corrections to what the reader understands, and limits.

use crate::Quantity;

/// How to read.
#[derive(Clone, Debug)]
pub struct ReadOptions {
    /// Corrections, which win over everything the reader finds out by itself.
    pub map: Vec<MapEntry>,
    /// Bytes that an archive may unpack to.
    pub unpacked_bytes_max: u64,
    /// How many times its own size an archive may unpack to; 16 MiB are always allowed.
    pub ratio_max: u64,
}

/// "This column is that quantity, in this unit".
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MapEntry {
    /// What the column is; [`Target::Ignore`] to leave it out.
    pub target: Target,
    /// Column name as in the header (case and outer blanks do not matter), or `#3` for the third.
    pub column: String,
    /// Unit, any spelling that is known; `None`: as the file says, or by the numbers.
    pub unit: Option<String>,
}

/// What a map entry makes of a column.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Target {
    /// A channel.
    Quantity(Quantity),
    /// The clock.
    Time,
    /// Nothing: leave it out.
    Ignore,
}

impl Default for ReadOptions {
    fn default() -> Self {
        // Text of digits packs 5 to 12 times, an hour of a parked aircraft up to a hundred times.
        // 2 GiB is a week of a rich recording at 10 Hz.
        Self {
            map: Vec::new(),
            unpacked_bytes_max: 2 << 30,
            ratio_max: 300,
        }
    }
}
