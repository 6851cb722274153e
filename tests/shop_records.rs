//! The generator of signed records (`benches/shop_records`): its records are records like any other, and what it damages is
//! found, all of it and nothing else. Held to the JSON Schema, to `ssh-keygen -Y verify`, and to the program itself.

#[path = "common/mod.rs"]
mod common;
#[path = "../benches/shop_records/maker/mod.rs"]
#[allow(dead_code, reason = "the example uses the rest")]
mod maker;

use std::collections::BTreeSet;
use std::fs;
use std::process::{Command, Stdio};

use common::lines::Lines;
use common::outside::{needs, runs};
use common::{Shop, read_json};
use cornerset::record::{Record, SCHEMA, canonical_bytes, parse_record};
use cornerset::signature::principal_of;
use maker::damage::Wanted;
use maker::written::{Named, Report, lines, stores};
use maker::{Order, written};
use serde_json::Value;
use tempfile::TempDir;

fn order(records: usize, shops: usize) -> Order {
    let damage = Wanted::default();
    Order { records, shops, months: 12, seed: 3, unsigned_percent: 2.0, outside_percent: 3.0, damage }
}

fn made(order: &Order) -> (Vec<u8>, Report) {
    let mut bytes = vec![];
    let report = lines(order, &mut bytes, std::io::sink()).expect("records");
    (bytes, report)
}

fn ids(audit: &Value, list: &str) -> BTreeSet<String> {
    audit[list].as_array().unwrap().iter().map(|id| id.as_str().unwrap().to_owned()).collect()
}

fn named(places: &[Named]) -> BTreeSet<String> {
    places.iter().map(|place| place.id.clone()).collect()
}

#[test]
fn the_same_seed_makes_the_same_bytes_as_lines_and_as_stores() {
    let order = order(400, 3);
    let (bytes, report) = made(&order);
    assert_eq!(bytes, made(&order).0);
    assert_ne!(bytes, made(&Order { seed: 4, ..order }).0);
    assert_eq!(report.records, 400);
    let folder = TempDir::new().unwrap();
    stores(&order, folder.path()).unwrap();
    let of_lines: BTreeSet<Vec<u8>> =
        bytes.split(|byte| *byte == b'\n').filter(|line| !line.is_empty()).map(again).collect();
    let mut of_stores = BTreeSet::new();
    for shop in fs::read_dir(folder.path()).unwrap() {
        for year in fs::read_dir(shop.unwrap().path().join("records")).unwrap() {
            for file in fs::read_dir(year.unwrap().path()).unwrap() {
                of_stores.insert(again(&fs::read(file.unwrap().path()).unwrap()));
            }
        }
    }
    assert_eq!(of_lines.len(), 400);
    assert!(of_lines == of_stores);
}

/// A record in one form, whatever its layout was.
fn again(bytes: &[u8]) -> Vec<u8> {
    serde_json::to_vec(&parse_record(bytes).expect("a record")).unwrap()
}

#[test]
fn records_keep_to_the_schema() {
    let validator = jsonschema::validator_for(&serde_json::from_str(SCHEMA).unwrap()).unwrap();
    let (bytes, report) =
        made(&Order { damage: Wanted { foreign: 3, doubled: 3, ..Wanted::default() }, ..order(300, 2) });
    let lines: Vec<&[u8]> = bytes.split(|byte| *byte == b'\n').filter(|line| !line.is_empty()).collect();
    assert_eq!(lines.len(), report.records);
    let mut readings = BTreeSet::new();
    for line in lines {
        let record: Value = serde_json::from_slice(line).unwrap();
        let errors: Vec<String> = validator.iter_errors(&record).map(|error| error.to_string()).collect();
        assert!(errors.is_empty(), "{errors:?}");
        readings.insert(record["log"].as_array().unwrap().iter().filter(|entry| entry["event"] == "reading").count());
    }
    assert!(readings.first() >= Some(&3) && readings.last() > Some(&10), "{readings:?}");
}

#[test]
fn openssh_accepts_the_signatures() {
    if !needs("ssh-keygen", runs("ssh", &["-V"])) {
        return;
    }
    let folder = TempDir::new().unwrap();
    let mut bytes = vec![];
    let trust = written::file(Some(&folder.path().join("allowed"))).unwrap();
    lines(&order(120, 2), &mut bytes, trust).unwrap();
    let mut checked = 0;
    for line in bytes.split(|byte| *byte == b'\n').filter(|line| !line.is_empty()).step_by(12) {
        let record: Record = parse_record(line).unwrap();
        let Some(signature) = &record.sign_off.signature else { continue };
        fs::write(folder.path().join("sig"), signature).unwrap();
        fs::write(folder.path().join("bytes"), canonical_bytes(&record).unwrap()).unwrap();
        let good = |name: &str| {
            let arguments = ["-Y", "verify", "-f", "allowed", "-I", name, "-n", "cornerset-record", "-s", "sig"];
            let bytes = fs::File::open(folder.path().join("bytes")).unwrap();
            let mut command = Command::new("ssh-keygen");
            command.args(arguments).current_dir(folder.path()).stdin(bytes).stdout(Stdio::null()).stderr(Stdio::null());
            command.status().unwrap().success()
        };
        assert!(good(&principal_of(&record.sign_off.name)) && good(&record.sign_off.name), "{}", record.id);
        assert!(!good("nobody"));
        checked += 1;
    }
    assert!(checked >= 5);
}

#[test]
fn nothing_is_out_of_line_unless_it_is_meant_to_be() {
    let shop = Shop::new();
    let report = stores(&Order { outside_percent: 0.0, ..order(200, 1) }, &shop.store()).unwrap();
    let audit = shop.run(&["audit", "--json"]).expect(0).json();
    assert_eq!(audit["records"], 200);
    assert_eq!(audit["intact"], 200);
    assert_eq!(audit["warnings"], Value::Array(vec![]));
    assert_eq!(audit["unsigned"].as_array().unwrap().len(), report.unsigned);
    assert_eq!(audit["findings"].as_array().unwrap().len(), report.unsigned);
    assert!(report.unsigned > 0);

    let shop = Shop::new();
    let report = stores(&order(200, 1), &shop.store()).unwrap();
    let audit = shop.run(&["audit", "--json"]).expect(1).json();
    assert_eq!(audit["stands_out"].as_array().unwrap().len(), report.stand_out);
    assert!(report.stand_out > 0);
}

#[test]
fn what_was_damaged_is_found_and_nothing_else() {
    let shop = Shop::new();
    let damage = Wanted { tampered: 14, removed: 5, foreign: 4, doubled: 3 };
    let report = stores(&Order { damage, ..order(600, 1) }, &shop.store()).unwrap();
    assert_eq!(report.records, 600 - 5 + 3);
    let audit = shop.run(&["audit", "--json"]).expect(1).json();
    assert_eq!(audit["records"], report.records);
    assert_eq!(ids(&audit, "altered"), named(&report.tampered));
    assert_eq!(ids(&audit, "unknown_signer"), named(&report.foreign));
    assert_eq!(ids(&audit, "repeated"), named(&report.doubled));
    assert_eq!(audit["unreadable"], Value::Array(vec![]));
    let missing: BTreeSet<u64> =
        audit["missing"].as_array().unwrap().iter().map(|gap| gap["sequence"].as_u64().unwrap()).collect();
    assert_eq!(missing, report.removed.iter().map(|place| place.sequence).collect());
    assert_eq!((report.tampered.len(), missing.len()), (14, 5));
}

#[test]
fn a_store_goes_on_from_its_last_record_and_misses_it_where_it_is_gone() {
    let shop = Shop::new();
    stores(&order(60, 1), &shop.store()).unwrap();
    let last = shop.records().into_iter().map(|path| read_json(&path)).max_by_key(|record| record["sequence"].as_u64());
    let last = last.unwrap();
    let events = shop.script(&Lines::required().text()).expect(0);
    assert!(!events.stderr.contains("chain.json"), "{}", events.stderr);
    let next = shop.records().into_iter().map(|path| read_json(&path)).find(|record| record["sequence"] == 61).unwrap();
    assert_eq!(next["previous"], last["sign_off"]["digest"]);

    let shop = Shop::new();
    stores(&order(60, 1), &shop.store()).unwrap();
    fs::remove_file(shop.records().last().unwrap()).unwrap();
    let audit = shop.run(&["audit", "--json"]).expect(1).json();
    assert_eq!(audit["missing"][0]["sequence"], 60, "{}", audit["missing"]);
}
