//! Public keys as OpenSSH writes them.

use sha2::{Digest, Sha256};
use ssh_key::{Fingerprint, HashAlg};

use super::armour;
use super::fields::Fields;
use crate::quantity::text::visible;

/// The longest line that is read as a key, in bytes.
const LINE_MAX: usize = 16 * 1024;

/// The longest principal, in bytes: with what a file name needs besides, it stays short enough for any file system.
const PRINCIPAL_MAX: usize = 100;

/// The kinds of keys that sign here, as OpenSSH names them.
pub(super) const ED25519: &str = "ssh-ed25519";
pub(super) const ECDSA_P256: &str = "ecdsa-sha2-nistp256";

/// The kinds of keys whose signatures are checked here.
const TAKEN: [&str; 4] = [ED25519, ECDSA_P256, "sk-ssh-ed25519@openssh.com", "sk-ecdsa-sha2-nistp256@openssh.com"];

/// The other kinds that OpenSSH knows; its certificates end in `-cert-v01@openssh.com`.
const KNOWN: [&str; 4] = ["ssh-rsa", "ssh-dss", "ecdsa-sha2-nistp384", "ecdsa-sha2-nistp521"];

/// The kinds of keys that sign records.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KeyKind {
    /// `ssh-ed25519`.
    Ed25519,
    /// `ecdsa-sha2-nistp256`.
    EcdsaP256,
}

impl KeyKind {
    /// Every kind.
    pub const ALL: [Self; 2] = [Self::Ed25519, Self::EcdsaP256];

    /// Its word on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ed25519 => "ed25519",
            Self::EcdsaP256 => "ecdsa-p256",
        }
    }
}

/// A public key. Two are equal where the keys are, whatever their comments say.
#[derive(Debug, Clone)]
pub struct PublicKey(pub(super) ssh_key::PublicKey);

impl PartialEq for PublicKey {
    fn eq(&self, other: &Self) -> bool {
        self.0.key_data() == other.0.key_data()
    }
}

impl Eq for PublicKey {}

impl PublicKey {
    /// Reads a line as `ssh-keygen` writes it to a `.pub` file.
    ///
    /// # Errors
    /// What is wrong with it, as the end of a sentence.
    pub fn parse(line: &str) -> Result<Self, String> {
        let line = line.trim_matches([' ', '\t', '\r', '\n']);
        if line.len() > LINE_MAX {
            return Err(format!("is longer than {LINE_MAX} bytes"));
        }
        if line.is_empty() {
            return Err("is empty".to_owned());
        }
        if line.starts_with("-----BEGIN") {
            return Err("is not a public key; the public half is in the file that ends in .pub".to_owned());
        }
        if line.contains(['\n', '\r']) {
            return Err("is more than one line".to_owned());
        }
        let (kind, rest) = word(line);
        let (text, comment) = word(rest);
        if is_known(kind) {
            return Err(not_taken(kind));
        }
        if !TAKEN.contains(&kind) {
            return Err("does not start with a kind of key that OpenSSH knows".to_owned());
        }
        let blob = armour::decode(text.bytes()).ok_or("holds a key that is not whole")?;
        let mut key = from_blob(&blob).ok_or("holds a key that is not whole")?;
        if key.algorithm().as_str() != kind {
            return Err(format!("says {kind} and holds a key of another kind"));
        }
        key.set_comment(visible(comment));
        Ok(Self(key))
    }

    /// `SHA256:` and the base64 of the key's digest, as `ssh-keygen -l` shows it.
    pub fn fingerprint(&self) -> String {
        self.0.fingerprint(HashAlg::Sha256).to_string()
    }

    /// The kind as OpenSSH names it.
    pub fn kind(&self) -> String {
        self.0.algorithm().as_str().to_owned()
    }

    /// The comment.
    pub fn comment(&self) -> &str {
        self.0.comment()
    }

    /// Kind and key without the comment.
    pub fn line(&self) -> String {
        let blob = self.0.to_bytes().unwrap_or_default();
        format!("{} {}", self.kind(), armour::encode(&blob))
    }
}

/// Whether OpenSSH knows this kind of key, and it is none of those taken here.
pub(super) fn is_known(kind: &str) -> bool {
    KNOWN.contains(&kind) || kind.ends_with("-cert-v01@openssh.com")
}

/// Whether signatures by this kind of key are checked here.
pub(super) fn is_taken(kind: &str) -> bool {
    TAKEN.contains(&kind)
}

/// Why a key is refused, as the end of a sentence.
fn not_taken(kind: &str) -> String {
    format!("is a key of kind {}; accepted: {}", visible(kind), TAKEN.join(", "))
}

/// Whether this can name a kind of key: printable ASCII without blanks and commas (RFC 4251, section 6), so that it is
/// harmless to show and one word of a line.
fn is_name(kind: &str) -> bool {
    !kind.is_empty() && kind.bytes().all(|byte| byte.is_ascii_graphic() && byte != b',')
}

/// The key in its binary form, where it is written as OpenSSH writes it.
pub(super) fn from_blob(blob: &[u8]) -> Option<ssh_key::PublicKey> {
    let mut fields = Fields::new(blob);
    let kind = fields.text().filter(|kind| is_name(kind))?;
    if kind.contains("ecdsa") {
        // The crate takes the short form of a point too, which OpenSSH refuses.
        fields.string()?;
        fields.string().filter(|point| point.len() % 2 == 1 && point[0] == 4)?;
    }
    let key = ssh_key::PublicKey::from_bytes(blob).ok()?;
    (key.to_bytes().ok()?.as_slice() == blob).then_some(key)
}

/// The first word, and what comes after the blanks behind it.
pub(super) fn word(text: &str) -> (&str, &str) {
    let blank = [' ', '\t'];
    let (word, rest) = text.split_once(blank).unwrap_or((text, ""));
    (word, rest.trim_start_matches(blank))
}

/// The fingerprint of a key of any kind by its binary form.
pub(super) fn fingerprint_of(blob: &[u8]) -> String {
    Fingerprint::Sha256(Sha256::digest(blob).into()).to_string()
}

/// A name as a principal of an allowed_signers file and as a file name.
pub fn principal_of(name: &str) -> String {
    let mut principal = String::new();
    for character in name.chars() {
        if principal.len() > PRINCIPAL_MAX {
            break;
        }
        if character.is_alphanumeric() {
            principal.extend(character.to_lowercase().filter(|lower| lower.is_alphanumeric()));
        } else if !principal.is_empty() && !principal.ends_with('-') {
            principal.push('-');
        }
    }
    principal.truncate(principal.floor_char_boundary(PRINCIPAL_MAX));
    let principal = principal.trim_end_matches('-');
    if principal.is_empty() { "signer".to_owned() } else { principal.to_owned() }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_name_becomes_a_principal() {
        for (name, principal) in [
            ("Ada L.", "ada-l"),
            ("  O'Neil -- jr ", "o-neil-jr"),
            ("Müller & Söhne", "müller-söhne"),
            ("東京", "東京"),
            ("../etc", "etc"),
            ("...", "signer"),
            ("", "signer"),
            ("\u{130}b", "ib"),
        ] {
            assert_eq!(principal_of(name), principal);
        }
        assert_eq!(principal_of(&"ä".repeat(80)), "ä".repeat(50));
        assert_eq!(principal_of(&format!("{} b", "x".repeat(99))), "x".repeat(99));
    }

    /// A blob of a kind that nobody knows: OpenSSH's form is kept, its name is none.
    #[test]
    fn a_kind_that_is_no_name_is_none() {
        let blob = |kind: &str| [&(kind.len() as u32).to_be_bytes()[..], kind.as_bytes(), b"\0\0\0\x01x"].concat();
        assert!(from_blob(&blob("new@example.org")).is_some());
        for kind in
            ["", "s\0\0~@a", "a b@example.org", "a,b@example.org", "\u{9b}31m@example.org", "\u{202e}@example.org"]
        {
            assert!(from_blob(&blob(kind)).is_none(), "{kind:?}");
        }
    }

    proptest! {
        #[test]
        fn a_principal_is_safe_in_a_list_and_as_a_file_name(name in any::<String>()) {
            let principal = principal_of(&name);
            prop_assert!(!principal.is_empty() && principal.len() <= PRINCIPAL_MAX);
            prop_assert!(principal.chars().all(|c| c.is_alphanumeric() || c == '-'), "{principal}");
            prop_assert!(!principal.starts_with('-') && !principal.ends_with('-') && !principal.contains("--"));
            prop_assert_eq!(principal_of(&principal), principal);
        }
    }
}
