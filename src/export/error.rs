//! What can go wrong with an export.

use std::io;

/// Why rows cannot be written. What was written until then is no whole file.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The file does not take them.
    #[error("the rows cannot be written: {0}")]
    Io(#[from] io::Error),
    /// A number that no format holds.
    #[error("the rows cannot be written: `{column}` is not a finite number")]
    NotFinite {
        /// Of which column.
        column: &'static str,
    },
    /// A whole number that Parquet does not hold.
    #[error("the rows cannot be written: `{column}` is {number}, more than Parquet holds")]
    TooLarge {
        /// Of which column.
        column: &'static str,
        /// The number.
        number: u64,
    },
    /// The Parquet writer failed.
    #[error("the rows cannot be written as Parquet: {0}")]
    Parquet(String),
    /// Parquet was left out when the program was built.
    #[error("this program was built without Parquet; `ndjson` and `csv` hold the same rows")]
    NoParquet,
}
