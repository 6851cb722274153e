//! What is shown as logged is on disk, and a record is written whole or not at all: by the program's own system calls.
//!
//! The order of calls is read off by strace (a general tool): no answer is told of before the journal that holds it is
//! synced; a record is written beside its place, synced, renamed, and its folder synced, before its journal goes and
//! before anyone hears of it. And nothing asks for the network.

use crate::common::Shop;
use crate::common::lines::Lines;
use crate::common::outside;

const CALLS: &str = "trace=openat,write,pwrite64,writev,fsync,fdatasync,rename,renameat,renameat2,linkat,unlink,unlinkat,socket,connect";

/// The calls of a whole scripted session, a line each; `None` where they cannot be read off here.
fn calls() -> Option<Vec<String>> {
    let shop = Shop::new();
    let trace = shop.path().join("trace");
    let can_trace = outside::runs("strace", &["-o", trace.to_str().unwrap(), "true"]);
    if !outside::needs("strace", can_trace) {
        return None;
    }
    let script = shop.path().join("session.script");
    std::fs::write(&script, Lines::required().text()).unwrap();
    let mut command = std::process::Command::new("strace");
    command
        .args(["-f", "-y", "-s", "40", "-e", CALLS, "-o"])
        .arg(&trace)
        .arg(crate::common::PROGRAM)
        .args(["--json", "set", "--script", "session.script"])
        .env("CORNERSET_STORE", shop.store())
        .current_dir(shop.path());
    crate::common::Ran::of(&mut command).expect(0);
    assert_eq!(shop.records().len(), 1);
    let text = std::fs::read_to_string(&trace).unwrap();
    // Each line starts with the number of the process.
    Some(
        text.lines().map(|line| line.trim_start_matches(|c: char| c.is_ascii_digit() || c == ' ').to_owned()).collect(),
    )
}

fn is_told(call: &str) -> bool {
    call.starts_with("write(1<") || call.starts_with("write(2<")
}

fn is_sync(call: &str) -> bool {
    call.starts_with("fsync(") || call.starts_with("fdatasync(")
}

#[test]
fn nothing_is_told_of_before_the_journal_that_holds_it_is_synced() {
    let Some(calls) = calls() else { return };
    let (mut entries, mut unsynced) = (0, false);
    for call in &calls {
        let is_of_journal = call.contains(".ndjson>");
        if call.starts_with("write(") && is_of_journal {
            assert!(!unsynced, "a second entry before the first was synced: {call}");
            (entries, unsynced) = (entries + 1, true);
        } else if is_sync(call) && is_of_journal {
            unsynced = false;
        } else if is_told(call) {
            assert!(!unsynced, "told of before it was synced: {call}");
        }
    }
    // The header, and an entry for every answer of the shortest session, defaults included.
    assert!(entries > 20, "{entries} writes to the journal");
}

#[test]
fn a_record_is_synced_before_it_is_in_place_and_in_place_before_its_journal_goes() {
    let Some(calls) = calls() else { return };
    let place = |name: &str, is_it: &dyn Fn(&str) -> bool| {
        calls.iter().position(|call| is_it(call)).unwrap_or_else(|| panic!("no {name} in {calls:#?}"))
    };
    let is_part = |call: &str| call.contains("/records/") && call.contains(".part>");
    let written = place("write", &|call| call.starts_with("write(") && is_part(call));
    let synced = place("sync", &|call| is_sync(call) && is_part(call));
    let renamed =
        place("rename", &|call| call.starts_with("rename") && call.contains("/records/") && call.contains(".json\""));
    let folder = renamed
        + calls[renamed..]
            .iter()
            .position(|call| is_sync(call) && call.contains("/records/") && !call.contains(".part"))
            .expect("the folder is synced");
    let gone = place("unlink", &|call| call.starts_with("unlink") && call.contains(".ndjson"));
    let told = place("event", &|call| is_told(call) && call.contains(r#"{\"event\":\"record\""#));
    assert!(written < synced && synced < renamed && renamed < folder && folder < gone && folder < told, "{calls:#?}");
}

#[test]
fn nothing_asks_for_the_network() {
    let Some(calls) = calls() else { return };
    let asked: Vec<&String> =
        calls.iter().filter(|call| call.starts_with("socket(") || call.starts_with("connect(")).collect();
    assert!(asked.is_empty(), "{asked:#?}");
}
