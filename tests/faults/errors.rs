//! Every call on the store's files made to fail in turn.

use crate::calls::{Call, calls, struck};
use crate::strikes::{is_long, spread, strike_all};
use crate::trial::{Start, Trial};

/// What the system says, and the words for it.
const ERRORS: [(&str, &str); 5] = [
    ("ENOSPC", "the disk is full"),
    ("EIO", "input/output error"),
    ("EROFS", "the disk is read-only"),
    ("EACCES", "permission is denied"),
    ("EINTR", "interrupted"),
];

/// The calls that change something or open it.
const CHANGES: [&str; 12] = [
    "openat", "write", "lseek", "fsync", "fdatasync", "renameat", "renameat2", "rename", "mkdir", "unlink", "flock", "ftruncate",
];

#[test]
fn every_call_on_the_store_fails_in_turn() {
    for (index, (error, words)) in ERRORS.into_iter().enumerate() {
        let mut places: Vec<(Start, &Call)> = vec![];
        for start in [Start::New, Start::Used] {
            let Some(calls) = calls(start) else { return };
            let of_store: Vec<&Call> = calls.iter().filter(|call| call.of_store && call.is_of(&CHANGES)).collect();
            let picked: Vec<&Call> = spread(of_store.len(), 8, 24).into_iter().map(|at| of_store[at - 1]).collect();
            let mine = picked.into_iter().enumerate().filter(|(at, _)| is_long() || at % (2 * ERRORS.len()) == 2 * index + usize::from(start == Start::Used));
            places.extend(mine.map(|(_, call)| (start, call)));
        }
        strike_all(&format!("{error} at a call on the store"), &places, |(start, call)| {
            let trial = Trial::new(*start);
            let (struck, hit) = struck(&trial, call, &format!("error={error}"));
            assert!(hit, "not struck: {struck:?}");
            // What comes after the record is in place, a lock that is interrupted, a call that is made again: no failure.
            if struck.code != Some(0) {
                struck.says_what_failed(&trial, words);
            }
            trial.survives(&struck);
        });
    }
}
