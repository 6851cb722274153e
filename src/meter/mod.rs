//! Second floor: what a meter can be trusted to show, how wide a reading may miss, and the verdict on it.

mod spec;
mod tolerance;
mod verdict;

pub use spec::MeterSpec;
pub use tolerance::Tolerance;
pub use verdict::{AcceptZone, Verdict, Window};
