//! Two and eight sessions at once on one store: all are kept, and the chain is whole.

use std::collections::BTreeSet;
use std::process::Stdio;
use std::thread;
use std::time::Duration;

use serde_json::{Value, json};

use crate::common::read_json;
use crate::oracle::{as_told, kept, undisturbed};
use crate::strikes::{is_long, strike_all};
use crate::trial::{Start, Struck, Trial};

/// All sessions' records are there, each as if it had been alone, in one chain.
#[track_caller]
fn are_all_kept(trial: &Trial, sessions: usize, killed: usize) {
    let before = usize::from(trial.start == Start::Used);
    let mut records: Vec<Value> = trial.shop.records().iter().map(|path| read_json(path)).collect();
    assert_eq!(records.len(), before + sessions);
    records.sort_by_key(|record| record["sequence"].as_u64());
    for (index, record) in records.iter().enumerate() {
        assert_eq!(record["sequence"], index + 1);
        let previous = index.checked_sub(1).map_or(Value::Null, |before| records[before]["sign_off"]["digest"].clone());
        assert_eq!(record["previous"], previous, "number {}", index + 1);
        if index >= before {
            assert_eq!(as_told(record), *undisturbed());
        }
    }
    let audit = trial.shop.run(&["--json", "audit"]).expect(0).json();
    assert_eq!(audit["records"], json!(before + sessions), "{audit}");
    // What was killed as it was opened, before anyone was told of it, leaves a journal that holds nothing.
    let left = trial.shop.journals();
    assert!(left.len() <= killed, "{left:?}");
    for journal in left {
        let entries = kept(&journal).unwrap_or_default();
        assert!(entries.len() <= 1, "{entries:?}");
    }
}

#[test]
fn sessions_at_once() {
    let rounds = if is_long() { 20 } else { 1 };
    let places: Vec<(usize, Start)> =
        [2, 8].into_iter().flat_map(|count| [(count, Start::New), (count, Start::Used)]).collect();
    let places: Vec<_> = places.iter().copied().cycle().take(rounds * places.len()).collect();
    strike_all("two and eight sessions at once", &places, |(count, start)| {
        let trial = Trial::new(*start);
        thread::scope(|scope| {
            for _ in 0..*count {
                scope.spawn(|| {
                    let struck = Struck::of(&mut trial.session());
                    assert_eq!(struck.code, Some(0), "{struck:?}");
                });
            }
        });
        are_all_kept(&trial, *count, 0);
    });
}

/// Half of eight are killed, each at another moment, and taken up again while the others go on.
#[test]
fn sessions_at_once_of_which_half_are_killed() {
    let rounds: Vec<u64> = (1..=if is_long() { 40 } else { 2 }).collect();
    strike_all("eight sessions at once, four killed", &rounds, |round| {
        let trial = Trial::new(Start::Used);
        thread::scope(|scope| {
            for index in 0..8_u64 {
                let trial = &trial;
                scope.spawn(move || {
                    let mut child = trial
                        .session()
                        .stdout(Stdio::piped())
                        .stderr(Stdio::piped())
                        .spawn()
                        .expect("the program starts");
                    if index % 2 == 0 {
                        thread::sleep(Duration::from_millis(20 + (37 * (index + 1) * round) % 700));
                        child.kill().expect("killed or gone");
                    }
                    let struck = Struck::from(child.wait_with_output().expect("an end"));
                    if index % 2 == 0 && struck.code.is_none() {
                        trial.goes_on_among_others(&struck);
                    } else {
                        assert_eq!(struck.code, Some(0), "{struck:?}");
                    }
                });
            }
        });
        let ids: BTreeSet<String> = trial.shop.records().iter().map(|path| read_json(path)["id"].to_string()).collect();
        assert_eq!(ids.len(), trial.shop.records().len());
        are_all_kept(&trial, 8, 4);
    });
}
