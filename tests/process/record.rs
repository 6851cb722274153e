//! The record as a file: its keys, its place, its permissions, its chain.

use serde_json::{Value, json};

use crate::common::lines::Lines;
use crate::common::{Shop, read_json};
use crate::support::{entries, json_of, keys, sorted};

/// A session in which everything comes up that can be in a record.
fn full() -> Lines {
    Lines::required()
        .with("bypass", "no")
        .with("reference-mark", "18")
        .with("reference", "7.85")
        .with("reading", "7.02")
        .and("reading", "56.6")
        .and("reading", "strike 2 decimal point")
        .and("reading", "5.61..5.70")
        .with("sweep", "20 = 2.31 / 7.20")
        .with("note", "painted")
}

/// The keys of section 6 of the design.
#[test]
fn keys_are_those_of_the_contract() {
    let shop = Shop::new();
    let ran = shop.script(&full().text());
    assert!(ran.code == Some(0) || ran.code == Some(1), "{ran:?}");
    let record = shop.record();
    assert_eq!(
        keys(&record),
        sorted(
            "format version id entry practice bench sequence previous tool opened_at closed_at job technician amplifier \
             filter meter box plan cautions log outcome sign_off"
        )
    );
    assert_eq!((&record["format"], &record["version"]), (&json!("cornerset-record"), &json!(1)));
    assert_eq!((&record["practice"], &record["entry"]), (&json!(false), &json!("script")));
    for key in ["verdict", "corner_hz", "corner_uncertainty_hz", "fit", "family_confirmed"] {
        assert!(record["outcome"].get(key).is_some(), "{key}");
    }
    assert_eq!(
        keys(&record["outcome"]["fit"]),
        sorted("corner_hz corner_standard_error_hz family slope_db_per_octave")
    );
    assert_eq!(keys(&record["sign_off"]), sorted("name at statement digest signature"));
    assert_eq!(record["sign_off"]["signature"], Value::Null);
    for caution in record["cautions"].as_array().unwrap() {
        assert!(caution["acknowledged_at"].is_string(), "{caution}");
    }
    for (event, expected) in [
        ("reading", "number typed volts span_v tone_hz down_db corner_hz corners_hz verdict"),
        ("strike", "number reason"),
        ("reference", "typed volts tone_hz mark_hz span_v"),
        ("sweep", "number typed volts tone_hz reference_v"),
        ("note", "text"),
        ("accept", "typed accepted"),
        ("caution", "text question typed default"),
        ("answer", "question typed default"),
    ] {
        let found = entries(&record["log"], event);
        assert!(!found.is_empty(), "{event}");
        for entry in found {
            assert_eq!(keys(entry), sorted(&format!("at event {expected}")), "{event}");
        }
    }
}

/// `plan` is what `targets --json` prints, and every other input.
#[test]
fn the_plan_is_that_of_targets() {
    for (lines, options) in [
        (Lines::required(), "--tuning 36 --slope 24 --reference 8"),
        (Lines::required().with("rule", "own").with("corner", "27"), "--corner 27 --slope 24 --reference 8"),
        (
            Lines::required().with("bypass", "no").with("reference-mark", "18").with("reference", "7.85"),
            "--tuning 36 --slope 24 --reference 7.85 --reference-mark 18",
        ),
        (
            Lines::required()
                .with("slope", "12")
                .with("family", "second-order")
                .with("q", "0.9")
                .with("tolerance", "0.5 dB")
                .with("range-held", "no")
                .with("meter-accuracy", "0.5")
                .with("meter-digits", "3")
                .with("meter-resolution", "0.001")
                .with("reading", "4.91"),
            "--tuning 36 --slope 12 --family second-order --q 0.9 --reference 8 --tolerance 0.5dB --range-changes \
             --meter-accuracy 0.5 --meter-digits 3 --meter-resolution 0.001",
        ),
    ] {
        let shop = Shop::new();
        shop.script(&lines.text()).expect(0);
        let mut plan = shop.record()["plan"].clone();
        let inputs = plan.as_object_mut().unwrap();
        for key in
            "meter_accuracy_percent meter_digits meter_resolution_v mark_uncertainty_percent range_held".split(' ')
        {
            assert!(inputs.remove(key).is_some(), "{key}");
        }
        assert_eq!(plan, json_of(&format!("targets {options}")), "{options}");
    }
}

#[test]
fn a_record_is_one_file_in_the_year_of_its_sign_off_under_its_id() {
    let shop = Shop::new();
    shop.script(&Lines::required().text()).expect(0);
    let record = shop.record();
    let id = record["id"].as_str().unwrap();
    assert_eq!(uuid::Uuid::try_parse(id).unwrap().get_version_num(), 7);
    let year = &record["closed_at"].as_str().unwrap()[..4];
    assert_eq!(shop.records(), [shop.store().join("records").join(year).join(format!("{id}.json"))]);
    assert_eq!(record["closed_at"], record["sign_off"]["at"]);
    assert_eq!(shop.journals().len(), 0, "the journal is removed");
    let schema: Value = serde_json::from_str(cornerset::record::SCHEMA).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let errors: Vec<String> = validator.iter_errors(&record).map(|error| error.to_string()).collect();
    assert!(errors.is_empty(), "{errors:?}");
}

/// The rules of the shop say who may read: what the umask leaves, for record and journal alike.
#[cfg(unix)]
#[test]
fn a_record_may_be_read_by_whom_the_umask_lets() {
    use std::os::unix::fs::PermissionsExt;

    for (umask, mode) in [("077", 0o600), ("027", 0o640), ("022", 0o644)] {
        let shop = Shop::new();
        let scripts = [Lines::required(), Lines::required().before("accept")].map(|lines| lines.text());
        for (index, script) in scripts.iter().enumerate() {
            let path = shop.path().join(format!("script{index}"));
            std::fs::write(&path, script).unwrap();
            let line = format!("umask {umask}; exec \"$0\" set --script \"$1\"");
            let mut command = std::process::Command::new("sh");
            command.args(["-c", &line, crate::common::PROGRAM]).arg(path).env_clear();
            command.env("CORNERSET_STORE", shop.store()).env("HOME", shop.path());
            assert_eq!(command.output().unwrap().status.code(), Some(if index == 0 { 0 } else { 2 }));
        }
        for path in [&shop.records()[0], &shop.journals()[0]] {
            let found = std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
            assert_eq!(found, mode, "umask {umask}: {} is {found:o}", path.display());
        }
    }
}

#[test]
fn each_record_names_the_one_before_it() {
    let shop = Shop::new();
    let mut previous = Value::Null;
    let mut bench = None;
    for sequence in 1..=3 {
        let ran = shop.events(&Lines::required().text()).expect(0);
        let events = ran.events();
        let record = read_json(events.last().unwrap()["path"].as_str().unwrap().as_ref());
        assert_eq!((&record["sequence"], &record["previous"]), (&json!(sequence), &previous));
        assert_eq!(*bench.get_or_insert(record["bench"].clone()), record["bench"]);
        previous = record["sign_off"]["digest"].clone();
        // A session that stays open in between takes no place.
        shop.script(&Lines::required().before("sign-off").text()).expect(2);
    }
    assert_eq!(shop.records().len(), 3);
}

/// A record is never rewritten.
#[test]
fn the_next_session_leaves_the_record_as_it_was() {
    let shop = Shop::new();
    shop.script(&Lines::required().text()).expect(0);
    let path = shop.records()[0].clone();
    let (bytes, changed) = (std::fs::read(&path).unwrap(), std::fs::metadata(&path).unwrap().modified().unwrap());
    shop.script(&Lines::required().text()).expect(0);
    assert_eq!(std::fs::read(&path).unwrap(), bytes);
    assert_eq!(std::fs::metadata(&path).unwrap().modified().unwrap(), changed);
}
