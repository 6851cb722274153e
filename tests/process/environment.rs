//! Section 8 of the design: no environment variable changes the time, the identity or a measured value.

use std::time::SystemTime;

use chrono::{DateTime, FixedOffset};
use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::{Ran, Shop};
use crate::support::words;

/// Names that programs and test doubles like to listen to.
const NAMES: [(&str, &str); 24] = [
    ("FAKETIME", "2001-02-03 04:05:06"),
    ("FAKETIME_TIMESTAMP_FILE", "/dev/null"),
    ("SOURCE_DATE_EPOCH", "981173106"),
    ("CORNERSET_TIME", "2001-02-03T04:05:06Z"),
    ("CORNERSET_NOW", "2001-02-03T04:05:06Z"),
    ("CORNERSET_CLOCK", "981173106"),
    ("CORNERSET_TEST", "1"),
    ("CORNERSET_DEBUG", "1"),
    ("CORNERSET_NO_SKIP", "1"),
    ("CORNERSET_READING", "5.00"),
    ("CORNERSET_REFERENCE", "7.00"),
    ("CORNERSET_TECHNICIAN", "B. Sample"),
    ("CORNERSET_BENCH", "another-bench"),
    ("CORNERSET_ID", "01900000-0000-7000-8000-000000000000"),
    ("CORNERSET_PRACTICE", "1"),
    ("USER", "b.sample"),
    ("LOGNAME", "b.sample"),
    ("HOSTNAME", "another-bench"),
    ("LANG", "de_DE.UTF-8"),
    ("LC_ALL", "de_DE.UTF-8"),
    ("LC_NUMERIC", "de_DE.UTF-8"),
    ("COLUMNS", "30"),
    ("RUST_LOG", "trace"),
    ("RUST_BACKTRACE", "1"),
];

/// A record without what is another one's in every session.
fn lasting(record: &Value) -> Value {
    let mut record = record.clone();
    for key in ["id", "opened_at", "closed_at", "bench"] {
        record[key] = Value::Null;
    }
    record["sign_off"]["at"] = Value::Null;
    record["sign_off"]["digest"] = Value::Null;
    for (list, key) in [("log", "at"), ("cautions", "acknowledged_at")] {
        for entry in record[list].as_array_mut().unwrap() {
            entry[key] = Value::Null;
        }
    }
    record
}

fn times(record: &Value) -> Vec<DateTime<FixedOffset>> {
    let log = record["log"].as_array().unwrap().iter().map(|entry| &entry["at"]);
    let cautions = record["cautions"].as_array().unwrap().iter().map(|caution| &caution["acknowledged_at"]);
    [&record["opened_at"], &record["closed_at"], &record["sign_off"]["at"]]
        .into_iter()
        .chain(log)
        .chain(cautions)
        .map(|at| DateTime::parse_from_rfc3339(at.as_str().unwrap()).expect("RFC 3339 with an offset"))
        .collect()
}

fn session(names: &[(&str, &str)]) -> (Value, Ran) {
    let shop = Shop::new();
    let path = shop.path().join("script");
    std::fs::write(&path, Lines::required().text()).unwrap();
    let ran = Ran::of(shop.command().envs(names.iter().copied()).args(["set", "--script"]).arg(path)).expect(0);
    (shop.record(), ran)
}

#[test]
fn nothing_in_the_environment_changes_a_record() {
    let (plain, _) = session(&[]);
    let before: DateTime<chrono::Utc> = SystemTime::now().into();
    let (record, _) = session(&NAMES);
    let after: DateTime<chrono::Utc> = SystemTime::now().into();
    assert_eq!(lasting(&record), lasting(&plain));
    assert!(record["bench"].as_str().unwrap().starts_with("bench-"));
    for at in times(&record) {
        // Times are cut to milliseconds.
        assert!(at.timestamp_millis() >= before.timestamp_millis() && at <= after, "{at}");
    }
    let log: Vec<&str> = record["log"].as_array().unwrap().iter().map(|entry| entry["at"].as_str().unwrap()).collect();
    assert!(log.is_sorted(), "{log:?}");
}

/// The only thing that the zone changes is the offset.
#[test]
fn the_zone_changes_the_offset_and_no_moment() {
    for (zone, minutes) in [("UTC", 0), ("XYZ-5:30", 330), ("ABC3", -180), ("nowhere/at/all", 0), ("", 0)] {
        let before: DateTime<chrono::Utc> = SystemTime::now().into();
        let (record, _) = session(&[("TZ", zone)]);
        for at in times(&record) {
            assert_eq!(at.offset().local_minus_utc(), minutes * 60, "{zone}");
            assert!((at.timestamp_millis() - before.timestamp_millis()).abs() < 20_000, "{zone}: {at}");
        }
    }
}

#[test]
fn nothing_in_the_environment_changes_targets_or_a_corner() {
    let shop = Shop::new();
    for command in [
        "targets --tuning 36 --slope 24 --reference 8 --json",
        "targets --tuning 36 --slope 24 --reference 8",
        "corner --reference 8 20=2.31 27=5.66 38=7.75 --json",
        "corner --reference 8 20=2.31 27=5.66 38=7.75",
    ] {
        let plain = shop.run(&words(command)).expect(0).stdout;
        let ran = Ran::of(shop.command().envs(NAMES).args(words(command))).expect(0);
        assert_eq!(ran.stdout, plain, "{command}");
    }
}

/// Colour only on a terminal, whatever the environment asks for.
#[test]
fn there_is_no_colour_in_a_pipe() {
    let shop = Shop::new();
    for names in [
        vec![("CLICOLOR_FORCE", "1")],
        vec![("CLICOLOR_FORCE", "1"), ("NO_COLOR", "1")],
        vec![("FORCE_COLOR", "1"), ("CLICOLOR", "1"), ("TERM", "xterm-256color"), ("COLORTERM", "truecolor")],
    ] {
        let targets = words("targets --tuning 36 --slope 24 --reference 8");
        let page = Ran::of(shop.command().envs(names.iter().copied()).args(targets)).expect(0);
        assert!(!page.stdout.contains('\u{1b}'), "{names:?}: {}", page.stdout);
        let (_, ran) = session(&names);
        assert!(!ran.stdout.contains('\u{1b}') && !ran.stderr.contains('\u{1b}'), "{names:?}: {}", ran.stderr);
        let help = Ran::of(shop.command().envs(names.iter().copied()).arg("--help")).expect(0);
        assert!(!help.stdout.contains('\u{1b}'), "{names:?}: {}", help.stdout);
    }
}

/// An empty variable is one that is not set: the platform's data folder is used.
#[test]
fn an_empty_store_variable_is_none() {
    let shop = Shop::new();
    let script = shop.path().join("script");
    std::fs::write(&script, Lines::required().text()).unwrap();
    let mut command = shop.command();
    command.env("CORNERSET_STORE", "").args(["--json", "set", "--script", "script"]);
    let events = Ran::of(&mut command).expect(0).events();
    let path = events.last().unwrap()["path"].as_str().unwrap().to_owned();
    assert!(path.starts_with(shop.path().to_str().unwrap()), "under HOME: {path}");
}
