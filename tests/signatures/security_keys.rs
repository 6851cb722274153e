//! Signatures by security keys, made by hand as OpenSSH's PROTOCOL.u2f describes them (from memory): no such key is at
//! hand, so `ssh-keygen` says whether they were made right.

use std::process::Command;

use cornerset::signature::{Checked, NAMESPACE, PublicKey, check};
use ssh_key::sha2::{Digest, Sha256};
use ssh_key::{HashAlg, PrivateKey, SshSig};

use crate::keygen::Desk;

const RECORD: &[u8] = b"{\"corner_hz\":31.5}";

/// Bytes after their length.
pub fn string(bytes: &[u8]) -> Vec<u8> {
    [&u32::try_from(bytes.len()).unwrap().to_be_bytes()[..], bytes].concat()
}

/// The armour around a signature; base64 by the general tool of that name.
pub fn armoured(desk: &Desk, blob: &[u8]) -> String {
    let path = desk.write("blob", blob);
    let output = Command::new("base64").args(["-w", "70"]).arg(path).output().unwrap();
    assert!(output.status.success());
    let text = String::from_utf8(output.stdout).unwrap();
    format!("-----BEGIN SSH SIGNATURE-----\n{}\n-----END SSH SIGNATURE-----\n", text.trim_end())
}

fn raw(key: &impl ssh_key::SigningKey, message: &[u8]) -> Vec<u8> {
    key.try_sign(message).unwrap().as_bytes().to_vec()
}

/// A security key of software: its kind, its public key after the kind, what signs.
struct SecurityKey {
    kind: &'static str,
    public: Vec<u8>,
    private: PrivateKey,
}

impl SecurityKey {
    fn all(desk: &Desk) -> Vec<Self> {
        let (ed25519, _) = desk.key("ed25519", "", &["-t", "ed25519"]);
        let (ecdsa, _) = desk.key("ecdsa", "", &["-t", "ecdsa", "-b", "256"]);
        [("sk-ssh-ed25519@openssh.com", ed25519), ("sk-ecdsa-sha2-nistp256@openssh.com", ecdsa)]
            .into_iter()
            .map(|(kind, text)| {
                let private = PrivateKey::from_openssh(&text).unwrap();
                let blob = private.public_key().to_bytes().unwrap();
                // The same fields as those of the plain kind after its name, then the application.
                let plain = string(private.algorithm().as_str().as_bytes()).len();
                Self { kind, public: [&blob[plain..], &string(b"ssh:")].concat(), private }
            })
            .collect()
    }

    fn blob(&self) -> Vec<u8> {
        [string(self.kind.as_bytes()), self.public.clone()].concat()
    }

    fn sign(&self, desk: &Desk, flags: u8, tail: &[u8]) -> String {
        let trailer = [&[flags][..], &41_u32.to_be_bytes()].concat();
        let signed = SshSig::signed_data(NAMESPACE, HashAlg::Sha512, RECORD).unwrap();
        let message = [&Sha256::digest(b"ssh:")[..], &trailer, &Sha256::digest(signed)].concat();
        let signature = [string(self.kind.as_bytes()), string(&raw(&self.private, &message)), trailer, tail.to_vec()];
        let mut blob = [&b"SSHSIG"[..], &1_u32.to_be_bytes()].concat();
        for field in [&self.blob()[..], NAMESPACE.as_bytes(), b"", b"sha512", &signature.concat()] {
            blob.extend(string(field));
        }
        armoured(desk, &blob)
    }

    fn line(&self, desk: &Desk) -> String {
        let path = desk.write("blob", self.blob());
        let output = Command::new("base64").args(["-w", "0"]).arg(path).output().unwrap();
        format!("{} {}", self.kind, String::from_utf8(output.stdout).unwrap())
    }
}

#[test]
fn signatures_by_security_keys_are_checked() {
    let Some(desk) = Desk::new() else { return };
    for key in SecurityKey::all(&desk) {
        let public = PublicKey::parse(&key.line(&desk)).unwrap();
        assert_eq!((public.kind().as_str(), public.line()), (key.kind, key.line(&desk)));
        let file = desk.write("sk.pub", key.line(&desk));
        let told = desk.done(&["-l", "-f", file.to_str().unwrap()], b"").stdout;
        assert_eq!(String::from_utf8(told).unwrap().split(' ').nth(1), Some(public.fingerprint().as_str()));
        // 1: touched; 4: its holder was verified, too.
        for flags in [1, 5] {
            let signature = key.sign(&desk, flags, b"");
            assert!(desk.takes(&signature, RECORD), "{signature}");
            assert_eq!(check(&signature, RECORD), Checked::Good(public.clone()));
            assert!(!desk.takes(&signature, b"{}"));
            assert!(matches!(check(&signature, b"{}"), Checked::Bad(_)));
        }
        let untouched = key.sign(&desk, 0, b"");
        // Stricter than `ssh-keygen`, which leaves that to those who ask, and as strict as a server is by default.
        assert!(desk.takes(&untouched, RECORD));
        assert_eq!(
            check(&untouched, RECORD),
            Checked::Bad("the signature was made by a security key that nobody touched".to_owned())
        );
        let longer = key.sign(&desk, 1, b"x");
        assert!(!desk.takes(&longer, RECORD));
        assert_eq!(
            check(&longer, RECORD),
            Checked::Bad("the signature is not written as OpenSSH writes it".to_owned())
        );
    }
}
