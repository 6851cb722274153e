//! Every change of a signed record is found: exhaustively over its file.

use cornerset::audit::{Form, Kind, SignatureStanding, examine, standing};
use cornerset::record::{Record, file_bytes, parse_record};
use cornerset::session::Question;
use rayon::prelude::*;
use serde_json::Value;

use crate::maker::{Bench, facts, sample_key, sign, trusted};

/// How a change shows.
#[derive(Debug, PartialEq, Eq, Clone, Copy)]
enum Shows {
    Unreadable,
    Altered,
    Rewritten,
    Nowhere,
}

fn shows(bytes: &[u8]) -> Shows {
    match examine(bytes, Form::File, Some(&trusted())) {
        Err(_) => Shows::Unreadable,
        Ok(facts) if !facts.standing.is_intact() => Shows::Altered,
        Ok(facts) if facts.outstanding.iter().any(|(kind, _)| *kind == Kind::Rewritten) => Shows::Rewritten,
        Ok(_) => Shows::Nowhere,
    }
}

/// The same without replaying the log, which says nothing of the bytes.
fn shows_at_once(bytes: &[u8]) -> Shows {
    match parse_record(bytes) {
        Err(_) => Shows::Unreadable,
        Ok(record) if !standing(&record, None).is_intact() => Shows::Altered,
        Ok(record) if file_bytes(&record).unwrap() != bytes => Shows::Rewritten,
        Ok(_) => Shows::Nowhere,
    }
}

/// A record with a nought in it, the accuracy of the meter.
fn signed() -> (Record, Vec<u8>) {
    let record = Bench::new("bench-1").record_with(&[(Question::MeterAccuracy, "0 %")]);
    let bytes = file_bytes(&record).unwrap();
    assert_eq!(shows(&bytes), Shows::Nowhere);
    assert!(facts(&record).standing.is_trusted());
    (record, bytes)
}

/// Each byte of the file made another, twice, and taken out, and bytes put before it. What another program would read as the
/// same JSON is `rewritten`; the judge of that is serde_json's own value.
#[test]
fn every_change_of_a_byte_is_found() {
    let (_, bytes) = signed();
    let value: Value = serde_json::from_slice(&bytes).unwrap();
    let changes: Vec<(usize, Vec<u8>)> = (0..bytes.len())
        .flat_map(|at| {
            let other = |byte: u8| {
                let mut changed = bytes.clone();
                changed[at] = byte;
                changed
            };
            let mut without = bytes.clone();
            without.remove(at);
            let with = |byte: u8| {
                let mut changed = bytes.clone();
                changed.insert(at, byte);
                changed
            };
            let digit = if bytes[at] == b'7' { b'3' } else { b'7' };
            let changed = [other(bytes[at] ^ 1), other(digit), without];
            // A sign turns 0.0 into -0.0, figures make a number or a time finer.
            let in_a_number = bytes[at].is_ascii_digit() || at > 0 && bytes[at - 1].is_ascii_digit();
            let before: &[u8] = match bytes[at] {
                _ if in_a_number => b"-07",
                b' ' => b"",
                _ => b" ",
            };
            let put_in: Vec<Vec<u8>> = before.iter().map(|byte| with(*byte)).collect();
            changed.into_iter().chain(put_in).map(move |changed| (at, changed))
        })
        .filter(|(_, changed)| *changed != bytes)
        .collect();
    let shown: Vec<Shows> = changes
        .par_iter()
        .map(|(at, changed)| {
            let shows = shows_at_once(changed);
            if at % 61 == 0 {
                assert_eq!(shows, self::shows(changed), "byte {at}: the audit says so too");
            }
            let same = serde_json::from_slice::<Value>(changed).is_ok_and(|changed| changed == value);
            assert_ne!(shows, Shows::Nowhere, "byte {at}");
            assert_eq!(shows == Shows::Rewritten, same, "byte {at}: {shows:?}");
            shows
        })
        .collect();
    for kind in [Shows::Unreadable, Shows::Altered, Shows::Rewritten] {
        assert!(shown.iter().filter(|shows| **shows == kind).count() > 100, "{kind:?}");
    }
}

/// JSON has two noughts and RFC 8785 one, so no digest tells them apart; a record writes only the one without a sign.
#[test]
fn a_sign_before_a_nought_is_found() {
    let (_, bytes) = signed();
    let text = String::from_utf8(bytes).unwrap();
    let mut signs = 0;
    for (at, written) in text.match_indices(" 0.0,") {
        for nought in ["-0.0", "-0", "-0e0", "-1e-400"] {
            let changed = format!("{} {nought},{}", &text[..at], &text[at + written.len()..]);
            assert_eq!(shows(changed.as_bytes()), Shows::Rewritten, "{nought} at {at}");
            signs += 1;
        }
    }
    assert!(signs > 4, "in the record's meter and in its plan");
}

/// A time is kept to the millisecond: one that is written finer reads as the same and is refused.
#[test]
fn a_time_that_is_written_finer_is_found() {
    let (record, bytes) = signed();
    let text = String::from_utf8(bytes).unwrap();
    for time in [record.opened_at, record.closed_at, record.sign_off.at] {
        let written = time.to_string();
        let (seconds, rest) = written.split_once('.').unwrap();
        for finer in ["7", "0", "000007"] {
            let changed = text.replace(&written, &format!("{seconds}.{}{finer}{}", &rest[..3], &rest[3..]));
            assert_ne!(changed, text);
            assert_eq!(shows(changed.as_bytes()), Shows::Unreadable, "{written} {finer}");
        }
    }
}

/// Where a value is in a document.
fn places(value: &Value, at: &str, all: &mut Vec<String>) {
    all.push(at.to_owned());
    match value {
        Value::Object(map) => map.iter().for_each(|(key, value)| places(value, &format!("{at}/{key}"), all)),
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(index, value)| places(value, &format!("{at}/{index}"), all))
        }
        _ => {}
    }
}

pub fn all_places(value: &Value) -> Vec<String> {
    let mut all = vec![];
    places(value, "", &mut all);
    all
}

fn is_found(value: &Value) -> bool {
    matches!(shows(value.to_string().as_bytes()), Shows::Unreadable | Shows::Altered)
}

#[test]
fn every_key_that_is_taken_out_is_found() {
    let (record, _) = signed();
    let value = serde_json::to_value(&record).unwrap();
    let mut taken = 0;
    for place in all_places(&value) {
        let Some((parent, last)) = place.rsplit_once('/') else { continue };
        let mut changed = value.clone();
        match changed.pointer_mut(parent).unwrap() {
            Value::Object(map) => drop(map.remove(last)),
            Value::Array(list) => drop(list.remove(last.parse().unwrap())),
            _ => unreachable!(),
        }
        assert!(is_found(&changed), "{place}");
        taken += 1;
    }
    assert!(taken > 300, "{taken}");
}

#[test]
fn every_list_in_another_order_is_found() {
    let (record, _) = signed();
    let value = serde_json::to_value(&record).unwrap();
    let mut swapped = 0;
    for place in all_places(&value) {
        let length = value.pointer(&place).and_then(Value::as_array).map_or(0, Vec::len);
        for index in 1..length {
            let mut changed = value.clone();
            changed.pointer_mut(&place).unwrap().as_array_mut().unwrap().swap(index - 1, index);
            if changed != value {
                assert!(is_found(&changed), "{place} {index}");
                swapped += 1;
            }
        }
    }
    assert!(swapped > 30, "{swapped}");
}

/// Every number, word and text made another one.
#[test]
fn every_value_that_is_another_is_found() {
    let (record, _) = signed();
    let value = serde_json::to_value(&record).unwrap();
    for place in all_places(&value) {
        let others: Vec<Value> = match value.pointer(&place).unwrap() {
            Value::Null => vec![Value::from(1), Value::from("x")],
            Value::Bool(is) => vec![Value::from(!is)],
            Value::Number(number) => {
                let number = number.as_f64().unwrap();
                vec![Value::from(f64::from_bits(number.to_bits() + 1)), Value::from(-number), Value::from(number + 1.0)]
            }
            Value::String(text) => vec![Value::from(format!("{text} ")), Value::from(""), Value::Null],
            Value::Array(_) | Value::Object(_) => vec![Value::Null],
        };
        for other in others {
            let mut changed = value.clone();
            *changed.pointer_mut(&place).unwrap() = other.clone();
            if changed != value {
                assert!(is_found(&changed), "{place} {other}");
            }
        }
    }
}

#[test]
fn a_signature_in_another_records_place_is_found() {
    let mut bench = Bench::new("bench-1");
    let (mut one, mut other) = (bench.record(), bench.record());
    std::mem::swap(&mut one.sign_off.signature, &mut other.sign_off.signature);
    for record in [one, other] {
        let facts = facts(&record);
        assert!(matches!(facts.standing.signature, SignatureStanding::Bad { .. }) && !facts.standing.is_intact());
    }
}

/// The statement that was signed names the key, so a record cannot be made an unsigned one.
#[test]
fn a_signature_that_is_taken_off_is_found() {
    let (mut record, _) = signed();
    record.sign_off.signature = None;
    let facts = facts(&record);
    assert_eq!(facts.standing.signature, SignatureStanding::None);
    assert!(facts.standing.altered[0].contains("its signature is gone"), "{:?}", facts.standing.altered);
}

/// A signature by another key over the same bytes is a good one, and not the one that the record speaks of.
#[test]
fn a_signature_by_another_key_than_the_stated_one_is_found() {
    let (mut record, _) = signed();
    sign(&mut record, &crate::maker::other_key());
    let facts = facts(&record);
    assert!(matches!(facts.standing.signature, SignatureStanding::Stranger { .. }), "{:?}", facts.standing);
    assert!(!facts.standing.is_intact());
}

/// A record that was signed off by name is not altered by a signature that is added later.
#[test]
fn a_signature_may_be_added() {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut record = bench.record();
    assert_eq!(facts(&record).standing.signature, SignatureStanding::None);
    sign(&mut record, &sample_key());
    assert!(facts(&record).standing.is_trusted());
    assert!(parse_record(&file_bytes(&record).unwrap()).is_ok());
}

/// The same content in another layout: a line among others, or a file that some program wrote again.
#[test]
fn another_layout_is_no_other_record() {
    let (record, bytes) = signed();
    let line = serde_json::to_vec(&record).unwrap();
    assert_eq!(shows(&line), Shows::Rewritten);
    let of_line = examine(&line, Form::Line, Some(&trusted())).unwrap();
    assert_eq!(of_line, examine(&bytes, Form::File, Some(&trusted())).unwrap());
}
