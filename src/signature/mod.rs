//! Sixth floor: OpenSSH keys and signatures, and who is trusted to sign. Nothing here reads a file.

mod allowed;
mod key;
mod sign;
mod verify;

pub use allowed::{AllowedSigners, Listing};
pub use key::{KeyKind, PublicKey, principal_of};
pub use sign::{LockedKey, NotUnlocked, SigningKey};
pub use verify::{Checked, check};

/// What a signature of a record is for; a signature for anything else is none of a record.
pub const NAMESPACE: &str = "cornerset-record";
