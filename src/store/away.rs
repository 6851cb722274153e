//! An unfinished session that nobody will finish is put away: its journal moves out of the open sessions, and stays.

use std::fs;
use std::io;
use std::path::PathBuf;

use super::disk::{make_folder, sync_folder};
use super::{Store, StoreError};

impl Store {
    fn away_folder(&self) -> PathBuf {
        self.root().join("away")
    }

    /// Where a session is when it was put away; `id` is a whole id.
    pub(super) fn away_path(&self, id: &str) -> PathBuf {
        self.away_folder().join(format!("{id}.ndjson"))
    }

    /// Moves the journal of an open session to `away/ID.ndjson`, where no list shows it; gives its new path.
    ///
    /// # Errors
    /// As [`Store::resume`], and where the disk fails.
    pub fn put_away(&self, id_or_part: &str) -> Result<PathBuf, StoreError> {
        let resumed = self.resume(id_or_part)?;
        let from = resumed.journal.path().to_owned();
        let to = self.away_path(resumed.journal.id());
        let folder = self.away_folder();
        make_folder(&folder)?;
        if to.exists() {
            return Err(StoreError::disk("move the journal to", &to, io::ErrorKind::AlreadyExists.into()));
        }
        fs::rename(&from, &to).map_err(|why| StoreError::disk("move", &from, why))?;
        sync_folder(&folder)?;
        sync_folder(&self.root().join("open"))?;
        Ok(to)
    }
}
