//! Every call on the store's files made to fail in turn.

use std::collections::BTreeSet;

use crate::calls::{Call, calls, struck};
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

#[test]
fn a_call_on_the_store_fails() {
    for (index, (error, words)) in ERRORS.iter().enumerate() {
        let mut places: Vec<(Start, &Call)> = vec![];
        for start in [Start::New, Start::Used] {
            let Some(calls) = calls(start) else { return };
            let mut seen = BTreeSet::new();
            places.extend(
                calls
                    .iter()
                    .filter(|call| call.of_store && call.name != "close" && seen.insert((&call.kind, call.is_over)))
                    .map(|call| (start, call)),
            );
        }
        let _ = index;
        strike_all(&format!("{error} at a call on the store"), &places, |(start, call)| {
            let trial = Trial::new(*start);
            let struck = struck(&trial, call, &format!("error={error}"));
            eprintln!("GATHER {error} {start:?} {:?} {} {} {}", struck.code, call.is_over, call.kind, call.nth);
            if struck.code == Some(0) { 
            } else if call.text.contains("/keys/") && struck.code == Some(2) {
                // A key that cannot be opened is one that was named wrongly, and is told of as such.
                assert!(*error == "EACCES" && struck.stderr.contains(words), "{struck:?}");
                assert!(struck.stderr.contains("the session stays open: cornerset set --resume "), "{struck:?}");
            } else {
                struck.says_what_failed(&trial, words);
            }
            trial.survives(&struck);
        });
        let _ = is_long();
    }
}
