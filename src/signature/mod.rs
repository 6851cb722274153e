//! Sixth floor: OpenSSH keys and signatures, and who is trusted to sign. Nothing here reads a file.

mod allowed;
mod armour;
mod fields;
mod key;
mod listed;
mod locked;
mod opened;
mod options;
mod pattern;
mod sign;
mod verify;

pub use allowed::{AllowedSigners, LIST_MAX, Listing};
pub use key::{KeyKind, PublicKey, principal_of};
pub use listed::allowed_line;
pub use locked::{LockedKey, NotUnlocked};
pub use pattern::fits_pattern;
pub use sign::SigningKey;
pub use verify::{Checked, check};

/// What a signature of a record is for; a signature for anything else is none of a record.
pub const NAMESPACE: &str = "cornerset-record";
