//! The store, against real folders: what is kept, what is refused, and what a crash leaves.

mod bench;
mod chain;
mod closing;
mod damage;
mod journal;
mod open;
mod reading;
mod support;
