//! Whether a signature is one over these bytes.

use ssh_key::{Algorithm, HashAlg, Signature, SshSig};

use super::fields::Fields;
use super::key::PublicKey;
use super::{NAMESPACE, armour, key};
use crate::quantity::text::visible;

/// The longest signature that is looked at, in bytes.
const ARMOUR_MAX: usize = 16 * 1024;

/// The flag of a security key: somebody touched it (PROTOCOL.u2f of OpenSSH).
const TOUCHED: u8 = 1;

const NOT_OPENSSH: &str = "the signature is not written as OpenSSH writes it";

/// What checking a signature says.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Checked {
    /// This key signed these bytes for [`super::NAMESPACE`].
    Good(PublicKey),
    /// It is no signature over these bytes; why, as a sentence.
    Bad(String),
    /// It is by a kind of key that cannot be checked here.
    Unsupported {
        /// The kind as OpenSSH names it.
        kind: String,
        /// The fingerprint of the key that it names.
        fingerprint: String,
    },
}

/// Why a signature is not good.
enum Fault {
    Bad(String),
    Unsupported { kind: String, fingerprint: String },
}

impl From<&str> for Fault {
    fn from(sentence: &str) -> Self {
        Self::Bad(sentence.to_owned())
    }
}

/// Checks an armoured OpenSSH signature over bytes.
pub fn check(armoured: &str, bytes: &[u8]) -> Checked {
    match signer(armoured, bytes) {
        Ok(key) => Checked::Good(key),
        Err(Fault::Bad(sentence)) => Checked::Bad(sentence),
        Err(Fault::Unsupported { kind, fingerprint }) => Checked::Unsupported { kind, fingerprint },
    }
}

/// The key that signed these bytes.
fn signer(armoured: &str, bytes: &[u8]) -> Result<PublicKey, Fault> {
    if armoured.len() > ARMOUR_MAX {
        return Err("the signature is longer than 16 KiB".into());
    }
    let blob = armour::strip(armoured).ok_or(NOT_OPENSSH)?;
    let outer = Outer::read(&blob).ok_or(NOT_OPENSSH)?;
    outer.accept()?;
    let hash = match outer.hash {
        b"sha256" => HashAlg::Sha256,
        b"sha512" => HashAlg::Sha512,
        _ => return Err("the signature uses a digest other than sha256 and sha512".into()),
    };
    let kind = Fields::new(outer.key).text().ok_or(NOT_OPENSSH)?;
    if key::is_known(kind) {
        return Err(Fault::Unsupported { kind: visible(kind), fingerprint: key::fingerprint_of(outer.key) });
    }
    if !key::is_taken(kind) {
        return Err("the signature names a kind of key that OpenSSH does not know".into());
    }
    let key = key::from_blob(outer.key).ok_or(NOT_OPENSSH)?;
    let signature = inner(&key.algorithm(), &outer)?;
    let signature = SshSig::new(key.key_data().clone(), NAMESPACE, hash, signature).map_err(|_| NOT_OPENSSH)?;
    key.verify(NAMESPACE, bytes, &signature).map_err(|_| "the signature is not one over this content")?;
    Ok(PublicKey(key))
}

/// The fields of a signature file (PROTOCOL.sshsig of OpenSSH).
struct Outer<'a> {
    version: u32,
    key: &'a [u8],
    namespace: &'a [u8],
    reserved: &'a [u8],
    hash: &'a [u8],
    signature: &'a [u8],
}

impl<'a> Outer<'a> {
    fn read(blob: &'a [u8]) -> Option<Self> {
        let mut fields = Fields::new(blob.strip_prefix(b"SSHSIG")?);
        let read = Self {
            version: fields.number()?,
            key: fields.string()?,
            namespace: fields.string()?,
            reserved: fields.string()?,
            hash: fields.string()?,
            signature: fields.string()?,
        };
        fields.end(read)
    }

    /// Refuses what is not a signature of a record.
    fn accept(&self) -> Result<(), Fault> {
        if self.version != 1 {
            return Err(Fault::Bad(format!("the signature is of version {}, not 1", self.version)));
        }
        if self.namespace != NAMESPACE.as_bytes() {
            let other = visible(&String::from_utf8_lossy(self.namespace));
            return Err(Fault::Bad(format!("the signature is for `{other}`, not for `{NAMESPACE}`")));
        }
        if !self.reserved.is_empty() {
            return Err("the signature holds something in its reserved field".into());
        }
        Ok(())
    }
}

/// The signature itself, by a key of this kind. The fields are read here because the crate writes those of an ECDSA
/// security key otherwise than OpenSSH does, and does not mind what follows them.
fn inner(algorithm: &Algorithm, outer: &Outer<'_>) -> Result<Signature, Fault> {
    let mut fields = Fields::new(outer.signature);
    let kind = fields.text().ok_or(NOT_OPENSSH)?;
    if kind == "webauthn-sk-ecdsa-sha2-nistp256@openssh.com" {
        return Err(Fault::Unsupported { kind: kind.to_owned(), fingerprint: key::fingerprint_of(outer.key) });
    }
    if kind != algorithm.as_str() {
        return Err("the signature is of another kind than its key".into());
    }
    let mut data = fields.string().ok_or(NOT_OPENSSH)?.to_vec();
    if matches!(algorithm, Algorithm::Ecdsa { .. } | Algorithm::SkEcdsaSha2NistP256) {
        let mut numbers = Fields::new(&data);
        numbers.positive().and(numbers.positive()).and_then(|_| numbers.end(())).ok_or(NOT_OPENSSH)?;
    }
    if matches!(algorithm, Algorithm::SkEd25519 | Algorithm::SkEcdsaSha2NistP256) {
        let flags_and_counter = fields.bytes(5).ok_or(NOT_OPENSSH)?;
        if flags_and_counter[0] & TOUCHED == 0 {
            return Err("the signature was made by a security key that nobody touched".into());
        }
        data.extend_from_slice(flags_and_counter);
    }
    fields.end(()).ok_or(NOT_OPENSSH)?;
    Signature::new(algorithm.clone(), data).map_err(|_| NOT_OPENSSH.into())
}
