//! Who signs a record, as the store sees it: a key at hand, or one that an agent holds.

/// Signs records.
pub trait Signer {
    /// The fingerprint of the key, as OpenSSH shows it.
    fn fingerprint(&self) -> String;

    /// An armoured OpenSSH signature over these bytes.
    ///
    /// # Errors
    /// Why there is none, as a sentence.
    fn sign(&mut self, bytes: &[u8]) -> Result<String, String>;
}
