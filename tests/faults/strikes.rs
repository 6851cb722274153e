//! Many strikes of one fault, on every core; a line for the table at the end.

use std::fmt::Debug;
use std::io::{self, Write};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

/// Whether everything is struck.
pub fn is_long() -> bool {
    std::env::var_os("CORNERSET_FAULTS").is_some_and(|value| value == "all")
}

/// Places from 1 to `count`: all of them in the long form; else so many spread over all, and the `last` ones.
pub fn spread(count: usize, some: usize, last: usize) -> Vec<usize> {
    if is_long() {
        return (1..=count).collect();
    }
    let early = count.saturating_sub(last);
    let step = (early / some.max(1)).max(1);
    (1..=early).step_by(step).chain(early + 1..=count).collect()
}

/// Strikes at every place, says how many survived, and fails with the first of those that did not.
#[track_caller]
pub fn strike_all<P: Debug + Sync>(fault: &str, places: &[P], strike: impl Fn(&P) + Sync) {
    assert!(!places.is_empty(), "{fault}: struck nowhere");
    let (next, failures) = (AtomicUsize::new(0), Mutex::new(vec![]));
    let workers = thread::available_parallelism().map_or(2, usize::from);
    thread::scope(|scope| {
        for _ in 0..workers {
            scope.spawn(|| {
                while let Some(place) = places.get(next.fetch_add(1, Ordering::Relaxed)) {
                    if let Err(panic) = catch_unwind(AssertUnwindSafe(|| strike(place))) {
                        let text = panic
                            .downcast_ref::<String>()
                            .cloned()
                            .or_else(|| panic.downcast_ref::<&str>().map(|text| (*text).to_owned()))
                            .unwrap_or_default();
                        failures.lock().expect("a sound lock").push(format!("{place:?}: {text}"));
                    }
                }
            });
        }
    });
    let failures = failures.into_inner().expect("a sound lock");
    row(fault, places.len(), places.len() - failures.len());
    const SHOWN: usize = 8;
    let shown: Vec<&str> = failures.iter().take(SHOWN).map(String::as_str).collect();
    assert!(
        failures.is_empty(),
        "{fault}: {} of {} not survived\n{}",
        failures.len(),
        places.len(),
        shown.join("\n\n")
    );
}

/// A line of the table, which `.ci/faults` gathers.
fn row(fault: &str, struck: usize, survived: usize) {
    let form = if is_long() { "all" } else { "short" };
    // Past the print macros, whose output a passing test keeps to itself.
    let _ = writeln!(io::stderr(), "faults | {fault:<48} | {form:<5} | {struck:>5} struck | {survived:>5} survived");
}
