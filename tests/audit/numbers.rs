//! Bias, spread and dial error, against numpy's own mean and standard deviation of numbers that are read off the records.

use std::io::Write;
use std::process::{Command, Stdio};

use cornerset::audit::Group;
use cornerset::quantity::Decibels;
use cornerset::record::Record;
use cornerset::session::Question;
use serde_json::{Value, json};

use crate::common::outside::{needs, runs};
use crate::maker::{Bench, audit, digest_again};

/// What numpy makes of the readings: (20 log10 of volts over target) and of (mark over corner less one).
const SCRIPT: &str = "
import json, sys, numpy
records = json.load(sys.stdin)
def of(values):
    values = numpy.array(values)
    return [float(values.mean()) if len(values) else None, float(values.std(ddof=1)) if len(values) > 1 else None]
miss = [20 * numpy.log10(r['volts'] / r['target']) for r in records]
dial = [100 * (r['mark'] / r['corner'] - 1) for r in records if r['mark'] is not None]
print(json.dumps(of(miss) + of(dial)))
";

fn numpy(records: &[&Record]) -> Vec<Value> {
    let rows: Vec<Value> = records
        .iter()
        .map(|record| {
            let (accepted, outcome) = (record.accepted_reading().unwrap(), &record.outcome);
            json!({"volts": accepted.volts, "target": record.plan.setting.target_v, "mark": record.filter.dial_mark_hz, "corner": outcome.corner_hz})
        })
        .collect();
    let mut child =
        Command::new("python3").args(["-c", SCRIPT]).stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(json!(rows).to_string().as_bytes()).unwrap();
    serde_json::from_slice(&child.wait_with_output().unwrap().stdout).unwrap()
}

#[track_caller]
fn same(group: &Group, expected: &[Value]) {
    let own = [
        group.bias.map(|bias| bias.db()),
        group.spread.map(|spread| spread.db()),
        group.dial_percent,
        group.dial_spread_percent,
    ];
    for (own, expected) in own.into_iter().zip(expected) {
        match (own, expected.as_f64()) {
            (Some(own), Some(expected)) => assert!((own - expected).abs() < 1e-9, "{own} is not {expected}"),
            (own, expected) => assert_eq!(own, expected),
        }
    }
}

#[test]
fn groups_are_what_numpy_makes_of_them() {
    if !needs("python3 with numpy", runs("python3", &["-c", "import numpy"])) {
        return;
    }
    let mut bench = Bench::new("bench-1");
    let mut records = vec![];
    for (volts, mark, amplifier) in [
        ("5.09", "26 Hz", "Bench amplifier 3"),
        ("5.12", "unknown", "Bench amplifier 3"),
        ("5.02", "25.5", "Bench amplifier 3"),
        ("5.15", "27", "Bench amplifier 8"),
        ("5.08", "unknown", "Bench amplifier 6"),
    ] {
        records.push(bench.record_with(&[
            (Question::Reading, volts),
            (Question::DialMark, mark),
            (Question::Amplifier, amplifier),
        ]));
    }
    bench.technician = "B. Sample";
    records.push(bench.record_with(&[(Question::Reading, "5.45"), (Question::Reason, "no time")]));
    let audit = audit(&records, &[]);
    let all: Vec<&Record> = records.iter().collect();
    same(&audit.meters[0], &numpy(&all));
    same(&audit.technicians[0], &numpy(&all[..5]));
    same(&audit.technicians[1], &numpy(&all[5..]));
    let names: Vec<(&str, usize, usize, usize)> = audit
        .amplifiers
        .iter()
        .map(|group| (group.name.as_str(), group.records, group.inside, group.dial_records))
        .collect();
    assert_eq!(names, [("Bench amplifier 3", 4, 3, 2), ("Bench amplifier 6", 1, 1, 0), ("Bench amplifier 8", 1, 1, 1)]);
    let of_3: Vec<&Record> = [0, 1, 2, 5].map(|index| all[index]).to_vec();
    same(&audit.amplifiers[0], &numpy(&of_3));
}

/// A record that was changed counts nowhere.
#[test]
fn what_was_altered_is_in_no_group() {
    let mut records = Bench::new("bench-1").records(3);
    records[1].job.push('x');
    let audit = audit(&records, &[]);
    assert_eq!((audit.technicians[0].records, audit.amplifiers[0].records, audit.meters[0].records), (2, 2, 2));
}

/// Nor does a record that was made by hand: what it says need not follow from anything.
#[test]
fn what_does_not_follow_from_its_readings_is_in_no_group() {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut records = bench.records(3);
    records[2].plan.setting.down_db = Decibels::new(500.0);
    digest_again(&mut records[2]);
    let audit = audit(&records, &[]);
    assert_eq!(audit.recomputed_differently, [records[2].id.clone()]);
    assert_eq!((audit.technicians[0].records, audit.meters[0].records), (2, 2));
    assert!(audit.technicians[0].bias.unwrap().db().abs() < 1.0);
}
