//! Every input that the fuzzers found worth keeping, and every one that once did harm, by the same bodies as theirs, without
//! the nightly toolchain. `tests/fuzz/run` looks for more.

#[path = "fuzz/bodies/mod.rs"]
mod bodies;

use std::fs;
use std::panic::catch_unwind;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

/// So long one input may take, in a build without optimisation on a busy machine: far above what any takes, far below what a
/// person would call a hang.
const LONGEST: Duration = Duration::from_secs(10);
/// So much memory all inputs together may add to this process, in kB.
const MOST_KB: u64 = 64 * 1024;

/// So many inputs of each target are replayed under Miri.
const MOST_UNDER_MIRI: usize = 12;

/// Whether any input failed: to tell of that takes memory, too.
static HAS_FAILED: AtomicBool = AtomicBool::new(false);

fn replay(target: &str) {
    let (name, body) = *bodies::TARGETS.iter().find(|(name, _)| *name == target).expect("a target");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus").join(name);
    let mut files: Vec<_> = fs::read_dir(&folder).expect("a corpus").map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(files.len() >= 10, "{target} has a corpus of {}", files.len());
    if cfg!(miri) {
        // An interpreter takes a thousand times as long: only the shortest.
        files.sort_by_key(|file| fs::metadata(file).map_or(u64::MAX, |metadata| metadata.len()));
        files.truncate(MOST_UNDER_MIRI);
    }
    for file in files {
        let data = fs::read(&file).expect("an input");
        let start = Instant::now();
        if catch_unwind(|| body(&data)).is_err() {
            HAS_FAILED.store(true, Ordering::SeqCst);
            panic!("{} does what is said above", file.display());
        }
        assert!(cfg!(miri) || start.elapsed() < LONGEST, "{} took {:?}", file.display(), start.elapsed());
    }
    let peak = peak_kb().filter(|_| !cfg!(miri) && !HAS_FAILED.load(Ordering::SeqCst));
    assert!(peak.is_none_or(|peak| peak < MOST_KB), "the inputs took {peak:?} kB");
}

/// The most memory that this process ever had resident, the program's own code included.
fn peak_kb() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    status.lines().find_map(|line| line.strip_prefix("VmHWM:"))?.split_whitespace().next()?.parse().ok()
}

#[test]
fn what_is_typed() {
    replay("typed");
}

#[test]
fn journals() {
    replay("journal");
}

#[test]
fn records() {
    replay("record");
}

#[test]
fn trust_lists() {
    replay("allowed_signers");
}

#[test]
fn driver_files() {
    replay("driver");
}

#[test]
fn scripts() {
    replay("script");
}

#[test]
fn openssh_files() {
    replay("openssh");
}

#[test]
fn files_of_a_store() {
    replay("store_files");
}
