//! Keys, signatures and the trust list, held against OpenSSH's own `ssh-keygen`.

mod common;

#[path = "signatures/checking.rs"]
mod checking;
#[path = "signatures/files.rs"]
mod files;
#[path = "signatures/keygen.rs"]
mod keygen;
#[path = "signatures/lists.rs"]
mod lists;
#[path = "signatures/random.rs"]
mod random;
#[path = "signatures/security_keys.rs"]
mod security_keys;
#[path = "signatures/signing.rs"]
mod signing;
