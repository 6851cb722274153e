//! Records that mean harm: refused or neutral, in bounded time and memory, and never the end of an audit.

use std::fs;

use cornerset::audit::{Form, examine};
use cornerset::record::{RECORD_MAX, Record, file_bytes};
use proptest::prelude::*;
use serde_json::Value;

use crate::common::{Ran, Shop};
use crate::maker::{Bench, digest_again, found, looked_at_bytes};

fn unreadable(bytes: &[u8]) -> String {
    examine(bytes, Form::File, None).expect_err("not a record")
}

/// A record in which the first value of this key is a list, ten thousand deep.
fn nested(key: &str, record: &str) -> Vec<u8> {
    const DEEP: usize = 10_000;
    let at = record.find(&format!("\"{key}\": ")).expect("the key") + key.len() + 4;
    [&record[..at], &"[".repeat(DEEP), &"]".repeat(DEEP), ", \"x\": ", &record[at..]].concat().into_bytes()
}

#[test]
fn what_is_no_record_is_refused_with_a_reason() {
    let record = String::from_utf8(file_bytes(&Bench::new("bench-1").record()).unwrap()).unwrap();
    for (bytes, why) in [
        (vec![], "ends too early"),
        (b"null".to_vec(), "expected a record"),
        (b"{}".to_vec(), "format"),
        (vec![0xff, 0xfe, 0x00], "expected value"),
        (b"[".repeat(10_000), "invalid type"),
        (br#"{"a":"#.repeat(10_000), "ends too early"),
        ([&br#"{"a":"#[..], &b"[".repeat(10_000), &b"]".repeat(10_000), b"}"].concat(), "format"),
        (nested("cautions", &record), "invalid type"),
        (nested("typed", &record), "invalid type"),
        (nested("at", &record.replacen("\"event\": \"answer\",", "\"at\": 1,", 1)), "recursion limit"),
        (record.replace("\"version\": 1,", "\"version\": 2,").into_bytes(), "version 2"),
        (record.replacen('{', "{\"format\": \"cornerset-record\",", 1).into_bytes(), "duplicate field"),
        (record.replacen('{', "{\"more\": 1,", 1).into_bytes(), "unknown field `more`"),
        (record.replace("\"sequence\": 1,", "\"sequence\": 1e400,").into_bytes(), "number out of range"),
        (record.replace("\"sequence\": 1,", "\"sequence\": -1,").into_bytes(), "u64"),
        (record.replace("\"sequence\": 1,", &format!("\"sequence\": 1{},", "0".repeat(400))).into_bytes(), "range"),
        (record.replace("\"sequence\": 1,", "\"sequence\": NaN,").into_bytes(), "expected value"),
        (format!("{record}{record}").into_bytes(), "trailing"),
        (record.replace("+05:30", "+99:99").into_bytes(), "not a time"),
        (vec![b' '; usize::try_from(RECORD_MAX).unwrap() + 1], "too large"),
    ] {
        let said = unreadable(&bytes);
        assert!(said.contains(why), "{why}: {said}");
        assert!(!said.chars().any(char::is_control), "{said:?}");
    }
}

/// Moments and numbers at their very ends go through every sum of the audit.
#[test]
fn the_ends_of_every_range_end_nothing() {
    let text = String::from_utf8(file_bytes(&Bench::new("bench-1").record()).unwrap()).unwrap();
    let value: Value = serde_json::from_str(&text).unwrap();
    let extremes = [
        serde_json::json!(u64::MAX),
        serde_json::json!(0),
        serde_json::json!(f64::MAX),
        serde_json::json!(f64::MIN_POSITIVE),
        serde_json::json!(-f64::MAX),
        serde_json::json!("-262143-01-01T00:00:00.000+00:00"),
        serde_json::json!("+262142-12-31T23:59:59.999+23:59"),
        serde_json::json!("0000-01-01T00:00:00.000-23:59"),
        serde_json::json!("x".repeat(100_000)),
    ];
    let mut readable = 0;
    for place in crate::changes::all_places(&value) {
        for extreme in &extremes {
            let mut changed = value.clone();
            *changed.pointer_mut(&place).unwrap() = extreme.clone();
            if let Ok(mut record) = serde_json::from_value::<Record>(changed) {
                digest_again(&mut record);
                let looked = looked_at_bytes("one", &file_bytes(&record).unwrap());
                readable += usize::from(looked.facts.is_ok());
                let _ = cornerset::audit::Audit::of(&[looked], &[]);
            }
        }
    }
    assert!(readable > 200, "{readable}");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(500))]

    #[test]
    fn no_bytes_end_the_audit(bytes in proptest::collection::vec(any::<u8>(), 0..400)) {
        let _ = examine(&bytes, Form::File, None);
    }

    #[test]
    fn no_document_ends_the_audit(at in any::<prop::sample::Index>(), text in "\\PC{0,30}") {
        let record = Bench::new("bench-1").record();
        let value = serde_json::to_value(&record).unwrap();
        let places = crate::changes::all_places(&value);
        let mut changed = value;
        let place: &String = at.get(&places);
        *changed.pointer_mut(place).unwrap() = Value::from(text);
        let _ = found(&cornerset::audit::Audit::of(&[looked_at_bytes("one", changed.to_string().as_bytes())], &[]));
    }
}

/// Everything a terminal, a page or a spreadsheet could act on.
const HOSTILE: &str = "\u{1b}[2J\u{1b}]0;x\u{7}\u{9b}31m\u{202e}gnp\u{2066}<script>alert(1)</script>\r\n=cmd()|'x'!A1\u{0}\"><img src=x>&amp;\u{200b}";

/// A store with a record that has this in every text that the format leaves free, whole by its digest.
fn store_with_hostile_text(shop: &Shop) -> Vec<String> {
    let mut bench = Bench::new(&format!("bench {HOSTILE}"));
    bench.key = None;
    let mut ids = vec![];
    for (index, mut record) in bench.records(2).into_iter().enumerate() {
        for text in [
            &mut record.job,
            &mut record.technician,
            &mut record.amplifier.name,
            &mut record.meter.name,
            &mut record.tool,
        ] {
            *text = format!("={HOSTILE} {index}");
        }
        record.sign_off.name = format!("@{HOSTILE}");
        record.outcome.reason = Some(format!("+{HOSTILE}"));
        record.plan.warnings.push(format!("-{HOSTILE}"));
        for entry in &mut record.log {
            if let cornerset::session::LogEntry::Answer(answer) = entry {
                answer.typed = HOSTILE.to_owned();
            }
        }
        if index == 1 {
            record.outcome.verdict = cornerset::meter::Verdict::Above;
            record.sign_off.signature = Some(HOSTILE.to_owned());
        }
        digest_again(&mut record);
        let folder = shop.store().join("records/2026");
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join(format!("{}.json", record.id)), file_bytes(&record).unwrap()).unwrap();
        ids.push(record.id);
    }
    fs::write(shop.store().join("records/2026/\u{1b}[2J\u{202e}.json"), "{").unwrap();
    ids
}

#[track_caller]
fn is_neutral(ran: &Ran) {
    for text in [&ran.stdout, &ran.stderr] {
        let acts = |c: char| (c.is_control() && c != '\n') || ['\u{202e}', '\u{2066}', '\u{200b}'].contains(&c);
        assert!(!text.chars().any(acts), "{text:?}");
    }
}

#[test]
fn hostile_text_is_neutral_on_the_terminal() {
    let shop = Shop::new();
    let ids = store_with_hostile_text(&shop);
    for arguments in [
        &["records", "list"][..],
        &["records", "show", &ids[0]],
        &["records", "show", &ids[1]],
        &["audit"],
        &["records", "list", "--technician", "*"],
    ] {
        let ran = shop.run(arguments);
        assert!(matches!(ran.code, Some(0 | 1)), "{ran:?}");
        assert!(ran.stdout.contains("<U+001B>[2J"), "{}", ran.stdout);
        is_neutral(&ran);
    }
    for arguments in [&["records", "list", "--json"][..], &["audit", "--json"]] {
        let ran = shop.run(arguments);
        // JSON escapes controls by itself; the text is exact.
        assert!(ran.json().to_string().contains("\\u001b[2J"), "{}", ran.stdout);
        assert!(!ran.stdout.contains('\u{1b}') && !ran.stdout.contains('\u{7}'), "{}", ran.stdout);
    }
    let page = shop.path().join("page.html");
    for (arguments, code) in [
        (&["audit", "-o", page.to_str().unwrap()][..], 1),
        (&["records", "report", &ids[1], "-o", page.to_str().unwrap()], 1),
    ] {
        shop.run(arguments).expect(code);
        let text = fs::read_to_string(&page).unwrap();
        assert!(
            !text.contains("<script")
                && !text.contains("<img")
                && !text.contains('\u{1b}')
                && !text.contains('\u{202e}')
        );
        assert!(text.contains("&lt;script&gt;"));
    }
}

/// A folder, a pipe, a file that is far too large and links to nowhere, each with a record's name.
#[cfg(unix)]
#[test]
fn what_is_no_file_ends_no_audit() {
    use std::process::Command;
    let shop = Shop::new();
    shop.script("job: a\ntechnician: b\ntuning: 33\nslope: 24\ncaution: understood\nreference: 7.20\nreading: 5.09\naccept: yes\nsign-off: b\n").expect(0);
    let folder = shop.records()[0].parent().unwrap().to_owned();
    fs::create_dir(folder.join("folder.json")).unwrap();
    assert!(Command::new("mkfifo").arg(folder.join("pipe.json")).status().unwrap().success());
    fs::File::create(folder.join("large.json")).unwrap().set_len(100 * 1024 * 1024).unwrap();
    std::os::unix::fs::symlink("/nowhere", folder.join("link.json")).unwrap();
    let audit = shop.run(&["audit", "--json"]).expect(1).json();
    assert_eq!((&audit["records"], &audit["intact"]), (&Value::from(5), &Value::from(1)));
    let mut unreadable: Vec<&str> =
        audit["unreadable"].as_array().unwrap().iter().filter_map(|path| path.as_str()?.rsplit('/').next()).collect();
    unreadable.sort_unstable();
    assert_eq!(unreadable, ["folder.json", "large.json", "link.json", "pipe.json"]);
}
