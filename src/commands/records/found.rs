//! The records that a list shows: all of them read and sorted, or the first ones of an order that the store keeps.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::filter::{read, unreadable};
use super::list::{List, Listed};
use crate::audit::standing;
use crate::commands::error::CommandError;
use crate::record::Record;
use crate::signature::AllowedSigners;
use crate::store::{Known, Newest, Outdated, Placed, Store};

/// So many records are read at once, at most.
const AT_ONCE: usize = 512;

/// What was found.
#[derive(Default)]
pub(super) struct Found {
    /// The records, the newest first.
    pub listed: Vec<Listed>,
    /// Whose records there are that are not meant; all of them are named where none is listed.
    pub others: BTreeSet<String>,
    /// What is said of files that cannot be read.
    pub unreadable: Vec<String>,
}

/// What became of one file.
enum Looked {
    Listed(Box<Listed>),
    Other(String),
    Unreadable(String),
}

impl List {
    /// Every record, read and sorted.
    pub fn read_all(&self, store: &Store, trusted: Option<&AllowedSigners>) -> Result<Found, CommandError> {
        let look = |path: PathBuf| self.look(&path, read(&path), trusted);
        let looked: Vec<Looked> = store.records()?.into_par_iter().map(look).collect();
        let mut found = Found::default();
        looked.into_iter().for_each(|looked| found.take(looked));
        found.listed.sort_by(|one, other| other.closed_at.cmp(&one.closed_at).then_with(|| other.id.cmp(&one.id)));
        found.listed.truncate(self.limit.map_or(usize::MAX, |limit| limit.get()));
        Ok(found)
    }

    /// As many as are asked for, where that can be done without reading all.
    pub fn first_page(&self, store: &Store, trusted: Option<&AllowedSigners>) -> Option<Found> {
        let limit = self.limit?.get();
        // An order that does not hold is found anew, with less of what was known.
        for counts in [Known::Folders, Known::Files, Known::Nothing] {
            if let Ok(found) = self.first_of(store.newest(counts)?, limit, trusted) {
                return found;
            }
        }
        None
    }

    /// The first ones of an order; `None` where all have to be read to say why there are none.
    fn first_of(
        &self,
        mut newest: Newest,
        limit: usize,
        trusted: Option<&AllowedSigners>,
    ) -> Result<Option<Found>, Outdated> {
        let mut found = Found::default();
        for path in newest.unreadable() {
            let Err(why) = read(&path) else { return Err(Outdated) };
            found.unreadable.push(unreadable(&path, &why));
        }
        let mut passed_over = false;
        loop {
            let mut placed = vec![];
            let room = (limit - found.listed.len()).min(AT_ONCE);
            while placed.len() < room
                && let Some(next) = newest.next()
            {
                let next = next?;
                if next.closed_at().is_some_and(|at| !self.filter.takes_time(at)) {
                    passed_over = true;
                } else {
                    placed.push(next);
                }
            }
            if placed.is_empty() {
                let says_why = !passed_over || !found.listed.is_empty();
                return Ok(says_why.then_some(found));
            }
            let look = |placed: &Placed| {
                let record = read(&placed.path).ok().filter(|record| placed.speaks_of(record)).ok_or(Outdated)?;
                Ok(self.look(&placed.path, Ok(record), trusted))
            };
            let looked: Vec<Looked> = placed.par_iter().map(look).collect::<Result<_, Outdated>>()?;
            looked.into_iter().for_each(|looked| found.take(looked));
        }
    }

    fn look(&self, path: &Path, record: Result<Record, String>, trusted: Option<&AllowedSigners>) -> Looked {
        match record {
            Ok(record) if self.filter.takes(&record) => {
                let standing = standing(&record, trusted);
                Looked::Listed(Box::new(Listed::of(record, &standing, path.to_string_lossy().into_owned())))
            }
            Ok(record) => Looked::Other(record.technician),
            Err(why) => Looked::Unreadable(unreadable(path, &why)),
        }
    }
}

impl Found {
    fn take(&mut self, looked: Looked) {
        match looked {
            Looked::Listed(listed) => self.listed.push(*listed),
            Looked::Other(technician) => {
                self.others.insert(technician);
            }
            Looked::Unreadable(warning) => self.unreadable.push(warning),
        }
    }
}
