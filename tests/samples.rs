//! The sample records: valid, whole, replayed to the same, and made again from their scripts. And the schema refuses
//! what has been changed, so that it can fail.

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use cornerset::record::{ChainLink, Record, SCHEMA, is_intact, parse_record};
use cornerset::session::{Opened, replay};
use jsonschema::Validator;
use serde_json::{Value, json};

use common::{Shop, read_json};

/// Every sample record with its name, in the order of their chain.
fn samples() -> Vec<(String, Value)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-sessions");
    let paths = fs::read_dir(&folder).expect("the samples").map(|entry| entry.expect("an entry").path());
    let mut samples: Vec<(String, Value)> = paths
        .filter(|path| path.extension().is_some_and(|extension| extension == "json"))
        .map(|path| (path.file_stem().unwrap().to_str().unwrap().to_owned(), read_json(&path)))
        .collect();
    samples.sort_by_key(|(_, record)| record["sequence"].as_u64());
    assert!(samples.len() >= 5, "{samples:?}");
    samples
}

fn script_of(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-sessions").join(format!("{name}.script"))
}

fn validator() -> Validator {
    let schema: Value = serde_json::from_str(SCHEMA).expect("JSON");
    jsonschema::meta::validate(&schema).expect("a schema of draft 2020-12");
    jsonschema::validator_for(&schema).expect("a schema")
}

fn record(sample: &Value) -> Record {
    parse_record(sample.to_string().as_bytes()).expect("a record")
}

#[test]
fn every_sample_is_valid_and_whole() {
    let validator = validator();
    for (name, sample) in samples() {
        let errors: Vec<String> =
            validator.iter_errors(&sample).map(|error| format!("{}: {error}", error.instance_path())).collect();
        assert!(errors.is_empty(), "{name}: {errors:?}");
        assert!(is_intact(&record(&sample)), "{name}: the digest");
        assert_eq!(serde_json::from_value::<Record>(sample.clone()).unwrap(), record(&sample), "{name}");
    }
}

/// The samples were made one after the other on one bench.
#[test]
fn the_samples_are_a_chain() {
    let mut previous = Value::Null;
    for (index, (name, sample)) in samples().into_iter().enumerate() {
        assert_eq!((&sample["sequence"], &sample["previous"]), (&json!(index + 1), &previous), "{name}");
        previous = sample["sign_off"]["digest"].clone();
    }
}

/// The session is a function of its log: replayed, it makes the same record again, digest and all.
#[test]
fn every_sample_replays_to_itself() {
    for (name, sample) in samples() {
        let record = record(&sample);
        let opened = Opened {
            id: record.id.clone(),
            bench: record.bench.clone(),
            entry: record.entry,
            practice: record.practice,
            tool: record.tool.clone(),
            at: record.opened_at,
        };
        let state = replay(opened, record.log.clone()).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(state.next(), None, "{name} is complete");
        let link = ChainLink { sequence: record.sequence, previous: record.previous.clone() };
        let key = record.key_stated().expect("the samples are signed");
        let mut again = Record::for_key(&state, link, key).expect("a record");
        again.sign_off.signature.clone_from(&record.sign_off.signature);
        assert_eq!((&again.plan, &again.outcome), (&record.plan, &record.outcome), "{name}");
        assert_eq!(again, record, "{name}");
    }
}

/// The published test key, where nobody else can read it.
fn sample_key(shop: &Shop) -> String {
    let key = shop.path().join("sample-key");
    fs::copy(script_of("plain").with_file_name("sample-key"), &key).expect("the key");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(&key, fs::Permissions::from_mode(0o600)).expect("its mode");
    }
    key.to_str().expect("a path").to_owned()
}

/// A record without what is another one's whenever a session is held.
fn lasting(record: &Value) -> Value {
    let mut record = record.clone();
    for key in ["id", "opened_at", "closed_at", "bench", "sequence", "previous", "tool"] {
        record[key] = Value::Null;
    }
    record["sign_off"]["at"] = Value::Null;
    record["sign_off"]["digest"] = Value::Null;
    record["sign_off"]["signature"] = Value::Null;
    for entry in record["log"].as_array_mut().unwrap() {
        entry["at"] = Value::Null;
    }
    for caution in record["cautions"].as_array_mut().unwrap() {
        caution["acknowledged_at"] = Value::Null;
    }
    record
}

#[test]
fn every_script_makes_its_sample_again() {
    for (name, sample) in samples() {
        let shop = Shop::new();
        let code =
            i32::from(sample["outcome"]["verdict"] != "inside" || sample["outcome"]["family_confirmed"] == false);
        let key = sample_key(&shop);
        shop.run(&["set", "--key", &key, "--script", script_of(&name).to_str().unwrap()]).expect(code);
        assert_eq!(
            lasting(&shop.record()),
            lasting(&sample),
            "{name}: run sample-sessions/make.sh, look at what changed"
        );
    }
}

/// Every script that stands there has its sample.
#[test]
fn every_script_has_its_sample() {
    let names: Vec<String> = samples().into_iter().map(|(name, _)| name).collect();
    let folder = script_of("plain").parent().unwrap().to_owned();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|extension| extension == "script") {
            let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
            assert!(names.contains(&name), "{name}.json");
        }
    }
}

/// The pointers to every value in a document, the document's own first.
fn pointers(value: &Value, at: &str, found: &mut Vec<String>) {
    found.push(at.to_owned());
    match value {
        Value::Object(map) => map.iter().for_each(|(key, value)| pointers(value, &format!("{at}/{key}"), found)),
        Value::Array(list) => {
            list.iter().enumerate().for_each(|(index, value)| pointers(value, &format!("{at}/{index}"), found));
        }
        _ => {}
    }
}

/// A sample with one value changed; `None` where the change cannot be made there.
fn changed(sample: &Value, at: &str, change: impl Fn(&mut Value) -> bool) -> Option<Value> {
    let mut copy = sample.clone();
    change(copy.pointer_mut(at).expect("a value")).then_some(copy)
}

/// Whether the schema and the reader of records both refuse a document.
#[track_caller]
fn both_refuse(validator: &Validator, document: &Value, what: &str) {
    assert!(!validator.is_valid(document), "the schema takes {what}");
    assert!(parse_record(document.to_string().as_bytes()).is_err(), "the reader takes {what}");
}

#[test]
fn an_extra_key_a_missing_one_and_a_wrong_type_are_refused_everywhere() {
    let validator = validator();
    for (name, sample) in samples() {
        let mut places = vec![];
        pointers(&sample, "", &mut places);
        assert!(places.len() > 200, "{name}: {}", places.len());
        for at in &places {
            let extra = changed(&sample, at, |value| match value {
                Value::Object(map) => map.insert("extra".to_owned(), json!(1)).is_none(),
                _ => false,
            });
            if let Some(document) = extra {
                both_refuse(&validator, &document, &format!("{name}{at} with an extra key"));
            }
            let keys: Vec<String> =
                sample.pointer(at).and_then(Value::as_object).map_or(vec![], |map| map.keys().cloned().collect());
            for key in keys {
                // Only one answer has it: whether it must be there follows from the replay, not from the form.
                if key == "filter" && at.starts_with("/log/") {
                    continue;
                }
                let missing = changed(&sample, at, |value| value.as_object_mut().unwrap().remove(&key).is_some());
                both_refuse(&validator, &missing.unwrap(), &format!("{name}{at} without {key}"));
            }
            if at.is_empty() {
                continue;
            }
            let wrong = changed(&sample, at, |value| {
                *value = if value.is_object() || value.is_array() { json!("text") } else { json!({"a": [true]}) };
                true
            });
            both_refuse(&validator, &wrong.unwrap(), &format!("{name}{at} of another type"));
        }
    }
}

#[test]
fn values_that_no_record_has_are_refused() {
    let validator = validator();
    let (_, sample) = samples().remove(0);
    let digest = sample["sign_off"]["digest"].as_str().unwrap().to_owned();
    let reading = sample["log"].as_array().unwrap().iter().position(|entry| entry["event"] == "reading").unwrap();
    for (at, value) in [
        ("/format", json!("another-record")),
        ("/version", json!(2)),
        ("/version", json!("1")),
        ("/entry", json!("robot")),
        ("/practice", json!(0)),
        ("/sequence", json!(-1)),
        ("/sequence", json!(1.5)),
        ("/plan/setting/target_v", json!("5.66")),
        ("/plan/family", json!("elliptic")),
        ("/plan/slope_db_per_octave", json!(25)),
        ("/plan/rule", json!("third")),
        ("/outcome/verdict", json!("good")),
        ("/opened_at", json!("yesterday")),
        ("/closed_at", Value::Null),
        ("/job", Value::Null),
        (&format!("/log/{reading}/event"), json!("guess")),
        (&format!("/log/{reading}/verdict"), json!("good")),
        (&format!("/log/{reading}/volts"), Value::Null),
    ] {
        let document = changed(&sample, at, |place| {
            *place = value.clone();
            true
        });
        both_refuse(&validator, &document.unwrap(), &format!("{value} at {at}"));
    }
    // What only the schema says; the reader takes them as text, and the digest finds them.
    for (at, value) in [
        ("/id", json!("01900000-0000-4000-8000-000000000000")),
        ("/id", json!("record")),
        ("/sign_off/digest", json!(digest.replace("sha256:", ""))),
        ("/sign_off/digest", json!(digest.to_uppercase())),
        ("/bench", json!("")),
        ("/job", json!("")),
    ] {
        let document = changed(&sample, at, |place| {
            *place = value.clone();
            true
        });
        let document = document.unwrap();
        assert!(!validator.is_valid(&document), "{value} at {at}");
        let taken = parse_record(document.to_string().as_bytes());
        assert!(!taken.is_ok_and(|record| is_intact(&record)), "{value} at {at} is found by the digest");
    }
}
