//! Public keys as OpenSSH writes them.

/// The kinds of keys that sign records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyKind {
    /// `ssh-ed25519`.
    Ed25519,
    /// `ecdsa-sha2-nistp256`.
    EcdsaP256,
}

/// A public key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PublicKey(pub(super) ssh_key::PublicKey);

impl PublicKey {
    /// Reads a line as `ssh-keygen` writes it to a `.pub` file.
    ///
    /// # Errors
    /// What is wrong with it, as the end of a sentence.
    pub fn parse(_line: &str) -> Result<Self, String> {
        unimplemented!()
    }

    /// `SHA256:` and the base64 of the key's digest, as `ssh-keygen -l` shows it.
    pub fn fingerprint(&self) -> String {
        unimplemented!()
    }

    /// The kind as OpenSSH names it.
    pub fn kind(&self) -> String {
        unimplemented!()
    }

    /// The comment.
    pub fn comment(&self) -> &str {
        unimplemented!()
    }

    /// Kind and key without the comment.
    pub fn line(&self) -> String {
        unimplemented!()
    }
}

/// A name as a principal of an allowed_signers file and as a file name.
pub fn principal_of(_name: &str) -> String {
    unimplemented!()
}
