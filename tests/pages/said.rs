//! What a page says is what the record says.

use cornerset::audit::{Kind, SignatureStanding, Standing};
use cornerset::pages::{audit_page, record_page};
use cornerset::record::canonical_bytes;
use cornerset::screens::check_steps;
use cornerset::signature::principal_of;
use serde_json::Value;
use std::fs;
use std::process::Command;

use crate::common::audits::{clean, everything};
use crate::common::outside::{needs, runs};
use crate::common::samples::{ARMOURED, by_name, sample, standings, with_signature};
use crate::outline::{SAMPLES, can_read, outline};

/// The number at the start of a cell; below nought where the level is up.
fn number(cell: &str) -> f64 {
    let value: f64 = cell.split(['\u{a0}', ' ']).next().unwrap().parse().unwrap_or_else(|_| panic!("{cell}"));
    if cell.ends_with("up") { -value } else { value }
}

/// The rows of the table whose first heading cells are these.
fn table(outline: &Value, headings: &[&str]) -> Option<Vec<Vec<String>>> {
    let tables: Vec<Vec<Vec<String>>> = serde_json::from_value(outline["rows"].clone()).unwrap();
    tables.into_iter().find(|rows| rows[0].starts_with(&headings.iter().map(|h| (*h).to_owned()).collect::<Vec<_>>()))
}

/// Every reading of the record's own JSON stands in the tables, number for number.
#[test]
fn numbers_on_the_page_are_those_of_the_record() {
    if !can_read() {
        return;
    }
    for name in SAMPLES {
        let record = sample(name);
        let json = serde_json::to_value(&record).unwrap();
        let log = json["log"].as_array().unwrap();
        let outline = outline(&record_page(&record, &by_name()));
        let events = |events: &[&str]| -> Vec<&Value> {
            log.iter().filter(|entry| events.contains(&entry["event"].as_str().unwrap())).collect()
        };
        let rows = table(&outline, &["reading", "time", "typed", "volts"]).expect("readings");
        let readings = events(&["reading"]);
        assert_eq!(rows.len() - 1, readings.len(), "{name}");
        for (row, reading) in rows[1..].iter().zip(readings) {
            assert_eq!(row[0], reading["number"].to_string());
            assert_eq!(row[1], reading["at"].as_str().unwrap()[11..19]);
            assert_eq!(row[2], reading["typed"].as_str().unwrap());
            let near = |cell: &str, value: &Value, half: f64| {
                assert!((number(cell) - value.as_f64().unwrap()).abs() <= half + 1e-9, "{name}: {cell} for {value}");
            };
            near(&row[3], &reading["volts"], json["meter"]["resolution_v"].as_f64().unwrap() / 2.0);
            near(&row[4], &reading["down_db"], 0.005);
            match &reading["corner_hz"] {
                Value::Null => assert_eq!(row[5], "none"),
                corner => near(&row[5], corner, 0.05),
            }
            assert_eq!(row[6], reading["verdict"].as_str().unwrap());
        }
        // The last reading of these samples is the one that was accepted.
        assert_eq!(rows.last().unwrap()[7], "accepted", "{name}");
        let pairs = events(&["explore", "sweep"]);
        let rows = table(&outline, &["reading", "time", "typed", "tone"]);
        assert_eq!(rows.as_ref().map_or(0, |rows| rows.len() - 1), pairs.len(), "{name}");
        for (row, pair) in rows.iter().flat_map(|rows| &rows[1..]).zip(pairs) {
            assert_eq!(row[0], format!("{} {}", pair["event"].as_str().unwrap(), pair["number"]));
            assert!((number(&row[3]) - pair["tone_hz"].as_f64().unwrap()).abs() <= 0.005 + 1e-9);
            let [volts, reference] = ["volts", "reference_v"].map(|key| pair[key].as_f64().unwrap());
            assert!((number(&row[6]) - 20.0 * (reference / volts).log10()).abs() <= 0.005 + 1e-9, "{row:?}");
        }
        let text = outline["text"].as_str().unwrap().replace('\u{a0}', " ");
        let [corner, uncertainty] =
            ["corner_hz", "corner_uncertainty_hz"].map(|key| json["outcome"][key].as_f64().unwrap());
        assert!(
            text.contains(&format!("the corner stands at {corner:.1} +- {:.1} Hz", uncertainty.max(0.05))),
            "{name}"
        );
        for holds in ["/job", "/technician", "/amplifier/name", "/meter/name", "/id", "/sign_off/digest"] {
            let text_of = json.pointer(holds).unwrap().as_str().unwrap();
            assert!(text.contains(text_of), "{name}: {holds}");
        }
        // 2026-03-05T09:30:12.250+01:00 stands there as a person writes it.
        let at = json["sign_off"]["at"].as_str().unwrap();
        assert!(text.contains(&format!("{} {} (UTC {})", &at[..10], &at[11..16], &at[at.len() - 6..])), "{name}: {at}");
    }
}

/// The first words below the job are the verdict; what takes it back stands before it and in a box of its own.
#[test]
fn the_verdict_comes_first_and_what_takes_it_back_before_it() {
    let strong = |page: &str| {
        let from = page.find("<strong>").unwrap() + 8;
        page[from..].split('<').next().unwrap().replace('\u{a0}', " ").replace('\u{2060}', "")
    };
    let plain = record_page(&sample("plain"), &by_name());
    assert_eq!(strong(&plain), "INSIDE: the corner stands at 27.0 +- 0.2 Hz");
    assert!(!plain.contains("class=\"alarm\"") && plain.contains("class=\"answer good\""));
    let outside = record_page(&sample("accepted-outside"), &by_name());
    assert_eq!(strong(&outside), "ACCEPTED OUTSIDE: the corner stands at 33.9 +- 0.3 Hz");
    assert!(outside.contains("class=\"answer warn\"") && outside.contains("the knob is at its upper stop"));
    let mut record = sample("plain");
    record.outcome.family_confirmed = Some(false);
    let another = record_page(&record, &by_name());
    assert_eq!(strong(&another), "INSIDE, BUT THE FILTER IS ANOTHER: the corner stands at 27.0 +- 0.2 Hz");
    assert!(another.contains("class=\"answer warn\""));
    record.practice = true;
    let standing = Standing { altered: vec!["Its digest is another.".to_owned()], signature: SignatureStanding::None };
    let altered = record_page(&record, &standing);
    assert!(strong(&altered).starts_with("ALTERED, PRACTICE. INSIDE"), "{}", strong(&altered));
    assert_eq!(altered.matches("class=\"alarm\"").count(), 2);
    assert!(altered.contains("Its digest is another."));
    for (name, signature) in standings() {
        let page = record_page(&with_signature(sample("plain")), &Standing { altered: vec![], signature });
        let is_quiet = ["trusted", "no list", "not checked"].contains(&name);
        assert_eq!(page.contains("class=\"alarm\""), !is_quiet, "{name}");
    }
}

/// The signature stands on the page as it is, so that it can be taken off it; without one, that is said.
#[test]
fn the_signature_can_be_taken_off_the_page() {
    let page = record_page(&with_signature(sample("plain")), &by_name());
    assert!(page.contains(&format!("<pre>{}</pre>", ARMOURED.trim_end())));
    assert_eq!(page.matches("<li>").count() - page.split("<ol>").next().unwrap().matches("<li>").count(), 3);
    let unsigned = record_page(&sample("plain"), &by_name());
    assert!(unsigned.contains("No key signed it") && !unsigned.contains("ssh-keygen"));
}

/// The steps are those of OpenSSH: followed to the letter, `ssh-keygen` finds the signature good, and that over another
/// record bad.
#[test]
fn the_steps_to_check_a_record_work() {
    if !needs("ssh-keygen", runs("sh", &["-c", "command -v ssh-keygen"])) {
        return;
    }
    let folder = tempfile::TempDir::new().unwrap();
    let sh = |command: &str| {
        let output = Command::new("sh").args(["-c", command]).current_dir(folder.path()).output().unwrap();
        (output.status.success(), String::from_utf8_lossy(&output.stdout).into_owned())
    };
    let mut record = sample("plain");
    record.sign_off.name = "A. O'Sample".to_owned();
    let bytes = canonical_bytes(&record).unwrap();
    fs::write(folder.path().join("record.bytes"), &bytes).unwrap();
    assert!(sh("ssh-keygen -q -t ed25519 -N '' -C '' -f key && ssh-keygen -q -Y sign -f key -n cornerset-record < record.bytes > made.sig").0);
    record.sign_off.signature = Some(fs::read_to_string(folder.path().join("made.sig")).unwrap());
    let principal = principal_of(&record.sign_off.name);
    let page = record_page(&record, &by_name());
    // The signature as the page has it; nothing in it is an entity.
    let taken =
        page.split("<pre>").find(|part| part.starts_with("-----BEGIN SSH SIGNATURE-----")).expect("a signature");
    fs::write(folder.path().join("record.sig"), format!("{}\n", taken.split('<').next().unwrap())).unwrap();
    let key = fs::read_to_string(folder.path().join("key.pub")).unwrap();
    fs::write(folder.path().join("allowed_signers"), format!("\"{principal}\" {key}")).unwrap();
    let steps = check_steps(&record);
    assert_eq!(steps.len(), 3);
    let (is_good, said) = sh(&steps[2].command);
    assert!(is_good && said.starts_with("Good \"cornerset-record\" signature for a-o-sample"), "{said}");
    fs::write(folder.path().join("record.bytes"), [&bytes[..], b"\n"].concat()).unwrap();
    assert!(!sh(&steps[2].command).0, "a line end more");
}

/// Whatever an audit found stands on its page, each kind with what it means and what to do.
#[test]
fn an_audit_says_everything_it_found() {
    if !can_read() {
        return;
    }
    let audit = everything();
    let outline = outline(&audit_page(&audit, &["/shop/records".to_owned()], "2026-03-06 18:00"));
    let text = outline["text"].as_str().unwrap();
    for kind in Kind::ALL {
        for said in [kind.title(), kind.meaning(), kind.advice()] {
            assert!(text.contains(said), "{said}");
        }
    }
    for finding in &audit.findings {
        // The first 13 characters of an id are what is typed.
        let id = finding.id.as_ref().map(|id| id[..13].to_owned());
        for said in id.iter().chain(&finding.job) {
            assert!(text.contains(said), "{said}");
        }
    }
    let rows = table(&outline, &["bench", "numbers"]).expect("missing numbers");
    assert_eq!(rows[1..], [["bench-a1b2c3", "42 to 45"], ["bench-a1b2c3", "51"], ["bench-d4e5f6", "52"]]);
    let headings: Vec<&str> =
        outline["headings"].as_array().unwrap().iter().map(|heading| heading[1].as_str().unwrap()).collect();
    assert_eq!(headings[0], "14 THINGS BROKEN, 16 TO LOOK AT in 214 records of 2 benches");
    assert_eq!(headings[1..3], ["Broken", "Altered: 1"]);
    assert!(headings.contains(&"To look at") && headings.contains(&"To know"));
    let clean = audit_page(&clean(), &[], "2026-03-06 18:00");
    assert!(clean.contains("<h1>NOTHING OUT OF LINE in 41 records of 1 bench</h1>") && !clean.contains("<h3"));
}
