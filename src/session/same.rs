//! Two documents held against each other: where the one says something else than the other.

use std::fmt;

use serde_json::Value;

use crate::quantity::text::visible;

/// How far a number may differ when it is worked out again, relative to its size: far above the last digit of any
/// machine's arithmetic, far below what a meter shows.
const SAME: f64 = 1e-9;

/// A place at which two documents differ.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Where, as `plan.setting.target_v` or `log[3].volts`.
    pub place: String,
    /// What the first says there; `None` where it says nothing.
    pub one: Option<Value>,
    /// What the other says there; `None` where it says nothing.
    pub other: Option<Value>,
}

/// So many characters of a value are shown.
const SHOWN: usize = 60;

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let text = |value: &Option<Value>| value.as_ref().map(|value| visible(&value.to_string()));
        let (one, other) = (text(&self.one), text(&self.other));
        let same = match (&one, &other) {
            (Some(one), Some(other)) => one.chars().zip(other.chars()).take_while(|(a, b)| a == b).count(),
            _ => 0,
        };
        write!(f, "{} says {}, and should say {}", self.place, shown(one, same), shown(other, same))
    }
}

/// What a value says, from a little before the character in which it differs.
fn shown(text: Option<String>, same: usize) -> String {
    let Some(text) = text else {
        return "nothing".to_owned();
    };
    let length = text.chars().count();
    if length <= SHOWN {
        return text;
    }
    let start = same.saturating_sub(SHOWN / 3).min(length - SHOWN);
    let middle: String = text.chars().skip(start).take(SHOWN).collect();
    let before = if start > 0 { "..." } else { "" };
    let after = if start + SHOWN < length { "..." } else { "" };
    format!("{before}{middle}{after}")
}

/// Where two documents differ, numbers by more than the last digits; at most so many places.
pub fn differences(one: &Value, other: &Value, most: usize) -> Vec<Difference> {
    let mut found = Vec::new();
    compare(Some(one), Some(other), &mut String::new(), most, &mut found);
    found
}

fn compare(one: Option<&Value>, other: Option<&Value>, place: &mut String, most: usize, found: &mut Vec<Difference>) {
    if found.len() >= most {
        return;
    }
    let length = place.len();
    match (one, other) {
        (Some(Value::Number(a)), Some(Value::Number(b)))
            if a.as_f64().zip(b.as_f64()).is_some_and(|(a, b)| is_near(a, b)) => {}
        (Some(Value::Array(a)), Some(Value::Array(b))) => {
            for index in 0..a.len().max(b.len()) {
                place.push_str(&format!("[{index}]"));
                compare(a.get(index), b.get(index), place, most, found);
                place.truncate(length);
            }
        }
        (Some(Value::Object(a)), Some(Value::Object(b))) => {
            let added = b.keys().filter(|key| !a.contains_key(*key));
            for key in a.keys().chain(added) {
                if length > 0 {
                    place.push('.');
                }
                place.push_str(key);
                compare(a.get(key), b.get(key), place, most, found);
                place.truncate(length);
            }
        }
        _ if one == other => {}
        _ => found.push(Difference { place: place.clone(), one: one.cloned(), other: other.cloned() }),
    }
}

fn is_near(one: f64, other: f64) -> bool {
    (one - other).abs() <= SAME * one.abs().max(other.abs()).max(1.0)
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn places_are_named_and_last_digits_are_none() {
        let one = json!({"a": [1.0, {"b": "x"}], "c": null, "d": true});
        assert_eq!(differences(&one, &one, 9), []);
        assert_eq!(differences(&one, &json!({"a": [1.000_000_000_1, {"b": "x"}], "c": null, "d": true}), 9), []);
        let other = json!({"a": [1.1, {"b": "y"}, 3], "d": 1, "e": 0});
        let places: Vec<String> = differences(&one, &other, 9).into_iter().map(|found| found.place).collect();
        assert_eq!(places, ["a[0]", "a[1].b", "a[2]", "c", "d", "e"]);
        assert_eq!(differences(&one, &other, 2).len(), 2);
        assert_eq!(differences(&json!(null), &json!(0), 1).len(), 1);
    }
}
