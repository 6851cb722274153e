//! The sample records, as if they had been signed off by name alone.

use std::fs;
use std::path::Path;

use cornerset::audit::{SignatureStanding, Standing};
use cornerset::record::{Record, STATEMENT};

/// A sample record by its name.
pub fn sample(name: &str) -> Record {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-sessions").join(name).with_extension("json");
    let mut record: Record = serde_json::from_slice(&fs::read(path).expect("a sample")).expect("a record");
    record.sign_off.signature = None;
    record.sign_off.statement = format!("{STATEMENT} Signed off by typed name, without a key.");
    record
}

/// As it was signed off, by name alone.
pub fn by_name() -> Standing {
    Standing { altered: vec![], signature: SignatureStanding::None }
}

/// An armoured signature in OpenSSH's form over something else: only its look matters where nothing checks it.
pub const ARMOURED: &str = "-----BEGIN SSH SIGNATURE-----\n\
    U1NIU0lHAAAAAQAAADMAAAALc3NoLWVkMjU1MTkAAAAgc2FtcGxlIGtleSBvZiBubyBvbm\n\
    Ugd2hhdHNvZXZlciEhAAAAEGNvcm5lcnNldC1yZWNvcmQAAAAAAAAABnNoYTUxMgAAAFMA\n\
    AAALc3NoLWVkMjU1MTkAAABAc2FtcGxlIHNpZ25hdHVyZSB0aGF0IGNoZWNrcyBub3doZX\n\
    JlLCBhbmQgb25seSBsb29rcyBsaWtlIG9uZSEhIQ==\n\
    -----END SSH SIGNATURE-----\n";

/// A record with something over it that looks like a signature.
pub fn with_signature(mut record: Record) -> Record {
    record.sign_off.signature = Some(ARMOURED.to_owned());
    record.sign_off.statement =
        "The readings in this record are what the meter showed. Signed off with a key.".to_owned();
    record
}

/// Every way in which a signature can stand, by name.
pub fn standings() -> Vec<(&'static str, SignatureStanding)> {
    let fingerprint = || "SHA256:ZmluZ2VycHJpbnQgb2YgYSBrZXkgb2Ygbm8gb25lISE".to_owned();
    let at = cornerset::session::Moment::new(
        chrono::DateTime::parse_from_rfc3339("2026-02-01T00:00:00+00:00").expect("a time"),
    );
    vec![
        ("not checked", SignatureStanding::None),
        ("trusted", SignatureStanding::Trusted { fingerprint: fingerprint() }),
        ("no list", SignatureStanding::NoList { fingerprint: fingerprint() }),
        ("a stranger", SignatureStanding::Stranger { fingerprint: fingerprint() }),
        (
            "another name",
            SignatureStanding::OtherName { fingerprint: fingerprint(), principals: "b.sample,c.sample".to_owned() },
        ),
        ("for something else", SignatureStanding::OtherNamespace { fingerprint: fingerprint() }),
        ("not yet", SignatureStanding::NotYet { fingerprint: fingerprint(), from: at }),
        ("no longer", SignatureStanding::NoLonger { fingerprint: fingerprint(), until: at }),
        ("bad", SignatureStanding::Bad { why: "It is over other bytes.".to_owned() }),
        ("unsupported", SignatureStanding::Unsupported { kind: "ssh-rsa".to_owned(), fingerprint: fingerprint() }),
    ]
}
