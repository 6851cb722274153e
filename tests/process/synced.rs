//! What is shown as logged is on disk, and a record is written whole or not at all: by the program's own system calls.
//!
//! The order of calls is read off by strace (a general tool): no answer is told of before the journal that holds it is
//! synced; a file is written beside its place, synced, renamed, and its folder synced, the record's before its journal goes
//! and before anyone hears of it. What was made by whoever may have been killed before it was sure to last is synced again.
//! And nothing asks for the network.

use std::path::Path;

use crate::common::Shop;
use crate::common::lines::Lines;
use crate::common::outside;

const CALLS: &str = "trace=openat,write,pwrite64,writev,fsync,fdatasync,rename,renameat,renameat2,linkat,unlink,unlinkat,socket,connect";

fn can_trace() -> bool {
    outside::needs("strace", outside::runs("strace", &["-o", "/dev/null", "true"]))
}

/// The calls of a run of the program with these arguments, a line each; with the store's own path left out.
fn calls_of(shop: &Shop, arguments: &[&str], code: i32) -> Vec<String> {
    let trace = shop.path().join("trace");
    let mut command = std::process::Command::new("strace");
    command
        .args(["-f", "-y", "-s", "40", "-e", CALLS, "-o"])
        .arg(&trace)
        .arg(crate::common::PROGRAM)
        .args(arguments)
        .env("CORNERSET_STORE", shop.store())
        .current_dir(shop.path());
    crate::common::Ran::of(&mut command).expect(code);
    let text = std::fs::read_to_string(&trace).unwrap().replace(&shop.store().display().to_string(), "STORE");
    // Each line starts with the number of the process.
    text.lines().map(|line| line.trim_start_matches(|c: char| c.is_ascii_digit() || c == ' ').to_owned()).collect()
}

/// The calls of a whole scripted session, of which the store has had so many; `None` where they cannot be read off here.
fn calls(before: usize) -> Option<Vec<String>> {
    if !can_trace() {
        return None;
    }
    let shop = Shop::new();
    for _ in 0..before {
        shop.script(&Lines::required().text()).expect(0);
    }
    std::fs::write(shop.path().join("session.script"), Lines::required().text()).unwrap();
    let calls = calls_of(&shop, &["--json", "set", "--script", "session.script"], 0);
    assert_eq!(shop.records().len(), before + 1);
    Some(calls)
}

fn is_told(call: &str) -> bool {
    call.starts_with("write(1<") || call.starts_with("write(2<")
}

fn is_sync(call: &str) -> bool {
    call.starts_with("fsync(") || call.starts_with("fdatasync(")
}

/// Whether it syncs this folder of the store, or the store itself.
fn syncs(call: &str, folder: &str) -> bool {
    is_sync(call) && call.contains(&format!("<STORE{folder}>"))
}

/// The first call from here on that is this.
#[track_caller]
fn place(calls: &[String], from: usize, what: &str, is_it: impl Fn(&str) -> bool) -> usize {
    let found = calls[from..].iter().position(|call| is_it(call));
    from + found.unwrap_or_else(|| panic!("no {what} from {from} on in {calls:#?}"))
}

/// The first word about an answer.
#[track_caller]
fn first_answer(calls: &[String]) -> usize {
    place(calls, 0, "answer", |call| is_told(call) && call.contains(r#"{\"event\":\"answer\""#))
}

#[test]
fn nothing_is_told_of_before_the_journal_that_holds_it_is_synced() {
    let Some(calls) = calls(0) else { return };
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

/// A file is written beside its place, synced, put in place, and its folder synced: the bench's name, the chain, the record.
#[test]
fn a_file_is_synced_before_it_is_in_place_and_its_name_after_it() {
    let Some(calls) = calls(0) else { return };
    let record = format!("/records/{}", year());
    for (folder, name) in [("", "bench.toml\""), ("", "chain.json\""), (record.as_str(), ".json\"")] {
        let renamed = place(&calls, 0, name, |call| {
            call.starts_with("rename") && call.contains(&format!("STORE{folder}/")) && call.contains(name)
        });
        let part = calls[renamed].split('"').nth(1).expect("the temporary file").to_owned();
        assert!(part.ends_with(".part"), "{part}");
        let of_part = |call: &str| call.contains(&format!("<{part}>"));
        let written = place(&calls, 0, "write", |call| call.starts_with("write(") && of_part(call));
        let synced = place(&calls, written, "sync", |call| is_sync(call) && of_part(call));
        let lasts = place(&calls, renamed, "sync of the folder", |call| syncs(call, folder));
        assert!(written < synced && synced < renamed, "{name} {calls:#?}");
        // Nothing else of the store is opened or changed before the name lasts.
        let between = &calls[renamed + 1..lasts];
        assert!(between.iter().all(|call| call.starts_with("openat(") && !call.contains("O_CREAT")), "{between:#?}");
    }
}

#[test]
fn a_record_is_in_place_and_lasts_before_its_journal_goes_and_before_it_is_told_of() {
    let Some(calls) = calls(0) else { return };
    let record = format!("STORE/records/{}/", year());
    let claimed = place(&calls, 0, "claim", |call| call.starts_with("rename") && call.contains("STORE/chain.json\""));
    let claim_lasts = place(&calls, claimed, "sync of the store", |call| syncs(call, ""));
    let renamed = place(&calls, 0, "rename", |call| call.starts_with("rename") && call.contains(&record));
    let lasts = place(&calls, renamed, "sync of the year", |call| syncs(call, &format!("/records/{}", year())));
    let gone = place(&calls, 0, "unlink", |call| call.starts_with("unlink") && call.contains(".ndjson"));
    let told = place(&calls, 0, "event", |call| is_told(call) && call.contains(r#"{\"event\":\"record\""#));
    assert!(claim_lasts < renamed && lasts < gone && lasts < told, "{calls:#?}");
    // That the journal is gone lasts too, before anyone is told.
    let gone_lasts = place(&calls, gone, "sync of `open`", |call| syncs(call, "/open"));
    assert!(gone_lasts < told, "{calls:#?}");
}

/// A session that is opened in a store whose folders are there: whoever made them may have been killed before they were sure
/// to last.
#[test]
fn the_folders_that_a_session_and_its_record_lie_in_are_synced_by_every_session() {
    let Some(calls) = calls(1) else { return };
    let answered = first_answer(&calls);
    let created = place(&calls, 0, "journal", |call| call.contains(".ndjson\"") && call.contains("O_CREAT"));
    let root = place(&calls, 0, "sync of the store", |call| syncs(call, ""));
    let header = place(&calls, created, "sync of the journal", |call| is_sync(call) && call.contains(".ndjson>"));
    let name = place(&calls, created, "sync of `open`", |call| syncs(call, "/open"));
    assert!(root < answered && header < answered && name < answered, "{calls:#?}");
    let years = place(&calls, answered, "sync of `records`", |call| syncs(call, "/records"));
    let renamed =
        place(&calls, answered, "rename", |call| call.starts_with("rename") && call.contains("STORE/records/"));
    assert!(years < renamed, "{calls:#?}");
}

/// A session that is taken up again: its name may not have been sure to last, nor the cut that a torn line asks for.
#[test]
fn a_session_that_is_taken_up_again_lasts_before_it_goes_on() {
    if !can_trace() {
        return;
    }
    for torn in ["", "{\"torn"] {
        let shop = Shop::new();
        let journal = begun(&shop);
        let mut bytes = std::fs::read(&journal).unwrap();
        bytes.extend(torn.as_bytes());
        std::fs::write(&journal, bytes).unwrap();
        let calls = resumed(&shop, &journal, 0);
        let name = place(&calls, 0, "sync of `open`", |call| syncs(call, "/open"));
        let answered = first_answer(&calls);
        assert!(name < answered, "{calls:#?}");
        let written = place(&calls, 0, "entry", |call| call.starts_with("write(") && call.contains(".ndjson>"));
        let cut = calls[..written].iter().filter(|call| is_sync(call) && call.contains(".ndjson>")).count();
        assert_eq!(cut, usize::from(!torn.is_empty()), "{calls:#?}");
    }
}

/// A close that was cut off before its journal went: the record lasts before the journal goes now.
#[test]
fn a_record_lasts_before_the_journal_that_a_cut_off_close_left_goes() {
    if !can_trace() {
        return;
    }
    let shop = Shop::new();
    let journal = begun(&shop);
    let bytes = std::fs::read(&journal).unwrap();
    resumed(&shop, &journal, 0);
    assert_eq!(shop.records().len(), 1);
    std::fs::write(&journal, bytes).unwrap();
    let calls = resumed(&shop, &journal, 2);
    let gone = place(&calls, 0, "unlink", |call| call.starts_with("unlink") && call.contains(".ndjson"));
    let lasts = place(&calls, 0, "sync of the year", |call| syncs(call, &format!("/records/{}", year())));
    let gone_lasts = place(&calls, gone, "sync of `open`", |call| syncs(call, "/open"));
    assert!(lasts < gone && gone < gone_lasts && !journal.exists(), "{calls:#?}");
}

/// A session of which all but the sign-off was answered; its journal.
fn begun(shop: &Shop) -> std::path::PathBuf {
    let lines = Lines::required();
    let text: String = lines.pairs()[..2].iter().map(|(word, answer)| format!("{word}: {answer}\n")).collect();
    shop.script(&text).expect(2);
    shop.journals()[0].clone()
}

/// The calls of the rest of it.
fn resumed(shop: &Shop, journal: &Path, code: i32) -> Vec<String> {
    let lines = Lines::required();
    let text: String = lines.pairs()[2..].iter().map(|(word, answer)| format!("{word}: {answer}\n")).collect();
    std::fs::write(shop.path().join("rest.script"), text).unwrap();
    let id = journal.file_stem().unwrap().to_str().unwrap();
    calls_of(shop, &["--json", "set", "--resume", id, "--script", "rest.script"], code)
}

/// The year of a record that is signed off now.
fn year() -> String {
    chrono::Datelike::year(&chrono::Local::now()).to_string()
}

#[test]
fn nothing_asks_for_the_network() {
    let Some(calls) = calls(0) else { return };
    let asked: Vec<&String> =
        calls.iter().filter(|call| call.starts_with("socket(") || call.starts_with("connect(")).collect();
    assert!(asked.is_empty(), "{asked:#?}");
}
