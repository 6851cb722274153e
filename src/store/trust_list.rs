//! The trust list as a file: `allowed_signers`, in OpenSSH's own format.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, Local, NaiveDateTime};

use super::disk::{Existing, put, read_up_to};
use super::error::in_words;
use super::{Store, StoreError};
use crate::session::Moment;
use crate::signature::{AllowedSigners, LIST_MAX, PublicKey, allowed_line};

/// What became of a key that was to be trusted.
#[derive(Debug)]
pub struct Trusted {
    /// The list.
    pub path: PathBuf,
    /// The line for the key.
    pub line: String,
    /// Whether the line was there already.
    pub was_there: bool,
    /// How many lines for the same key and name gave way to it.
    pub replaced: usize,
    /// Lines that have the same key under other names.
    pub others: Vec<String>,
}

impl Store {
    /// Where the store's trust list is, or would be.
    pub fn trust_list_path(&self) -> PathBuf {
        self.root().join("allowed_signers")
    }

    /// Trusts a key for a name, from a time on and up to one. What the list said of that key and name before gives way.
    ///
    /// # Errors
    /// Where no time is left between the two, the list would get too long, or the disk fails.
    pub fn trust(
        &self,
        name: &str,
        key: &PublicKey,
        valid_after: Option<Moment>,
        valid_before: Option<Moment>,
    ) -> Result<Trusted, StoreError> {
        let named = self.trust_list_path();
        let _lock = self.lock()?;
        // A shared list may be somewhere else.
        let path = fs::canonicalize(&named).unwrap_or(named);
        let refused = |what: String| StoreError::TrustList { path: path.clone(), what };
        let text = match read_up_to(&path, LIST_MAX as u64) {
            Ok(bytes) => String::from_utf8(bytes).map_err(|_| refused("it is not UTF-8 text".to_owned()))?,
            Err(error) if error.kind() == ErrorKind::NotFound => String::new(),
            Err(error) => return Err(refused(in_words(&error))),
        };
        let line = allowed_line(name, key, valid_after, valid_before);
        if let (_, problems) = AllowedSigners::parse(&line, &local)
            && let Some(problem) = problems.first()
        {
            return Err(refused(format!("the line for this key would not be used: {problem}")));
        }
        let names = |line: &str| line.split(" namespaces=").next().unwrap_or_default().to_owned();
        let is_of_key = |other: &&str| !other.trim_start().starts_with('#') && other.contains(&key.line());
        let same = |other: &&str| is_of_key(other) && names(other) == names(&line);
        let was_there = text.lines().any(|other| other == line);
        let others = text.lines().filter(|other| is_of_key(other) && !same(other)).map(names).collect();
        let replaced = text.lines().filter(|other| same(other) && *other != line).count();
        if !was_there || replaced > 0 {
            let mut lines: Vec<&str> = text.lines().filter(|other| !same(other)).collect();
            lines.push(&line);
            let text = lines.join("\n") + "\n";
            if text.len() > LIST_MAX {
                return Err(refused(format!("with one more line it would be longer than {LIST_MAX} bytes")));
            }
            put(&path, text.as_bytes(), Existing::Replaced)?;
        }
        Ok(Trusted { path, line, was_there, replaced, others })
    }
}

/// Reads a trust list; with it what is wrong with lines that were passed over.
///
/// # Errors
/// Where the file cannot be read.
pub fn read_trust_list(path: &Path) -> Result<(AllowedSigners, Vec<String>), StoreError> {
    let refused = |what| StoreError::TrustList { path: path.to_owned(), what };
    let bytes = read_up_to(path, LIST_MAX as u64).map_err(|error| refused(in_words(&error)))?;
    Ok(AllowedSigners::parse(&String::from_utf8_lossy(&bytes), &local))
}

/// A time of this machine's clock, as OpenSSH has it for times without `Z`.
fn local(time: NaiveDateTime) -> Option<DateTime<FixedOffset>> {
    time.and_local_timezone(Local).earliest().map(|time| time.fixed_offset())
}
