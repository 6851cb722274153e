//! Locks: one for the store, held for moments; one for each journal, held as long as its session is worked on.
//!
//! Both are advisory locks of the operating system, so they end with the program, however it ends.

use std::fs::{File, OpenOptions, TryLockError};
use std::io;
use std::path::Path;
use std::time::{Duration, Instant};

use super::disk::make_folder;
use super::{Store, StoreError};

/// How long to wait for the store.
const STORE_PATIENCE: Duration = Duration::from_secs(30);
/// How long to wait for a journal: someone who only lists the open sessions holds it for a moment.
pub(super) const JOURNAL_PATIENCE: Duration = Duration::from_millis(300);
const PAUSE: Duration = Duration::from_millis(5);

/// The store's lock, until it is dropped.
#[derive(Debug)]
pub(super) struct StoreLock {
    _file: File,
}

impl Store {
    /// Waits until no one else writes the store's common files.
    pub(super) fn lock(&self) -> Result<StoreLock, StoreError> {
        self.lock_unless(&|| false)
    }

    /// As [`Store::lock`], until `stop` says to wait no longer.
    pub(super) fn lock_unless(&self, stop: &dyn Fn() -> bool) -> Result<StoreLock, StoreError> {
        make_folder(self.root())?;
        lock_folder(self.root(), stop)
    }
}

/// Waits until no one else writes the common files of a folder, unless `stop` says to wait no longer.
pub(super) fn lock_folder(folder: &Path, stop: &dyn Fn() -> bool) -> Result<StoreLock, StoreError> {
    let path = folder.join(".lock");
    let open = OpenOptions::new().read(true).write(true).create(true).truncate(false).open(&path);
    let file = open.map_err(|why| StoreError::disk("open", &path, why))?;
    match lock_exclusively(&file, STORE_PATIENCE, stop) {
        Ok(true) => Ok(StoreLock { _file: file }),
        Ok(false) if stop() => Err(StoreError::Stopped),
        Ok(false) => Err(StoreError::Busy { path }),
        Err(why) => Err(StoreError::disk("lock", &path, why)),
    }
}

/// Locks a file for oneself; `false` where someone else kept it locked all the while, or until `stop`.
pub(super) fn lock_exclusively(file: &File, patience: Duration, stop: &dyn Fn() -> bool) -> io::Result<bool> {
    let start = Instant::now();
    loop {
        match file.try_lock() {
            Ok(()) => return Ok(true),
            Err(TryLockError::WouldBlock) if stop() || start.elapsed() >= patience => return Ok(false),
            Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
            Err(TryLockError::Error(error)) if error.kind() == io::ErrorKind::Interrupted => {}
            Err(TryLockError::Error(error)) => return Err(error),
        }
    }
}

/// Whether someone else has locked a file for himself.
pub(super) fn is_locked(file: &File) -> bool {
    match file.try_lock_shared() {
        Ok(()) => {
            let _ = file.unlock();
            false
        }
        Err(TryLockError::WouldBlock) => true,
        Err(TryLockError::Error(_)) => false,
    }
}
