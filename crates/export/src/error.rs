//! What can go wrong on the way out.

/// Why a file could not be made.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The Parquet library refused.
    #[error("the flight cannot be written as Parquet ({0}); take the CSV, and report this")]
    Parquet(String),
    /// The archive could not be written.
    #[error(
        "the zip cannot be written ({0}); make room on the disk, or take fewer flights at once"
    )]
    Zip(String),
}
