//! The columns: the data dictionary, and that each is filled.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::Path;

use cornerset::export::{Kind, Rows, columns, dictionary, dictionary_page};
use serde_json::Value;

use crate::records::{entries, hostile, objects, samples};

#[test]
fn the_data_dictionary_is_what_the_columns_say() {
    let path = "src/export/columns.md";
    let page = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap();
    assert!(
        page == dictionary_page(),
        "{path} differs from what the columns say. It should be:\n{}",
        dictionary_page()
    );
}

#[test]
fn the_dictionary_has_every_column_once_and_says_what_it_means() {
    for rows in Rows::ALL {
        let names: BTreeSet<&str> = dictionary(rows).iter().map(|entry| entry.0).collect();
        assert_eq!(names.len(), columns(rows).len(), "{rows:?}: a name twice");
        for (name, kind, unit, meaning) in dictionary(rows) {
            assert!(!kind.is_empty() && meaning.ends_with('.') && !meaning.contains(['|', '\n']), "{name}: {meaning}");
            let end = |suffix: &str| name.ends_with(suffix);
            let by_name = [
                ("slope_db_per_octave", "dB/octave"),
                ("_hz", "Hz"),
                ("_v", "V"),
                ("volts", "V"),
                ("_db", "dB"),
                ("_percent", "%"),
                ("_w", "W"),
                ("_ohm", "ohm"),
                ("_mm", "mm"),
                ("_s", "s"),
            ];
            let expected = by_name.iter().find(|(suffix, _)| end(suffix)).map_or("", |(_, unit)| unit);
            assert_eq!(unit, expected, "{name}");
        }
    }
}

/// The same name is the same thing in every table.
#[test]
fn a_name_has_one_type_and_one_unit() {
    let mut known: BTreeMap<&str, (Kind, &str)> = BTreeMap::new();
    for column in Rows::ALL.into_iter().flat_map(columns) {
        let says = (column.kind, column.unit);
        assert_eq!(*known.entry(column.name).or_insert(says), says, "{}", column.name);
    }
}

/// Only a column that may be null ever is, every one of those is null somewhere, and every column is filled somewhere.
/// The cells are of the column's kind, and numbers are finite (JSON has no others).
#[test]
fn cells_are_what_their_column_says() {
    let records = [samples(), hostile()].concat();
    for rows in Rows::ALL {
        let objects = objects(rows, &records);
        for column in columns(rows) {
            let cells: Vec<&Value> = objects.iter().map(|object| &object[column.name]).collect();
            assert_eq!(cells.iter().any(|cell| cell.is_null()), column.nullable, "{}", column.name);
            let filled: Vec<&&Value> = cells.iter().filter(|cell| !cell.is_null()).collect();
            assert!(!filled.is_empty(), "{} is never filled", column.name);
            for cell in filled {
                let fits = match column.kind {
                    Kind::Text | Kind::Moment => cell.is_string(),
                    Kind::Number => cell.as_f64().is_some_and(f64::is_finite),
                    Kind::Whole => cell.is_u64(),
                    Kind::YesNo => cell.is_boolean(),
                };
                assert!(fits, "{}: {cell}", column.name);
            }
        }
    }
}

/// One row for every entry, in the order of the log, with the keys of the entry as they are.
#[test]
fn rows_are_the_entries_of_the_log_in_order() {
    let records = [samples(), hostile()].concat();
    for (rows, events) in [(Rows::Readings, &["reading"][..]), (Rows::Pairs, &["explore", "sweep"])] {
        let expected: Vec<Value> = records.iter().flat_map(|record| entries(record, events)).collect();
        let objects = objects(rows, &records);
        assert_eq!(objects.len(), expected.len());
        for (row, entry) in objects.iter().zip(&expected) {
            for key in ["number", "at", "typed", "volts", "tone_hz"] {
                assert_eq!(row[key], entry[key], "{key}");
            }
        }
    }
    assert_eq!(objects(Rows::Sessions, &records).len(), records.len());
}

/// Every value of a record that is not in a list is a column of `sessions`, name and all; only of the signature no more
/// is told than whether there is one.
#[test]
fn a_session_has_everything_that_is_not_a_list() {
    for record in [samples(), hostile()].concat() {
        let row = &objects(Rows::Sessions, std::slice::from_ref(&record))[0];
        let mut leaves = vec![];
        scalars(&record, "", &mut leaves);
        assert!(leaves.len() > 60, "{leaves:?}");
        for (name, value) in leaves {
            match name.as_str() {
                "sign_off_signature" => assert_eq!(row["sign_off_signed"], !value.is_null()),
                "outcome_fit" => assert!(row["outcome_fit_corner_hz"].is_null()),
                name => assert_eq!(row.get(name), Some(&value), "{name}"),
            }
        }
    }
}

fn scalars(value: &Value, name: &str, found: &mut Vec<(String, Value)>) {
    match value {
        Value::Object(object) => {
            for (key, value) in object {
                let name = if name.is_empty() { key.clone() } else { format!("{name}_{key}") };
                scalars(value, &name, found);
            }
        }
        Value::Array(_) => {}
        scalar => found.push((name.to_owned(), scalar.clone())),
    }
}
