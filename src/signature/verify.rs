//! Whether a signature is one over these bytes.

use super::key::PublicKey;

/// What checking a signature says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Checked {
    /// This key signed these bytes for [`super::NAMESPACE`].
    Good(PublicKey),
    /// It is no signature over these bytes; why, as a sentence.
    Bad(String),
    /// It is by a kind of key that cannot be checked here.
    Unsupported(String),
}

/// Checks an armoured OpenSSH signature over bytes.
pub fn check(_armoured: &str, _bytes: &[u8]) -> Checked {
    unimplemented!()
}
