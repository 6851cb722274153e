//! What can go wrong with the store, each as a sentence: what failed, where, and what to do.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::quantity::text::{shell_word, visible};
use crate::record::NotCanonical;

/// Why the store could not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// The platform names no data directory.
    #[error("this system names no folder for the store; give one with `--store DIR`")]
    NoDefault,
    /// Not an id, nor a part of one.
    #[error(
        "`{}` is not the id of a session; accepted: the id, or at least 4 characters of its start or end (digits, \
         `a` to `f` and `-`)",
        cut(given)
    )]
    NotAnId {
        /// As given.
        given: String,
    },
    /// No open session fits.
    #[error(
        "no open session in {} has an id that starts or ends with `{part}`; leave the id out to see which are open",
        shown(root)
    )]
    NoSession {
        /// As given.
        part: String,
        /// The store.
        root: PathBuf,
    },
    /// Not a folder.
    #[error("{} is no folder that can be read; accepted: a store, or a folder of record files", shown(path))]
    NoFolder {
        /// As given.
        path: PathBuf,
    },
    /// No record fits.
    #[error(
        "no record in {} has an id that starts or ends with `{part}`; `cornerset records list` shows them",
        shown(root)
    )]
    NoRecord {
        /// As given.
        part: String,
        /// The store.
        root: PathBuf,
    },
    /// Neither an open session nor a record fits.
    #[error(
        "no session in {}, open or signed off, has an id that starts or ends with `{part}`; `cornerset records list` shows \
         those that were signed off",
        shown(root)
    )]
    NoSuchSession {
        /// As given.
        part: String,
        /// The store.
        root: PathBuf,
    },
    /// Several ids fit.
    #[error("`{part}` fits {} ids; give more of the one that is meant: {}", ids.len(), some(ids))]
    Ambiguous {
        /// As given.
        part: String,
        /// Every id that fits.
        ids: Vec<String>,
    },
    /// Another program has the session open.
    #[error("session {id} is in use by another program ({} is locked); end it there first", shown(path))]
    InUse {
        /// The session.
        id: String,
        /// Its journal.
        path: PathBuf,
    },
    /// The session has its record.
    #[error("session {id} is closed; its record is {}", shown(path))]
    AlreadyClosed {
        /// The session.
        id: String,
        /// Its record.
        path: PathBuf,
    },
    /// The session is not signed off.
    #[error("session {id} is not complete and cannot be closed; it can be resumed")]
    NotComplete {
        /// The session.
        id: String,
    },
    /// What was to be closed is not what the journal holds.
    #[error("session {id} is not what {} holds, so it was not closed; it can be resumed", shown(path))]
    NotTheJournal {
        /// The session.
        id: String,
        /// The journal.
        path: PathBuf,
    },
    /// The name of the bench cannot be used.
    #[error("the bench's name in {} cannot be used: {what}; write one line: name = \"workbench 1\"", shown(path))]
    Bench {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        what: String,
    },
    /// A journal that cannot be taken up again.
    #[error(
        "line {line} of {} {what}; nothing was changed or guessed: bring the file back from a backup, or start a new session",
        shown(path)
    )]
    Damaged {
        /// The journal.
        path: PathBuf,
        /// Which line, from 1.
        line: u64,
        /// What is wrong, as the end of a sentence.
        what: String,
    },
    /// A journal without one complete line.
    #[error(
        "{} holds no complete line: the session was cut off as it was opened, and nothing was logged; remove the file and start a new session",
        shown(path)
    )]
    NothingKept {
        /// The journal.
        path: PathBuf,
    },
    /// The journal is not where it was.
    #[error(
        "the journal {} was removed or replaced while it was in use; put it back, and session {id} can be resumed",
        shown(path)
    )]
    Gone {
        /// The session.
        id: String,
        /// Where its journal was.
        path: PathBuf,
    },
    /// A file that is not a record that this program reads.
    #[error("{} cannot be read as a record: {what}; bring it back from a backup, or move it away", shown(path))]
    Record {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        what: String,
    },
    /// There is a record of that id, and a record is never rewritten.
    #[error(
        "there is a record already at {}, and a record is never rewritten; move it away if it does not belong there",
        shown(path)
    )]
    Exists {
        /// The record.
        path: PathBuf,
    },
    /// The record cannot be made.
    #[error("the record of session {id} cannot be made: {why}")]
    NotMade {
        /// The session.
        id: String,
        /// Why.
        why: NotCanonical,
    },
    /// A key file that cannot be used.
    #[error("the key {} cannot be used: {what}", shown(path))]
    Key {
        /// The file.
        path: PathBuf,
        /// What is wrong, and what to do, as the end of a sentence.
        what: String,
    },
    /// A trust list that cannot be used.
    #[error("the trust list {} cannot be used: {what}", shown(path))]
    TrustList {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        what: String,
    },
    /// The record was not signed.
    #[error("the record is not signed: {why}")]
    NotSigned {
        /// Why.
        why: String,
    },
    /// The person stopped while the store was waited for.
    #[error("stopped while another program kept the store locked")]
    Stopped,
    /// Someone else held the store for too long.
    #[error("another program keeps {} locked; end it, then try again", shown(path))]
    Busy {
        /// The lock.
        path: PathBuf,
    },
    /// The disk refused.
    #[error("cannot {doing} {}: {}; {}", shown(path), in_words(why), what_to_do(why))]
    Disk {
        /// What was tried, as a verb.
        doing: &'static str,
        /// On which file or folder.
        path: PathBuf,
        /// What the system said.
        #[source]
        why: io::Error,
    },
    /// What a learner did, in a file that is damaged.
    #[error(
        "what is kept of a learner in {} is damaged: {why}; put back a copy of it, or `cornerset learn forget {}` starts anew",
        shown(path),
        shell_word(&visible(name))
    )]
    Progress {
        /// The file.
        path: PathBuf,
        /// The learner.
        name: String,
        /// What is wrong with it.
        why: String,
    },
    /// A page that a person asked for.
    #[error("cannot write {}: {}; give another place with `-o`", shown(path), in_words(why))]
    Page {
        /// The page, as it was named.
        path: PathBuf,
        /// What the system said.
        #[source]
        why: io::Error,
    },
    /// The session could not be closed. It is still open, with everything that was logged.
    #[error("the session is not closed: {why}; everything that was logged is kept, and session {id} can be resumed")]
    NotClosed {
        /// The session.
        id: String,
        /// Why.
        #[source]
        why: Box<Self>,
    },
}

impl StoreError {
    pub(super) fn disk(doing: &'static str, path: &Path, why: io::Error) -> Self {
        Self::Disk { doing, path: path.to_owned(), why }
    }

    /// Whether the storage failed or what is stored is damaged; else what was asked for cannot be had.
    pub fn is_storage(&self) -> bool {
        match self {
            Self::NoDefault
            | Self::NotAnId { .. }
            | Self::NoSession { .. }
            | Self::NoFolder { .. }
            | Self::NoRecord { .. }
            | Self::NoSuchSession { .. }
            | Self::Ambiguous { .. }
            | Self::InUse { .. }
            | Self::AlreadyClosed { .. }
            | Self::NotComplete { .. }
            | Self::NotTheJournal { .. }
            | Self::NotSigned { .. }
            | Self::Stopped
            | Self::Key { .. }
            | Self::TrustList { .. }
            | Self::Bench { .. } => false,
            Self::Damaged { .. }
            | Self::NothingKept { .. }
            | Self::Gone { .. }
            | Self::Record { .. }
            | Self::Exists { .. }
            | Self::NotMade { .. }
            | Self::Busy { .. }
            | Self::Disk { .. }
            | Self::Progress { .. }
            | Self::Page { .. } => true,
            Self::NotClosed { why, .. } => why.is_storage(),
        }
    }
}

/// A path for a message: one line, and nothing in it acts on a terminal.
pub(super) fn shown(path: &Path) -> String {
    visible(&path.to_string_lossy())
}

fn cut(given: &str) -> String {
    visible(given).chars().take(60).collect()
}

fn some(ids: &[String]) -> String {
    const SHOWN: usize = 5;
    let shown = ids.iter().take(SHOWN).map(String::as_str).collect::<Vec<_>>().join(", ");
    if ids.len() > SHOWN { format!("{shown}, ...") } else { shown }
}

/// What the system said, in plain words.
pub fn in_words(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::StorageFull => "the disk is full".to_owned(),
        ErrorKind::QuotaExceeded => "the disk quota is used up".to_owned(),
        ErrorKind::ReadOnlyFilesystem => "the disk is read-only".to_owned(),
        ErrorKind::PermissionDenied => "permission is denied".to_owned(),
        ErrorKind::NotFound => "it, or the folder it is in, is not there".to_owned(),
        ErrorKind::NotADirectory => "a part of the path is not a folder".to_owned(),
        ErrorKind::IsADirectory => "it is a folder".to_owned(),
        ErrorKind::AlreadyExists => "something of that name is there already".to_owned(),
        ErrorKind::FileTooLarge => "it is too large".to_owned(),
        ErrorKind::StaleNetworkFileHandle => "the network drive lost it".to_owned(),
        ErrorKind::Unsupported => "this file system cannot do that".to_owned(),
        _ => {
            let text = error.to_string();
            let text = text.split(" (os error").next().unwrap_or_default();
            visible(text).to_lowercase()
        }
    }
}

/// What a person can do about it.
pub(super) fn what_to_do(error: &io::Error) -> &'static str {
    match error.kind() {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "free some space there, then try again",
        ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => {
            "make it writable, or give another store with `--store DIR`"
        }
        ErrorKind::NotFound | ErrorKind::StaleNetworkFileHandle => {
            "bring it back, or give another store with `--store DIR`"
        }
        ErrorKind::NotADirectory | ErrorKind::IsADirectory | ErrorKind::AlreadyExists => {
            "move away what is in the way, or give another store with `--store DIR`"
        }
        ErrorKind::InvalidData => "this is a fault of the program, please report it",
        _ => "check the disk, or give another store with `--store DIR`",
    }
}
