//! What learners did in lessons and drills: a file each, that can be taken away again.

use std::fs;
use std::io::{self, ErrorKind};
use std::path::PathBuf;

use super::disk::{Existing, make_folder, put, read_up_to, sync_folder};
use super::{LEARNERS, Store, StoreError};
use crate::learn::Progress;
use crate::signature::principal_of;

/// Far more than anyone learns.
const MOST: u64 = 4 * 1024 * 1024;

impl Store {
    fn learners_folder(&self) -> PathBuf {
        self.root().join(LEARNERS)
    }

    /// Where what a learner did is kept, or would be. However a name is capitalised, it is the same learner.
    pub fn learner_path(&self, name: &str) -> PathBuf {
        self.learners_folder().join(format!("{}.json", principal_of(name)))
    }

    /// The learners of this store, whoever learnt last first. A file that cannot be read hides no other.
    ///
    /// # Errors
    /// Where the folder cannot be read.
    pub fn learners(&self) -> Result<Vec<Progress>, StoreError> {
        let paths = super::records::entries(&self.learners_folder())?;
        let mut found: Vec<_> = paths
            .into_iter()
            .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
            .filter_map(|path| {
                let progress = Progress::from_json(&read_up_to(&path, MOST).ok()?).ok()?;
                Some((fs::metadata(&path).and_then(|data| data.modified()).ok(), progress))
            })
            .collect();
        found.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
        Ok(found.into_iter().map(|(_, progress)| progress).collect())
    }

    /// What a learner did; nothing where there is none of this name.
    ///
    /// # Errors
    /// Where the file is damaged or cannot be read.
    pub fn progress(&self, name: &str) -> Result<Progress, StoreError> {
        let path = self.learner_path(name);
        match read_up_to(&path, MOST) {
            Ok(bytes) => Progress::from_json(&bytes)
                .map_err(|why| StoreError::disk("read", &path, io::Error::new(ErrorKind::InvalidData, why))),
            Err(why) if why.kind() == ErrorKind::NotFound => Ok(Progress::new(name)),
            Err(why) => Err(StoreError::disk("read", &path, why)),
        }
    }

    /// Adds to what a learner did. What another window added meanwhile stays.
    ///
    /// # Errors
    /// Where it cannot be read or written; then it is as it was.
    pub fn add_progress(&self, name: &str, add: impl FnOnce(&mut Progress)) -> Result<Progress, StoreError> {
        make_folder(&self.learners_folder())?;
        let _lock = self.lock()?;
        let mut progress = self.progress(name)?;
        add(&mut progress);
        let path = self.learner_path(name);
        let text = progress
            .to_json()
            .map_err(|why| StoreError::disk("write", &path, io::Error::new(ErrorKind::InvalidData, why)))?;
        put(&path, text.as_bytes(), Existing::Replaced)?;
        Ok(progress)
    }

    /// Forgets a learner; whether there was one of this name.
    ///
    /// # Errors
    /// Where the file cannot be removed.
    pub fn forget_learner(&self, name: &str) -> Result<bool, StoreError> {
        let path = self.learner_path(name);
        if !path.exists() {
            return Ok(false);
        }
        let _lock = self.lock()?;
        match fs::remove_file(&path) {
            Ok(()) => sync_folder(&self.learners_folder()).map(|()| true),
            Err(why) if why.kind() == ErrorKind::NotFound => Ok(false),
            Err(why) => Err(StoreError::disk("remove", &path, why)),
        }
    }
}
