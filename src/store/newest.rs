//! The newest records of a large store, found without reading all of them.
//!
//! The names of the files tell when sessions were opened, a list is by sign-off. So the order is kept in `list.cache`: it
//! counts while the folders of records are what they were (`stamp.rs`). Else their names are listed again, and what is not
//! known by its stamp is read. The file says where to look and nothing more: whoever shows a record reads it, and holds it
//! against what the order says of it ([`Placed::speaks_of`]). No audit, and nothing that is written, looks at it.

use std::collections::HashMap;
use std::fs;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use chrono::{DateTime, FixedOffset};
use rayon::prelude::*;

use super::Store;
use super::disk::passing;
use super::order::{Entry, Kept, written};
use super::read::read_record;
use super::records::is_record_name;
use super::stamp::{settled, stamp};
use crate::record::Record;

/// The file's name.
pub(super) const ORDER: &str = "list.cache";
/// Fewer records are read within the moment in which a person sees no delay (seen: 0.2 ms each).
const WORTH: usize = 200;

/// The records of a store, the newest first.
#[derive(Debug)]
pub struct Newest {
    records: PathBuf,
    folders: Vec<String>,
    unreadable: Vec<(usize, String)>,
    source: Source,
}

#[derive(Debug)]
enum Source {
    Kept(Box<Kept>),
    Made(std::vec::IntoIter<Entry>),
}

/// Where the order has a record.
#[derive(Debug)]
pub struct Placed {
    /// Its file.
    pub path: PathBuf,
    entry: Entry,
}

/// The order is not that of the records: it is to be found anew.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Outdated;

/// What of the order that was kept counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// What it says of folders that are what they were.
    Folders,
    /// What it says of files that are what they were; each is looked at.
    Files,
    /// Nothing: every record is read.
    Nothing,
}

impl Placed {
    /// Whether a record is the one that the order speaks of.
    pub fn speaks_of(&self, record: &Record) -> bool {
        self.entry.speaks_of(record)
    }

    /// When it was signed off, as the order has it.
    pub fn closed_at(&self) -> Option<DateTime<FixedOffset>> {
        self.entry.closed_at()
    }
}

impl Newest {
    /// What has the name of a record and cannot be read, by year and name.
    pub fn unreadable(&self) -> impl Iterator<Item = PathBuf> {
        self.unreadable.iter().map(|(folder, name)| self.path(*folder, name))
    }

    fn path(&self, folder: usize, name: &str) -> PathBuf {
        self.records.join(&self.folders[folder]).join(name)
    }
}

impl Iterator for Newest {
    type Item = Result<Placed, Outdated>;

    fn next(&mut self) -> Option<Self::Item> {
        let entry = match &mut self.source {
            Source::Kept(kept) => kept.next()?,
            Source::Made(entries) => Some(entries.next()?),
        };
        Some(entry.map(|entry| Placed { path: self.path(entry.folder, &entry.name), entry }).ok_or(Outdated))
    }
}

impl Store {
    /// The records, the newest first; `None` where the store is too small for an order to be kept, or where it cannot be
    /// found: then all are to be read.
    pub fn newest(&self, counts: Known) -> Option<Newest> {
        let path = self.root().join(ORDER);
        let kept = Kept::open(&path).filter(|_| counts != Known::Nothing);
        if kept.is_none() && self.records().ok()?.len() <= WORTH {
            return None;
        }
        let mut folders = vec![];
        for year in self.years().ok()? {
            folders.push(year.file_name()?.to_str()?.to_owned());
        }
        let records = self.records_folder();
        // Looked at before what is in them: a change that comes in between is found the next time.
        let metadata =
            folders.iter().map(|name| fs::metadata(records.join(name))).collect::<Result<Vec<_>, _>>().ok()?;
        let mut same: Vec<bool> = folders
            .iter()
            .zip(&metadata)
            .map(|(name, metadata)| {
                let known = kept.as_ref().and_then(|kept| kept.head.folders.iter().find(|(known, _)| known == name));
                counts == Known::Folders && known.is_some_and(|(_, known)| *known == Some(stamp(metadata)))
            })
            .collect();
        let kept = match kept {
            Some(kept) if same.iter().all(|same| *same) && kept.head.folders.len() == folders.len() => {
                let unreadable = kept.head.unreadable.clone();
                return Some(Newest { records, folders, unreadable, source: Source::Kept(Box::new(kept)) });
            }
            kept => kept,
        };
        // Its time is the file system's own. Where nothing can be written nothing is settled.
        let mut file = passing(self.root()).ok();
        let began = file.as_ref().and_then(|file| file.as_file().metadata().ok()?.modified().ok());
        let began = began.unwrap_or(SystemTime::UNIX_EPOCH);
        let known = Memory::of(kept, &folders).unwrap_or_else(|| {
            same.fill(false);
            Memory::default()
        });
        let (mut entries, mut unreadable) = known.of_same(&same);
        let mut names = vec![];
        for (place, folder) in folders.iter().enumerate().filter(|(place, _)| !same[*place]) {
            for entry in fs::read_dir(records.join(folder)).ok()? {
                let name = entry.ok()?.file_name();
                if is_record_name(&name) {
                    names.push((place, name.to_str()?.to_owned()));
                }
            }
        }
        let read: Vec<Result<Entry, (usize, String)>> = names
            .into_par_iter()
            .map(|(place, name)| {
                let path = records.join(&folders[place]).join(&name);
                known.entry(&path, place, name, began)
            })
            .collect();
        for entry in read {
            match entry {
                Ok(entry) => entries.push(entry),
                Err(file) => unreadable.push(file),
            }
        }
        entries.par_sort_unstable_by(Entry::order);
        unreadable.sort_unstable();
        let stamps = metadata.iter().map(|metadata| settled(metadata, began));
        let stamped: Vec<(String, Option<u64>)> = folders.iter().cloned().zip(stamps).collect();
        if entries.len() > WORTH
            && let Some(file) = file.take()
            && let Ok(bytes) = written(stamped, unreadable.clone(), &entries)
        {
            // Not synced: a file that a power cut tears is not as it was written, and is made anew.
            let _ = file.as_file().write_all(&bytes).map(|()| file.persist(&path));
        }
        Some(Newest { records, folders, unreadable, source: Source::Made(entries.into_iter()) })
    }
}

/// What was known of the files in the folders that are there.
#[derive(Default)]
struct Memory {
    entries: HashMap<(usize, String), Entry>,
    unreadable: Vec<(usize, String)>,
}

impl Memory {
    /// `None` where the file is not as it was written.
    fn of(kept: Option<Kept>, folders: &[String]) -> Option<Self> {
        let Some(mut kept) = kept else { return Some(Self::default()) };
        let mut known = Self::default();
        let place_of = |(name, _): &(String, _)| folders.iter().position(|folder| folder == name);
        let places: Vec<Option<usize>> = kept.head.folders.iter().map(place_of).collect();
        while let Some(entry) = kept.next() {
            let mut entry = entry?;
            if let Some(place) = places[entry.folder] {
                entry.folder = place;
                known.entries.insert((place, entry.name.clone()), entry);
            }
        }
        let unreadable = kept.head.unreadable.into_iter();
        known.unreadable = unreadable.filter_map(|(folder, name)| Some((places[folder]?, name))).collect();
        Some(known)
    }

    /// What is known of the folders that are what they were.
    fn of_same(&self, same: &[bool]) -> (Vec<Entry>, Vec<(usize, String)>) {
        let entries = self.entries.values().filter(|entry| same[entry.folder]).cloned();
        (entries.collect(), self.unreadable.iter().filter(|(folder, _)| same[*folder]).cloned().collect())
    }

    /// What is known of a file, where it is what it was; else it is read.
    fn entry(&self, path: &Path, folder: usize, name: String, began: SystemTime) -> Result<Entry, (usize, String)> {
        let Ok(metadata) = fs::metadata(path) else { return Err((folder, name)) };
        let file = (folder, name);
        if let Some(entry) = self.entries.get(&file).filter(|entry| entry.stamp == Some(stamp(&metadata))) {
            return Ok(entry.clone());
        }
        let Ok(record) = read_record(path) else { return Err(file) };
        Ok(Entry::of(&record, settled(&metadata, began), file.0, file.1))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What is known is not read again: a file that is no record by now stands for one that was, its stamp unchanged.
    #[test]
    fn a_file_is_read_only_where_it_is_not_what_it_was() {
        let folder = tempfile::tempdir().unwrap();
        let (path, order) = (folder.path().join("a.json"), folder.path().join(ORDER));
        fs::write(&path, "{").unwrap();
        let stamp = stamp(&fs::metadata(&path).unwrap());
        for (known, is_read) in [(stamp.to_string(), false), ((stamp ^ 1).to_string(), true), ("null".to_owned(), true)]
        {
            let line = format!("[0,0,0,null,{known},0,\"a.json\"]\n");
            let head = format!(
                r#"{{"format":"cornerset-list","version":1,"bytes":{},"records":1,"folders":[["2026",null]],"unreadable":[]}}"#,
                line.len()
            );
            fs::write(&order, format!("{head}\n{line}")).unwrap();
            let memory = Memory::of(Kept::open(&order), &["2026".to_owned()]).unwrap();
            let entry = memory.entry(&path, 0, "a.json".to_owned(), SystemTime::now());
            assert_eq!(entry.is_err(), is_read, "{known}");
        }
    }
}
