//! Nothing but the signed bytes and the signature as it was written is good.

use cornerset::signature::{Checked, KeyKind, NAMESPACE, SigningKey, check};

use crate::keygen::{Desk, string};
use crate::security_keys::armoured;

const RECORD: &[u8] = b"{\"corner_hz\":31.5,\"tone_hz\":31.5}";

fn is_good(armoured: &str, bytes: &[u8]) -> bool {
    matches!(check(armoured, bytes), Checked::Good(_))
}

fn with(text: &str, place: usize, character: u8) -> String {
    let mut bytes = text.as_bytes().to_vec();
    bytes[place] = character;
    String::from_utf8(bytes).unwrap()
}

#[test]
fn every_changed_byte_of_the_content_is_noticed() {
    let Some(desk) = Desk::new() else { return };
    for kind in KeyKind::ALL {
        let armoured = SigningKey::generate(kind, "").unwrap().sign(RECORD).unwrap();
        for place in 0..RECORD.len() {
            for bit in 0..8 {
                let mut other = RECORD.to_vec();
                other[place] ^= 1 << bit;
                assert_eq!(
                    check(&armoured, &other),
                    Checked::Bad("the signature is not one over this content".to_owned())
                );
                if bit == 0 {
                    assert!(!desk.takes(&armoured, &other));
                }
            }
        }
        for other in [&RECORD[1..], &RECORD[..RECORD.len() - 1], &[RECORD, b"\n"].concat(), b""] {
            assert!(!is_good(&armoured, other) && !desk.takes(&armoured, other));
        }
    }
}

/// Every byte of an Ed25519 signature, changed into every other ASCII character; taken out; put in.
#[test]
fn every_changed_byte_of_a_signature_is_noticed() {
    let armoured = SigningKey::generate(KeyKind::Ed25519, "").unwrap().sign(RECORD).unwrap();
    assert!(is_good(&armoured, RECORD));
    for place in 0..armoured.len() {
        for character in 0..128 {
            if armoured.as_bytes()[place] != character {
                let other = with(&armoured, place, character);
                assert!(!is_good(&other, RECORD), "{place} {character}: {other}");
            }
            let mut longer = armoured.clone();
            longer.insert(place, char::from(character));
            assert!(!is_good(&longer, RECORD), "{place} {character}: {longer}");
        }
        let mut shorter = armoured.clone();
        shorter.remove(place);
        assert_eq!(is_good(&shorter, RECORD), place == armoured.len() - 1, "{shorter}");
    }
}

#[test]
fn every_byte_of_an_ecdsa_signature_counts() {
    let armoured = SigningKey::generate(KeyKind::EcdsaP256, "").unwrap().sign(RECORD).unwrap();
    for place in 0..armoured.len() {
        for character in *b"Aa1+/=\n Z" {
            if armoured.as_bytes()[place] != character {
                assert!(!is_good(&with(&armoured, place, character), RECORD), "{place} {character}");
            }
        }
    }
}

/// Where `ssh-keygen` takes a signature that was changed, the change says nothing: it reads line ends loosely. Here, a
/// signature is written in one way only.
#[test]
fn openssh_refuses_what_is_refused_here_or_reads_it_loosely() {
    let Some(desk) = Desk::new() else { return };
    let bare = |text: &str| text.replace(char::is_whitespace, "");
    for kind in KeyKind::ALL {
        let armoured = SigningKey::generate(kind, "").unwrap().sign(RECORD).unwrap();
        assert!(desk.takes(&armoured, RECORD) && is_good(&armoured, RECORD));
        let mut loose = 0;
        for place in (0..armoured.len()).step_by(3) {
            let old = armoured.as_bytes()[place];
            let other = with(&armoured, place, if old == b'Q' { b'R' } else { b'Q' });
            // It does not mind what stands where the last line ends.
            assert_eq!(desk.takes(&other, RECORD), place == armoured.len() - 1, "{place}: {other}");
            assert!(!is_good(&other, RECORD));
            let mut longer = armoured.clone();
            longer.insert(place, '\n');
            if desk.takes(&longer, RECORD) {
                loose += 1;
                assert_eq!(bare(&longer), bare(&armoured));
                assert_eq!(
                    check(&longer, RECORD),
                    Checked::Bad("the signature is not written as OpenSSH writes it".to_owned())
                );
            }
        }
        assert!(loose > 0, "nothing was read loosely, so nothing was seen here");
    }
}

#[test]
fn what_is_no_signature_is_told() {
    let armoured = SigningKey::generate(KeyKind::Ed25519, "").unwrap().sign(RECORD).unwrap();
    let unlike = Checked::Bad("the signature is not written as OpenSSH writes it".to_owned());
    for text in [
        "",
        "-----BEGIN SSH SIGNATURE-----",
        "-----BEGIN SSH SIGNATURE-----\n-----END SSH SIGNATURE-----\n",
        "-----BEGIN SSH SIGNATURE-----\n\n-----END SSH SIGNATURE-----\n",
        &armoured.replace('\n', "\r\n"),
        &format!("{armoured}\n"),
        &format!(" {armoured}"),
        &format!("{armoured}{armoured}"),
    ] {
        assert_eq!(check(text, RECORD), unlike, "{text}");
    }
    assert_eq!(
        check(&"A".repeat(16 * 1024 + 1), RECORD),
        Checked::Bad("the signature is longer than 16 KiB".to_owned())
    );
}

/// The fields of a signature, changed one by one (PROTOCOL.sshsig of OpenSSH): each is refused for what it is.
#[test]
fn every_field_is_looked_at() {
    let Some(desk) = Desk::new() else { return };
    let parts = Parts::of(&desk);
    assert!(is_good(&parts.armoured(), RECORD));
    let told = |change: Change| {
        let mut changed = parts.clone();
        change(&mut changed);
        let armoured = changed.armoured();
        let refused = !desk.takes(&armoured, RECORD);
        match check(&armoured, RECORD) {
            Checked::Bad(sentence) => (sentence, refused),
            other => panic!("{other:?}"),
        }
    };
    let unlike = "the signature is not written as OpenSSH writes it";
    // The last word: whether `ssh-keygen` refuses it, too. It takes older versions, and reads no reserved field.
    let cases: [(Change, &str, bool); 9] = [
        (&|parts| parts.magic = b"SSHSIH".to_vec(), unlike, true),
        (&|parts| parts.version = 2, "the signature is of version 2, not 1", true),
        (&|parts| parts.version = 0, "the signature is of version 0, not 1", false),
        (&|parts| parts.reserved = b"x".to_vec(), "the signature holds something in its reserved field", false),
        (&|parts| parts.hash = b"sha384".to_vec(), "the signature uses a digest other than sha256 and sha512", true),
        (&|parts| parts.hash = b"sha256".to_vec(), "the signature is not one over this content", true),
        (&|parts| parts.tail = b"x".to_vec(), unlike, true),
        (&|parts| parts.signature.push(0), unlike, true),
        (&|parts| parts.key.push(0), unlike, true),
    ];
    for (number, (change, sentence, refused)) in cases.iter().enumerate() {
        assert_eq!(told(change), ((*sentence).to_owned(), *refused), "case {number}");
    }
}

type Change<'a> = &'a dyn Fn(&mut Parts);

#[derive(Clone)]
struct Parts {
    magic: Vec<u8>,
    version: u32,
    key: Vec<u8>,
    reserved: Vec<u8>,
    hash: Vec<u8>,
    signature: Vec<u8>,
    tail: Vec<u8>,
}

impl Parts {
    fn of(desk: &Desk) -> Self {
        desk.key("parts", "", &["-t", "ed25519"]);
        let signature = ssh_key::SshSig::from_pem(desk.sign("parts", NAMESPACE, &[], RECORD)).unwrap();
        Self {
            magic: b"SSHSIG".to_vec(),
            version: 1,
            key: ssh_key::PublicKey::from(signature.public_key().clone()).to_bytes().unwrap(),
            reserved: vec![],
            hash: b"sha512".to_vec(),
            signature: Vec::try_from(signature.signature().clone()).unwrap(),
            tail: vec![],
        }
    }

    fn armoured(&self) -> String {
        let mut blob = self.magic.clone();
        blob.extend(self.version.to_be_bytes());
        for field in [&self.key[..], NAMESPACE.as_bytes(), &self.reserved, &self.hash, &self.signature] {
            blob.extend(string(field));
        }
        blob.extend(&self.tail);
        armoured(&blob)
    }
}
