//! Signing with a private key that is at hand as a file's text.

use std::fmt;

use ssh_key::rand_core::{OsRng, RngCore};
use ssh_key::{Algorithm, Cipher, EcdsaCurve, HashAlg, Kdf, LineEnding, PrivateKey};
use zeroize::Zeroizing;

use super::NAMESPACE;
use super::key::{KeyKind, PublicKey};
use super::verify::{Checked, check};
use crate::quantity::text::visible;

/// Rounds of the passphrase's derivation, as OpenSSH writes since 9.4 (from memory; 16 before).
const ROUNDS: u32 = 24;

/// The length of the salt that OpenSSH writes, in bytes.
const SALT: usize = 16;

/// A private key that signs.
#[derive(Clone)]
pub struct SigningKey(pub(super) PrivateKey);

impl SigningKey {
    /// A new key.
    ///
    /// # Errors
    /// Where it cannot be made.
    pub fn generate(kind: KeyKind, comment: &str) -> Result<Self, String> {
        if visible(comment) != comment {
            return Err("the comment of a key is one line of visible characters".to_owned());
        }
        let algorithm = match kind {
            KeyKind::Ed25519 => Algorithm::Ed25519,
            KeyKind::EcdsaP256 => Algorithm::Ecdsa { curve: EcdsaCurve::NistP256 },
        };
        let mut key =
            PrivateKey::random(&mut OsRng, algorithm).map_err(|error| format!("no key could be made: {error}"))?;
        key.set_comment(comment);
        Ok(Self(key))
    }

    /// The public half.
    pub fn public(&self) -> PublicKey {
        PublicKey(self.0.public_key().clone())
    }

    /// The text of its private key file, protected by a passphrase where there is one.
    ///
    /// # Errors
    /// Where it cannot be made.
    pub fn file_text(&self, passphrase: Option<&str>) -> Result<Zeroizing<String>, String> {
        let failed = |error| format!("the key file could not be made: {error}");
        let Some(passphrase) = passphrase else {
            return self.0.to_openssh(LineEnding::LF).map_err(failed);
        };
        if passphrase.is_empty() {
            return Err("an empty passphrase protects nothing".to_owned());
        }
        let mut salt = vec![0; SALT];
        OsRng.fill_bytes(&mut salt);
        let kdf = Kdf::Bcrypt { salt, rounds: ROUNDS };
        let protected = self.0.encrypt_with(Cipher::Aes256Ctr, kdf, OsRng.next_u32(), passphrase).map_err(failed)?;
        protected.to_openssh(LineEnding::LF).map_err(failed)
    }

    /// The armoured signature over bytes, for [`super::NAMESPACE`].
    ///
    /// # Errors
    /// Where the key cannot sign here.
    pub fn sign(&self, bytes: &[u8]) -> Result<String, String> {
        let failed = |error| format!("the key did not sign: {error}");
        let signature = self.0.sign(NAMESPACE, HashAlg::Sha512, bytes).map_err(failed)?;
        let armoured = signature.to_pem(LineEnding::LF).map_err(failed)?;
        // A signature that is made wrong is found here, not months later.
        match check(&armoured, bytes) {
            Checked::Good(key) if key == self.public() => Ok(armoured),
            _ => Err("the key made a signature that does not hold".to_owned()),
        }
    }
}

impl fmt::Debug for SigningKey {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("SigningKey").finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use ssh_key::PrivateKey;
    use ssh_key::private::Ed25519Keypair;

    fn bytes(hex: &str) -> Vec<u8> {
        (0..hex.len()).step_by(2).map(|place| u8::from_str_radix(&hex[place..place + 2], 16).unwrap()).collect()
    }

    /// The signature itself, without what OpenSSH puts around it.
    fn sign(key: &impl ssh_key::SigningKey, message: &[u8]) -> Vec<u8> {
        key.try_sign(message).unwrap().as_bytes().to_vec()
    }

    /// RFC 8032, section 7.1, TEST 1 to 3: seed, public key, message, signature (from memory; Ed25519 leaves one
    /// signature for a key and a message, so a wrong digit here could not pass).
    #[test]
    fn ed25519_is_as_published() {
        let published = [
            (
                "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
                "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
                "",
                "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
            ),
            (
                "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
                "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
                "72",
                "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
            ),
            (
                "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
                "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
                "af82",
                "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
            ),
        ];
        for (seed, public, message, signature) in published {
            let key = Ed25519Keypair::from_seed(&bytes(seed).try_into().unwrap());
            assert_eq!(key.public.as_ref().to_vec(), bytes(public));
            assert_eq!(sign(&PrivateKey::from(key), &bytes(message)), bytes(signature));
        }
    }
}
