//! `kill -9` at every call in turn, and at random times.
//!
//! The kill strikes as a call begins, which is not carried out then: so it also strikes after the call before it.

use std::process::Stdio;
use std::thread;
use std::time::{Duration, Instant};

use crate::calls::{Call, calls, struck};
use crate::strikes::{is_long, spread, strike_all};
use crate::trial::{Start, Struck, Trial};

/// Killed at one of these, a session is as it was killed at the change after it.
const LOOKS: [&str; 6] = ["statx", "newfstatat", "getdents64", "lseek", "read", "close"];

#[test]
fn kill_at_every_call() {
    for (start, fault) in
        [(Start::New, "kill -9 at a call, first session"), (Start::Used, "kill -9 at a call, a later session")]
    {
        let Some(calls) = calls(start) else { return };
        // In a first session those that work on the store, in a later one all. In the short form those that change something:
        // here and there, and from the store's lock on, where the close begins, at every step.
        let changes: Vec<&Call> = calls.iter().filter(|call| !call.is_of(&LOOKS)).collect();
        let close = changes.iter().rposition(|call| call.is_of(&["flock"])).expect("a lock");
        let some = || spread(changes.len(), 12, changes.len() - close).into_iter().map(|at| changes[at - 1]);
        let places: Vec<&Call> = match (is_long(), start) {
            (true, Start::New) => calls.iter().filter(|call| call.of_store).collect(),
            (true, Start::Used) => calls.iter().collect(),
            (false, Start::New) => some().step_by(3).collect(),
            (false, Start::Used) => some().collect(),
        };
        strike_all(fault, &places, |call| {
            let trial = Trial::new(start);
            let struck = struck(&trial, call, "signal=KILL");
            assert_eq!(struck.signal, Some(9), "{struck:?}");
            trial.survives(&struck);
        });
    }
}

#[test]
fn kill_at_random_times() {
    const SEED: u64 = 0x5EED_0731;
    let whole = {
        let trial = Trial::new(Start::Used);
        let start = Instant::now();
        assert_eq!(Struck::of(&mut trial.session()).code, Some(0));
        start.elapsed()
    };
    let mut state = SEED;
    let count = if is_long() { 1000 } else { 20 };
    let moments: Vec<Duration> = (0..count)
        .map(|_| {
            // xorshift64 (Marsaglia, "Xorshift RNGs", 2003; the triple from memory).
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            whole.mul_f64(1.1 * (state >> 11) as f64 / (1u64 << 53) as f64)
        })
        .collect();
    strike_all(&format!("kill -9 at a random time (seed {SEED:#x})"), &moments, |moment| {
        let trial = Trial::new(if moment.as_nanos() % 2 == 0 { Start::Used } else { Start::New });
        let mut session = trial.session();
        let mut child = session.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("the program starts");
        thread::sleep(*moment);
        child.kill().expect("killed or gone");
        let struck = Struck::from(child.wait_with_output().expect("an end"));
        trial.survives(&struck);
    });
}
