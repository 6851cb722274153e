//! A simulated bench: an amplifier with a knob, a meter and a source of tones, all from a level and a seed.

mod bench;
mod expected;
mod knob;
mod level;
mod meter;
mod moves;
mod name;
mod noted;
mod parts;
mod plain_rule;
mod sheet;
mod source;

pub use bench::{Bench, Truth};
pub use expected::{Expected, Standing};
pub use level::Level;
pub use moves::Move;
pub use noted::{note, noted};
pub use plain_rule::{PlainRule, Trap};
pub use sheet::{Label, MeterPrint, Print, Sheet};
pub use source::Tones;
