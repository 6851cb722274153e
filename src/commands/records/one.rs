//! One record, found by its id, with what is known of it.

use std::path::PathBuf;

use crate::audit::{Standing, standing};
use crate::commands::error::CommandError;
use crate::commands::trust::TrustOptions;
use crate::record::Record;
use crate::store::{Store, read_record};

/// A record that was found.
pub(super) struct One {
    pub record: Record,
    pub path: PathBuf,
    pub standing: Standing,
    /// What is wrong with the trust list.
    pub warnings: Vec<String>,
}

impl One {
    /// The record with this id, or the only one whose id starts or ends so.
    pub fn find(id: &str, trust: &TrustOptions, store: &Store) -> Result<Self, CommandError> {
        let path = store.find_record(id)?;
        let record = read_record(&path)?;
        let (list, warnings) = trust.list(store)?;
        let standing = standing(&record, list.as_ref());
        Ok(Self { record, path, standing, warnings })
    }
}
