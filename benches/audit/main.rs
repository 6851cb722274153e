//! An audit of many signed records, in one run, beside what it cannot do without and beside general tools:
//! `cargo bench --bench audit` (`CORNERSET_BENCH_RECORDS=1000` for a short one; 100,000 else).
//!
//! - the floor: each file read, one SHA-256 and one ed25519 verification, in a plain loop on the same cores;
//! - `cornerset audit` of the same store, which parses, checks the layout, works every record out again, and checks digest,
//!   signature, trust list and chain;
//! - `ssh-keygen -Y verify`, a process for each of a sample of the records, on the same cores;
//! - DuckDB over the same records as NDJSON, for counts and mean corners by technician and verdict;
//! - `cornerset records list --limit 20` of the same store: without its cache, once a folder was touched, and as it mostly is;
//! - the memory of `cornerset audit --stream` over 1,000 lines and over ten times all of them.

mod floor;
#[expect(dead_code, reason = "the example writes lines as well")]
#[path = "../shop_records/maker/mod.rs"]
mod maker;
mod memory;
mod outside;

use std::env;
use std::fs;
use std::io::{BufWriter, Write};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::thread;
use std::time::{Duration, Instant, SystemTime};

use cornerset::record::parse_record;
use maker::{Order, damage, written};

/// Rounds of what takes long; the median counts.
const ROUNDS: usize = 5;
/// Rounds of what takes milliseconds.
const MANY_ROUNDS: usize = 21;
const USUAL_RECORDS: usize = 100_000;

fn main() {
    let wanted = env::var("CORNERSET_BENCH_RECORDS").ok().and_then(|count| count.parse().ok());
    let store = Made::of(wanted.unwrap_or(USUAL_RECORDS));
    let records = store.files.len() as f64;
    say(&format!("{} records, {} MB, on {} cores", records, store.bytes >> 20, rayon::current_num_threads()));

    let floor = floor::Floor::new(&store.files);
    let (mut floors, mut audits) = (vec![], vec![]);
    for _ in 0..ROUNDS {
        floors.push(time(|| floor.once()));
        audits.push(time(|| audit(&store.root)));
    }
    store.is_audited_whole();
    let (floor, audit) = (median(floors), median(audits));
    let per_record = |name: &str, took: Duration, count: f64| {
        let each = took.as_secs_f64() / count;
        let ratio = each / (floor.as_secs_f64() / records);
        say(&format!("{name:<44} {:>9.1} us a record {ratio:>8.2} x the floor", each * 1e6));
    };
    per_record("floor: read, SHA-256, ed25519", floor, records);
    per_record("cornerset audit", audit, records);
    match outside::ssh_keygen(&store.root, &store.files) {
        Some((took, count)) => per_record("ssh-keygen -Y verify, one process each", took, count as f64),
        None => say("ssh-keygen is not here: no ratio"),
    }
    match outside::duckdb(&store.lines) {
        Some(took) => per_record("DuckDB, counts over the same as NDJSON", took, records),
        None => say("python3 with duckdb is not here: no ratio"),
    }

    store.lists();

    let few = memory::peak(&store.root, &store.lines, 1000);
    let most = memory::peak(&store.root, &store.lines, 10 * store.files.len());
    let mb = |bytes: u64| bytes as f64 / f64::from(1 << 20);
    say(&format!("{:<44} {:>9.1} MB", "audit --stream, memory over 1,000 lines", mb(few)));
    let name = format!("audit --stream, memory over {} lines", 10 * store.files.len());
    say(&format!("{name:<44} {:>9.1} MB {:>+8.1} MB", mb(most), mb(most) - mb(few)));
}

#[expect(clippy::print_stdout, reason = "a bench reports on standard output")]
fn say(line: &str) {
    println!("{line}");
}

/// A store that was made for this, kept from one run to the next.
struct Made {
    root: PathBuf,
    files: Vec<PathBuf>,
    /// The same records, one a line.
    lines: PathBuf,
    bytes: u64,
}

impl Made {
    fn of(records: usize) -> Self {
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
        let root = folder.join(concat!("bench-audit-", env!("CARGO_PKG_VERSION"))).join(records.to_string());
        let lines = root.with_extension("ndjson");
        // Put in place last: where it is, all of it is, and the store too.
        if !lines.exists() {
            let _ = fs::remove_dir_all(&root);
            written::stores(&order(records), &root).expect("a store");
            let part = lines.with_extension("part");
            let mut out = BufWriter::new(fs::File::create(&part).expect("a file"));
            for file in files(&root) {
                let record = parse_record(&fs::read(file).expect("a record")).expect("a record");
                serde_json::to_writer(&mut out, &record).expect("a line");
                out.write_all(b"\n").expect("a line");
            }
            out.into_inner().expect("lines").sync_all().expect("lines");
            fs::rename(part, &lines).expect("lines");
        }
        let files = files(&root);
        let bytes = files.iter().map(|file| fs::metadata(file).map_or(0, |found| found.len())).sum();
        Self { root, files, lines, bytes }
    }

    /// What the rounds took was an audit of every record, and nothing was wrong but what was made so.
    fn is_audited_whole(&self) {
        let said = said(cornerset(&self.root).args(["audit", "--json"]), 1);
        for key in ["records", "intact", "signed"] {
            assert_eq!(said[key].as_u64(), Some(self.files.len() as u64), "{key}");
        }
        assert_eq!(said["unknown_signer"].as_array().map(Vec::len), Some(0));
    }

    /// The first page of its list, without the cache, with a folder that was touched, and as it mostly is.
    fn lists(&self) {
        /// A folder's time is relied on this long after.
        const SETTLED: Duration = Duration::from_millis(4200);
        let list = || assert_eq!(said(&mut list(&self.root), 0)["records"].as_array().map(Vec::len), Some(20));
        let line = |name: &str, took: Duration| say(&format!("{name:<44} {:>9.1} ms", took.as_secs_f64() * 1e3));
        let _ = fs::remove_file(self.root.join("list.cache"));
        line("records list --limit 20, without its cache", time(list));
        thread::sleep(SETTLED);
        list();
        let folder = self.files[0].parent().expect("a folder");
        fs::File::open(folder).and_then(|folder| folder.set_modified(SystemTime::now())).expect("a folder");
        line("the same once a folder was touched", time(list));
        thread::sleep(SETTLED);
        list();
        line("the same as it mostly is", median((0..MANY_ROUNDS).map(|_| time(list)).collect()));
    }
}

fn order(records: usize) -> Order {
    let damage = damage::Wanted { tampered: 0, removed: 0, foreign: 0, doubled: 0 };
    Order { records, shops: 1, months: 24, seed: 1, unsigned_percent: 0.0, outside_percent: 2.0, damage }
}

/// The record files of a store, in order.
fn files(root: &Path) -> Vec<PathBuf> {
    let entries = |folder: &Path| -> Vec<PathBuf> {
        fs::read_dir(folder).expect("a folder").map(|entry| entry.expect("an entry").path()).collect()
    };
    let mut files: Vec<PathBuf> =
        entries(&root.join("records")).iter().filter(|path| path.is_dir()).flat_map(|year| entries(year)).collect();
    files.sort();
    files
}

fn cornerset(store: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_cornerset"));
    command.arg("--store").arg(store).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    command
}

/// The JSON that it prints.
fn said(command: &mut Command, code: i32) -> serde_json::Value {
    let output = command.stdout(Stdio::piped()).output().expect("it runs");
    assert_eq!(output.status.code(), Some(code));
    serde_json::from_slice(&output.stdout).expect("JSON")
}

/// Things stand out in some records, so it ends with 1.
fn audit(store: &Path) {
    let status = cornerset(store).args(["audit", "--json"]).status().expect("an audit");
    assert_eq!(status.code(), Some(1));
}

fn list(store: &Path) -> Command {
    let mut command = cornerset(store);
    command.args(["records", "list", "--limit", "20", "--json"]);
    command
}

fn time(work: impl FnOnce()) -> Duration {
    let start = Instant::now();
    work();
    start.elapsed()
}

fn median(mut times: Vec<Duration>) -> Duration {
    times.sort();
    times[times.len() / 2]
}
