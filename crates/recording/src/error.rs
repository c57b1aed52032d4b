//! Why a file could not be read at all, where, and how to mend it.

use std::fmt;

/// A recording that could not be read. What could be read of a damaged file is *not* an error: that
/// comes back as a recording with notes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReadError {
    /// File name as the caller gave it, with the member of an archive after a colon.
    pub file: String,
    /// 1-based line, 0 = the file as a whole.
    pub line: u64,
    /// 1-based column of the table, 0 = the whole line.
    pub column: u32,
    /// What was found.
    pub cause: Cause,
}

/// What was found, with what was allowed.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Cause {
    /// No bytes, or nothing but blanks.
    #[error("the file is empty")]
    Empty,
    /// Bytes that are no text.
    #[error("this is not a text table ({0})")]
    NotText(String),
    /// The archive is damaged from its first bytes, or of a kind that is not read.
    #[error("the archive cannot be unpacked ({0})")]
    Archive(String),
    /// The archive unpacks to more than is allowed: most likely hostile.
    #[error(
        "the archive unpacks to more than {limit_mib} MiB, or to more than {ratio} times its size"
    )]
    TooLarge {
        /// Allowed size, MiB.
        limit_mib: u64,
        /// Allowed ratio.
        ratio: u64,
    },
    /// No rows of numbers were found.
    #[error("no table of numbers was found")]
    NoTable,
    /// A table, but nothing in it runs like a clock.
    #[error("no column of the table is a time")]
    NoTime,
    /// A column named in the map is not in the table.
    #[error("the map names column \"{0}\", which the table does not have")]
    NoSuchColumn(String),
    /// A unit named in the map is not known, or does not fit the quantity.
    #[error("the map gives unit \"{unit}\" for {quantity}, which does not fit")]
    BadUnit {
        /// The quantity's id.
        quantity: String,
        /// The unit as written.
        unit: String,
    },
    /// The XML of a GPX file ends or breaks before the first point.
    #[error("the GPX file cannot be parsed ({0})")]
    Gpx(String),
}

impl Cause {
    /// How to mend it.
    #[must_use]
    pub fn mend(&self) -> &'static str {
        match self {
            Self::Empty => "copy the file from the recorder again",
            Self::NotText(_) => "export the recording as CSV or GPX",
            Self::Archive(_) => "unpack it by hand, or copy it from the recorder again",
            Self::TooLarge { .. } => "unpack it by hand and read the table itself",
            Self::NoTable => {
                "check that this is the recorder's log; a table needs at least two rows of numbers"
            }
            Self::NoTime => "export with a time column, or name it with --map time=COLUMN[:UNIT]",
            Self::NoSuchColumn(_) => {
                "list the columns with `proofwing inspect`, or name one by number as #3"
            }
            Self::BadUnit { .. } => "give a unit of the same kind, such as kt, ft, deg, inHg",
            Self::Gpx(_) => "export the track again",
        }
    }
}

impl fmt::Display for ReadError {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{}", self.file)?;
        if self.line > 0 {
            write!(out, ", line {}", self.line)?;
        }
        if self.column > 0 {
            write!(out, ", column {}", self.column)?;
        }
        write!(out, ": {}; {}", self.cause, self.cause.mend())
    }
}

impl std::error::Error for ReadError {}
