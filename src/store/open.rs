//! Open sessions: opened, listed, taken up again.

use std::fs::{self, File, OpenOptions};
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::time::Duration;

use super::disk::{is_in_place, make_folder, sync_folder};
use super::id::{Part, is_id, millis_of};
use super::line::{self, Contents, Fault};
use super::lock::{JOURNAL_PATIENCE, is_locked, lock_exclusively};
use super::read::read_record;
use super::{FileJournal, Store, StoreError};
use crate::record::is_intact;
use crate::session::{Moment, Opened, State, replay};

/// A session that was taken up again.
#[derive(Debug)]
pub struct Resumed {
    /// Where it stands.
    pub state: State,
    /// Where it goes on.
    pub journal: FileJournal,
    /// How many bytes of a torn last line were cut off.
    pub dropped_bytes: u64,
}

/// A session that is not closed.
#[derive(Debug, Clone, PartialEq)]
pub struct OpenSession {
    /// Its id.
    pub id: String,
    /// When it was opened, where that can be read.
    pub opened_at: Option<Moment>,
    /// The bench, where that can be read.
    pub bench: Option<String>,
    /// The job, where it was answered.
    pub job: Option<String>,
    /// The technician, where that was answered.
    pub technician: Option<String>,
    /// How many readings were taken, struck ones too.
    pub readings: usize,
    /// Whether nothing is left to ask, so that resuming only writes the record.
    pub complete: bool,
    /// Whether a program has it open.
    pub in_use: bool,
    /// Why it cannot be taken up again, as a sentence.
    pub problem: Option<String>,
}

impl Store {
    fn open_folder(&self) -> PathBuf {
        self.root().join("open")
    }

    /// The journal of a session; `id` is a whole id.
    pub(super) fn journal_path(&self, id: &str) -> PathBuf {
        self.open_folder().join(format!("{id}.ndjson"))
    }

    /// Opens a session: its journal is on disk with its header when this returns.
    ///
    /// # Errors
    /// Where the id is none, or the disk fails.
    pub fn open_session(&self, opened: Opened) -> Result<(State, FileJournal), StoreError> {
        if !is_id(&opened.id) {
            return Err(StoreError::NotAnId { given: opened.id });
        }
        make_folder(&self.open_folder())?;
        // Whoever made it, or the bench's name, may have been killed before the names were sure to last.
        sync_folder(self.root())?;
        let journal = FileJournal::create(self.journal_path(&opened.id), &opened)?;
        Ok((State::new(opened), journal))
    }

    /// Takes up a session again, by its id, or its start or end.
    ///
    /// # Errors
    /// Where no open session or several fit, a program has it open, its journal is damaged, or the disk fails; and
    /// where it has its record already, whose path is then named.
    pub fn resume(&self, id_or_part: &str) -> Result<Resumed, StoreError> {
        let part = Part::parse(id_or_part)?;
        let Some(id) = part.choose(self.open_ids()?)? else {
            return Err(match self.find_record(part.text()) {
                Ok(path) => {
                    let id = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
                    StoreError::AlreadyClosed { id, path }
                }
                Err(_) => self.no_session(part.text()),
            });
        };
        let path = self.journal_path(&id);
        let file = match open_journal(&path, true) {
            Err(why) if why.kind() == ErrorKind::NotFound => return Err(self.no_session(&id)),
            other => other.map_err(|why| StoreError::disk("open", &path, why))?,
        };
        match lock_exclusively(&file, JOURNAL_PATIENCE, &|| false) {
            Ok(true) => {}
            Ok(false) => return Err(StoreError::InUse { id, path }),
            Err(why) => return Err(StoreError::disk("lock", &path, why)),
        }
        if let Some(record) = self.record_of(&id)? {
            self.finish(&id, record.clone())?;
            return Err(StoreError::AlreadyClosed { id, path: record });
        }
        if !is_in_place(&file, &path).map_err(|why| StoreError::disk("find", &path, why))? {
            return Err(self.no_session(&id));
        }
        let fault = |fault| fault_of(path.clone(), fault);
        let (state, contents) = read_state(&file, &id).map_err(fault)?;
        let journal = FileJournal::go_on(path.clone(), file, &contents)?;
        Ok(Resumed { state, journal, dropped_bytes: contents.torn })
    }

    /// The sessions that are not closed, the oldest first. One that cannot be read says so and hides no other.
    ///
    /// # Errors
    /// Where the folder cannot be read.
    pub fn open_sessions(&self) -> Result<Vec<OpenSession>, StoreError> {
        let mut sessions: Vec<OpenSession> =
            self.open_ids()?.into_iter().filter_map(|id| self.open_session_of(id)).collect();
        sessions.sort_by_cached_key(|session| {
            let opened = session.opened_at.map(|at| at.time().timestamp_millis());
            (opened.or_else(|| millis_of(&session.id)), session.id.clone())
        });
        Ok(sessions)
    }

    /// `None` where the session is closed after all.
    fn open_session_of(&self, id: String) -> Option<OpenSession> {
        let path = self.journal_path(&id);
        let mut session = OpenSession {
            id,
            opened_at: None,
            bench: None,
            job: None,
            technician: None,
            readings: 0,
            complete: false,
            in_use: false,
            problem: None,
        };
        let file = match open_journal(&path, false) {
            Ok(file) => file,
            Err(error) if error.kind() == ErrorKind::NotFound => return None,
            Err(error) => {
                session.problem = Some(StoreError::disk("open", &path, error).to_string());
                return Some(session);
            }
        };
        session.in_use = is_locked(&file);
        match self.record_of(&session.id) {
            Ok(Some(_)) if session.in_use => return None,
            Ok(Some(record)) => match self.finish(&session.id, record) {
                Ok(()) => return None,
                Err(error) => session.problem = Some(error.to_string()),
            },
            Ok(None) => {}
            Err(error) => session.problem = Some(error.to_string()),
        }
        match read_state(&file, &session.id) {
            Ok((state, _)) => {
                session.opened_at = Some(state.opened().at);
                session.bench = Some(state.opened().bench.clone());
                session.job = state.job().map(str::to_owned);
                session.technician = state.technician().map(str::to_owned);
                session.readings = state.readings().len();
                session.complete = state.next().is_none();
            }
            // Another program may be about to lock it and to write the header, or has it, and some systems let no one read
            // what is locked.
            Err(Fault::Nothing | Fault::Disk(_)) if session.in_use || is_new(&file) => session.in_use = true,
            Err(fault) => session.problem = session.problem.or_else(|| Some(fault_of(path, fault).to_string())),
        }
        Some(session)
    }

    /// The ids that have a journal.
    pub(super) fn open_ids(&self) -> Result<Vec<String>, StoreError> {
        let folder = self.open_folder();
        let failed = |why| StoreError::disk("read the folder", &folder, why);
        let entries = match fs::read_dir(&folder) {
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(Vec::new()),
            other => other.map_err(failed)?,
        };
        let mut ids = Vec::new();
        for entry in entries {
            let name = entry.map_err(failed)?.file_name();
            let id = name.to_str().and_then(|name| name.strip_suffix(".ndjson")).filter(|id| is_id(id));
            ids.extend(id.map(str::to_owned));
        }
        Ok(ids)
    }

    /// Finishes a close that was cut off after its record was written: the journal goes, where the record is whole.
    fn finish(&self, id: &str, record: PathBuf) -> Result<(), StoreError> {
        let read = read_record(&record)?;
        if read.id != id || !is_intact(&read) {
            let what = format!("it is not the whole record of session {id}, whose journal is kept");
            return Err(StoreError::Record { path: record, what });
        }
        // The close may have been cut off just before this: the record must last before its journal goes.
        record.parent().map_or(Ok(()), sync_folder)?;
        if fs::remove_file(self.journal_path(id)).is_ok() {
            let _ = sync_folder(&self.open_folder());
        }
        Ok(())
    }

    fn no_session(&self, part: &str) -> StoreError {
        StoreError::NoSession { part: part.to_owned(), root: self.root().to_owned() }
    }
}

/// Whether a file was made so short a time ago that its maker may not be through with it.
fn is_new(file: &File) -> bool {
    const MOMENT: Duration = Duration::from_secs(5);
    file.metadata()
        .and_then(|metadata| metadata.modified())
        .is_ok_and(|time| time.elapsed().is_ok_and(|age| age < MOMENT))
}

/// Opens a journal, never anything else that has its name.
pub(super) fn open_journal(path: &Path, to_write: bool) -> io::Result<File> {
    if !fs::symlink_metadata(path)?.is_file() {
        return Err(io::Error::other("it is not a regular file"));
    }
    OpenOptions::new().read(true).write(to_write).open(path)
}

/// Whether a journal is there, of this session, and nothing is left to ask in it.
pub(super) fn is_complete(path: &Path, id: &str) -> bool {
    open_journal(path, false).is_ok_and(|file| read_state(&file, id).is_ok_and(|(state, _)| state.next().is_none()))
}

/// The session in the bytes of its journal, and how many bytes of a torn last line come after it: what [`Store::resume`]
/// makes of them. Nothing is locked or cut.
///
/// # Errors
/// What is wrong with it, as a sentence that calls it by `name`.
pub fn read_journal(bytes: impl Read, id: &str, name: &Path) -> Result<(State, u64), String> {
    match read_state(bytes, id) {
        Ok((state, contents)) => Ok((state, contents.torn)),
        Err(fault) => Err(fault_of(name.to_owned(), fault).to_string()),
    }
}

/// Reads a journal and replays it.
pub(super) fn read_state(journal: impl Read, id: &str) -> Result<(State, Contents), Fault> {
    let mut contents = line::read(journal, id)?;
    let state = replay(contents.opened.clone(), std::mem::take(&mut contents.log)).map_err(|not_replayed| {
        let line = not_replayed.entry as u64 + 1;
        Fault::Damage(line, format!("does not follow from those before it: {}", not_replayed.why))
    })?;
    Ok((state, contents))
}

pub(super) fn fault_of(path: PathBuf, fault: Fault) -> StoreError {
    match fault {
        Fault::Disk(why) => StoreError::disk("read", &path, why),
        Fault::Nothing => StoreError::NothingKept { path },
        Fault::Damage(line, what) => StoreError::Damaged { path, line, what },
    }
}
