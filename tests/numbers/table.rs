//! Reading the tables of `tests/reference`, and comparing what the code says with what they say.

use std::fs;
use std::path::{Path, PathBuf};

use cornerset::filter::{Alignment, Family, Slope};
use cornerset::quantity::Decibels;
use serde_json::Value;

/// The folder of the tables and of the scripts that make them.
pub fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference")
}

/// The rows of a table: every line that is neither blank nor part of the header.
pub fn rows(name: &str) -> Vec<String> {
    let text = fs::read_to_string(folder().join(name)).unwrap();
    let rows: Vec<String> =
        text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#')).map(str::to_owned).collect();
    assert!(!rows.is_empty(), "{name} has no rows");
    rows
}

/// The rows of a table of one JSON document a line.
pub fn documents(name: &str) -> Vec<Value> {
    rows(name).iter().map(|row| serde_json::from_str(row).unwrap()).collect()
}

/// A filter from its words in a table.
pub fn alignment(family: &str, slope: u64, q: Option<f64>) -> Alignment {
    match q {
        Some(q) => Alignment::second_order(q),
        None => {
            let family = Family::ALL.into_iter().find(|known| known.word() == family).unwrap();
            Alignment::new(family, Slope::new(u32::try_from(slope).unwrap()).unwrap()).unwrap()
        }
    }
}

/// The half-power level: 10 log10 2 dB.
pub fn half_power() -> Decibels {
    Decibels::new(10.0 * 2f64.log10())
}

/// Where two documents differ, every place; numbers are the same within `share` of the larger, or within `floor`.
pub fn differences(place: &str, computed: &Value, expected: &Value, share: f64, floor: f64) -> Vec<String> {
    match (computed, expected) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            let same = (a - b).abs() <= (share * a.abs().max(b.abs())).max(floor);
            if same { vec![] } else { vec![format!("{place}: {a} against {b}")] }
        }
        (Value::Array(a), Value::Array(b)) if a.len() == b.len() => {
            let pairs = a.iter().zip(b).enumerate();
            pairs.flat_map(|(index, (a, b))| differences(&format!("{place}[{index}]"), a, b, share, floor)).collect()
        }
        (Value::Object(a), Value::Object(b)) if a.keys().eq(b.keys()) => {
            a.iter().flat_map(|(key, a)| differences(&format!("{place}.{key}"), a, &b[key], share, floor)).collect()
        }
        _ if computed == expected => vec![],
        _ => vec![format!("{place}: {computed} against {expected}")],
    }
}

/// A comparison that passes whatever it is given would pass every table.
#[test]
fn a_difference_is_found_and_named() {
    let one = serde_json::json!({"a": [1.0, null, {"b": "inside"}]});
    let differs = |other: Value| differences("x", &one, &other, 1e-9, 0.0);
    assert_eq!(differs(one.clone()), [""; 0]);
    assert_eq!(differs(serde_json::json!({"a": [1.000_000_000_1, null, {"b": "inside"}]})), [""; 0]);
    assert_eq!(differs(serde_json::json!({"a": [1.1, null, {"b": "above"}]})).len(), 2);
    for other in [
        serde_json::json!({"a": [1.0, 2.0, {"b": "inside"}]}),
        serde_json::json!({"a": [1.0, null]}),
        serde_json::json!({"a": [1.0, null, {"c": "inside"}]}),
        serde_json::json!({"a": 1.0}),
    ] {
        assert_eq!(differs(other).len(), 1);
    }
}
