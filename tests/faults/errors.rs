//! Every call on the store's files made to fail in turn.

use crate::calls::{Call, calls, struck};
use crate::strikes::{is_long, spread, strike_all};
use crate::trial::{Start, Trial};

/// The calls that open, look, change, or make it last.
const CHANGES: [&str; 14] = [
    "openat",
    "read",
    "write",
    "lseek",
    "fsync",
    "fdatasync",
    "ftruncate",
    "rename",
    "renameat",
    "renameat2",
    "mkdir",
    "unlink",
    "flock",
    "statx",
];

/// How many errors there are: in the short form each strikes where the others do not.
const ERRORS: usize = 5;

fn fail_in_turn(index: usize, error: &str, words: &str) {
    let mut places: Vec<(Start, &Call)> = vec![];
    for start in [Start::New, Start::Used] {
        let Some(calls) = calls(start) else { return };
        // Before each entry the program looks at its journal in the same way: every tenth of these looks is struck.
        let is_usual = |call: &Call| {
            call.is_of(&["statx", "lseek"]) && call.text.contains(".ndjson") && !call.nth.is_multiple_of(10)
        };
        let of_store: Vec<&Call> =
            calls.iter().filter(|call| call.of_store && call.is_of(&CHANGES) && !is_usual(call)).collect();
        let picked: Vec<&Call> = spread(of_store.len(), 8, 24).into_iter().map(|at| of_store[at - 1]).collect();
        let turn = 2 * index + usize::from(start == Start::Used);
        let mine = picked.into_iter().enumerate().filter(|(at, _)| is_long() || at % (2 * ERRORS) == turn);
        places.extend(mine.map(|(_, call)| (start, call)));
    }
    strike_all(&format!("{error} at a call on the store"), &places, |(start, call)| {
        let trial = Trial::new(*start);
        let (struck, hit) = struck(&trial, call, &format!("error={error}"));
        assert!(hit, "not struck: {struck:?}");
        // What comes after the record is in place, a lock that is interrupted, a call that is made again: no failure.
        if call.text.contains("/keys/") && struck.code == Some(2) {
            // A key that cannot be opened is one that was named wrongly, and is told of as such.
            assert!(error == "EACCES" && struck.stderr.contains(words), "{struck:?}");
            assert!(struck.stderr.contains("the session stays open: cornerset set --resume "), "{struck:?}");
        } else if struck.code != Some(0) {
            struck.says_what_failed(&trial, words);
        }
        trial.survives(&struck);
    });
}

#[test]
fn the_disk_is_full() {
    fail_in_turn(0, "ENOSPC", "the disk is full");
}

#[test]
fn the_disk_is_broken() {
    fail_in_turn(1, "EIO", "input/output error");
}

#[test]
fn the_disk_is_read_only() {
    fail_in_turn(2, "EROFS", "the disk is read-only");
}

#[test]
fn permission_is_denied() {
    fail_in_turn(3, "EACCES", "permission is denied");
}

#[test]
fn a_call_is_interrupted() {
    fail_in_turn(4, "EINTR", "interrupted");
}
