//! Eighth floor: many records looked over. What is out of line, what it means and what to do; nothing here reads a file.

mod found;
mod kind;
mod standing;

pub use found::{Audit, Chain, Finding, Group};
pub use kind::{Kind, Weight};
pub use standing::{SignatureStanding, Standing};
