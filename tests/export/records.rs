//! Records to export: the samples, and records made from them.

use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use std::sync::{Mutex, OnceLock};

use cornerset::export::{Exporter, Format, Rows};
use cornerset::record::{Record, parse_record};
use serde::Deserialize;
use serde_json::{Value, json};

/// Text that acts somewhere: in a terminal, a page, a spreadsheet, a reader of CSV or JSON.
pub const HOSTILE: [&str; 15] = [
    "=cmd|' /C calc'!A0",
    "\u{1B}]0;title\u{7}\u{1B}[31mred\u{9B}2J",
    "\u{202E}gnp.exe\u{2066}\u{200B}",
    "<script>alert(1)</script>&amp;",
    "a \"quoted\" text, with commas,\r\nlines\nand\rends",
    "\u{FF1D}1+1",
    "\0nul\0",
    "\t=1",
    " \u{200B}\u{FEFF}@SUM(1)",
    "'=quoted already",
    "'",
    "-2+3",
    "+1;\t=2",
    "NULL",
    "\\N,\"\"\",;\\\"",
];

/// Every sample record, as JSON, in the order of their chain.
pub fn samples() -> Vec<Value> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-sessions");
    let paths = fs::read_dir(folder).expect("the samples").map(|entry| entry.expect("an entry").path());
    let mut samples: Vec<Value> = paths
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .map(|path| serde_json::from_slice(&fs::read(path).expect("a file")).expect("JSON"))
        .collect();
    samples.sort_by_key(|record: &Value| record["sequence"].as_u64());
    assert!(samples.len() >= 5);
    samples
}

/// The samples, with the last exploring or sweep reading struck in each that has one: every column has its text then.
pub fn struck() -> Vec<Value> {
    let mut samples = samples();
    for record in &mut samples {
        let log = record["log"].as_array_mut().unwrap();
        if let Some(at) = log.iter().rposition(|entry| entry["event"] == "explore" || entry["event"] == "sweep") {
            let strike = json!({
                "event": "strike", "at": log[at]["at"], "question": log[at]["event"], "number": log[at]["number"],
                "reason": "the wrong tone",
            });
            log.insert(at + 1, strike);
        }
    }
    samples
}

/// The sample of a job.
pub fn sample_of(job: &str) -> Value {
    samples().into_iter().find(|record| record["job"] == job).expect("the sample")
}

/// The record of this JSON; its digest is not looked at.
pub fn record(value: &Value) -> Record {
    parse_record(value.to_string().as_bytes()).unwrap_or_else(|error| panic!("{error}"))
}

/// The records of this JSON.
pub fn all(values: &[Value]) -> Vec<Record> {
    values.iter().map(record).collect()
}

/// A record with `text` in every place where a record takes any text, known or null before.
pub fn with_text(sample: &Value, text: &str) -> Value {
    let mut changed = sample.clone();
    for pointer in text_places(sample) {
        *changed.pointer_mut(&pointer).unwrap() = text.into();
    }
    changed
}

/// A record with some number in every place where a record may have one and has null.
pub fn with_numbers(sample: &Value) -> Value {
    let mut changed = sample.clone();
    for pointer in places(sample, &(-1.25).into()) {
        let place = changed.pointer_mut(&pointer).unwrap();
        if place.is_null() {
            *place = (-1.25).into();
        }
    }
    changed
}

/// A record with null in every place that may be null.
pub fn with_nulls(sample: &Value) -> Value {
    let mut changed = sample.clone();
    // The filter of an answer is left out, never null.
    for pointer in places(sample, &Value::Null).iter().filter(|pointer| !pointer.ends_with("/filter")) {
        *changed.pointer_mut(pointer).unwrap() = Value::Null;
    }
    changed["outcome"]["fit"] = Value::Null;
    changed
}

/// Where a record takes any text. Found out once for each sample.
fn text_places(sample: &Value) -> Vec<String> {
    static KNOWN: Mutex<BTreeMap<String, Vec<String>>> = Mutex::new(BTreeMap::new());
    let mut known = KNOWN.lock().unwrap();
    known.entry(sample.to_string()).or_insert_with(|| places(sample, &"text".into())).clone()
}

/// Pointers to every value that could be `other` as well. The format's name is any text to the type, and
/// one text to the reader.
fn places(sample: &Value, other: &Value) -> Vec<String> {
    let mut changed = sample.clone();
    let mut pointers = vec![];
    leaves(sample, String::new(), &mut pointers);
    pointers.retain(|pointer| {
        let before = std::mem::replace(changed.pointer_mut(pointer).unwrap(), other.clone());
        let is_one = Record::deserialize(&changed).is_ok();
        *changed.pointer_mut(pointer).unwrap() = before;
        is_one && pointer != "/format"
    });
    pointers
}

/// Pointers to every value that is no list and no object.
fn leaves(value: &Value, at: String, found: &mut Vec<String>) {
    match value {
        Value::Object(object) => object.iter().for_each(|(key, value)| leaves(value, format!("{at}/{key}"), found)),
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(index, value)| leaves(value, format!("{at}/{index}"), found));
        }
        _ => found.push(at),
    }
}

/// Records whose texts are hostile, one for each text and one with a long one; then samples with a number wherever
/// there was null, and with null wherever it may be. Made once.
pub fn hostile() -> Vec<Value> {
    static MADE: OnceLock<Vec<Value>> = OnceLock::new();
    let make = || {
        let samples = struck();
        let long = format!("={}\u{1F50A}", "long \"text\", ".repeat(3000));
        let texts = HOSTILE.iter().copied().chain([long.as_str()]);
        let mut records: Vec<Value> =
            texts.zip(samples.iter().cycle()).map(|(text, sample)| with_text(sample, text)).collect();
        records.extend(samples.iter().take(3).map(with_numbers));
        records.extend(samples.iter().take(3).map(with_nulls));
        records
    };
    MADE.get_or_init(make).clone()
}

/// The rows of records in a format, and how many the exporter says they are.
pub fn export(format: Format, rows: Rows, records: &[Record]) -> (Vec<u8>, u64) {
    let mut bytes = vec![];
    let mut exporter = Exporter::new(format, rows, &mut bytes).expect("a head");
    for record in records {
        exporter.add(record).expect("rows");
    }
    let count = exporter.finish().expect("a foot");
    (bytes, count)
}

/// The rows as JSON objects.
pub fn objects(rows: Rows, records: &[Value]) -> Vec<Value> {
    let (bytes, count) = export(Format::Ndjson, rows, &all(records));
    let text = String::from_utf8(bytes).expect("UTF-8");
    assert!(text.is_empty() || text.ends_with('\n'));
    let objects: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).expect("JSON")).collect();
    assert_eq!(objects.len() as u64, count);
    objects
}

/// The entries of a record's log of some kinds.
pub fn entries(record: &Value, events: &[&str]) -> Vec<Value> {
    let log = record["log"].as_array().expect("a log");
    log.iter().filter(|entry| events.contains(&entry["event"].as_str().unwrap())).cloned().collect()
}
