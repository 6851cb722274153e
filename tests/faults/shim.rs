//! Writes that end in the middle, by a library of our own that stands before the system's (`shim.c`).
//!
//! The program needs no hook for it: its writes and its looks at the clock go through the C library, as the first test
//! of this file shows.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::OnceLock;

use crate::common::outside;
use crate::strikes::{is_long, spread, strike_all};
use crate::trial::{Start, Struck, Trial};

/// The library, built once; `None` where there is no compiler.
pub fn library() -> Option<&'static Path> {
    static BUILT: OnceLock<Option<PathBuf>> = OnceLock::new();
    let built = BUILT.get_or_init(|| {
        if !outside::runs("cc", &["--version"]) {
            return None;
        }
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR"));
        let (path, made) = (folder.join("fault-shim.so"), folder.join(format!("fault-shim-{}.so", std::process::id())));
        let source = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/faults/shim.c");
        let arguments = ["-Wall", "-Werror", "-O1", "-shared", "-fPIC", "-o"];
        let built = Command::new("cc").args(arguments).arg(&made).arg(source).arg("-ldl").status();
        assert!(built.expect("the compiler starts").success(), "the shim is built");
        // In one piece, whoever else runs these tests just now.
        std::fs::rename(&made, &path).expect("a file");
        Some(path)
    });
    let there = built.as_deref();
    if outside::needs("cc", there.is_some()) { there } else { None }
}

/// The session with the shim before it.
pub fn under_shim(trial: &Trial, library: &Path, name: &str, value: &str) -> Struck {
    let mut command = trial.session();
    command.env("LD_PRELOAD", library).env("FAULT_UNDER", trial.shop.store()).env(name, value);
    Struck::of(&mut command)
}

/// How many writes to the store's files a session makes, by the shim's own count: one too many strikes nothing.
fn writes(library: &Path) -> usize {
    let strikes = |at: usize| {
        let trial = Trial::new(Start::Used);
        under_shim(&trial, library, "FAULT_WRITE", &format!("{at}:1:goes-on")).stderr.contains("shim: ")
    };
    let (mut sure, mut over) = (1, 512);
    assert!(strikes(sure) && !strikes(over), "the program's writes go through the C library");
    while over - sure > 1 {
        let middle = usize::midpoint(sure, over);
        if strikes(middle) {
            sure = middle;
        } else {
            over = middle;
        }
    }
    sure
}

fn sweep(fault: &str, after: &str, check: impl Fn(&Trial, &Struck) + Sync) {
    let Some(library) = library() else { return };
    let count = writes(library);
    // The last two are the chain and the record.
    let sizes: &[i64] = if is_long() { &[0, 1, 60, -1] } else { &[1, -1] };
    let places: Vec<(usize, i64)> =
        spread(count, 3, 2).into_iter().flat_map(|at| sizes.iter().map(move |size| (at, *size))).collect();
    strike_all(fault, &places, |(at, size)| {
        let trial = Trial::new(if at % 2 == 0 { Start::Used } else { Start::New });
        let struck = under_shim(&trial, library, "FAULT_WRITE", &format!("{at}:{size}:{after}"));
        check(&trial, &struck);
    });
}

/// A short write is no failure: what is left is written after it.
#[test]
fn short_writes() {
    sweep("short write", "goes-on", |trial, struck| {
        assert_eq!(struck.code, Some(0), "{struck:?}");
        trial.survives(struck);
    });
}

/// The disk fills in the middle of a line or of a record, and stays full.
#[test]
fn a_disk_that_fills_in_the_middle_of_a_write() {
    sweep("short write, then full for good", "full", |trial, struck| {
        struck.says_what_failed(trial, "the disk is full");
        trial.survives(struck);
    });
}

/// The plug is pulled in the middle of a line or of a record.
#[test]
fn a_kill_in_the_middle_of_a_write() {
    sweep("short write, then kill -9", "kill", |trial, struck| {
        assert_eq!(struck.signal, Some(9), "{struck:?}");
        trial.survives(struck);
    });
}
