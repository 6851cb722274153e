//! Records: no bytes end an audit; what is read as a record is written as the same, has one digest, and is shown.

use std::path::Path;

use chrono::{DateTime, FixedOffset, NaiveDateTime};
use cornerset::audit::{Audit, AuditDocument, Facts, Form, Looked, VerdictDocument, examine, standing};
use cornerset::export::{Exporter, Format, Rows};
use cornerset::quantity::text::json_escaped;
use cornerset::record::{Record, canonical_bytes, digest, file_bytes, is_intact, parse_record};
use cornerset::signature::AllowedSigners;
use cornerset::{pages, screens};
use serde_json::Value;
use sha2::{Digest, Sha256};

use super::shown;

/// The trust list of the sample sessions.
const TRUSTED: &str = include_str!("../../../sample-sessions/allowed_signers");

/// The bytes of a file, or of a line of many.
pub fn run(data: &[u8]) {
    let (trusted, _) = AllowedSigners::parse(TRUSTED, &utc);
    let form = if data.contains(&b'\n') { Form::File } else { Form::Line };
    audited(examine(data, form, Some(&trusted)), data);
    let Ok(mut record) = parse_record(data) else { return };
    shown_whole(&record, &trusted);
    written_again(&record);
    // With its digest put right, all that is only asked of an intact record is asked.
    record.sign_off.digest = digest(&record).expect("a record that was read has a digest");
    record.sign_off.signature = None;
    assert!(is_intact(&record));
    shown_whole(&record, &trusted);
    let bytes = file_bytes(&record).expect("a record that was read is written");
    let facts = examine(&bytes, Form::File, None);
    assert!(facts.as_ref().is_ok_and(|facts| facts.digest == facts.stated_digest));
    audited(facts, &bytes);
}

/// The record of a session of this program: it is whole, and follows from itself.
pub fn of_session(record: &Record) {
    written_again(record);
    let bytes = file_bytes(record).expect("a record is written");
    let facts = examine(&bytes, Form::File, None).expect("a record is read");
    assert!(facts.standing.is_intact(), "{:?}", facts.standing);
    assert_eq!(facts.recomputed, Vec::<String>::new(), "a session's own record follows from its log");
    audited(Ok(facts), &bytes);
    let (trusted, _) = AllowedSigners::parse(TRUSTED, &utc);
    shown_whole(record, &trusted);
}

/// What is written is read as the same; the canonical form is RFC 8785's, and its SHA-256 is the digest.
fn written_again(record: &Record) {
    let bytes = file_bytes(record).expect("a record that was read is written");
    assert_eq!(parse_record(&bytes).as_ref(), Ok(record), "a record is read as it was written");
    let canonical = canonical_bytes(record).expect("a record that was read has a canonical form");
    let value: Value = serde_json::from_slice(&canonical).expect("the canonical form is JSON");
    let again = serde_json_canonicalizer::to_vec(&value).expect("it has a canonical form");
    assert_eq!(again, canonical, "the canonical form is its own");
    let hash: String = Sha256::digest(&canonical).iter().map(|byte| format!("{byte:02x}")).collect();
    let digest = digest(record).expect("a record that was read has a digest");
    assert!(digest.ends_with(&hash), "{digest} of {hash}");
}

fn audited(facts: Result<Facts, String>, data: &[u8]) {
    let given = String::from_utf8_lossy(data);
    match &facts {
        Err(why) => {
            shown::text(why, &given);
            assert!(why.len() < 4096, "what is wrong is said shortly: {} bytes", why.len());
        }
        Ok(facts) => {
            let standing = facts.standing.altered.iter();
            for text in standing.chain(&facts.recomputed).chain(facts.outstanding.iter().map(|(_, text)| text)) {
                // Whoever shows it makes it harmless.
                shown::figures(text, &given);
            }
        }
    }
    json(&serde_json::to_string(&VerdictDocument::of(1, &facts)).expect("a verdict is written"));
    let audit = Audit::of(&[Looked { path: "one.json".to_owned(), facts }], &[]);
    let stores = ["store".to_owned()];
    for screen in shown::screens() {
        shown::lines(&screens::audit(&audit, &stores, screen), &given);
    }
    page(&pages::audit_page(&audit, &stores, "2026-03-05"), &given);
    json(&serde_json::to_string(&AuditDocument::from(&audit)).expect("an audit is written"));
}

/// A record on every screen and page and in every export, whatever is wrong with it.
fn shown_whole(record: &Record, trusted: &AllowedSigners) {
    let given = serde_json::to_string(record).expect("a record that was read is written");
    let stands = standing(record, Some(trusted));
    for screen in shown::screens() {
        shown::lines(&screens::record(record, &stands, Some("one.json"), screen), &given);
    }
    page(&pages::record_page(record, &stands), &given);
    shown::lines(&screens::summary(record, Path::new("one.json"), shown::screens()[0]), &given);
    for rows in Rows::ALL {
        let ndjson = exported(Format::Ndjson, rows, record);
        for line in ndjson.lines() {
            json(line);
        }
        // The fuzzers are built without it, the replay with it.
        if let Ok(mut exporter) = Exporter::new(Format::Parquet, rows, vec![]) {
            exporter.add(record).expect("every number of a record is one");
            assert_eq!(exporter.finish().expect("a file in memory is ended"), ndjson.lines().count() as u64);
        }
        let csv = exported(Format::Csv, rows, record);
        shown::text(&csv.replace("\r\n", "\n"), &given);
        let mut reader = csv::Reader::from_reader(csv.as_bytes());
        let width = reader.headers().expect("a header").len();
        let read: Vec<_> = reader.records().collect::<Result<_, _>>().expect("rows as wide as the header");
        assert!(read.iter().all(|row| row.len() == width));
        assert_eq!(read.len(), ndjson.lines().count(), "both have the same rows");
    }
}

fn exported(format: Format, rows: Rows, record: &Record) -> String {
    let mut file = vec![];
    let mut exporter = Exporter::new(format, rows, &mut file).expect("a file in memory is started");
    exporter.add(record).expect("every number of a record is one");
    exporter.finish().expect("a file in memory is ended");
    String::from_utf8(file).expect("text")
}

/// One JSON document, harmless as it is printed.
fn json(text: &str) {
    serde_json::from_str::<Value>(text).expect("JSON");
    shown::harmless(&json_escaped(text));
}

fn page(page: &str, given: &str) {
    shown::page(page, given);
    assert!(!page.contains("<script") && !page.contains("<img") && !page.contains("<iframe"));
}

fn utc(clock: NaiveDateTime) -> Option<DateTime<FixedOffset>> {
    Some(clock.and_utc().fixed_offset())
}
