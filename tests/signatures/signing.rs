//! What is signed here is good to OpenSSH, and the other way round.

use cornerset::signature::{
    Checked, KeyKind, LockedKey, NAMESPACE, NotUnlocked, PublicKey, SigningKey, allowed_line, check,
};

use crate::keygen::Desk;

const RECORD: &[u8] = b"{\"corner_hz\":31.5,\"tone_hz\":31.5}";

const CIPHERS: [&str; 9] = [
    "aes128-ctr",
    "aes192-ctr",
    "aes256-ctr",
    "aes128-cbc",
    "aes192-cbc",
    "aes256-cbc",
    "aes128-gcm@openssh.com",
    "aes256-gcm@openssh.com",
    "chacha20-poly1305@openssh.com",
];

#[track_caller]
fn good(checked: Checked) -> PublicKey {
    match checked {
        Checked::Good(key) => key,
        other => panic!("{other:?}"),
    }
}

/// Signs and lets `ssh-keygen -Y verify` and `check-novalidate` look at it.
#[track_caller]
fn signs(desk: &Desk, key: &SigningKey) {
    let armoured = key.sign(RECORD).unwrap();
    assert_eq!(good(check(&armoured, RECORD)), key.public());
    assert!(desk.takes(&armoured, RECORD));
    assert!(!desk.takes(&armoured, b"{}"));
    let list = desk.write("list", allowed_line("Ada L.", &key.public(), None, None));
    let file = desk.write("record.sig", &armoured);
    for name in ["Ada L.", "ada-l"] {
        assert!(desk.verifies(&list, "UTC", name, "20260301Z", &file, RECORD), "{name}");
    }
    assert!(!desk.verifies(&list, "UTC", "bo", "20260301Z", &file, RECORD));
}

#[test]
fn keys_made_here_sign_for_openssh() {
    let Some(desk) = Desk::new() else { return };
    for kind in KeyKind::ALL {
        let key = SigningKey::generate(kind, "ada@bench").unwrap();
        signs(&desk, &key);
        let plain = key.file_text(None).unwrap();
        let protected = key.file_text(Some("correct horse")).unwrap();
        for (name, text, passphrase) in [("plain", &plain, ""), ("protected", &protected, "correct horse")] {
            assert!(text.ends_with("-----END OPENSSH PRIVATE KEY-----\n"));
            desk.write_secret(name, text);
            let public = desk.done(&["-y", "-P", passphrase, "-f", name], b"").stdout;
            let public = PublicKey::parse(&String::from_utf8(public).unwrap()).unwrap();
            assert_eq!((public.line(), public.comment()), (key.public().line(), "ada@bench"));
            let again = LockedKey::parse(text).unwrap();
            assert_eq!(again.is_protected(), !passphrase.is_empty());
            assert_eq!(again.public(), key.public());
            assert_eq!(again.unlock(passphrase).unwrap().public().comment(), "ada@bench");
        }
        assert!(!desk.run("UTC", &["-y", "-P", "wrong", "-f", "protected"], b"").status.success());
        assert_eq!(LockedKey::parse(&protected).unwrap().unlock("wrong").unwrap_err(), NotUnlocked::Passphrase);
        // A plain key made here signs in `ssh-keygen`, too.
        assert_eq!(good(check(&desk.sign("plain", NAMESPACE, &[], RECORD), RECORD)), key.public());
    }
    let key = SigningKey::generate(KeyKind::Ed25519, "").unwrap();
    assert!(key.file_text(Some("")).is_err());
    assert!(SigningKey::generate(KeyKind::Ed25519, "two\nlines").is_err());
}

/// Ed25519 leaves one signature for a key and a message, so both write the same file (RFC 8032, section 5.1.6).
#[test]
fn a_signature_is_written_as_openssh_writes_it() {
    let Some(desk) = Desk::new() else { return };
    let (text, _) = desk.key("key", "", &["-t", "ed25519"]);
    let key = LockedKey::parse(&text).unwrap().unlock("").unwrap();
    for message in [&b""[..], RECORD, &[0xFF; 5000]] {
        assert_eq!(key.sign(message).unwrap(), desk.sign("key", NAMESPACE, &[], message));
    }
}

#[test]
fn keys_that_openssh_made_sign_here() {
    let Some(desk) = Desk::new() else { return };
    for (kind, options) in [("ed25519", &["-t", "ed25519"][..]), ("ecdsa", &["-t", "ecdsa", "-b", "256"])] {
        let (text, public) = desk.key(&format!("{kind}-plain"), "", options);
        let locked = LockedKey::parse(&text).unwrap();
        assert!(locked.signs_here() && !locked.is_protected());
        assert_eq!(locked.public(), PublicKey::parse(&public).unwrap());
        assert_eq!(locked.public().comment(), "ada@bench");
        signs(&desk, &locked.unlock("looked at by nobody").unwrap());
        for cipher in CIPHERS {
            let name = format!("{kind}-{cipher}");
            let (text, public) = desk.key(&name, "pässphrase", &[options, &["-a", "2", "-Z", cipher]].concat());
            let locked = LockedKey::parse(&text).unwrap();
            assert!(locked.is_protected() && locked.signs_here(), "{name}");
            assert_eq!(locked.public(), PublicKey::parse(&public).unwrap());
            assert_eq!(locked.unlock("passphrase").unwrap_err(), NotUnlocked::Passphrase, "{name}");
            assert_eq!(locked.unlock("").unwrap_err(), NotUnlocked::Passphrase, "{name}");
            let key = locked.unlock("pässphrase").unwrap_or_else(|error| panic!("{name}: {error}"));
            assert_eq!(key.public().comment(), "ada@bench");
            signs(&desk, &key);
        }
    }
}

/// The secret number of one ECDSA key in 512 is shorter than those of the others; `ssh-keygen` made this one after some
/// hundred others.
#[test]
fn a_key_with_a_short_secret_signs_here() {
    let Some(desk) = Desk::new() else { return };
    let given = include_str!("short_secret");
    let key = LockedKey::parse(given).unwrap().unlock("").unwrap();
    signs(&desk, &key);
    for (name, passphrase) in [("plain", None), ("protected", Some("correct horse"))] {
        let text = key.file_text(passphrase).unwrap();
        desk.write_secret(name, &text);
        let public = desk.done(&["-y", "-P", passphrase.unwrap_or_default(), "-f", name], b"").stdout;
        assert_eq!(PublicKey::parse(&String::from_utf8(public).unwrap()).unwrap(), key.public());
        let again = LockedKey::parse(&text).unwrap().unlock(passphrase.unwrap_or_default()).unwrap();
        assert_eq!(again.public(), key.public());
    }
    for cipher in CIPHERS {
        desk.write_secret("given", given);
        desk.done(&["-p", "-q", "-f", "given", "-P", "", "-N", "pässphrase", "-a", "2", "-Z", cipher], b"");
        let locked = LockedKey::parse(&desk.read("given")).unwrap();
        signs(&desk, &locked.unlock("pässphrase").unwrap_or_else(|error| panic!("{cipher}: {error}")));
    }
}

#[test]
fn signatures_that_openssh_made_are_good_here() {
    let Some(desk) = Desk::new() else { return };
    for (kind, options) in [("ed25519", &["-t", "ed25519"][..]), ("ecdsa", &["-t", "ecdsa", "-b", "256"])] {
        let (_, public) = desk.key(kind, "", options);
        let public = PublicKey::parse(&public).unwrap();
        for hash in ["sha256", "sha512"] {
            for message in [&b""[..], RECORD, &[0x80; 70_000]] {
                let armoured = desk.sign(kind, NAMESPACE, &["-O", &format!("hashalg={hash}")], message);
                assert_eq!(good(check(&armoured, message)), public);
                assert_eq!(good(check(armoured.trim_end(), message)), public);
            }
        }
        let elsewhere = desk.sign(kind, "file", &[], RECORD);
        assert_eq!(
            check(&elsewhere, RECORD),
            Checked::Bad("the signature is for `file`, not for `cornerset-record`".to_owned())
        );
        let disguised = desk.sign(kind, "cornerset-record\u{1b}[2K", &[], RECORD);
        assert_eq!(
            check(&disguised, RECORD),
            Checked::Bad("the signature is for `cornerset-record<U+001B>[2K`, not for `cornerset-record`".to_owned())
        );
    }
}

/// ECDSA leaves many signatures for a message; some of their numbers are shorter than others.
#[test]
fn many_ecdsa_signatures_are_good_on_both_sides() {
    let Some(desk) = Desk::new() else { return };
    let (text, public) = desk.key("key", "", &["-t", "ecdsa", "-b", "256"]);
    let key = LockedKey::parse(&text).unwrap().unlock("").unwrap();
    let public = PublicKey::parse(&public).unwrap();
    for number in 0..300_u32 {
        let message = number.to_string();
        let ours = key.sign(message.as_bytes()).unwrap();
        assert_eq!(good(check(&ours, message.as_bytes())), public);
        if number % 6 == 0 {
            assert!(desk.takes(&ours, message.as_bytes()), "{number}");
            let theirs = desk.sign("key", NAMESPACE, &[], message.as_bytes());
            assert_eq!(good(check(&theirs, message.as_bytes())), public, "{number}");
        }
    }
}

#[test]
fn kinds_that_cannot_be_checked_are_named() {
    let Some(desk) = Desk::new() else { return };
    let kinds = [
        ("ssh-rsa", &["-t", "rsa", "-b", "2048"][..]),
        ("ecdsa-sha2-nistp384", &["-t", "ecdsa", "-b", "384"]),
        ("ecdsa-sha2-nistp521", &["-t", "ecdsa", "-b", "521"]),
    ];
    for (kind, options) in kinds {
        let (text, public) = desk.key(kind, "", options);
        let armoured = desk.sign(kind, NAMESPACE, &[], RECORD);
        assert!(desk.takes(&armoured, RECORD));
        let shown = desk.fingerprint(&format!("{kind}.pub"));
        assert_eq!(check(&armoured, RECORD), Checked::Unsupported { kind: kind.to_owned(), fingerprint: shown });
        assert!(PublicKey::parse(&public).unwrap_err().starts_with(&format!("is a key of kind {kind}; accepted: ")));
        let locked = LockedKey::parse(&text).unwrap();
        assert!(!locked.signs_here());
        assert_eq!(locked.public().kind(), kind);
        assert_eq!(locked.unlock("").unwrap_err(), NotUnlocked::Elsewhere(format!("it is a key of kind {kind}")));
    }
}
