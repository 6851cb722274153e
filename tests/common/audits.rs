//! An audit with something of every kind in it.

use cornerset::audit::{Audit, Chain, Finding, Group, Kind, Noted, Reach};
use cornerset::quantity::Decibels;
use cornerset::session::Moment;

fn moment(text: &str) -> Moment {
    Moment::new(chrono::DateTime::parse_from_rfc3339(text).expect("a time"))
}

/// A finding of a record.
pub fn finding(kind: Kind, number: u64, detail: &str) -> Finding {
    Finding {
        kind,
        id: Some(format!("019cbd1a-{number:04x}-7000-8000-000000000501")),
        bench: Some("bench-a1b2c3".to_owned()),
        sequence: Some(number),
        path: Some(format!("/shop/records/2026/019cbd1a-{number:04x}-7000-8000-000000000501.json")),
        job: Some(format!("Work order {number:04}, van")),
        technician: Some("A. Sample".to_owned()),
        at: Some(moment("2026-03-05T09:30:12+01:00")),
        detail: detail.to_owned(),
    }
}

fn missing(bench: &str, number: u64) -> Finding {
    Finding {
        id: None,
        bench: Some(bench.to_owned()),
        path: None,
        job: None,
        technician: None,
        at: None,
        ..finding(Kind::Missing, number, "The record after it names it, and it is not here.")
    }
}

/// A noted digest whose record is here and vouches for those up to it, or is not here.
fn noted(last: Option<u64>) -> Noted {
    let reach = last.map(|last| Reach { bench: "bench-a1b2c3".to_owned(), first: 1, last, id: "one".to_owned() });
    Noted { digest: format!("sha256:{}", "4f".repeat(32)), reach }
}

fn group(name: &str, records: usize, dial: Option<(f64, f64)>) -> Group {
    Group {
        name: name.to_owned(),
        records,
        inside: records - 1,
        bias: Some(Decibels::new(0.0417)),
        spread: (records > 1).then(|| Decibels::new(0.118)),
        dial_percent: dial.map(|(percent, _)| percent),
        dial_spread_percent: dial.map(|(_, spread)| spread),
        dial_records: if dial.is_some() { records / 2 } else { 0 },
    }
}

/// Nothing out of line.
pub fn clean() -> Audit {
    Audit {
        records: 41,
        intact: 41,
        signed: 41,
        chains: vec![Chain {
            bench: "bench-a1b2c3".to_owned(),
            records: 41,
            last: 41,
            digest: format!("sha256:{}", "4f".repeat(32)),
            whole: true,
        }],
        noted: vec![noted(Some(41))],
        technicians: vec![group("A. Sample", 41, None)],
        ..Audit::default()
    }
}

/// Every kind of finding; of missing numbers a range, of unsigned records more than a screen names.
pub fn everything() -> Audit {
    let mut findings = vec![];
    for kind in Kind::ALL {
        match kind {
            Kind::Missing => findings.extend([
                missing("bench-a1b2c3", 42),
                missing("bench-a1b2c3", 45),
                missing("bench-a1b2c3", 44),
                missing("bench-a1b2c3", 43),
                missing("bench-a1b2c3", 51),
                missing("bench-d4e5f6", 52),
            ]),
            Kind::Unreadable => findings.push(Finding {
                id: None,
                bench: None,
                sequence: None,
                job: None,
                technician: None,
                at: None,
                ..finding(*kind, 7, "It ends in the middle of a value, at line 212.")
            }),
            Kind::NotedMissing => {
                let digest = "0123456789abcdef".repeat(4);
                let detail = format!("The record whose digest was noted as sha256:{digest} is not here.");
                findings.push(Finding { kind: *kind, bench: None, sequence: None, detail, ..missing("", 0) });
            }
            Kind::Unsigned => findings.extend((100..147).map(|number| finding(*kind, number, ""))),
            _ => findings.push(finding(
                *kind,
                findings.len() as u64,
                "What exactly was found stands here, as a sentence that is long enough to be wrapped on a narrow screen.",
            )),
        }
    }
    let chain = |bench: &str, records, whole| Chain {
        bench: bench.to_owned(),
        records,
        last: 120,
        digest: format!("sha256:{}", "0123456789abcdef".repeat(4)),
        whole,
    };
    Audit {
        records: 214,
        intact: 211,
        signed: 167,
        practice: 1,
        scripted: 3,
        recomputed_differently: vec![],
        findings,
        chains: vec![chain("bench-a1b2c3", 109, false), chain("bench-d4e5f6", 105, true)],
        noted: vec![noted(Some(41)), noted(None), noted(Some(1))],
        technicians: vec![group("A. Sample", 120, None), group("B. Sample, who also works at the other shop", 1, None)],
        amplifiers: vec![group("Bench amplifier 2", 90, Some((-4.21, 1.17))), group("Amp 2, serial 0117", 1, None)],
        meters: vec![group("Meter 3", 214, None)],
        warnings: vec!["The trust list has a line that cannot be read, line 4: it was passed over.".to_owned()],
    }
}
