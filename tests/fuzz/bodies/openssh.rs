//! OpenSSH's signatures and private keys: what is taken is written again as the same, and signs.

use cornerset::signature::{Checked, LockedKey, check};

use super::shown;

/// What is said to be signed.
const CONTENT: &[u8] = b"{\"format\":\"cornerset-record\"}";

/// A signature or a key as text, or what stands in its armour.
pub fn run(data: &[u8]) {
    if let Ok(text) = str::from_utf8(data) {
        signature(text, text);
        private_key(text, text);
    }
    let given = String::from_utf8_lossy(data);
    let base64 = base64(data);
    signature(&armoured("SSH SIGNATURE", &base64), &given);
    private_key(&armoured("OPENSSH PRIVATE KEY", &base64), &given);
}

fn signature(armoured: &str, given: &str) {
    match check(armoured, CONTENT) {
        Checked::Good(key) => {
            assert!(matches!(check(armoured, b"other"), Checked::Bad(_)), "a signature is over one content");
            shown::harmless(&key.fingerprint());
        }
        Checked::Bad(why) => shown::text(&why, given),
        Checked::Unsupported { kind, fingerprint } => {
            shown::text(&kind, given);
            shown::harmless(&fingerprint);
        }
    }
}

fn private_key(text: &str, given: &str) {
    let locked = match LockedKey::parse(text) {
        Ok(locked) => locked,
        Err(why) => return shown::text(&why, given),
    };
    let public = locked.public();
    shown::harmless(&public.line());
    // To try a passphrase takes as long as the file asks for, up to a bound: that is its purpose.
    if locked.is_protected() {
        return;
    }
    match locked.unlock("") {
        Ok(key) => {
            assert_eq!(key.public(), public);
            let written = key.file_text(None).expect("an open key is written");
            let again = LockedKey::parse(&written).expect("a key that was written is read again");
            assert_eq!(again.public(), public);
            let signature = key.sign(CONTENT).expect("an open key signs");
            assert_eq!(check(&signature, CONTENT), Checked::Good(public));
        }
        Err(why) => {
            assert!(!locked.signs_here(), "a key that is not protected opens");
            shown::text(&why.to_string(), given);
        }
    }
}

fn armoured(kind: &str, base64: &str) -> String {
    let mut text = format!("-----BEGIN {kind}-----\n");
    for line in base64.as_bytes().chunks(70) {
        text.push_str(&String::from_utf8_lossy(line));
        text.push('\n');
    }
    text.push_str(&format!("-----END {kind}-----\n"));
    text
}

/// RFC 4648, section 4.
fn base64(bytes: &[u8]) -> String {
    const ALPHABET: &[u8; 64] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let mut text = String::new();
    for three in bytes.chunks(3) {
        let bits =
            three.iter().enumerate().fold(0_u32, |bits, (place, byte)| bits | u32::from(*byte) << (16 - 8 * place));
        for place in 0..4 {
            let is_there = place <= three.len();
            text.push(if is_there { char::from(ALPHABET[(bits >> (18 - 6 * place)) as usize & 63]) } else { '=' });
        }
    }
    text
}
