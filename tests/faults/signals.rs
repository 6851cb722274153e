//! Signals that end, stop and go on.

use std::fs;
use std::process::Command;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use crate::calls::{Call, Stage, calls, struck};
use crate::gone::strike_fed;
use crate::strikes::{spread, strike_all};
use crate::trial::{Start, Struck, Trial};

fn send(signal: &str, pid: &str) {
    let sent = Command::new("sh").args(["-c", "kill -s \"$0\" \"$1\"", signal, pid]).status();
    assert!(sent.expect("a shell").success(), "{signal} is sent");
}

/// Ended by a signal: 130, a word about it, and the command to go on.
#[track_caller]
fn is_told(struck: &Struck) {
    assert_eq!(struck.code, Some(130), "{struck:?}");
    assert!(struck.stderr.contains("The session is kept") && struck.stderr.contains("set --resume "), "{struck:?}");
}

#[test]
fn a_signal_between_answers() {
    for signal in ["TERM", "HUP", "INT"] {
        strike_fed(&format!("SIG{signal} between answers"), |trial, fed, _| {
            send(signal, &fed.id());
            let struck = fed.wait();
            is_told(&struck);
            trial.survives(&struck);
        });
    }
}

/// At any call the session either ends there and is kept, or the record is written to its end.
#[test]
fn a_signal_at_every_call() {
    let Some(calls) = calls(Start::Used) else { return };
    let close = calls.iter().rposition(|call| call.is_of(&["flock"])).expect("a lock");
    let own = calls[..close].iter().filter(|call| call.of_store || call.is_of(&["write"])).chain(&calls[close..]);
    // The last call ends the program before any signal comes.
    let own: Vec<&Call> = own.filter(|call| call.name != "exit_group").collect();
    let places: Vec<&Call> = spread(own.len(), 6, 8).into_iter().map(|at| own[at - 1]).collect();
    let told = AtomicUsize::new(0);
    strike_all("SIGTERM at a call", &places, |call| {
        let trial = Trial::new(Start::Used);
        let struck = struck(&trial, call, "signal=TERM");
        // Before the program listens, the signal ends it as it ends any program.
        match (struck.code, struck.signal) {
            (Some(0), _) => {}
            (None, Some(15)) => assert!(struck.stdout.is_empty(), "{struck:?}"),
            _ => {
                is_told(&struck);
                told.fetch_add(1, Ordering::Relaxed);
            }
        }
        trial.survives(&struck);
    });
    // A signal that nobody heard would end nothing.
    let (told, before) = (told.into_inner(), places.iter().filter(|call| call.stage == Stage::Before).count());
    assert!(told > before / 4, "{told} of {before} were told of the signal");
}

/// Stopped and on again: as if nothing had been. By SIGSTOP: SIGTSTP stops nobody whom no shell could take up again, and a
/// test may run so; Ctrl-Z under a shell is in `keyboard.rs`.
#[test]
fn stopped_and_on_again() {
    strike_fed("SIGSTOP and SIGCONT between answers", |trial, fed, _| {
        let pid = fed.id();
        send("STOP", &pid);
        let start = Instant::now();
        let stands = |state: char| {
            fs::read_to_string(format!("/proc/{pid}/stat")).is_ok_and(|stat| stat.contains(&format!(") {state} ")))
        };
        while !stands('T') {
            assert!(start.elapsed() < Duration::from_secs(10), "not stopped");
            thread::sleep(Duration::from_millis(1));
        }
        send("CONT", &pid);
        let struck = fed.end();
        assert_eq!(struck.code, Some(0), "{struck:?}");
        trial.survives(&struck);
    });
}
