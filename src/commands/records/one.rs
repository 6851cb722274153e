//! One record, found by its id or its file, with what is known of it.

use std::path::{Path, PathBuf};

use crate::audit::{Standing, standing};
use crate::commands::error::CommandError;
use crate::commands::trust::TrustOptions;
use crate::quantity::text::visible;
use crate::record::Record;
use crate::store::{Store, StoreError, read_record};

/// A record that was found.
pub(super) struct One {
    pub record: Record,
    pub path: PathBuf,
    pub standing: Standing,
    /// What is wrong with the trust list.
    pub warnings: Vec<String>,
}

impl One {
    /// The record in this file, or with this id, or the only one whose id starts or ends so. The trust list is that of the
    /// file's folder, or of the store.
    pub fn find(id: &str, trust: &TrustOptions, store: &Store) -> Result<Self, CommandError> {
        let (record, path) = find(id, store)?;
        let beside = path.parent().map(Store::at).filter(|folder| folder.trust_list_path().exists());
        let (list, warnings) = trust.list(beside.as_ref().unwrap_or(store))?;
        let standing = standing(&record, list.as_ref());
        Ok(Self { record, path, standing, warnings })
    }
}

/// The record in this file, or with this id. A file of another record's name is refused.
pub(in crate::commands) fn find(id: &str, store: &Store) -> Result<(Record, PathBuf), CommandError> {
    let file = Path::new(id);
    let is_named_as_file = file.extension().is_some_and(|extension| extension == "json");
    if is_named_as_file && file.is_file() {
        return Ok((read_record(file)?, file.to_owned()));
    }
    if is_named_as_file || file.components().count() > 1 {
        let text = format!(
            "`{}` is no record file that is there, and no id; `cornerset records list` shows them",
            visible(id)
        );
        return Err(CommandError::Usage(text));
    }
    let path = store.find_record(id)?;
    let record = read_record(&path)?;
    if path.file_stem().is_none_or(|stem| stem != record.id.as_str()) {
        let what = format!("it holds the record {}, which is not the one that it is named after", visible(&record.id));
        return Err(StoreError::Record { path, what }.into());
    }
    Ok((record, path))
}
