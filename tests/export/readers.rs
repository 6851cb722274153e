//! General readers find in the files what is in the records: DuckDB (the pin is in `.ci/run`) and the csv and json modules
//! of Python's standard library. `check.py` works the rows out from the records by itself.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use cornerset::export::{Format, Rows};
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::outside;
use crate::records::{export, hostile, samples};

/// Has the rows of these records read by others; says what they counted.
fn are_read_the_same(records: &[Value]) -> Option<String> {
    if !outside::needs("python3 with duckdb", outside::runs("python3", &["-c", "import duckdb"])) {
        return None;
    }
    let folder = TempDir::new().unwrap();
    let lines: String = records.iter().map(|record| format!("{record}\n")).collect();
    fs::write(folder.path().join("records.ndjson"), lines).unwrap();
    for rows in Rows::ALL {
        for format in Format::ALL {
            let name = format!("{}.{}", rows.word(), format.word());
            fs::write(folder.path().join(name), export(format, rows, records).0).unwrap();
        }
    }
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/export/check.py");
    let run = Command::new("python3").arg("-B").arg(script).arg(folder.path()).stdin(Stdio::null()).output().unwrap();
    let said = String::from_utf8_lossy(&[run.stdout, run.stderr].concat()).into_owned();
    assert!(run.status.success(), "{said}");
    Some(said)
}

#[test]
fn the_samples_are_read_the_same() {
    if let Some(said) = are_read_the_same(&samples()) {
        assert!(said.contains(&format!("sessions: {} rows, 82 columns", samples().len())), "{said}");
    }
}

#[test]
fn hostile_records_are_read_the_same() {
    are_read_the_same(&[samples(), hostile()].concat());
}

#[test]
fn no_records_are_files_without_rows() {
    if let Some(said) = are_read_the_same(&[]) {
        assert_eq!(said.matches(": 0 rows").count(), 3, "{said}");
    }
}

/// More rows than one group of Parquet has, in records with offsets from UTC and numbers of every size.
#[test]
fn many_rows_are_read_the_same() {
    let numbers = [5e-324, -1.797_693_134_862_315_7e308, 0.1, 1e21, -0.0, 123_456_789.123_456_79, 1e-7, 4.0];
    let offsets = ["+05:45", "-09:30", "+00:00", "+14:00"];
    let mut record = samples().remove(0);
    let log = record["log"].as_array().unwrap();
    let reading = log.iter().find(|entry| entry["event"] == "reading").unwrap();
    let many = (1..=5000).map(|number: usize| {
        let mut entry = reading.clone();
        entry["number"] = json!(number);
        entry["down_db"] = json!(numbers[number % numbers.len()] / (number as f64));
        entry["corner_hz"] = json!(numbers[number % numbers.len()]);
        entry["at"] = json!(format!("2026-02-28T23:59:{:02}.{:03}{}", number % 60, number % 1000, offsets[number % 4]));
        entry
    });
    let log: Vec<Value> = log.iter().cloned().chain(many).collect();
    record["log"] = json!(log);
    are_read_the_same(&vec![record; 4]);
}
