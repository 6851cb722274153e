//! Records read from disk.

use std::path::Path;

use super::StoreError;
use super::disk::read_up_to;
use super::error::in_words;
use crate::record::{RECORD_MAX, Record, parse_record};

/// Reads a record. Whether it is as it was signed off is another question: see [`crate::record::is_intact`].
///
/// # Errors
/// Where the file cannot be read or is not a record of this version.
pub fn read_record(path: &Path) -> Result<Record, StoreError> {
    let refused = |what| StoreError::Record { path: path.to_owned(), what };
    let bytes = read_up_to(path, RECORD_MAX).map_err(|error| refused(in_words(&error)))?;
    parse_record(&bytes).map_err(refused)
}
