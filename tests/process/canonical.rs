//! The canonical form: the vectors of RFC 8785, and the digest of a record worked out apart from the program.

use std::io::Write;
use std::process::{Command, Stdio};

use cornerset::quantity::Volts;
use cornerset::record::{Record, canonical_bytes};
use proptest::prelude::*;
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use crate::common::lines::Lines;
use crate::common::{Shop, outside};
use crate::jcs::{self, canonical};

/// RFC 8785, sections 3.2.2 and 3.2.3: the first sample as it is given, and its canonical form.
const SAMPLE: &str = r#"{
  "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
  "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
  "literals": [null, true, false]
}"#;
const SAMPLE_CANONICAL: &str = r#"{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}"#;

/// RFC 8785, section 3.2.3: the sample for the order of keys, and the order of its values.
const KEYS: &str = r#"{
  "\u20ac": "Euro Sign",
  "\r": "Carriage Return",
  "\ufb33": "Hebrew Letter Dalet With Dagesh",
  "1": "One",
  "\ud83d\ude00": "Emoji: Grinning Face",
  "\u0080": "Control",
  "\u00f6": "Latin Small Letter O With Diaeresis"
}"#;
const KEYS_IN_ORDER: [&str; 7] = [
    "Carriage Return",
    "One",
    "Control",
    "Latin Small Letter O With Diaeresis",
    "Euro Sign",
    "Emoji: Grinning Face",
    "Hebrew Letter Dalet With Dagesh",
];

/// RFC 8785, Appendix B: the bits of a double and its text. Typed from memory and compared with several public copies
/// of the table; each text also reads back as its bits.
const NUMBERS: [(u64, &str); 24] = [
    (0x0000_0000_0000_0000, "0"),
    (0x8000_0000_0000_0000, "0"),
    (0x0000_0000_0000_0001, "5e-324"),
    (0x8000_0000_0000_0001, "-5e-324"),
    (0x7fef_ffff_ffff_ffff, "1.7976931348623157e+308"),
    (0xffef_ffff_ffff_ffff, "-1.7976931348623157e+308"),
    (0x4340_0000_0000_0000, "9007199254740992"),
    (0xc340_0000_0000_0000, "-9007199254740992"),
    (0x4430_0000_0000_0000, "295147905179352830000"),
    (0x44b5_2d02_c7e1_4af5, "9.999999999999997e+22"),
    (0x44b5_2d02_c7e1_4af6, "1e+23"),
    (0x44b5_2d02_c7e1_4af7, "1.0000000000000001e+23"),
    (0x444b_1ae4_d6e2_ef4e, "999999999999999700000"),
    (0x444b_1ae4_d6e2_ef4f, "999999999999999900000"),
    (0x444b_1ae4_d6e2_ef50, "1e+21"),
    (0x3eb0_c6f7_a0b5_ed8c, "9.999999999999997e-7"),
    (0x3eb0_c6f7_a0b5_ed8d, "0.000001"),
    (0x41b3_de43_5555_5553, "333333333.3333332"),
    (0x41b3_de43_5555_5554, "333333333.33333325"),
    (0x41b3_de43_5555_5555, "333333333.3333333"),
    (0x41b3_de43_5555_5556, "333333333.3333334"),
    (0x41b3_de43_5555_5557, "333333333.33333343"),
    (0xbecb_f647_612f_3696, "-0.0000033333333333333333"),
    (0x4314_3ff3_c1cb_0959, "1424953923781206.2"),
];

/// The program's writer.
fn programs(value: &Value) -> String {
    String::from_utf8(canonical_bytes(value).unwrap()).unwrap()
}

/// A library's writer, from outside: serde_json_canonicalizer.
fn librarys(value: &Value) -> String {
    String::from_utf8(serde_json_canonicalizer::to_vec(value).unwrap()).unwrap()
}

#[test]
fn the_samples_of_rfc_8785() {
    let sample: Value = serde_json::from_str(SAMPLE).unwrap();
    let keys: Value = serde_json::from_str(KEYS).unwrap();
    for write in [programs, librarys, canonical] {
        assert_eq!(write(&sample), SAMPLE_CANONICAL);
        let written = write(&keys);
        let places: Vec<usize> = KEYS_IN_ORDER.iter().map(|name| written.find(name).unwrap()).collect();
        assert!(places.is_sorted(), "{written}");
    }
}

#[test]
fn the_numbers_of_rfc_8785() {
    for (bits, text) in NUMBERS {
        let value = f64::from_bits(bits);
        assert_eq!(text.parse::<f64>().unwrap(), value, "{text}");
        assert_eq!(jcs::number(value), text, "{bits:016x}");
        assert_eq!(programs(&json!(value)), text, "{bits:016x}");
    }
    // What has one text there has one in a record's file: the second row of the table is never written.
    assert_eq!(serde_json::to_string(&[Volts::new(-0.0), Volts::new(0.0)]).unwrap(), "[0.0,0.0]");
    // Not a number and the infinities are errors there: no quantity of a record writes one.
    for value in [f64::NAN, f64::INFINITY] {
        assert!(canonical_bytes(&Volts::new(value)).is_err(), "{value}");
    }
}

proptest! {
    #[test]
    fn both_writers_write_the_same_numbers(bits in any::<u64>(), small in -1e6..1e6f64) {
        for value in [f64::from_bits(bits), small, (small * 1000.0).round() / 1000.0] {
            if value.is_finite() {
                prop_assert_eq!(programs(&json!(value)), jcs::number(value));
                prop_assert_eq!(librarys(&json!(value)), jcs::number(value));
            }
        }
    }

    #[test]
    fn both_writers_write_the_same_strings(key in any::<String>(), other in any::<String>(), text in any::<String>()) {
        let value = json!({ key: text, other: [null, true, {}, []] });
        prop_assert_eq!(programs(&value), canonical(&value));
        prop_assert_eq!(librarys(&value), canonical(&value));
    }
}

/// Keys of few characters, some of which sort before a quotation mark and some of which are escaped: one key begins another.
fn short_keys() -> impl Strategy<Value = Value> {
    let key = prop::collection::vec(prop::sample::select(vec![' ', '!', '"', '#', 'a', '\\', '\u{1}', 'é']), 0..4);
    let members = prop::collection::vec(key.prop_map(String::from_iter), 0..8);
    members.prop_map(|keys| keys.into_iter().zip(0..).map(|(key, place)| (key, json!(place))).collect())
}

proptest! {
    #[test]
    fn all_writers_sort_short_keys_alike(value in short_keys()) {
        prop_assert_eq!(programs(&value), canonical(&value));
        prop_assert_eq!(librarys(&value), canonical(&value));
    }
}

/// By section 3.2.3 a key comes before those that it begins, whatever follows.
#[test]
fn a_key_comes_before_those_that_it_begins() {
    let value = json!({"a": 1, "a!": 2, "a ": 3, "": 4});
    assert_eq!(programs(&value), r#"{"":4,"a":1,"a ":3,"a!":2}"#);
}

/// Only the digest and the signature of the record's own sign-off are left out.
#[test]
fn nothing_else_is_left_out() {
    let not_signed = json!({"digest": 1, "signature": 2});
    assert_eq!(programs(&json!({ "sign_off": not_signed })), r#"{"sign_off":{}}"#);
    for value in [
        json!({"sign_off": [not_signed]}),
        json!({"sign_off": [[not_signed]]}),
        json!([{ "sign_off": not_signed }]),
        json!({"sign_off": {"sign_off": not_signed}}),
        json!({"log": [{ "sign_off": not_signed }]}),
        json!({"a": {"sign_off": not_signed}}),
        not_signed,
    ] {
        assert_eq!(programs(&value), canonical(&value));
    }
}

/// Not a byte of a number goes missing: one of a size that no record has is an error.
#[test]
fn no_number_goes_missing() {
    let written = |value: Result<Vec<u8>, _>| value.is_ok_and(|bytes: Vec<u8>| bytes == b"1");
    for lost in [
        canonical_bytes(&1u8).map_err(drop),
        canonical_bytes(&1u16).map_err(drop),
        canonical_bytes(&1i8).map_err(drop),
        canonical_bytes(&1i16).map_err(drop),
        canonical_bytes(&1i32).map_err(drop),
        canonical_bytes(&1f32).map_err(drop),
        canonical_bytes(&1i128).map_err(drop),
        canonical_bytes(&1u128).map_err(drop),
    ] {
        assert!(lost.is_err() || written(lost));
    }
    for kept in [canonical_bytes(&1u32), canonical_bytes(&1u64), canonical_bytes(&1i64), canonical_bytes(&1f64)] {
        assert_eq!(kept.unwrap(), b"1");
    }
}

/// A record with text that needs care: quotes, a backslash, letters beyond ASCII and beyond 16 bits.
fn awkward(shop: &Shop) -> Value {
    let script = Lines::required()
        .with("job", "Order 0501 \"rear\" \\ boot, 8 V / 4 Ω 🔊")
        .with("note", "Müller, שלום, 東京")
        .with("meter-resolution", "0.000001 V");
    shop.script(&script.text()).expect(0);
    shop.record()
}

/// A record without the two keys that its digest does not cover.
fn signed_part(record: &Value) -> Value {
    let mut part = record.clone();
    let sign_off = part["sign_off"].as_object_mut().unwrap();
    assert!(sign_off.remove("digest").is_some() && sign_off.remove("signature").is_some());
    part
}

#[test]
fn the_digest_is_that_of_the_canonical_form() {
    let shop = Shop::new();
    let record = awkward(&shop);
    let text = canonical(&signed_part(&record));
    let hash = Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect::<String>();
    assert_eq!(record["sign_off"]["digest"], format!("sha256:{hash}"));
    let typed: Record = serde_json::from_value(record).unwrap();
    assert_eq!(String::from_utf8(canonical_bytes(&typed).unwrap()).unwrap(), text);
}

/// The same again with a program from outside: the Python package rfc8785.
#[test]
fn the_digest_is_that_of_another_implementation() {
    let available = outside::runs("python3", &["-c", "import rfc8785"]);
    if !outside::needs("python3 with rfc8785", available) {
        return;
    }
    let record = awkward(&Shop::new());
    let program = "import sys, json, hashlib, rfc8785\n\
                   record = json.load(sys.stdin)\n\
                   del record['sign_off']['digest'], record['sign_off']['signature']\n\
                   print('sha256:' + hashlib.sha256(rfc8785.dumps(record)).hexdigest())";
    let mut python = Command::new("python3")
        .args(["-c", program])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python3 starts");
    python.stdin.take().unwrap().write_all(record.to_string().as_bytes()).unwrap();
    let output = python.wait_with_output().unwrap();
    assert_eq!(String::from_utf8(output.stdout).unwrap().trim(), record["sign_off"]["digest"].as_str().unwrap());
}
