//! General readers find in the files what is in the records: DuckDB (the pin is in `.ci/run`) and the csv and json
//! modules of Python's standard library. `check.py` works the rows out from the records by itself.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use cornerset::export::{Format, Rows, columns};
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::outside;
use crate::records::{all, export, hostile, samples, struck};

/// Has the rows of these records read by others; says what they counted.
fn are_read_the_same(records: &[Value]) -> Option<String> {
    if !outside::needs("python3 with duckdb", outside::runs("python3", &["-c", "import duckdb"])) {
        return None;
    }
    let folder = TempDir::new().unwrap();
    let lines: String = records.iter().map(|record| format!("{record}\n")).collect();
    fs::write(folder.path().join("records.ndjson"), lines).unwrap();
    let records = all(records);
    for rows in Rows::ALL {
        for format in Format::ALL {
            let name = format!("{}.{}", rows.word(), format.word());
            fs::write(folder.path().join(name), export(format, rows, &records).0).unwrap();
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
        assert!(
            said.contains(&format!("sessions: {} rows, {} columns", samples().len(), columns(Rows::Sessions).len())),
            "{said}"
        );
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

/// More rows than one group of Parquet has, with numbers of every size, offsets from UTC, and each a text that starts
/// with another character that is no letter and no digit: the script holds the quotes to the Unicode standard's own
/// NFKC, as Python's `unicodedata` has it.
#[test]
fn many_rows_are_read_the_same() {
    let numbers = [5e-324, -1.797_693_134_862_315_7e308, 0.1, 1e21, -0.0, 123_456_789.123_456_79, 1e-7, 4.0];
    let offsets = ["+05:45", "-09:30", "+00:00", "+14:00"];
    let signs = ('\0'..='\u{FFFF}')
        .filter(|sign| !sign.is_alphanumeric() && !('\u{E000}'..='\u{F8FF}').contains(sign))
        .filter(|sign| !('\u{FDD0}'..='\u{FDEF}').contains(sign) && *sign < '\u{FFFE}');
    let texts: Vec<String> = signs
        .flat_map(|sign| [format!("{sign}1+1"), format!("\u{3000}{sign}1"), format!("\u{202F}\u{200B}{sign}1")])
        .collect();
    assert!(texts.len() > 16_384, "{}", texts.len());
    let mut records = struck();
    let plain = records[0].clone();
    let reading = plain["log"].as_array().unwrap().iter().find(|entry| entry["event"] == "reading").unwrap();
    records.extend(texts.chunks(5000).map(|texts| {
        let mut record = plain.clone();
        let log = record["log"].as_array_mut().unwrap();
        log.extend(texts.iter().enumerate().map(|(number, text)| {
            let mut entry = reading.clone();
            let at = format!("2026-02-28T23:59:{:02}.{:03}{}", number % 60, number % 1000, offsets[number % 4]);
            (entry["typed"], entry["number"], entry["at"]) = (json!(text), json!(number), json!(at));
            entry["corner_hz"] = json!(numbers[number % numbers.len()]);
            entry["down_db"] = json!(numbers[number % numbers.len()] / 7001.0);
            entry
        }));
        record
    }));
    are_read_the_same(&records);
}
