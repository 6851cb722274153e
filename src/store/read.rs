//! Records read from disk: nothing that the format does not have, and nothing left out.

use std::path::Path;

use serde::Deserialize;
use serde_json::Value;

use super::disk::read_up_to;
use super::error::in_words;
use super::{StoreError, strict};
use crate::quantity::text::visible;
use crate::record::{FORMAT, Record, VERSION, canonical_bytes, digest};

/// The largest file that is read as a record, in bytes.
pub const RECORD_MAX: u64 = 16 * 1024 * 1024;

/// Reads a record. Whether it is as it was signed off is another question: see [`is_intact`].
///
/// # Errors
/// Where the file cannot be read or is not a record of this version.
pub fn read_record(path: &Path) -> Result<Record, StoreError> {
    let refused = |what| StoreError::Record { path: path.to_owned(), what };
    let bytes = read_up_to(path, RECORD_MAX).map_err(|error| refused(in_words(&error)))?;
    parse_record(&bytes).map_err(refused)
}

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
    if signed_part(value).map_err(said)? != again {
        return Err("it leaves a key out, or writes a value in another way than a record does".to_owned());
    }
    Ok(record)
}

/// The canonical form of what the file says, without the digest and the signature.
fn signed_part(mut value: Value) -> serde_json::Result<Vec<u8>> {
    if let Some(sign_off) = value.get_mut("sign_off").and_then(Value::as_object_mut) {
        sign_off.remove("digest");
        sign_off.remove("signature");
    }
    serde_json_canonicalizer::to_vec(&value)
}

/// Whether a record still has the digest that it was signed off with.
pub fn is_intact(record: &Record) -> bool {
    digest(record).is_ok_and(|digest| digest == record.sign_off.digest)
}
