//! Reads a series back: for tests and for scripts that want what the page gets.

use super::{Header, MAGIC};

/// A series that was read.
#[derive(Clone, Debug)]
pub struct Read {
    /// The description.
    pub header: Header,
    /// One list a column, in the header's order, each `len` long.
    pub values: Vec<Vec<f32>>,
}

impl Read {
    /// Values of a column by its id.
    #[must_use]
    pub fn values(&self, id: &str) -> Option<&[f32]> {
        let place = self
            .header
            .columns
            .iter()
            .position(|column| column.id == id)?;
        self.values.get(place).map(Vec::as_slice)
    }
}

/// Why bytes are no series.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// Something else, or nothing.
    #[error("the bytes do not begin with PWS1: this is no flight series; ask for it again")]
    Magic,
    /// The description cannot be read.
    #[error("the header of the series cannot be read ({0}); ask for it again")]
    Header(String),
    /// Fewer bytes than the description promises.
    #[error("column {0} of the series ends too early; ask for it again")]
    Short(String),
}

/// Reads what [`crate::series()`] wrote.
///
/// # Errors
/// [`ReadError`] for bytes that are none, damaged, or cut short.
pub fn read(bytes: &[u8]) -> Result<Read, ReadError> {
    let rest = bytes.strip_prefix(&MAGIC).ok_or(ReadError::Magic)?;
    let (length, rest) = rest.split_first_chunk::<4>().ok_or(ReadError::Magic)?;
    let length = u32::from_le_bytes(*length) as usize;
    let (text, data) = rest
        .split_at_checked(length)
        .ok_or_else(|| ReadError::Header("it ends too early".to_owned()))?;
    let header: Header =
        serde_json::from_slice(text).map_err(|error| ReadError::Header(error.to_string()))?;
    let column = |column: &super::ColumnHeader| {
        let short = || ReadError::Short(column.id.clone());
        let size = header.len.checked_mul(4).ok_or_else(short)?;
        let end = column.offset.checked_add(size).ok_or_else(short)?;
        let bytes = data.get(column.offset..end).ok_or_else(short)?;
        Ok(bytes
            .as_chunks::<4>()
            .0
            .iter()
            .map(|four| f32::from_le_bytes(*four))
            .collect())
    };
    let values = header
        .columns
        .iter()
        .map(column)
        .collect::<Result<_, _>>()?;
    Ok(Read { header, values })
}
