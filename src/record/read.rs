//! Records read from bytes: nothing that the format does not have, and nothing left out.

use serde::Deserialize;
use serde_json::Value;

use super::canonical::{canonical_bytes, digest};
use super::document::{FORMAT, Record, VERSION};
use super::strict;
use crate::quantity::text::visible;

/// The largest file that is read as a record, in bytes.
pub const RECORD_MAX: u64 = 16 * 1024 * 1024;

/// The record in these bytes. Its canonical form is that of the bytes: keys that are unknown, missing or there twice,
/// and values written another way than this program writes them, are refused.
///
/// # Errors
/// What is wrong with it.
pub fn parse_record(bytes: &[u8]) -> Result<Record, String> {
    let said = |error: serde_json::Error| visible(&error.to_string());
    if bytes.len() as u64 > RECORD_MAX {
        return Err("it is too large".to_owned());
    }
    let value = strict::parse(bytes).map_err(said)?;
    if value.get("format") != Some(&Value::from(FORMAT)) {
        return Err(format!("its format is not `{FORMAT}`"));
    }
    match value.get("version") {
        Some(version) if *version == VERSION => {}
        Some(version) => {
            return Err(format!("it has version {version} of the format, and this program reads version {VERSION}"));
        }
        None => return Err("it has no version".to_owned()),
    }
    let record = Record::deserialize(&value).map_err(said)?;
    if value.pointer("/sign_off/signature").is_none() {
        return Err("it leaves out the key `signature` of its sign-off".to_owned());
    }
    let again = canonical_bytes(&record).map_err(|error| error.to_string())?;
    if canonical_bytes(&value).map_err(|error| error.to_string())? != again {
        return Err("it leaves a key out, or writes a value in another way than a record does".to_owned());
    }
    Ok(record)
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
