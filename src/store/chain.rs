//! The head of a bench's chain: the last record, which the next one names.
//!
//! Reading every record at every close would be slow, so `chain.json` keeps the head, the claim of the record that is
//! being written, a sum over the names of all record files, and where the chains of other benches ended. It is written
//! before the record is put in place. When the names are still those, the head is the claim, where its record is there and
//! whole; or the head before, where the claim's journal is still open, for then its close was cut off. In every other case
//! all records are read.
//!
//! Even then the file counts as a witness: a record that it claims and that is gone, with its journal gone too, was
//! closed and later taken away. The chain goes on after it, and the gap is there for the audit to name. Without
//! `chain.json` the records alone say where the chain stands.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::disk::{Existing, put, read_up_to};
use super::line::sum;
use super::open::is_complete;
use super::read::read_record;
use super::{Store, StoreError};
use crate::audit::Witness;
use crate::quantity::text::short_id;
use crate::record::{ChainLink, Record, SEQUENCE_MAX, is_intact};

const FORMAT: &str = "cornerset-chain";
/// The version of the format; a file of another one is not used.
///
/// - 1: the first.
const VERSION: u32 = 1;
/// Far more than one takes.
const MOST: u64 = 1024 * 1024;
/// So many other benches are remembered.
const MOST_OTHERS: usize = 1000;

/// A record's place in its chain.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Head {
    pub sequence: u64,
    pub digest: String,
    pub id: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Kept {
    format: String,
    version: u32,
    bench: String,
    /// A sum over the names of all record files but the claimed one.
    names: String,
    /// The head before the claim.
    previous: Option<Head>,
    claim: Head,
    /// The last record of every other bench that this store has had.
    others: BTreeMap<String, Head>,
    /// A sum over all of this, with nothing here.
    sum: String,
}

/// Where a chain stands.
#[derive(Debug)]
pub(super) struct Chain {
    bench: String,
    names: String,
    head: Option<Head>,
    others: BTreeMap<String, Head>,
    /// Records that were read, and cannot be, or are not as they were signed off.
    pub skipped: Vec<PathBuf>,
    /// The place of the record that the store remembers as its last, where another one or none stands there.
    pub lost: Option<u64>,
}

impl Head {
    fn of(record: &Record) -> Self {
        Self { sequence: record.sequence, digest: record.sign_off.digest.clone(), id: record.id.clone() }
    }
}

impl Chain {
    /// The place of the next record.
    pub fn next(&self) -> ChainLink {
        ChainLink {
            sequence: self.head.as_ref().map_or(1, |head| head.sequence + 1),
            previous: self.head.as_ref().map(|head| head.digest.clone()),
        }
    }
}

impl Store {
    /// Finds the head of a bench's chain. The store must be locked.
    pub(super) fn chain(&self, bench: &str, progress: &dyn Fn(usize, usize)) -> Result<Chain, StoreError> {
        let files = self.records()?;
        let bench = bench.to_owned();
        let names = names(&files, None);
        let (kept, others) = self.kept_for(&bench, &files)?;
        if let Some(kept) = &kept
            && let Some(head) = self.current(kept, &files)
        {
            return Ok(Chain { bench, names, head, others, skipped: Vec::new(), lost: None });
        }
        let (scanned, skipped) = scan(&files, &bench, progress);
        let remembered = kept.and_then(|kept| self.witnessed(kept, &files)).or_else(|| others.get(&bench).cloned());
        // What is remembered goes before what stands there, however much was put on top of it: the next record names it, so
        // that what was put in its place, or taken away, is found for ever.
        let (head, lost) = match (scanned, remembered) {
            (scanned, Some(kept)) => {
                let stands = file_of(&kept.id, &files).is_some_and(|path| is_at(&kept, &bench, path));
                let later = scanned.filter(|head| stands && head.sequence > kept.sequence);
                let lost = (!stands).then_some(kept.sequence);
                (Some(later.unwrap_or(kept)), lost)
            }
            (scanned, None) => (scanned, None),
        };
        Ok(Chain { bench, names, head, others, skipped, lost })
    }

    /// What was kept, where it is for this bench; and the ends of the chains of all others, this bench's earlier one too
    /// where another came between.
    fn kept_for(&self, bench: &str, files: &[PathBuf]) -> Result<(Option<Kept>, BTreeMap<String, Head>), StoreError> {
        Ok(match self.memory_of_chain()? {
            None => (None, BTreeMap::new()),
            Some(mut kept) if kept.bench == bench => {
                let others = std::mem::take(&mut kept.others);
                (Some(kept), others)
            }
            Some(mut kept) => {
                let mut others = std::mem::take(&mut kept.others);
                let other = kept.bench.clone();
                others.extend(self.witnessed(kept, files).map(|head| (other, head)));
                (None, others)
            }
        })
    }

    /// Says that a record is about to be the head.
    pub(super) fn claim(&self, chain: Chain, record: &Record) -> Result<(), StoreError> {
        let path = self.chain_path();
        let mut kept = Kept {
            format: FORMAT.to_owned(),
            version: VERSION,
            bench: chain.bench,
            names: chain.names,
            previous: chain.head,
            claim: Head::of(record),
            others: chain.others.into_iter().filter(|(other, _)| *other != record.bench).take(MOST_OTHERS).collect(),
            sum: String::new(),
        };
        kept.sum = kept.right_sum();
        let mut bytes = serde_json::to_vec_pretty(&kept).map_err(|why| StoreError::disk("write", &path, why.into()))?;
        bytes.push(b'\n');
        put(&path, &bytes, Existing::Replaced)
    }

    fn chain_path(&self) -> PathBuf {
        self.root().join("chain.json")
    }

    /// What is to be known of a record that was claimed, and whose session still waits to be closed.
    pub(super) fn waits(&self, kept: &Kept, files: &[PathBuf]) -> Option<String> {
        let Head { id, sequence, .. } = &kept.claim;
        let waits = file_of(id, files).is_none() && self.is_open(id);
        waits.then(|| {
            format!(
                "Number {sequence} of bench {} is not written yet, though its session was signed off: `cornerset set --resume \
                 {}` finishes it.",
                kept.bench,
                short_id(id)
            )
        })
    }

    /// The records that were certainly closed, by what was kept. One that was put in place after the files were listed is
    /// added to them.
    pub(super) fn witnesses(&self, kept: Kept, files: &mut Vec<PathBuf>) -> Vec<Witness> {
        let is_open = self.is_open(&kept.claim.id);
        if file_of(&kept.claim.id, files).is_none()
            && let Ok(Some(path)) = self.record_of(&kept.claim.id)
        {
            files.push(path);
        }
        let was_closed = file_of(&kept.claim.id, files).is_some() || !is_open;
        let own =
            kept.previous.into_iter().chain(was_closed.then_some(kept.claim)).map(|head| (kept.bench.clone(), head));
        let witness = |(bench, Head { sequence, digest, id })| Witness { bench, sequence, digest, id };
        own.chain(kept.others).map(witness).collect()
    }

    /// What was kept; none where it is not as it was written.
    ///
    /// # Errors
    /// Where the disk does not give it: the next claim would write over what it holds.
    pub(super) fn memory_of_chain(&self) -> Result<Option<Kept>, StoreError> {
        let path = self.chain_path();
        let bytes = match read_up_to(&path, MOST) {
            Ok(bytes) => bytes,
            // What is no file, or too large, is damage: the system has no word for it.
            Err(error) if error.kind() == ErrorKind::NotFound || error.raw_os_error().is_none() => return Ok(None),
            Err(why) => return Err(StoreError::disk("read", &path, why)),
        };
        let is_sound = |kept: &Kept| {
            let is_ours = kept.format == FORMAT && kept.version == VERSION;
            is_ours && kept.claim.sequence < SEQUENCE_MAX && kept.sum == kept.right_sum()
        };
        Ok(serde_json::from_slice(&bytes).ok().filter(is_sound))
    }

    /// The head, where what was kept is up to date; `Some(None)` where there is no record yet.
    fn current(&self, kept: &Kept, files: &[PathBuf]) -> Option<Option<Head>> {
        let claimed = file_of(&kept.claim.id, files);
        if names(files, claimed) != kept.names {
            return None;
        }
        match (claimed, &kept.previous) {
            (Some(path), _) => is_at(&kept.claim, &kept.bench, path).then(|| Some(kept.claim.clone())),
            (None, _) if !self.is_open(&kept.claim.id) => None,
            (None, None) => files.is_empty().then_some(None),
            (None, Some(previous)) => {
                let stands = file_of(&previous.id, files).is_some_and(|path| is_at(previous, &kept.bench, path));
                stands.then(|| Some(previous.clone()))
            }
        }
    }

    /// The last record that was certainly closed, by what was kept.
    fn witnessed(&self, kept: Kept, files: &[PathBuf]) -> Option<Head> {
        let was_closed = file_of(&kept.claim.id, files).is_some() || !self.is_open(&kept.claim.id);
        if was_closed { Some(kept.claim) } else { kept.previous }
    }

    /// Whether a record may still be written: its session's journal is there, whole, and only waits to be closed.
    fn is_open(&self, id: &str) -> bool {
        super::id::is_id(id) && [self.journal_path(id), self.away_path(id)].iter().any(|path| is_complete(path, id))
    }
}

impl Kept {
    fn right_sum(&self) -> String {
        let text = serde_json::json!([
            self.format,
            self.version,
            self.bench,
            self.names,
            self.previous,
            self.claim,
            self.others
        ]);
        sum("", text.to_string().as_bytes())
    }
}

/// Whether a file holds the record at this place of a bench's chain, as it was signed off.
fn is_at(head: &Head, bench: &str, path: &Path) -> bool {
    read_record(path).is_ok_and(|record| Head::of(&record) == *head && record.bench == bench && is_intact(&record))
}

fn file_of<'a>(id: &str, files: &'a [PathBuf]) -> Option<&'a Path> {
    files.iter().find(|path| path.file_stem().is_some_and(|stem| stem == id)).map(PathBuf::as_path)
}

/// A sum over the last two parts of every path (the year and the name) but one.
fn names(files: &[PathBuf], without: Option<&Path>) -> String {
    files.iter().filter(|path| Some(path.as_path()) != without).fold(sum("", b""), |before, path| {
        let year = path.parent().and_then(Path::file_name).unwrap_or_default();
        let name = path.file_name().unwrap_or_default();
        sum(&before, &[year.as_encoded_bytes(), b"/", name.as_encoded_bytes()].concat())
    })
}

/// The record of a bench with the highest sequence, a whole one before others; and the records that say nothing certain.
fn scan(files: &[PathBuf], bench: &str, progress: &dyn Fn(usize, usize)) -> (Option<Head>, Vec<PathBuf>) {
    let mut best: Option<(Head, bool)> = None;
    let mut skipped = Vec::new();
    for (read, path) in files.iter().enumerate() {
        progress(read, files.len());
        let record = match read_record(path) {
            Ok(record) if record.bench != bench => continue,
            Ok(record) if (1..SEQUENCE_MAX).contains(&record.sequence) => record,
            _ => {
                skipped.push(path.clone());
                continue;
            }
        };
        let whole = is_intact(&record);
        if !whole {
            skipped.push(path.clone());
        }
        let head = Head::of(&record);
        let rank = |head: &Head, whole: bool| (head.sequence, whole, head.id.clone());
        if best.as_ref().is_none_or(|(other, other_whole)| rank(&head, whole) > rank(other, *other_whole)) {
            best = Some((head, whole));
        }
    }
    (best.map(|(head, _)| head), skipped)
}
