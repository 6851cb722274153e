//! The trust list as a file: `allowed_signers`, in OpenSSH's own format.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset, Local, NaiveDateTime, TimeDelta};

use super::disk::{Existing, make_folder, put, read_up_to};
use super::error::in_words;
use super::lock::lock_folder;
use super::{Store, StoreError};
use crate::session::Moment;
use crate::signature::{AllowedSigners, LIST_MAX, Listing, PublicKey, allowed_line};

/// An end of the time in which a key signs, as somebody names it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum End {
    /// There is none.
    Open,
    /// A moment.
    At(Moment),
}

/// What became of a key that was to be trusted.
#[derive(Debug)]
pub struct Trusted {
    /// The list.
    pub path: PathBuf,
    /// The line for the key.
    pub line: String,
    /// From when on it signs, and until when.
    pub times: [Option<Moment>; 2],
    /// Which of these nobody named: the list had them.
    pub kept: [bool; 2],
    /// Whether the line was there already.
    pub was_there: bool,
    /// Lines for the same key and name that gave way to it, without the key.
    pub replaced: Vec<String>,
    /// Lines that have the same key under other names.
    pub others: Vec<String>,
}

impl Store {
    /// Where the store's trust list is, or would be.
    pub fn trust_list_path(&self) -> PathBuf {
        self.root().join("allowed_signers")
    }

    /// Trusts a key for a name, from a time on and up to one: `ends`. What the list said of that key and name before gives way,
    /// but for an end that is not named.
    ///
    /// # Errors
    /// Where no time is left between the two, the list has several lines that differ in an end that is not named, it would get
    /// too long, or the disk fails.
    pub fn trust(&self, name: &str, key: &PublicKey, ends: [Option<End>; 2]) -> Result<Trusted, StoreError> {
        let named = self.trust_list_path();
        make_folder(self.root())?;
        // A shared list may be somewhere else; a link that leads nowhere is not made a file.
        let path = match fs::symlink_metadata(&named) {
            Ok(_) => fs::canonicalize(&named)
                .map_err(|error| StoreError::TrustList { path: named, what: in_words(&error) })?,
            Err(error) if error.kind() == ErrorKind::NotFound => named,
            Err(why) => return Err(StoreError::disk("find", &named, why)),
        };
        // Where the list itself is: stores that share it wait for each other.
        let _lock = lock_folder(path.parent().unwrap_or(self.root()), &|| false)?;
        let refused = |what: String| StoreError::TrustList { path: path.clone(), what };
        let text = match read_up_to(&path, LIST_MAX as u64) {
            Ok(bytes) => String::from_utf8(bytes).map_err(|_| refused("it is not UTF-8 text".to_owned()))?,
            Err(error) if error.kind() == ErrorKind::NotFound => String::new(),
            Err(error) => return Err(refused(in_words(&error))),
        };
        // Lines that were written here, for this key and name; what else they allow is not touched.
        let before_key = |line: &str| line.split(&key.line()).next().unwrap_or_default().trim().to_owned();
        let own = allowed_line(name, key, None, None);
        let prefix = before_key(&own);
        let is_of_key = |other: &&str| !other.trim_start().starts_with('#') && other.contains(&key.line());
        let same = |other: &&str| is_of_key(other) && other.starts_with(&prefix);
        let had: Vec<&str> = text.lines().filter(same).collect();
        let times = times(ends, &had).map_err(refused)?;
        let [valid_after, valid_before] = times;
        let line = allowed_line(name, key, valid_after, valid_before);
        if let (_, problems) = AllowedSigners::parse(&line, &local)
            && let Some(problem) = problems.first()
        {
            return Err(refused(format!("the line for this key would not be used: {problem}")));
        }
        let was_there = text.lines().any(|other| other == line);
        let others = text.lines().filter(|other| is_of_key(other) && !same(other)).map(before_key).collect();
        let replaced: Vec<String> =
            text.lines().filter(|other| same(other) && *other != line).map(before_key).collect();
        if !was_there || !replaced.is_empty() {
            let mut lines: Vec<&str> = text.lines().filter(|other| !same(other)).collect();
            lines.push(&line);
            let text = lines.join("\n") + "\n";
            if text.len() > LIST_MAX {
                return Err(refused(format!("with one more line it would be longer than {LIST_MAX} bytes")));
            }
            let (list, _) = AllowedSigners::parse(&text, &local);
            let second = TimeDelta::seconds(1);
            let outside = [
                valid_after.and_then(|at| at.time().checked_sub_signed(second)),
                valid_before.and_then(|at| at.time().checked_add_signed(second)),
            ];
            if outside.into_iter().flatten().any(|at| list.judge(key, name, Moment::new(at)) == Listing::Listed) {
                let what = "another line of it lets the key sign for this name at other times too; take that line out by hand first";
                return Err(refused(what.to_owned()));
            }
            let mode = fs::metadata(&path).map(|metadata| metadata.permissions());
            put(&path, text.as_bytes(), Existing::Replaced)?;
            if let Ok(mode) = mode {
                let _ = fs::set_permissions(&path, mode);
            }
        }
        let kept = [0, 1].map(|end| ends[end].is_none() && times[end].is_some());
        Ok(Trusted { path, line, times, kept, was_there, replaced, others })
    }
}

/// From when and until when a key signs: what is named, and what the lines before said of the rest.
fn times(ends: [Option<End>; 2], had: &[&str]) -> Result<[Option<Moment>; 2], String> {
    const NAMES: [&str; 2] = ["--valid-after", "--valid-before"];
    let mut times = [None; 2];
    for (index, end) in ends.into_iter().enumerate() {
        times[index] = match end {
            Some(End::Open) => None,
            Some(End::At(moment)) => Some(moment),
            None => {
                let (list, problems) = AllowedSigners::parse(&had.join("\n"), &local);
                let mut said = list.times().map(|line| line[index]);
                let first = said.next();
                if !problems.is_empty() || said.any(|other| Some(other) != first) {
                    let why = if problems.is_empty() { "differ in it" } else { "cannot all be used" };
                    return Err(format!(
                        "its lines for this key and name {why}, so {} is to be named; `none` for none",
                        NAMES[index]
                    ));
                }
                first.flatten()
            }
        };
    }
    if let [Some(from), Some(until)] = times
        && until <= from
        && let Some(kept) = ends.iter().position(Option::is_none)
    {
        let what = ["lets the key sign only from", "ends the key's time at"][kept];
        let at = times[kept].map_or_else(String::new, |moment| moment.to_string());
        return Err(format!(
            "it {what} {at}, and no time would be left; `{} none` takes that away, another time replaces it",
            NAMES[kept]
        ));
    }
    Ok(times)
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
