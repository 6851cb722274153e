//! Records read back: nothing more, nothing less, nothing written another way.

use std::fs;

use cornerset::record::{RECORD_MAX, is_intact, parse_record};
use cornerset::store::{StoreError, read_record};
use serde_json::Value;

use crate::support::Shop;

#[test]
fn a_record_that_says_more_less_or_twice_is_refused() {
    let shop = Shop::new();
    let text = fs::read_to_string(shop.closed().path).unwrap();
    let cases = [
        ("\"job\": \"Van 12\"", "\"job\": \"Van 12\", \"job\": \"Van 12\"", "duplicate field"),
        ("\"job\": \"Van 12\"", "\"job\": \"Van 12\", \"extra\": null", "unknown field"),
        ("\"signature\": null", "\"signature\": null, \"signature\": null", "duplicate field"),
        ("\"previous\": null,", "", "leaves a key out"),
        ("\"version\": 1,", "\"version\": 2,", "version 2 of the format"),
        ("\"version\": 1,", "", "no version"),
        ("cornerset-record", "cornerset-journal", "its format is not"),
        ("\"sequence\": 1,", "\"sequence\": -1,", "invalid"),
        ("+05:30\"", "1+05:30\"", "in another way"),
        ("\"job\"", "\"\\u001b\"", "unknown field `<U+001B>`"),
        ("}\n", "}\n{}", "trailing"),
    ];
    for (from, to, said) in cases {
        assert!(text.contains(from), "{from}");
        let changed = if from == "}\n" { format!("{text}{{}}") } else { text.replacen(from, to, 1) };
        let error = parse_record(changed.as_bytes()).unwrap_err();
        assert!(error.contains(said), "{to}: {error}");
        assert!(!error.chars().any(char::is_control));
    }
}

#[test]
fn a_list_in_place_of_an_object_is_refused() {
    let shop = Shop::new();
    let mut value: Value = serde_json::from_slice(&fs::read(shop.closed().path).unwrap()).unwrap();
    assert!(parse_record(value.to_string().as_bytes()).is_ok());
    value["box"] = serde_json::json!([36.0]);
    assert!(parse_record(value.to_string().as_bytes()).is_err());
}

#[test]
fn layout_is_free_and_a_changed_value_is_found() {
    let shop = Shop::new();
    let closed = shop.closed();
    let text = fs::read_to_string(&closed.path).unwrap();
    let value: Value = serde_json::from_str(&text).unwrap();
    let again = parse_record(value.to_string().as_bytes()).unwrap();
    assert!(again == closed.record && is_intact(&again));
    let changed = parse_record(text.replacen("Van 12", "Van 13", 1).as_bytes()).unwrap();
    assert!(!is_intact(&changed));
}

#[test]
fn a_file_that_is_none_or_too_large_is_refused_by_name() {
    let shop = Shop::new();
    let folder = shop.folder.path();
    let large = folder.join("large.json");
    fs::File::create(&large).unwrap().set_len(RECORD_MAX + 1).unwrap();
    for path in [large, folder.to_owned(), folder.join("none.json")] {
        let error = read_record(&path).unwrap_err();
        assert!(matches!(error, StoreError::Record { .. }) && error.is_storage(), "{error}");
        assert!(error.to_string().contains(path.to_str().unwrap()), "{error}");
    }
}
