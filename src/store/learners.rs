//! What learners did in lessons and drills: a file each, that can be taken away again.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

use super::disk::{Existing, make_folder, put, read_up_to, sync_folder};
use super::{LEARNERS, Store, StoreError};
use crate::learn::Progress;
use crate::quantity::text::visible;
use crate::signature::principal_of;

/// Far more than anyone learns.
const MOST: u64 = 4 * 1024 * 1024;

impl Store {
    fn learners_folder(&self) -> PathBuf {
        self.root().join(LEARNERS)
    }

    /// Where what a learner did is kept, or would be: under the name as a file can have it, and the start of a digest of the
    /// name, so that no two names share a file. However a name is capitalised and spaced, it is the same learner.
    pub fn learner_path(&self, name: &str) -> PathBuf {
        let same = name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let digest: String = Sha256::digest(&same).iter().take(4).map(|byte| format!("{byte:02x}")).collect();
        self.learners_folder().join(format!("{}-{digest}.json", principal_of(name)))
    }

    /// The learners of this store, whoever learnt last first, and what cannot be read.
    ///
    /// # Errors
    /// Where the folder cannot be read.
    pub fn learners(&self) -> Result<(Vec<Progress>, Vec<StoreError>), StoreError> {
        let (mut found, mut damaged) = (vec![], vec![]);
        for path in super::records::entries(&self.learners_folder())? {
            if path.extension().is_none_or(|extension| extension != "json") {
                continue;
            }
            match self.read_learner(&path, None) {
                Ok(progress) => found.push((fs::metadata(&path).and_then(|data| data.modified()).ok(), progress)),
                Err(error) => damaged.push(error),
            }
        }
        found.sort_by_key(|(at, _)| std::cmp::Reverse(*at));
        Ok((found.into_iter().map(|(_, progress)| progress).collect(), damaged))
    }

    /// What a learner did; nothing where there is none of this name.
    ///
    /// # Errors
    /// Where the file is damaged or cannot be read.
    pub fn progress(&self, name: &str) -> Result<Progress, StoreError> {
        match self.read_learner(&self.learner_path(name), Some(name)) {
            Err(StoreError::Disk { why, .. }) if why.kind() == ErrorKind::NotFound => Ok(Progress::new(name)),
            read => read,
        }
    }

    /// What a file holds, which must be the learner's whose name it has; `name` where that is known.
    fn read_learner(&self, path: &Path, name: Option<&str>) -> Result<Progress, StoreError> {
        let bytes = read_up_to(path, MOST).map_err(|why| StoreError::disk("read", path, why))?;
        // Without its name a file is told by its own.
        let stem = || path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let name = name.map_or_else(stem, str::to_owned);
        let progress = Progress::from_json(&bytes).map_err(|why| damage(path, &name, why))?;
        if self.learner_path(&progress.learner) == path {
            return Ok(progress);
        }
        Err(damage(path, &name, format!("it is not the file of `{}`", visible(&progress.learner))))
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
        let text = progress.to_json().map_err(|why| damage(&path, name, why))?;
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

fn damage(path: &Path, name: &str, why: impl ToString) -> StoreError {
    StoreError::Progress { path: path.to_owned(), name: name.to_owned(), why: why.to_string() }
}
