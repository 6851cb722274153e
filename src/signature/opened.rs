//! The private part of a key file, once no passphrase stands before it (PROTOCOL.key of OpenSSH).

use ssh_key::PrivateKey;
use zeroize::Zeroizing;

use super::fields::Fields;
use super::key::ECDSA_P256;
use super::sign::SigningKey;

/// The length of the secret number of a key on the curve P-256, in bytes.
const SCALAR: usize = 32;

/// Private parts are filled up to a multiple of this, in bytes; under most ciphers to a multiple of twice as many.
const BLOCK: usize = 8;

/// The longest filling: the longest block, less one.
const FILLING_MAX: usize = 15;

/// The key that a file's public and private part hold.
///
/// OpenSSH writes a secret number without leading zeros, and one ECDSA key in 512 begins with some. The library reads
/// numbers of full length only, so what it gets is written out at full length.
pub(super) fn key(public: &[u8], private: &[u8]) -> Option<SigningKey> {
    let parts = Parts::read(private)?;
    let mut section = Room::new(private.len() + SCALAR + BLOCK);
    section.bytes(parts.checks);
    section.string(parts.kind)?;
    match parts.secret {
        Secret::Ed25519 { public, pair } => {
            section.string(public)?;
            section.string(pair)?;
        }
        Secret::Ecdsa { curve, public, scalar } => {
            section.string(curve)?;
            section.string(public)?;
            section.string(&full_length(scalar)?[..])?;
        }
    }
    section.string(parts.comment)?;
    let filling = section.0.len().next_multiple_of(BLOCK) - section.0.len();
    section.bytes(&(1..).take(filling).collect::<Vec<u8>>());

    let mut file = Room::new(public.len() + section.0.len() + 64);
    file.bytes(MAGIC);
    file.string(b"none")?;
    file.string(b"none")?;
    file.string(b"")?;
    file.bytes(&1_u32.to_be_bytes());
    file.string(public)?;
    file.string(&section.0)?;
    let key = SigningKey(PrivateKey::from_bytes(&file.0).ok()?);
    // Whether the secret is that of the public half shows once it signs: now, and not at the end of a session.
    key.sign(b"").is_ok().then_some(key)
}

/// What an OpenSSH key file begins with.
pub(super) const MAGIC: &[u8] = b"openssh-key-v1\0";

/// A private part, field by field.
struct Parts<'a> {
    checks: &'a [u8],
    kind: &'a [u8],
    secret: Secret<'a>,
    comment: &'a [u8],
}

enum Secret<'a> {
    Ed25519 { public: &'a [u8], pair: &'a [u8] },
    Ecdsa { curve: &'a [u8], public: &'a [u8], scalar: &'a [u8] },
}

impl<'a> Parts<'a> {
    fn read(private: &'a [u8]) -> Option<Self> {
        let mut fields = Fields::new(private);
        let checks = fields.bytes(8)?;
        let kind = fields.string()?;
        let secret = if kind == ECDSA_P256.as_bytes() {
            Secret::Ecdsa { curve: fields.string()?, public: fields.string()?, scalar: fields.string()? }
        } else {
            Secret::Ed25519 { public: fields.string()?, pair: fields.string()? }
        };
        let comment = fields.string()?;
        let filling = fields.rest();
        let blocks = private.len().is_multiple_of(BLOCK) && filling.len() <= FILLING_MAX;
        let filled = blocks && filling.iter().copied().eq((1..).take(filling.len()));
        filled.then_some(Self { checks, kind, secret, comment })
    }
}

/// A number at full length.
fn full_length(number: &[u8]) -> Option<Zeroizing<[u8; SCALAR]>> {
    let digits = number.iter().position(|byte| *byte != 0).map(|start| &number[start..])?;
    let mut full = Zeroizing::new([0; SCALAR]);
    let start = SCALAR.checked_sub(digits.len())?;
    full[start..].copy_from_slice(digits);
    Some(full)
}

/// Bytes that are being written, with room for all of them: no copy of a secret is left where a smaller one was.
struct Room(Zeroizing<Vec<u8>>);

impl Room {
    fn new(most: usize) -> Self {
        Self(Zeroizing::new(Vec::with_capacity(most)))
    }

    fn bytes(&mut self, bytes: &[u8]) {
        self.0.extend_from_slice(bytes);
    }

    fn string(&mut self, bytes: &[u8]) -> Option<()> {
        self.bytes(&u32::try_from(bytes.len()).ok()?.to_be_bytes());
        self.bytes(bytes);
        Some(())
    }
}
