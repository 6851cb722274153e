//! What no audit of signed records can do without: each file read, its bytes hashed, a signature verified.

use std::fs;
use std::hint::black_box;
use std::path::PathBuf;

use ed25519_dalek::{Signature, Signer, SigningKey, Verifier, VerifyingKey};
use rayon::prelude::*;
use sha2::{Digest, Sha256};

/// Files, each with a signature over the SHA-256 of its bytes.
pub struct Floor {
    key: VerifyingKey,
    files: Vec<(PathBuf, Signature)>,
}

impl Floor {
    pub fn new(files: &[PathBuf]) -> Self {
        let key = SigningKey::from_bytes(&[7; 32]);
        let signed = |path: &PathBuf| (path.clone(), key.sign(&Sha256::digest(fs::read(path).expect("a file"))));
        Self { key: key.verifying_key(), files: files.par_iter().map(signed).collect() }
    }

    /// The plain loop, on every core.
    pub fn once(&self) {
        self.files.par_iter().for_each(|(path, signature)| {
            let bytes = fs::read(path).expect("a file");
            self.key.verify(&Sha256::digest(&bytes), signature).expect("a good signature");
            black_box(bytes.len());
        });
    }
}
