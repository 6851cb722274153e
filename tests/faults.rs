//! Faults: a session of twenty readings is killed, its disk fails or fills, its store goes away, the clock is set back.
//!
//! After each fault the same is asked (`faults/oracle.rs`): nothing that was told of is missing, nothing else is there, no
//! half record is anywhere, the message says what failed and how to go on, and the session goes on to the same end.
//!
//! The short form strikes here and there, and at every step of a close; `CORNERSET_FAULTS=all` strikes everywhere
//! (`.ci/faults` runs it and prints a table).
#![cfg(target_os = "linux")]

mod common;

#[path = "faults/calls.rs"]
mod calls;
#[path = "faults/clock.rs"]
mod clock;
#[path = "faults/errors.rs"]
mod errors;
#[path = "faults/full.rs"]
mod full;
#[path = "faults/gone.rs"]
mod gone;
#[path = "faults/keyboard.rs"]
mod keyboard;
#[path = "faults/keys.rs"]
mod keys;
#[path = "faults/kills.rs"]
mod kills;
#[path = "faults/oracle.rs"]
mod oracle;
#[path = "faults/shim.rs"]
mod shim;
#[path = "faults/signals.rs"]
mod signals;
#[path = "faults/strikes.rs"]
mod strikes;
#[path = "faults/together.rs"]
mod together;
#[path = "faults/trial.rs"]
mod trial;
