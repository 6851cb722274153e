//! Eighth floor: many records looked over. What is out of line, what it means and what to do; nothing here reads a file.

mod chain;
mod document;
mod examine;
mod found;
mod groups;
mod kind;
mod noted;
mod outstanding;
mod recompute;
mod standing;
mod whole;

pub use chain::Witness;
pub use document::{AuditDocument, VerdictDocument};
pub use examine::{Facts, Form, examine, standing};
pub use found::{Audit, Chain, Finding, Group, Noted, Reach};
pub use kind::{Kind, Weight};
pub use noted::digest_typed;
pub use standing::{SignatureStanding, Standing};
pub use whole::Looked;
