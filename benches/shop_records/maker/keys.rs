//! Keys from the seed: worthless as secrets, and the same on every machine.

use cornerset::chance::Chance;
use cornerset::signature::{LockedKey, SigningKey};
use ssh_key::private::{Ed25519Keypair, PrivateKey};

/// The key of a stream of the seed.
pub fn key_of(seed: u64, stream: u64) -> SigningKey {
    let mut chance = Chance::of(seed, (3 << 40) + stream);
    let mut secret = [0; 32];
    for part in secret.chunks_exact_mut(8) {
        part.copy_from_slice(&chance.bits().to_le_bytes());
    }
    let key = PrivateKey::from(Ed25519Keypair::from_seed(&secret));
    let text = key.to_openssh(ssh_key::LineEnding::LF).expect("a key is written");
    LockedKey::parse(&text).and_then(|key| key.unlock("").map_err(|why| why.to_string())).expect("a key is read")
}
