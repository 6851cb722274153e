//! Whatever is typed: a documented exit code within seconds, one plain sentence, nothing lost, nothing that acts on a
//! terminal, and no panic.

mod common;

#[path = "bad_input/arguments.rs"]
mod arguments;
#[path = "bad_input/drivers.rs"]
mod drivers;
#[path = "bad_input/numbers.rs"]
mod numbers;
#[path = "bad_input/scripts.rs"]
mod scripts;
#[path = "bad_input/storage.rs"]
mod storage;
#[path = "bad_input/support.rs"]
mod support;
#[path = "bad_input/text.rs"]
mod text;
#[path = "bad_input/ways.rs"]
mod ways;
