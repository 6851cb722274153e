//! What is held of every input, whatever it is. A body takes bytes that nobody vouches for, and panics where the program
//! does not keep what it promises of them: no panic of its own, what is taken lies in its range, what is shown is
//! harmless and says no number that is none, what is written is read again as the same.
//!
//! `targets` gives them to the fuzzers; `tests/corpus.rs` runs them over the corpus.

pub mod allowed_signers;
pub mod driver;
pub mod journal;
pub mod openssh;
pub mod record;
pub mod script;
pub mod shown;
pub mod sitting;
pub mod store_files;
pub mod typed;

/// What is done with an input.
pub type Body = fn(&[u8]);

/// Every target by the name of its folder in the corpus.
pub const TARGETS: [(&str, Body); 8] = [
    ("allowed_signers", allowed_signers::run),
    ("driver", driver::run),
    ("journal", journal::run),
    ("openssh", openssh::run),
    ("record", record::run),
    ("script", script::run),
    ("store_files", store_files::run),
    ("typed", typed::run),
];
