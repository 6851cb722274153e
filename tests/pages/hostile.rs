//! Text that would act if it could, in every field that takes text.

use cornerset::audit::{Audit, SignatureStanding, Standing};
use cornerset::pages::{audit_page, record_page};
use cornerset::record::Record;
use serde_json::{Value, json};

use crate::common::audits::everything;
use crate::common::samples::{sample, with_signature};
use crate::outline::{can_read, outline};

/// What has broken out of pages before: elements, attributes, entities, ends of other contexts, comments, escapes of
/// terminals, directions.
const HOSTILE: &str = "<x-hostile onx=1>\" onx=\"1\" ' onx='1' &lt;x-hostile&gt; &#60;x-hostile> ]]> </style></svg></title>\
     </pre></td></table></main><![CDATA[ <!-- --> <?x-hostile?> {{7*7}} ${x} javascript:x \u{202e}\u{1b}[31m\u{0}\u{feff}\u{2028}\n\
     </textarea><x-hostile/>\u{fffe}";

/// The places of all texts in a value.
fn texts(value: &Value, at: &str, found: &mut Vec<String>) {
    match value {
        Value::String(_) => found.push(at.to_owned()),
        Value::Array(items) => {
            items.iter().enumerate().for_each(|(index, item)| texts(item, &format!("{at}/{index}"), found));
        }
        Value::Object(members) => members.iter().for_each(|(key, item)| texts(item, &format!("{at}/{key}"), found)),
        _ => {}
    }
}

/// A record in which everything is that a record can hold.
fn rich() -> Value {
    let mut record = serde_json::to_value(with_signature(sample("wrong-label"))).unwrap();
    record["outcome"]["reason"] = json!("a reason");
    record["box"]["driver"] = json!("fs_hz = 27");
    record["plan"]["warnings"] = json!(["a warning"]);
    record["previous"] = json!("sha256:0");
    let mut log = record["log"].as_array().unwrap().clone();
    for (name, events) in [("unknown-family", "explore"), ("accepted-outside", "strike"), ("plain", "note")] {
        let other = serde_json::to_value(sample(name)).unwrap();
        log.extend(other["log"].as_array().unwrap().iter().filter(|entry| entry["event"] == events).cloned());
    }
    // An answer that was changed.
    let at = log[0]["at"].clone();
    log.push(json!({"event": "answer", "at": at, "question": "note", "typed": "another", "default": false}));
    log.push(json!({"event": "caution", "at": at, "question": "reference-confirmed", "text": "high", "typed": "yes", "default": false}));
    record["log"] = Value::Array(log);
    record
}

/// The record with this in every field that takes any text, each with a word of its own; and the places of those.
fn with_every_text(text: &str) -> (Record, Vec<String>) {
    let mut record = rich();
    let mut places = vec![];
    texts(&record, "", &mut places);
    places.retain(|place| {
        let mut tried = record.clone();
        *tried.pointer_mut(place).unwrap() = json!("anything");
        serde_json::from_value::<Record>(tried).is_ok()
    });
    for (number, place) in places.iter().enumerate() {
        *record.pointer_mut(place).unwrap() = json!(format!("word{number}word {text}"));
    }
    (serde_json::from_value(record).unwrap(), places)
}

fn standing(text: &str) -> Standing {
    Standing {
        altered: vec![format!("altered {text}")],
        signature: SignatureStanding::OtherName {
            fingerprint: format!("fingerprint {text}"),
            principals: format!("principals {text}"),
        },
    }
}

/// Holds a page of hostile text against the same page of harmless text.
#[track_caller]
fn is_neutral(page: &str, harmless: &str) {
    for raw in [
        "<x-hostile",
        "\u{202e}",
        "\u{1b}",
        "\u{0}",
        "\u{feff}",
        "\u{2028}",
        "\u{fffe}",
        "]]>",
        "<![CDATA",
        "<!--",
        "<?",
    ] {
        assert!(!page.contains(raw), "{raw:?}");
    }
    assert!(page.contains("&lt;x-hostile onx=1&gt;"), "it is shown");
    let (hostile, harmless) = (outline(page), outline(harmless));
    assert_eq!(hostile["elements"], harmless["elements"]);
    let names = |outline: &Value| outline["attributes"].as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    assert_eq!(names(&hostile), names(&harmless));
    for name in ["class", "id", "scope", "role", "content", "xmlns", "http-equiv", "lang"] {
        assert_eq!(hostile["attributes"][name], harmless["attributes"][name], "{name}");
    }
}

#[test]
fn no_text_of_a_record_acts() {
    if !can_read() {
        return;
    }
    let (record, places) = with_every_text(HOSTILE);
    let (harmless, _) = with_every_text("harmless");
    assert!(places.len() > 60, "{places:?}");
    let page = record_page(&record, &standing(HOSTILE));
    is_neutral(&page, &record_page(&harmless, &standing("harmless")));
    // Every text that a customer is to see is there: its own word is found.
    for place in [
        "/id",
        "/bench",
        "/tool",
        "/job",
        "/technician",
        "/amplifier/name",
        "/meter/name",
        "/box/driver",
        "/plan/warnings/0",
        "/outcome/reason",
        "/sign_off/name",
        "/sign_off/statement",
        "/sign_off/digest",
        "/sign_off/signature",
    ] {
        let number = places.iter().position(|one| one == place).unwrap_or_else(|| panic!("{place} takes any text"));
        assert!(page.contains(&format!("word{number}word")), "{place}");
    }
    let log = places.iter().enumerate().filter(|(_, place)| place.starts_with("/log/"));
    let json = serde_json::to_value(&record).unwrap();
    for (number, place) in log {
        let entry = json.pointer(&place[..place.rfind('/').unwrap()]).unwrap();
        let shown =
            ["reading", "explore", "sweep", "reference", "note", "strike"].contains(&entry["event"].as_str().unwrap());
        assert!(!shown || page.contains(&format!("word{number}word")), "{place}: {entry}");
    }
}

/// The audit with this in every field that takes text.
fn audit_with(text: &str) -> Audit {
    let mut audit = everything();
    for finding in &mut audit.findings {
        text.clone_into(&mut finding.detail);
        for field in [&mut finding.id, &mut finding.bench, &mut finding.path, &mut finding.job] {
            field.iter_mut().for_each(|field| text.clone_into(field));
        }
    }
    for chain in &mut audit.chains {
        text.clone_into(&mut chain.bench);
        text.clone_into(&mut chain.digest);
    }
    for group in audit.technicians.iter_mut().chain(&mut audit.amplifiers).chain(&mut audit.meters) {
        text.clone_into(&mut group.name);
    }
    audit.warnings = vec![text.to_owned()];
    audit
}

#[test]
fn no_text_of_an_audit_acts() {
    if !can_read() {
        return;
    }
    let page = |text: &str| audit_page(&audit_with(text), &[text.to_owned()], text);
    is_neutral(&page(HOSTILE), &page("harmless"));
}

/// The hostile pages, for the browser.
pub fn pages() -> Vec<(String, String)> {
    vec![
        ("hostile record".to_owned(), record_page(&with_every_text(HOSTILE).0, &standing(HOSTILE))),
        ("hostile audit".to_owned(), audit_page(&audit_with(HOSTILE), &[HOSTILE.to_owned()], HOSTILE)),
    ]
}
