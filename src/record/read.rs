//! Records read from bytes: nothing that the format does not have, and nothing left out.

use serde::Deserialize;
use serde_json::error::Category;

use super::canonical::{canonical_bytes, digest};
use super::document::{FORMAT, Record, VERSION};
use super::strict;
use crate::quantity::text::visible;

/// The largest file that is read as a record, in bytes: several times what the longest session makes.
pub const RECORD_MAX: u64 = 8 * 1024 * 1024;
/// The largest whole number that every JSON reader takes exactly (RFC 8259, section 6): no chain is as long, and two that
/// are larger may have one canonical form.
pub const SEQUENCE_MAX: u64 = (1 << 53) - 1;
/// So much of what is wrong is said, in characters.
const SAID: usize = 200;

/// What tells a record from anything else.
#[derive(Deserialize)]
#[serde(expecting = "a record")]
struct Kind {
    format: Option<String>,
    version: Option<u64>,
}

/// The record in these bytes. Its canonical form is that of the bytes: keys that are unknown, missing or there twice,
/// and values written another way than this program writes them, are refused.
///
/// # Errors
/// What is wrong with it, as the end of a sentence that is harmless to show.
pub fn parse_record(bytes: &[u8]) -> Result<Record, String> {
    Ok(parse_with_layout(bytes)?.0)
}

/// The record in these bytes, as [`parse_record`], and how they are laid out.
///
/// # Errors
/// As [`parse_record`].
pub fn parse_with_layout(bytes: &[u8]) -> Result<(Record, Layout), String> {
    if bytes.len() as u64 > RECORD_MAX {
        return Err("it is too large".to_owned());
    }
    let record: Record = serde_json::from_slice(bytes).map_err(|error| why_not(bytes, error))?;
    check_kind(Some(&record.format), Some(record.version.into()))?;
    if record.sequence > SEQUENCE_MAX {
        return Err(format!("its sequence {} is larger than {SEQUENCE_MAX}", record.sequence));
    }
    let layout = Layout::of(&record, bytes);
    if layout == Layout::Another {
        check_every_key(&record, bytes)?;
    }
    Ok((record, layout))
}

/// How the bytes of a record are laid out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Layout {
    /// As in the file that this program writes.
    File,
    /// As one line of what it writes, with or without its end.
    Line,
    /// In another way.
    Another,
}

impl Layout {
    fn of(record: &Record, bytes: &[u8]) -> Self {
        let is = |written: serde_json::Result<Vec<u8>>, bytes: &[u8]| written.is_ok_and(|written| written == bytes);
        // A file has a line end behind its first character, a line has not.
        match bytes.get(1) {
            Some(b'\n') if is(file_bytes(record), bytes) => Self::File,
            Some(b'"') if is(serde_json::to_vec(record), bytes.trim_ascii_end()) => Self::Line,
            _ => Self::Another,
        }
    }
}

/// What is laid out in another way may have a key twice, or leave one out that could be null.
fn check_every_key(record: &Record, bytes: &[u8]) -> Result<(), String> {
    let value = strict::parse(bytes).map_err(said)?;
    if value.pointer("/sign_off/signature").is_none() {
        return Err("it leaves out the key `signature` of its sign-off".to_owned());
    }
    let again = canonical_bytes(record).map_err(|error| error.to_string())?;
    if canonical_bytes(&value).map_err(|error| error.to_string())? != again {
        return Err("it leaves a key out, or writes a value in another way than a record does".to_owned());
    }
    Ok(())
}

/// Why bytes do not parse as a record: first of all because they are something else.
fn why_not(bytes: &[u8], error: serde_json::Error) -> String {
    let kind = serde_json::from_slice::<Kind>(bytes).map_err(said);
    match kind.and_then(|kind| check_kind(kind.format.as_deref(), kind.version)) {
        Ok(()) => said(error),
        Err(why) => why,
    }
}

fn check_kind(format: Option<&str>, version: Option<u64>) -> Result<(), String> {
    if format != Some(FORMAT) {
        return Err(format!("its format is not `{FORMAT}`"));
    }
    match version {
        Some(version) if version == u64::from(VERSION) => Ok(()),
        Some(version) => {
            Err(format!("it has version {version} of the format, and this program reads version {VERSION}"))
        }
        None => Err("it has no version".to_owned()),
    }
}

/// What is wrong with JSON, for people.
fn said(error: serde_json::Error) -> String {
    let (line, column) = (error.line(), error.column());
    let text = visible(&error.to_string());
    let cut: String = text.chars().take(SAID).collect();
    match error.classify() {
        Category::Eof => format!("it ends too early, in line {line}"),
        Category::Syntax => format!("it is damaged in line {line} at character {column}: {cut}"),
        Category::Data | Category::Io => cut,
    }
}

/// Whether a record still has the digest that it was signed off with.
pub fn is_intact(record: &Record) -> bool {
    digest(record).is_ok_and(|digest| digest == record.sign_off.digest)
}

/// The record as it is written to its file: indented, with a line end.
///
/// # Errors
/// Where a number is not finite.
pub fn file_bytes(record: &Record) -> serde_json::Result<Vec<u8>> {
    let mut bytes = serde_json::to_vec_pretty(record)?;
    bytes.push(b'\n');
    Ok(bytes)
}
