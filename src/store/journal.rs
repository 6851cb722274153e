//! The journal of an open session.

use std::fs::{File, OpenOptions};
use std::io::{self, Seek, SeekFrom, Write};
use std::path::{Path, PathBuf};

use super::StoreError;
use super::disk::{is_in_place, sync_folder};
use super::error::{in_words, shown, what_to_do};
use super::line::{self, Contents, LINE_MAX, Written};
use super::lock::{JOURNAL_PATIENCE, lock_exclusively};
use crate::session::{Journal, LogEntry, NotKept, Opened, State};

/// What is as it was after a line that failed.
const GO_ON: &str = "everything before it is kept, and the session can be resumed";

/// The journal of a session, open and locked until it is dropped.
///
/// # Writing
/// One entry is one complete line, one write call and one sync, all before [`Journal::append`] returns. Where that
/// fails, the file is cut back to its last good length, and nothing more is taken: the entry was not kept. Where a whole
/// line cannot be cut off either, what it became is not certain until the journal is read again, and that is said.
/// Before each write it is checked that the file still is where it was, and as long as it was.
///
/// # Reading
/// Bytes after the last line end, whatever they are, are a line that was torn as the power went: they are cut off when
/// the session is resumed, and their number is reported. Everything before must be whole. A complete line that is not
/// UTF-8, too long, not JSON, has a key twice, a wrong number or a wrong sum, or holds an entry that does not follow
/// from those before it, stops the resume with the number of the line. Nothing is guessed, and the file stays as it is.
#[derive(Debug)]
pub struct FileJournal {
    id: String,
    path: PathBuf,
    file: File,
    /// The length of what is kept.
    good: u64,
    /// The number of the last line.
    line: u64,
    /// The sum of the last line.
    sum: String,
    failed: bool,
}

impl FileJournal {
    /// Starts the journal of a session that is opened.
    pub(super) fn create(path: PathBuf, opened: &Opened) -> Result<Self, StoreError> {
        let failed = |doing| {
            let path = path.clone();
            move |why| StoreError::disk(doing, &path, why)
        };
        let header = line::header(opened).map_err(failed("write"))?;
        let mut file =
            OpenOptions::new().read(true).write(true).create_new(true).open(&path).map_err(failed("create"))?;
        let started = match lock_exclusively(&file, JOURNAL_PATIENCE, &|| false) {
            Ok(true) => write_header(&mut file, &path, &header),
            Ok(false) => Err(StoreError::InUse { id: opened.id.clone(), path: path.clone() }),
            Err(why) => Err(failed("lock")(why)),
        };
        if let Err(error) = started {
            let _ = std::fs::remove_file(&path);
            return Err(error);
        }
        let good = header.bytes.len() as u64;
        Ok(Self { id: opened.id.clone(), path, file, good, line: 1, sum: header.sum, failed: false })
    }

    /// Goes on with a journal that was read; `file` is locked. Cuts off a torn last line.
    pub(super) fn go_on(path: PathBuf, file: File, contents: &Contents) -> Result<Self, StoreError> {
        if contents.torn > 0 {
            file.set_len(contents.good).map_err(|why| StoreError::disk("cut off the torn line of", &path, why))?;
            file.sync_all().map_err(|why| StoreError::disk("sync", &path, why))?;
        }
        // Whoever opened the session may have been killed before the journal's name was sure to last.
        path.parent().map_or(Ok(()), sync_folder)?;
        Ok(Self {
            id: contents.opened.id.clone(),
            path,
            file,
            good: contents.good,
            line: contents.line,
            sum: contents.sum.clone(),
            failed: false,
        })
    }

    /// The session.
    pub fn id(&self) -> &str {
        &self.id
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether this is where everything in `state` is kept, and nothing else.
    pub(super) fn check(&self, state: &State) -> Result<(), StoreError> {
        let (id, path) = (self.id.clone(), self.path.clone());
        let entries = self.line - 1;
        if self.failed || state.opened().id != id || state.log().len() as u64 != entries {
            return Err(StoreError::NotTheJournal { id, path });
        }
        match is_in_place(&self.file, &path) {
            Ok(true) => Ok(()),
            Ok(false) => Err(StoreError::Gone { id, path }),
            Err(why) => Err(StoreError::disk("find", &path, why)),
        }
    }

    /// Removes the file, once its record is on disk; then unlocks it.
    pub(super) fn remove(self) -> io::Result<()> {
        std::fs::remove_file(&self.path)
    }

    /// Writes a line, or says what became of it, what failed and what to do.
    fn write(&mut self, entry: &LogEntry) -> Result<Written, NotKept> {
        let written = self.line_of(entry).map_err(not_kept)?;
        let (what, is_whole) = match self.file.write_all(&written.bytes) {
            Ok(()) => match self.file.sync_data() {
                Ok(()) => return Ok(written),
                Err(error) => (self.on_disk("sync", &error), true),
            },
            // A piece of a line is none when it is read.
            Err(error) => (self.on_disk("write", &error), false),
        };
        let is_cut = self.file.set_len(self.good).and_then(|()| self.file.sync_data()).is_ok();
        if is_whole && !is_cut {
            return Err(NotKept(format!("it is not certain whether this answer was kept: {what}")));
        }
        Err(not_kept(what))
    }

    /// The line that this is to be, once it is sure that its place is there.
    fn line_of(&mut self, entry: &LogEntry) -> Result<Written, String> {
        let path = shown(&self.path);
        let written = line::numbered(self.line + 1, entry, &self.sum).map_err(|error| self.on_disk("write", &error))?;
        if written.bytes.len() > LINE_MAX {
            return Err(format!("the entry is longer than {LINE_MAX} bytes, more than {path} takes; {GO_ON}"));
        }
        if !is_in_place(&self.file, &self.path).map_err(|error| self.on_disk("find", &error))? {
            return Err(format!(
                "{path} was removed or replaced while the session was open; put that file back, and the \
                 session can be resumed"
            ));
        }
        if self.file.metadata().map_err(|error| self.on_disk("find", &error))?.len() != self.good {
            return Err(format!("{path} was changed by another program while the session was open; {GO_ON}"));
        }
        self.file.seek(SeekFrom::Start(self.good)).map_err(|error| self.on_disk("write", &error))?;
        Ok(written)
    }

    /// What failed, and what to do.
    fn on_disk(&self, doing: &str, error: &io::Error) -> String {
        format!("cannot {doing} {}: {}; {}; {GO_ON}", shown(&self.path), in_words(error), what_to_do(error))
    }
}

fn not_kept(what: String) -> NotKept {
    NotKept(format!("this answer was not kept: {what}"))
}

fn write_header(file: &mut File, path: &Path, header: &Written) -> Result<(), StoreError> {
    file.write_all(&header.bytes).map_err(|why| StoreError::disk("write", path, why))?;
    file.sync_all().map_err(|why| StoreError::disk("sync", path, why))?;
    path.parent().map_or(Ok(()), sync_folder)
}

impl Journal for FileJournal {
    fn append(&mut self, entry: &LogEntry) -> Result<(), NotKept> {
        if self.failed {
            let path = shown(&self.path);
            return Err(not_kept(format!("{path} failed before and takes nothing more; the session can be resumed")));
        }
        match self.write(entry) {
            Ok(written) => {
                self.good += written.bytes.len() as u64;
                self.line += 1;
                self.sum = written.sum;
                Ok(())
            }
            Err(why) => {
                self.failed = true;
                Err(why)
            }
        }
    }
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;
    use crate::session::{Moment, NoteEntry, Question};

    fn note() -> LogEntry {
        let at = serde_json::from_str("\"2026-03-05T14:07:09.250+05:30\"").unwrap();
        LogEntry::Note(NoteEntry { at, question: Question::Job, text: "a note".to_owned() })
    }

    /// A journal of so many good bytes, written through this file.
    fn journal(path: &Path, file: File, good: u64) -> FileJournal {
        let (id, sum) = ("0190".to_owned(), "0".repeat(16));
        FileJournal { id, path: path.to_owned(), file, good, line: 1, sum, failed: false }
    }

    fn writable(path: &Path) -> File {
        OpenOptions::new().read(true).write(true).open(path).unwrap()
    }

    /// A device on which every write fails for want of space.
    #[test]
    fn a_full_disk_is_named_and_ends_the_journal() {
        let path = Path::new("/dev/full");
        let mut journal = journal(path, writable(path), 0);
        let message = journal.append(&note()).unwrap_err().to_string();
        assert!(message.starts_with("this answer was not kept: "), "{message}");
        assert!(message.contains("cannot write /dev/full: the disk is full; free some space"), "{message}");
        assert!(message.contains("everything before it is kept"), "{message}");
        let message = journal.append(&note()).unwrap_err().to_string();
        assert!(message.contains("failed before"), "{message}");
    }

    /// A device that takes every write, and can be neither synced nor cut back.
    #[test]
    fn what_cannot_be_taken_back_is_not_certain() {
        let path = Path::new("/dev/null");
        let mut journal = journal(path, writable(path), 0);
        let message = journal.append(&note()).unwrap_err().to_string();
        assert!(
            message.starts_with("it is not certain whether this answer was kept: cannot sync /dev/null"),
            "{message}"
        );
        let message = journal.append(&note()).unwrap_err().to_string();
        assert!(message.contains("failed before"), "{message}");
    }

    #[test]
    fn what_would_not_be_read_back_is_not_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal");
        std::fs::write(&path, "").unwrap();
        let mut journal = journal(&path, writable(&path), 0);
        // RFC 3339 ends with the year 9999.
        let at = Moment::new(chrono::DateTime::from_timestamp_millis(253_402_300_800_000).unwrap().fixed_offset());
        let entry = LogEntry::Note(NoteEntry { at, question: Question::Job, text: "a note".to_owned() });
        let message = journal.append(&entry).unwrap_err().to_string();
        assert!(message.contains("would not be read back"), "{message}");
        assert_eq!(std::fs::read(&path).unwrap(), b"");
    }

    #[test]
    fn a_write_that_fails_leaves_the_file_as_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("journal");
        std::fs::write(&path, "kept\n").unwrap();
        let mut journal = journal(&path, File::open(&path).unwrap(), 5);
        assert!(journal.append(&note()).is_err());
        assert_eq!(std::fs::read(&path).unwrap(), b"kept\n");
    }
}
