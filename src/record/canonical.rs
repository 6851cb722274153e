//! The bytes that are signed: the canonical form of RFC 8785, without the digest and the signature.

use std::fmt::Write;

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::sorted::{self, LeaveOut};

/// What a signature does not cover, itself among it.
const NOT_SIGNED: LeaveOut = LeaveOut { of: "sign_off", keys: &["digest", "signature"] };

/// Why a record has no canonical form.
#[derive(Debug, thiserror::Error)]
pub enum NotCanonical {
    /// The session has no sign-off yet.
    #[error("the session is not complete")]
    NotComplete,
    /// A number is not finite, or something else that JSON cannot hold.
    #[error("the record cannot be written: {0}")]
    Json(#[from] serde_json::Error),
}

/// Exactly the bytes that a digest and a signature cover: RFC 8785, the keys `sign_off.digest` and
/// `sign_off.signature` removed, no line end.
///
/// # Errors
/// Where a number is not finite.
pub fn canonical_bytes(record: &impl Serialize) -> Result<Vec<u8>, NotCanonical> {
    Ok(sorted::to_vec(record, &NOT_SIGNED)?)
}

/// `sha256:` and the hexadecimal SHA-256 of the canonical bytes.
///
/// # Errors
/// Where a number is not finite.
pub fn digest(record: &impl Serialize) -> Result<String, NotCanonical> {
    Ok(digest_of(&canonical_bytes(record)?))
}

/// `sha256:` and the hexadecimal SHA-256 of bytes.
pub fn digest_of(bytes: &[u8]) -> String {
    let mut text = String::from("sha256:");
    for byte in Sha256::digest(bytes) {
        let _ = write!(text, "{byte:02x}");
    }
    text
}
