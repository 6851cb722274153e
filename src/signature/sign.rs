//! Signing with a private key that is at hand as a file's text.

use super::key::{KeyKind, PublicKey};

/// A private key as its file holds it, perhaps protected by a passphrase.
pub struct LockedKey(());

/// A private key that signs.
pub struct SigningKey(());

/// Why a key cannot be used here.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NotUnlocked {
    /// Wrong passphrase, or damage: the two cannot be told apart.
    #[error("the passphrase does not open it, or the file is damaged")]
    Passphrase,
}

impl LockedKey {
    /// Reads a private key file.
    ///
    /// # Errors
    /// What is wrong with it, as the end of a sentence.
    pub fn parse(_text: &str) -> Result<Self, String> {
        unimplemented!()
    }

    /// Whether it needs a passphrase.
    pub fn is_protected(&self) -> bool {
        unimplemented!()
    }

    /// The public half, which needs no passphrase.
    pub fn public(&self) -> PublicKey {
        unimplemented!()
    }

    /// Opens it; the passphrase is not looked at where it needs none.
    ///
    /// # Errors
    /// Where it does not open.
    pub fn unlock(&self, _passphrase: &str) -> Result<SigningKey, NotUnlocked> {
        unimplemented!()
    }
}

impl SigningKey {
    /// A new key.
    ///
    /// # Errors
    /// Where it cannot be made.
    pub fn generate(_kind: KeyKind, _comment: &str) -> Result<Self, String> {
        unimplemented!()
    }

    /// The public half.
    pub fn public(&self) -> PublicKey {
        unimplemented!()
    }

    /// The text of its private key file, protected by a passphrase where there is one.
    ///
    /// # Errors
    /// Where it cannot be made.
    pub fn file_text(&self, _passphrase: Option<&str>) -> Result<zeroize::Zeroizing<String>, String> {
        unimplemented!()
    }

    /// The armoured signature over bytes, for [`super::NAMESPACE`].
    ///
    /// # Errors
    /// Where the key cannot sign here.
    pub fn sign(&self, _bytes: &[u8]) -> Result<String, String> {
        unimplemented!()
    }
}
