//! Every call on the store's files made to fail in turn: the session ends with 3 and says what failed, but for those
//! calls that it can do without, each with its reason.

use std::collections::BTreeSet;

use crate::calls::{Call, Stage, calls, struck, traced};
use crate::strikes::{is_long, strike_all};
use crate::trial::{Start, Trial};

/// The errors, and how the program says them.
const ERRORS: [(&str, &str); 5] = [
    ("ENOSPC", "the disk is full"),
    ("EIO", "input/output error"),
    ("EROFS", "the disk is read-only"),
    ("EACCES", "permission is denied"),
    ("EINTR", "interrupted"),
];

/// Places in it.
const EACCES: usize = 3;
const EINTR: usize = 4;

/// What is made again where a signal came between: by the standard library, or while the lock is waited for.
const MADE_AGAIN: [&str; 7] = ["openat", "read", "write", "fsync", "fdatasync", "ftruncate", "flock"];

/// Whether a reason speaks of a call and an error.
type Speaks = fn(&Call, &str) -> bool;

/// Why a session ends well all the same. No call that makes an entry or a record last is among them.
const REASONS: [(&str, Speaks); 9] = [
    ("the record lasts; what is left of its journal goes at the next look", |call, _| call.stage == Stage::Over),
    ("it is made again", |call, error| {
        error == "EINTR" && call.is_of(&MADE_AGAIN) && !call.kind.starts_with("openat to list")
    }),
    ("what is to last was synced before its file is closed", |call, _| call.is_of(&["close"])),
    ("a folder that cannot be looked at is made, and found to be there", |call, _| match call.kind.as_str() {
        "statx" | "statx open" | "statx records" => true,
        "statx records/YEAR" => call.is_last,
        _ => false,
    }),
    ("a key that cannot be looked at counts as there, and is told of when it is read", |call, _| {
        call.kind == "statx keys/a-sample" && call.turn == 1
    }),
    ("the last record is read once more, with all others", |call, _| {
        ["statx records/YEAR/ID.json", "openat records/YEAR/ID.json", "read records/YEAR/ID.json"]
            .contains(&call.kind.as_str())
    }),
    ("a length is asked for to make room, and for nothing else", |call, _| {
        ["statx held PART", "statx held records/YEAR/PART"].contains(&call.kind.as_str())
    }),
    ("what a killed program left is cleared as far as it can be", |call, _| {
        let is_of_root = ["openat to list", "newfstatat held", "getdents64"].contains(&call.kind.as_str());
        let is_of_year = ["openat to list records/YEAR", "newfstatat held records/YEAR", "getdents64 records/YEAR"]
            .contains(&call.kind.as_str());
        is_of_root || is_of_year && call.stage == Stage::Putting
    }),
    ("it may be a file system that cannot rename without replacing, and is asked to rename", |call, error| {
        error == "EACCES" && call.is_of(&["renameat2"])
    }),
];

fn reason(call: &Call, error: &str) -> Option<usize> {
    REASONS.iter().position(|(_, speaks)| speaks(call, error))
}

/// What may fail: all that works on the store. A close is struck of files alone: a folder that was listed and cannot be closed
/// is a fault in the program to the standard library. Nor of the lock: strace does not carry out what it lets fail, and it
/// would stay locked, which no system does.
fn may_fail(call: &Call) -> bool {
    let is_file = [".json", ".ndjson", ".toml", "PART", "/a-sample"].iter().any(|end| call.kind.ends_with(end));
    call.of_store && (call.name != "close" || is_file)
}

/// All calls; in the short form one of every kind that must not fail, and one for every reason, with one of the errors in turn.
fn places() -> Option<Vec<(usize, Start, &'static Call)>> {
    let mut places = vec![];
    let mut seen = BTreeSet::new();
    for start in [Start::Used, Start::New] {
        for call in calls(start)?.iter().filter(|call| may_fail(call)) {
            if is_long() {
                // Before each entry the program looks at its journal in the same way: every tenth of these looks is struck.
                let is_usual = call.is_of(&["statx", "lseek"]) && call.kind.ends_with("/ID.ndjson");
                let struck = !is_usual || call.nth.is_multiple_of(10);
                places.extend((0..ERRORS.len()).filter(|_| struck).map(|error| (error, start, call)));
                continue;
            }
            let turn = seen.len() % (ERRORS.len() - 1);
            for error in [turn, EACCES, EINTR] {
                let why = reason(call, ERRORS[error].0);
                let of = if why.is_none() { call.kind.as_str() } else { "" };
                if (error == turn || why.is_some()) && seen.insert((why, of)) {
                    places.push((error, start, call));
                }
            }
        }
    }
    Some(places)
}

#[test]
fn a_call_on_the_store_fails() {
    let Some(places) = places() else { return };
    for (index, (error, words)) in ERRORS.iter().enumerate() {
        let mine: Vec<_> = places.iter().filter(|(error, ..)| *error == index).collect();
        strike_all(&format!("{error} at a call on the store"), &mine, |(_, start, call)| {
            let trial = Trial::new(*start);
            let struck = struck(&trial, call, &format!("error={error}"));
            if let Some(reason) = reason(call, error) {
                assert_eq!(struck.code, Some(0), "{}: {struck:?}", REASONS[reason].0);
            } else if call.kind.ends_with("keys/a-sample") && *error == "EACCES" {
                // A key that cannot be opened is one that was named wrongly, and is told of as such.
                assert_eq!(struck.code, Some(2), "{struck:?}");
                assert!(struck.stderr.contains(words), "{struck:?}");
                assert!(struck.stderr.contains("the session stays open: cornerset set --resume "), "{struck:?}");
            } else {
                struck.says_what_failed(&trial, words);
            }
            trial.survives(&struck);
        });
    }
    for (index, (why, _)) in REASONS.iter().enumerate() {
        let speaks = places.iter().any(|(error, _, call)| reason(call, ERRORS[*error].0) == Some(index));
        assert!(speaks, "a reason that speaks of no call that was struck: {why}");
    }
}

/// A system that cannot rename without replacing links the file to its name in place of that.
#[test]
fn a_file_is_linked_to_its_name() {
    let Some(_) = calls(Start::Used) else { return };
    let links = ["error=EIO:when=1", "error=ENOSPC:when=1", ""];
    strike_all("no rename without replacing, and a link fails", &links, |how| {
        let trial = Trial::new(Start::Used);
        let fault = format!("inject=linkat,link:{how}");
        let mut options = vec!["-e", "trace=renameat2,linkat,link", "-e", "inject=renameat2:error=ENOSYS"];
        if !how.is_empty() {
            options.extend(["-e", &fault]);
        }
        let (struck, trace) = traced(&trial.shop, &trial.session(), &options);
        assert!(trace.contains("link") && trace.contains("ENOSYS"), "{trace}");
        if how.is_empty() {
            assert_eq!(struck.code, Some(0), "{struck:?}");
        } else {
            let words = if how.contains("EIO") { "input/output error" } else { "the disk is full" };
            struck.says_what_failed(&trial, words);
        }
        trial.survives(&struck);
    });
}
