//! Above the line: the store on disk. With the terminal and the commands, the only part that touches files.
//!
//! | path in the store      | what it is                                                                      |
//! |------------------------|---------------------------------------------------------------------------------|
//! | `open/ID.ndjson`       | the journal of a session that is not closed (the rules are with [`FileJournal`]) |
//! | `away/ID.ndjson`       | the journal of a session that was put away unfinished                           |
//! | `records/YYYY/ID.json` | a record, in the year of its sign-off; written once, never again                |
//! | `bench.toml`           | the name of the bench                                                           |
//! | `chain.json`           | the head of the bench's chain, so that not every record is read at every close  |
//! | `keys/NAME`            | a technician's private key, mode 0600; `keys/NAME.pub` is its public half      |
//! | `allowed_signers`      | whose keys are trusted, in OpenSSH's own format                                 |
//! | `gear.json`            | what was answered last time for known gear; a convenience                       |
//! | `list.cache`           | the order of the records by sign-off, in large stores; a cache, found anew where it is gone |
//! | `practice/`            | a store of its own, for sessions at a simulated bench                           |
//! | `learners/NAME.json`   | what a learner did in lessons and drills                                        |
//! | `.lock`                | locked while a record is closed or one of the files above is written that is no cache |
//!
//! What this cannot promise: locks and syncs are those of the file system. On a network file system a lock may hold on
//! one machine only, a sync may end at the server's memory, and a file may change its identity under the program,
//! which then refuses to go on. A file system that cannot lock is refused. A store that several machines write to
//! belongs on a server that locks, or each bench gets its own store; records are plain files and can be gathered
//! afterwards. A program that is killed while it writes a file leaves a temporary file behind, whose name starts with
//! a dot and ends with `.part`: nothing reads it, and the next close removes it from the store and the year's folder. That of a
//! page or an export (`.page-`) stays: who writes one holds no lock, so nobody else can tell whether it is still being written.

mod away;
mod bench;
mod chain;
mod close;
mod disk;
mod error;
mod folder;
mod gather;
mod gear;
mod id;
mod journal;
mod keys;
mod learners;
mod line;
mod lock;
mod look;
mod newest;
mod open;
mod openssh;
mod order;
mod page;
mod read;
mod records;
mod sound;
mod stamp;
mod trust_list;

use std::path::{Path, PathBuf};

pub use close::{Closed, Closing};
pub use error::{StoreError, in_words};
pub use folder::{folder_for_files, free_space, head_of, names_in, path_shown, remove_page, temporary_folder};
pub use gather::{Gathered, gather, id_of, record_bytes};
pub use id::{any_seed, new_id};
pub use journal::FileJournal;
pub use keys::{KeyFile, read_key, write_key};
pub use look::Looked;
pub use newest::{Known, Newest, Outdated, Placed};
pub use open::{OpenSession, Resumed, read_journal};
pub use openssh::{Openssh, await_child};
pub use page::{write_page, write_page_with, write_page_within};
pub use read::read_record;
pub use sound::{temporary_sound, write_sound};
pub use trust_list::{End, Trusted, read_trust_list};

/// The files of a store beside its folders.
const FILES: [&str; 6] = ["bench.toml", "chain.json", "gear.json", "allowed_signers", newest::ORDER, ".lock"];
/// The folders of a store.
const FOLDERS: [&str; 6] = ["records", "open", "away", "keys", PRACTICE, LEARNERS];
/// The folder of practice sessions, a store in itself, so that no chain of real records runs through them.
const PRACTICE: &str = "practice";
/// The folder of what learners did.
const LEARNERS: &str = "learners";

/// A store: a folder of plain files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Store {
    root: PathBuf,
}

impl Store {
    /// The store in a folder, which need not be there yet.
    pub fn at(root: impl Into<PathBuf>) -> Self {
        let given = root.into();
        let given = if given.as_os_str().is_empty() { PathBuf::from(".") } else { given };
        let root = std::path::absolute(&given).unwrap_or(given);
        Self { root }
    }

    /// Where the store is unless another folder is given: the platform's data directory.
    ///
    /// # Errors
    /// Where the platform names none.
    pub fn default_dir() -> Result<PathBuf, StoreError> {
        let dirs = directories::ProjectDirs::from("", "", "cornerset").ok_or(StoreError::NoDefault)?;
        Ok(dirs.data_dir().to_owned())
    }

    /// The store of practice sessions that belongs to this one.
    #[must_use]
    pub fn practice(&self) -> Self {
        Self { root: self.root.join(PRACTICE) }
    }

    /// The folder, as an absolute path.
    pub fn root(&self) -> &Path {
        &self.root
    }
}
