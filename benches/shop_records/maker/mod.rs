//! Signed records by the thousand or the million, as a chain of shops would make them: the same seed, the same bytes.
//!
//! A few hundred sessions are run through the real session machine on made-up amplifiers ([`pool`]). Each record is one
//! of them with an id, times, a place in its bench's chain and names of its own, digested and signed anew by the real code
//! ([`shop`]). Some can be damaged on purpose, and then it is known which ([`damage`]).

pub mod amplifier;
pub mod damage;
pub mod dress;
pub mod keys;
pub mod memory;
pub mod pool;
pub mod shop;
pub mod technician;
pub mod written;

/// What is made.
#[derive(Debug, Clone, Copy)]
pub struct Order {
    /// How many records in all.
    pub records: usize,
    /// By how many shops, each with one bench.
    pub shops: usize,
    /// Over how many months.
    pub months: usize,
    /// From which seed.
    pub seed: u64,
    /// How many of a hundred were signed off by name alone.
    pub unsigned_percent: f64,
    /// How many of a hundred were accepted outside, or stand out in another way.
    pub outside_percent: f64,
    /// How many of them were damaged, and how.
    pub damage: damage::Wanted,
}
