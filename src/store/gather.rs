//! Records gathered for an audit: from a store, or from a folder that holds records.

use std::fs;
use std::path::{Path, PathBuf};

use super::disk::read_up_to;
use super::error::in_words;
use super::{Store, StoreError};
use crate::audit::Witness;
use crate::record::RECORD_MAX;

/// What is in a folder that is audited.
#[derive(Debug)]
pub struct Gathered {
    /// The folder.
    pub root: PathBuf,
    /// Everything that has the name of a record.
    pub files: Vec<PathBuf>,
    /// The last record that the store itself remembers.
    pub witness: Option<Witness>,
}

/// Finds the records in a store, or in a folder that holds record files itself or in folders named after years.
///
/// # Errors
/// Where it is no folder, or a folder cannot be read.
pub fn gather(root: &Path) -> Result<Gathered, StoreError> {
    let store = Store::at(root);
    if !store.root().is_dir() {
        return Err(StoreError::NoFolder { path: store.root().to_owned() });
    }
    let root = store.root().to_owned();
    if store.is_one() {
        let files = store.records()?;
        let witness = store.witness(&files);
        return Ok(Gathered { root, files, witness });
    }
    let mut files = super::records::json_files(&root)?;
    for folder in super::records::entries(&root)? {
        let is_year =
            folder.file_name().is_some_and(|name| name.len() == 4 && name.to_string_lossy().parse::<u16>().is_ok());
        if is_year && folder.is_dir() {
            files.extend(super::records::json_files(&folder)?);
        }
    }
    Ok(Gathered { root, files, witness: None })
}

/// The bytes of a record file, of any content.
///
/// # Errors
/// Why it cannot be read, as the end of a sentence.
pub fn record_bytes(path: &Path) -> Result<Vec<u8>, String> {
    read_up_to(path, RECORD_MAX).map_err(|error| in_words(&error))
}

impl Store {
    /// Whether the folder is laid out as a store, as far as there is anything in it.
    fn is_one(&self) -> bool {
        ["records", "open", "bench.toml"].iter().any(|part| fs::symlink_metadata(self.root().join(part)).is_ok())
    }
}
