//! The order of the records as a file: `list.cache`, one JSON array a line behind a line of head.
//!
//! A cache, made anew from the records whenever it is not as it should be. Only as many lines are read as are asked for.

use std::cmp::Ordering;
use std::fs::{self, File};
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use serde::{Deserialize, Serialize};

use crate::record::{RECORD_MAX, Record};

const FORMAT: &str = "cornerset-list";
/// The version of the format; a file of another one is not used.
///
/// - 1: the first.
const VERSION: u32 = 1;
/// More than a line takes: a file name as long as file systems allow, and an id as long as the whole record may be.
const LINE_MAX: u64 = RECORD_MAX + 4096;
/// Far more than a head takes, with thousands of files that cannot be read.
const HEAD_MAX: u64 = 4 * 1024 * 1024;

/// What stands before the lines.
#[derive(Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Head {
    format: String,
    version: u32,
    /// How many bytes of lines follow.
    bytes: u64,
    /// How many lines follow.
    pub records: usize,
    /// The folders of records, in their order, with the stamp of each where it is known.
    pub folders: Vec<(String, Option<u64>)>,
    /// What has the name of a record and cannot be read: its folder's place and its name, in order.
    pub unreadable: Vec<(usize, String)>,
}

/// A record's line: when it was signed off (seconds and nanoseconds, and the offset of the bench), its id where its file is not
/// named after it, the file's stamp where it is known, its folder's place, and the file's name.
type Line = (i64, u32, i32, Option<String>, Option<u64>, usize, String);

/// A record in the order.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Entry {
    closed_at: (i64, u32),
    offset: i32,
    id: Option<String>,
    pub stamp: Option<u64>,
    pub folder: usize,
    pub name: String,
}

impl Entry {
    pub fn of(record: &Record, stamp: Option<u64>, folder: usize, name: String) -> Self {
        let id = (name.strip_suffix(".json") != Some(&record.id)).then(|| record.id.clone());
        let offset = record.closed_at.time().offset().local_minus_utc();
        Self { closed_at: closed_at(record), offset, id, stamp, folder, name }
    }

    fn from_line((seconds, nanos, offset, id, stamp, folder, name): Line) -> Self {
        Self { closed_at: (seconds, nanos), offset, id, stamp, folder, name }
    }

    fn line(&self) -> impl Serialize {
        let Self { closed_at: (seconds, nanos), offset, id, stamp, folder, name } = self;
        (seconds, nanos, offset, id, stamp, folder, name)
    }

    /// Its id, as the record says it.
    fn id(&self) -> &str {
        self.id.as_deref().unwrap_or_else(|| self.name.strip_suffix(".json").unwrap_or(&self.name))
    }

    /// The newest first; then as the list has always had them: by id backwards, then by file.
    pub fn order(&self, other: &Self) -> Ordering {
        let by_file = || (self.folder, &self.name).cmp(&(other.folder, &other.name));
        other.closed_at.cmp(&self.closed_at).then_with(|| other.id().cmp(self.id())).then_with(by_file)
    }

    /// Whether a record is the one that this speaks of.
    pub fn speaks_of(&self, record: &Record) -> bool {
        self.closed_at == closed_at(record) && self.id() == record.id
    }

    /// When it was signed off.
    pub fn closed_at(&self) -> Option<DateTime<FixedOffset>> {
        let time = DateTime::from_timestamp(self.closed_at.0, self.closed_at.1)?;
        let offset = FixedOffset::east_opt(self.offset)?;
        // A day that a date cannot have.
        time.naive_utc().checked_add_offset(offset)?;
        Some(time.with_timezone(&offset))
    }
}

fn closed_at(record: &Record) -> (i64, u32) {
    let time = record.closed_at.time();
    (time.timestamp(), time.timestamp_subsec_nanos())
}

/// The file, opened, its head read.
#[derive(Debug)]
pub(super) struct Kept {
    pub head: Head,
    lines: BufReader<File>,
    before: Option<Entry>,
    left: usize,
}

impl Kept {
    /// `None` where there is none, or it is none of ours, or not whole.
    pub fn open(path: &Path) -> Option<Self> {
        if !fs::metadata(path).ok()?.is_file() {
            return None;
        }
        let file = File::open(path).ok()?;
        let size = file.metadata().ok()?.len();
        let mut lines = BufReader::new(file);
        let line = line(&mut lines, HEAD_MAX)?;
        let head: Head = serde_json::from_str(&line).ok()?;
        let is_ours = head.format == FORMAT && head.version == VERSION;
        let is_whole = Some(size) == (line.len() as u64 + 1).checked_add(head.bytes);
        let are_names = head.folders.iter().all(|(name, _)| is_name(name))
            && head.unreadable.iter().all(|(folder, name)| *folder < head.folders.len() && is_name(name));
        let left = head.records;
        (is_ours && is_whole && are_names).then_some(Self { head, lines, before: None, left })
    }

    /// The next record; `Some(None)` where the file is not as it was written.
    pub fn next(&mut self) -> Option<Option<Entry>> {
        if self.left == 0 {
            return None;
        }
        self.left -= 1;
        let entry = line(&mut self.lines, LINE_MAX).and_then(|line| serde_json::from_str(&line).ok());
        let entry = entry.map(Entry::from_line).filter(|entry| {
            let follows = self.before.as_ref().is_none_or(|before| before.order(entry) == Ordering::Less);
            follows && entry.folder < self.head.folders.len() && is_name(&entry.name)
        });
        self.before.clone_from(&entry);
        Some(entry)
    }
}

/// The bytes of the file.
pub(super) fn written(
    folders: Vec<(String, Option<u64>)>,
    unreadable: Vec<(usize, String)>,
    entries: &[Entry],
) -> serde_json::Result<Vec<u8>> {
    let mut lines = Vec::with_capacity(entries.len() * 100);
    for entry in entries {
        serde_json::to_writer(&mut lines, &entry.line())?;
        lines.push(b'\n');
    }
    let (bytes, records) = (lines.len() as u64, entries.len());
    let head = Head { format: FORMAT.to_owned(), version: VERSION, bytes, records, folders, unreadable };
    let mut all = serde_json::to_vec(&head)?;
    all.push(b'\n');
    all.append(&mut lines);
    Ok(all)
}

/// A line without its end, of no more than so many bytes.
fn line(lines: &mut BufReader<File>, most: u64) -> Option<String> {
    let mut line = String::new();
    lines.by_ref().take(most).read_line(&mut line).ok()?;
    line.pop().filter(|end| *end == '\n').map(|_| line)
}

/// Whether it names what is in a folder, and leads nowhere else.
fn is_name(name: &str) -> bool {
    let path = PathBuf::from(name);
    path.file_name().is_some_and(|last| last == name)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Whatever a line says, a time has a day.
    #[test]
    fn a_time_that_no_day_has_is_none() {
        let (first, last) = (DateTime::<chrono::Utc>::MIN_UTC, DateTime::<chrono::Utc>::MAX_UTC);
        for (at, offset, is_one) in [(first, 0, true), (first, -3600, false), (last, 0, true), (last, 3600, false)] {
            let line = (at.timestamp(), 0, offset, None, None, 0, "a.json".to_owned());
            let closed_at = Entry::from_line(line).closed_at();
            assert_eq!(closed_at.map(|at| at.date_naive()).is_some(), is_one, "{at} {offset}");
        }
    }
}
