//! Records gathered for an audit: from a store, or from a folder that holds records.

use std::path::{Path, PathBuf};

use super::disk::read_up_to;
use super::error::{in_words, shown};
use super::id::is_id;
use super::records::{entries, json_files};
use super::{FILES, FOLDERS, Store, StoreError};
use crate::audit::Witness;
use crate::record::RECORD_MAX;

/// What is in a folder that is audited.
#[derive(Debug)]
pub struct Gathered {
    /// The folder.
    pub root: PathBuf,
    /// Everything that has the name of a record.
    pub files: Vec<PathBuf>,
    /// The last records that the store itself remembers, where it is one.
    pub witnesses: Vec<Witness>,
    /// Folders in it that were not looked into.
    pub passed_over: Vec<PathBuf>,
    /// What should be known of what is not there, as sentences.
    pub warnings: Vec<String>,
}

/// Finds the records in a store, or in a folder that holds record files itself or in folders named after years. A folder may
/// be both: what lies beside the parts of a store is looked at, too.
///
/// # Errors
/// Where it is no folder, or a folder or what the store remembers cannot be read.
pub fn gather(root: &Path) -> Result<Gathered, StoreError> {
    let store = Store::at(root);
    let root = store.root().to_owned();
    if !root.is_dir() {
        return Err(StoreError::NoFolder { path: root });
    }
    // Records may be closed meanwhile: what is remembered is read first, so that every record it speaks of is listed.
    let memory = store.memory_of_chain()?;
    let mut files = store.listed_twice()?;
    let is_own =
        |path: &Path| path.file_name().is_some_and(|name| FILES.into_iter().chain(FOLDERS).any(|own| own == name));
    files.extend(json_files(&store.records_folder())?);
    files.extend(json_files(&root)?.into_iter().filter(|path| !is_own(path)));
    let mut passed_over = vec![];
    for folder in entries(&root)?.into_iter().filter(|path| path.is_dir() && !is_own(path)) {
        let name = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
        if name.len() == 4 && name.parse::<u16>().is_ok() {
            files.extend(json_files(&folder)?);
        } else if !name.starts_with('.') {
            passed_over.push(folder);
        }
    }
    let (mut witnesses, mut warnings) = (vec![], vec![]);
    match memory {
        Some(memory) => {
            warnings.extend(store.waits(&memory, &files));
            witnesses = store.witnesses(memory, &mut files);
        }
        None if store.records_folder().is_dir() && !files.is_empty() => warnings.push(format!(
            "{} does not remember its last record (chain.json is gone or damaged): records taken from the end would not be \
             missed.",
            shown(&root)
        )),
        None => {}
    }
    Ok(Gathered { root, files, witnesses, passed_over, warnings })
}

/// The id that a record file is named after; `None` where its name is no id.
pub fn id_of(path: &Path) -> Option<&str> {
    path.file_stem()?.to_str().filter(|stem| is_id(stem))
}

/// The bytes of a record file, of any content.
///
/// # Errors
/// Why it cannot be read, as the end of a sentence.
pub fn record_bytes(path: &Path) -> Result<Vec<u8>, String> {
    read_up_to(path, RECORD_MAX).map_err(|error| in_words(&error))
}

impl Store {
    /// The record files, listed until two lists are the same: a list that is made while records come in may have a later one
    /// and not the one before it.
    fn listed_twice(&self) -> Result<Vec<PathBuf>, StoreError> {
        /// So often at most; a store in which more happens meanwhile is not to be seen at rest.
        const TRIES: usize = 10;
        let mut files = self.records()?;
        for _ in 0..TRIES {
            let again = self.records()?;
            if again == files {
                break;
            }
            files = again;
        }
        Ok(files)
    }
}
