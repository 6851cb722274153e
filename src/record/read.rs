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
/// What is no record is refused before it is held as a whole document, so that hostile bytes take little memory.
///
/// # Errors
/// What is wrong with it, as the end of a sentence that is harmless to show.
pub fn parse_record(bytes: &[u8]) -> Result<Record, String> {
    if bytes.len() as u64 > RECORD_MAX {
        return Err("it is too large".to_owned());
    }
    let kind: Kind = serde_json::from_slice(bytes).map_err(said)?;
    if kind.format.as_deref() != Some(FORMAT) {
        return Err(format!("its format is not `{FORMAT}`"));
    }
    match kind.version {
        Some(version) if version == u64::from(VERSION) => {}
        Some(version) => {
            return Err(format!("it has version {version} of the format, and this program reads version {VERSION}"));
        }
        None => return Err("it has no version".to_owned()),
    }
    let record: Record = serde_json::from_slice(bytes).map_err(said)?;
    if record.sequence > SEQUENCE_MAX {
        return Err(format!("its sequence {} is larger than {SEQUENCE_MAX}", record.sequence));
    }
    let value = strict::parse(bytes).map_err(said)?;
    if value.pointer("/sign_off/signature").is_none() {
        return Err("it leaves out the key `signature` of its sign-off".to_owned());
    }
    let again = canonical_bytes(&record).map_err(|error| error.to_string())?;
    if canonical_bytes(&value).map_err(|error| error.to_string())? != again {
        return Err("it leaves a key out, or writes a value in another way than a record does".to_owned());
    }
    Ok(record)
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
