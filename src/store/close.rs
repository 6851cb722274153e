//! A session closed: its record is written, then its journal goes.

use std::io::{self, ErrorKind};
use std::path::PathBuf;

use chrono::Datelike;

use super::disk::{Existing, clear_temporary, make_folder, put, sync_folder};
use super::{FileJournal, Store, StoreError};
use crate::record::{NotCanonical, Record, Signer, canonical_bytes, file_bytes, parse_record};
use crate::session::State;
use crate::signature::{Checked, check};

/// How a session is closed.
pub struct Closing<'a> {
    /// Who signs the record; `None` where a name alone does. A signer that waits for a person keeps the store locked.
    pub signer: Option<Box<dyn Signer>>,
    /// Is told how many records of how many were read, where all must be read to find the head of the chain.
    pub progress: &'a dyn Fn(usize, usize),
    /// Says when not to wait any longer for a store that another program keeps locked.
    pub stop: &'a dyn Fn() -> bool,
}

/// A session that was closed.
#[derive(Debug)]
pub struct Closed {
    /// Its record.
    pub record: Record,
    /// Where it is, as an absolute path.
    pub path: PathBuf,
    /// Record files that were read to find the head of the chain, and cannot be read or are not as they were signed
    /// off. Empty where the chain's head was known without reading all.
    pub skipped: Vec<PathBuf>,
    /// The place of the record that the store remembers as its last, where another one or none stands there. This record
    /// names the remembered one.
    pub lost: Option<u64>,
}

impl Store {
    /// Closes a complete session.
    ///
    /// In this order, with the store locked: find the head of the chain, make the record, claim its place in
    /// `chain.json`, put the record in place and sync it, remove the journal. Where it is cut off before the record is
    /// in place, the session is open as before; where it is cut off after that, the next look at the open sessions
    /// removes the journal.
    ///
    /// # Errors
    /// Where the session is not complete, or not what the journal holds; where the disk fails. The session is then
    /// still open.
    pub fn close(&self, state: &State, journal: FileJournal) -> Result<Closed, StoreError> {
        self.close_with(state, journal, Closing { signer: None, progress: &|_, _| {}, stop: &|| false })
    }

    /// As [`Store::close`], in this way.
    ///
    /// # Errors
    /// As [`Store::close`]; and where nobody signs, or it was stopped.
    pub fn close_with(&self, state: &State, journal: FileJournal, closing: Closing<'_>) -> Result<Closed, StoreError> {
        let id = state.opened().id.clone();
        self.write_record(state, &journal, closing)
            .inspect(|_| {
                // The record is on disk: a journal that stays is no loss, and the next look finds it.
                if journal.remove().is_ok() {
                    let _ = sync_folder(&self.root().join("open"));
                }
            })
            .map_err(|error| match error {
                StoreError::NotComplete { .. }
                | StoreError::NotTheJournal { .. }
                | StoreError::NotSigned { .. }
                | StoreError::Stopped
                | StoreError::Gone { .. } => error,
                error => StoreError::NotClosed { id, why: Box::new(error) },
            })
    }

    fn write_record(
        &self,
        state: &State,
        journal: &FileJournal,
        Closing { signer, progress, stop }: Closing<'_>,
    ) -> Result<Closed, StoreError> {
        let id = || state.opened().id.clone();
        if state.next().is_some() {
            return Err(StoreError::NotComplete { id: id() });
        }
        let _lock = self.lock_unless(stop)?;
        journal.check(state)?;
        if let Some(path) = self.record_of(&id())? {
            return Err(StoreError::Exists { path });
        }
        let mut chain = self.chain(&state.opened().bench, progress)?;
        let (skipped, lost) = (std::mem::take(&mut chain.skipped), chain.lost);
        let not_made = |why| match why {
            NotCanonical::NotComplete => StoreError::NotComplete { id: id() },
            why => StoreError::NotMade { id: id(), why },
        };
        let record = match signer {
            None => Record::of(state, chain.next()).map_err(not_made)?,
            Some(mut signer) => {
                let mut record = Record::for_key(state, chain.next(), &signer.fingerprint()).map_err(not_made)?;
                let bytes = canonical_bytes(&record).map_err(not_made)?;
                record.sign_off.signature =
                    Some(signed(signer.as_mut(), &bytes).map_err(|why| StoreError::NotSigned { why })?);
                record
            }
        };
        let folder = self.records_folder().join(format!("{:04}", record.closed_at.time().year()));
        let path = folder.join(format!("{}.json", record.id));
        let bytes = bytes_of(&record).map_err(|why| StoreError::disk("write", &path, why))?;
        make_folder(&folder)?;
        // Whoever made it may have been killed before its name was sure to last.
        sync_folder(&self.records_folder())?;
        clear_temporary(self.root());
        clear_temporary(&folder);
        self.claim(chain, &record)?;
        put(&path, &bytes, Existing::Stays).map_err(|error| match error {
            StoreError::Disk { path, why, .. } if why.kind() == ErrorKind::AlreadyExists => StoreError::Exists { path },
            error => error,
        })?;
        Ok(Closed { record, path, skipped, lost })
    }
}

/// A signature by the signer's own key over these bytes; one that would not be accepted later is not taken now.
fn signed(signer: &mut dyn Signer, bytes: &[u8]) -> Result<String, String> {
    let armoured = signer.sign(bytes)?;
    match check(&armoured, bytes) {
        Checked::Good(key) if key.fingerprint() == signer.fingerprint() => Ok(armoured),
        Checked::Good(_) => Err("another key signed than the one that was named".to_owned()),
        Checked::Bad(why) => Err(format!("the signature that was made is not good: {why}")),
        Checked::Unsupported { kind, .. } => Err(format!("a signature by a key of kind {kind} cannot be checked here")),
    }
}

/// The record as it is written: indented, with a line end. What would not be read back as the same is not written.
fn bytes_of(record: &Record) -> io::Result<Vec<u8>> {
    let bytes = file_bytes(record)?;
    match parse_record(&bytes) {
        Ok(again) if again == *record => Ok(bytes),
        Ok(_) => Err(io::Error::new(ErrorKind::InvalidData, "the record would be read back as another one")),
        Err(what) => Err(io::Error::new(ErrorKind::InvalidData, format!("the record would not be read back: {what}"))),
    }
}
