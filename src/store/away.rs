//! An unfinished session that nobody will finish is put away: its journal moves out of the open sessions, and stays.

use std::fs;
use std::path::PathBuf;

use super::disk::{make_folder, sync_folder};
use super::{Store, StoreError};

impl Store {
    /// Moves the journal of an open session to `away/ID.ndjson`, where no list shows it; gives its new path.
    ///
    /// # Errors
    /// As [`Store::resume`], and where the disk fails.
    pub fn put_away(&self, id_or_part: &str) -> Result<PathBuf, StoreError> {
        let resumed = self.resume(id_or_part)?;
        let from = resumed.journal.path().to_owned();
        let folder = self.root().join("away");
        make_folder(&folder)?;
        let to = folder.join(from.file_name().unwrap_or_default());
        fs::rename(&from, &to).map_err(|why| StoreError::disk("move", &from, why))?;
        sync_folder(&folder)?;
        sync_folder(&self.root().join("open"))?;
        Ok(to)
    }
}
