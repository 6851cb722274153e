//! A session looked at, open or signed off: nothing is locked, cut or changed.

use super::id::Part;
use super::open::{fault_of, open_journal, read_state};
use super::read::read_record;
use super::{Store, StoreError};
use crate::record::Record;
use crate::session::State;

/// A session that was looked at.
#[derive(Debug)]
pub enum Looked {
    /// It is open, perhaps in another window, and stood so a moment ago.
    Open(Box<State>),
    /// It was signed off.
    Closed(Box<Record>),
}

impl Store {
    /// The session with an id, or the only one whose id starts or ends so, open or signed off.
    ///
    /// # Errors
    /// Where none or several fit, or it cannot be read.
    pub fn look(&self, id_or_part: &str) -> Result<Looked, StoreError> {
        let part = Part::parse(id_or_part)?;
        let record = match self.find_record(part.text()) {
            Ok(path) => Some(read_record(&path)?),
            Err(StoreError::NoRecord { .. }) => None,
            Err(error) => return Err(error),
        };
        // A session whose record is written may still have its journal for a moment.
        let of_record = record.as_ref().map(|record| record.id.clone());
        let id = part.choose(self.open_ids()?.into_iter().chain(of_record))?;
        match (id, record) {
            (_, Some(record)) => Ok(Looked::Closed(Box::new(record))),
            (Some(id), None) => {
                let path = self.journal_path(&id);
                let file = open_journal(&path, false).map_err(|why| StoreError::disk("open", &path, why))?;
                let (state, _) = read_state(&file, &id).map_err(|fault| fault_of(path, fault))?;
                Ok(Looked::Open(Box::new(state)))
            }
            (None, None) => {
                Err(StoreError::NoSuchSession { part: part.text().to_owned(), root: self.root().to_owned() })
            }
        }
    }
}
