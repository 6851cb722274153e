//! Whose signatures are trusted, and when.

use cornerset::audit::{Audit, Form, Looked, SignatureStanding, examine};
use cornerset::record::{Record, file_bytes};
use cornerset::session::Question;
use cornerset::signature::AllowedSigners;

use crate::maker::{Bench, found, list, other_key, parsed, sample_key};

fn standing(record: &Record, list: Option<&AllowedSigners>) -> SignatureStanding {
    examine(&file_bytes(record).unwrap(), Form::File, list).unwrap().standing.signature
}

fn found_with(record: &Record, list: Option<&AllowedSigners>) -> Vec<String> {
    let facts = examine(&file_bytes(record).unwrap(), Form::File, list);
    found(&Audit::of(&[Looked { path: "one.json".to_owned(), facts }], &[]))
}

#[test]
fn a_key_is_trusted_for_its_name_only() {
    let record = Bench::new("bench-1").record();
    let key = sample_key().public();
    let trusted = list(&[("A. Sample", &key)]);
    assert!(matches!(standing(&record, Some(&trusted)), SignatureStanding::Trusted { .. }));
    assert_eq!(found_with(&record, Some(&trusted)), [""; 0]);
    let others = list(&[("B. Sample", &key)]);
    assert!(
        matches!(standing(&record, Some(&others)), SignatureStanding::OtherName { principals, .. } if principals.contains("B. Sample"))
    );
    assert_eq!(found_with(&record, Some(&others)), ["unknown-signer 1"]);
    let strangers = list(&[("A. Sample", &other_key().public())]);
    assert_eq!(found_with(&record, Some(&strangers)), ["unknown-signer 1"]);
    assert_eq!(found_with(&record, Some(&AllowedSigners::default())), ["unknown-signer 1"]);
    assert_eq!(found_with(&record, None), ["no-trust-list 1"]);
}

/// The key must be that of the name that signed off, whoever turned the knob.
#[test]
fn a_key_is_trusted_for_the_name_that_signs_off() {
    let record = Bench::new("bench-1").record_with(&[(Question::SignOff, "B. Sample")]);
    let key = sample_key().public();
    let technicians = list(&[("A. Sample", &key)]);
    assert!(matches!(standing(&record, Some(&technicians)), SignatureStanding::OtherName { .. }));
    assert_eq!(found_with(&record, Some(&technicians)), ["unknown-signer 1", "other-name 1"]);
    assert_eq!(found_with(&record, Some(&list(&[("B. Sample", &key)]))), ["other-name 1"]);
}

/// The sign-off is at 14:09:24.250+05:30, which is 08:39:24 UTC.
#[test]
fn a_key_is_trusted_at_its_time_only() {
    let record = Bench::new("bench-1").record();
    assert_eq!(record.sign_off.at.to_string(), "2026-03-05T14:09:24.250+05:30");
    let key = sample_key().public().line();
    let at = |options: &str| {
        let list = parsed(&format!("a-sample namespaces=\"cornerset-record\",{options} {key}\n"));
        found_with(&record, Some(&list))
    };
    assert_eq!(at("valid-after=\"20260305083924Z\""), [""; 0]);
    assert_eq!(at("valid-after=\"20260305083925Z\""), ["key-not-valid 1"]);
    assert_eq!(at("valid-before=\"20260305083924Z\""), [""; 0]);
    assert_eq!(at("valid-before=\"20260305083923Z\""), ["key-not-valid 1"]);
    assert_eq!(at("valid-after=\"20260101\",valid-before=\"20270101\""), [""; 0]);
}

#[test]
fn a_key_for_other_purposes_is_not_trusted() {
    let record = Bench::new("bench-1").record();
    let list = parsed(&format!("a-sample namespaces=\"git,file\" {}\n", sample_key().public().line()));
    assert!(matches!(standing(&record, Some(&list)), SignatureStanding::OtherNamespace { .. }));
    assert_eq!(found_with(&record, Some(&list)), ["unknown-signer 1"]);
}
