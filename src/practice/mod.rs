//! A simulated bench: an amplifier with a knob, a meter and a source of tones, all from a level and a seed.

mod bench;
mod level;
mod name;

pub use bench::{Bench, Move, PlainRule, Truth};
pub use level::Level;
