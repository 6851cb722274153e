//! The small files of a store, each with these bytes: nobody vouches for them, and what is taken from one leads nowhere else
//! than it should, and says nothing that is none.

use std::fs;
use std::path::Path;

use cornerset::audit::Audit;
use cornerset::learn::{self, Progress};
use cornerset::screens;
use cornerset::session::{Desk, EntryMode, State, run as lead};
use cornerset::store::{Known, Store, gather};
use cornerset::terminal::{Script, ScriptSource, Style, Voice};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};
use tempfile::TempDir;

use super::{shown, sitting};

/// A record, so that the store is not empty.
const RECORD: &str = include_str!("../../../sample-sessions/plain.json");
const RECORD_FILE: &str = "01a21428-147e-7155-9821-ae422c3c1275.json";

/// What a session is told whose gear may be known.
const SCRIPT: &str = "job: Work order 0501\ntechnician: A. Sample\ntuning: 36 Hz\nslope: 24\ncaution: understood\n\
                      reference: 8.00\nreading: 5.66\naccept: yes\nsign-off: A. Sample\n";

thread_local! {
    static STORE: TempDir = made().expect("a store");
}

fn made() -> std::io::Result<TempDir> {
    let folder = TempDir::new()?;
    fs::create_dir_all(folder.path().join("records/2026"))?;
    fs::write(folder.path().join("records/2026").join(RECORD_FILE), RECORD)?;
    Ok(folder)
}

/// `bench.toml`, `gear.json`, `chain.json`, `list.cache` and a learner's file.
pub fn run(data: &[u8]) {
    STORE.with(|folder| {
        let (root, given) = (folder.path(), String::from_utf8_lossy(data));
        bench(root, data, &given);
        gear(root, data, &given);
        chain(root, data, &given);
        order(root, data);
        learner(data, &given);
    });
}

fn write(root: &Path, name: &str, data: &[u8]) {
    fs::write(root.join(name), data).expect("a file of a store");
}

fn bench(root: &Path, data: &[u8], given: &str) {
    write(root, "bench.toml", data);
    match Store::at(root).bench() {
        Ok(name) => shown::text(&name, given),
        Err(why) => shown::text(&why.to_string(), given),
    }
}

/// What is remembered is offered to a session, which is as sound as any.
fn gear(root: &Path, data: &[u8], given: &str) {
    write(root, "gear.json", data);
    let memory = Store::at(root).memory();
    let mut state = State::new(sitting::opened("bench", false, EntryMode::Script));
    let voice = Voice::keeping(Style { plain: false, json: false });
    let mut script = Script::new(&voice, ScriptSource::Text(SCRIPT.into()), true, None);
    let (mut clock, mut journal) = (sitting::Ticking::default(), sitting::Held::default());
    let mut desk = Desk { operator: &mut script, clock: &mut clock, journal: &mut journal, memory: Some(&memory) };
    // What a meter or a source cannot do may end it.
    let _ = lead(&mut state, &mut desk);
    shown::text(&voice.said(), given);
    sitting::check(&state);
}

fn chain(root: &Path, data: &[u8], given: &str) {
    write(root, "chain.json", data);
    summed(root, data);
    let gathered = gather(root).expect("a store");
    assert!(gathered.files.iter().all(|file| file.starts_with(gathered.root.join("records"))), "{gathered:?}");
    for warning in &gathered.warnings {
        shown::text(warning, given);
    }
    let audit = Audit::of(&[], &gathered.witnesses);
    for screen in shown::screens() {
        shown::lines(&screens::audit(&audit, &[], screen), given);
    }
}

/// With the sum that makes it one of ours: a sum is against damage, and anyone can work it out.
fn summed(root: &Path, data: &[u8]) {
    let Ok(mut value) = serde_json::from_slice::<Value>(data) else { return };
    let keys = ["format", "version", "bench", "names", "previous", "claim", "others"];
    let all = json!(keys.map(|key| value.get(key).cloned()));
    let sum: String = Sha256::digest(all.to_string()).iter().take(8).map(|byte| format!("{byte:02x}")).collect();
    if let Some(kept) = value.get_mut("sum") {
        *kept = Value::String(sum);
        write(root, "chain.json", value.to_string().as_bytes());
    }
}

/// Wherever the order says that records are, it is below the folder of records.
fn order(root: &Path, data: &[u8]) {
    write(root, "list.cache", data);
    let store = Store::at(root);
    for counts in [Known::Folders, Known::Files, Known::Nothing] {
        let Some(newest) = store.newest(counts) else { continue };
        let records = store.root().join("records");
        assert!(newest.unreadable().all(|path| is_below(&path, &records)));
        for placed in newest {
            let Ok(placed) = placed else { break };
            assert!(is_below(&placed.path, &records), "{placed:?}");
            let _ = placed.closed_at().map(|at| at.date_naive());
        }
    }
}

fn is_below(path: &Path, records: &Path) -> bool {
    path.parent().and_then(Path::parent) == Some(records) && path.components().all(|part| part.as_os_str() != "..")
}

fn learner(data: &[u8], given: &str) {
    match Progress::from_json(data) {
        Ok(progress) => {
            for screen in shown::screens() {
                shown::lines(&learn::progress_said(&progress, screen), given);
            }
            let written = progress.to_json().expect("what was read is written");
            assert_eq!(Progress::from_json(written.as_bytes()).expect("and read again"), progress);
        }
        Err(why) => shown::text(&why.to_string(), given),
    }
}
