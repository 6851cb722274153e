//! The bench as a whole.

use super::level::Level;
use crate::filter::Alignment;
use crate::quantity::{Hertz, Refusal, Volts};

/// A simulated bench, and how it stands now. A function of its level, its seed and the moves made on it.
#[derive(Debug, Clone, PartialEq)]
pub struct Bench {
    level: Level,
    seed: u64,
}

/// What can be done at the bench.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Move {
    /// Turn the knob to a place on its dial, 0 to 10.
    Turn(f64),
    /// Play a tone.
    Play(Hertz),
    /// Set the amplifier's volume, in its own steps.
    Volume(u32),
    /// Switch the filter in.
    In,
    /// Switch the filter out.
    Out,
    /// Look at the meter again.
    Look,
}

/// What nobody at the bench is told until the end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Truth {
    /// The filter that it is.
    pub alignment: Alignment,
    /// Where its corner stands now.
    pub corner: Hertz,
    /// How often the knob was turned.
    pub turns: usize,
}

/// Where the plain rule would have left the knob: turned until the meter shows 0.707 of the reference as it was read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlainRule {
    /// The tone that it would have been done with.
    pub tone: Hertz,
    /// The reference as the meter shows it.
    pub reference: Volts,
    /// The corner that the knob would stand at, really.
    pub corner: Hertz,
}

impl Bench {
    /// The bench of a level and a seed.
    pub const fn new(level: Level, seed: u64) -> Self {
        Self { level, seed }
    }

    /// Its level.
    pub const fn level(&self) -> Level {
        self.level
    }

    /// Its seed.
    pub const fn seed(&self) -> u64 {
        self.seed
    }

    /// What was typed, where it is a move (`turn 4.2`, `play 27`, `volume 12`, `in`, `out`, `look`); `None` where its first
    /// word names none.
    ///
    /// # Errors
    /// A move whose number is none, or out of range.
    pub fn read(_typed: &str) -> Option<Result<Move, Refusal>> {
        unimplemented!()
    }

    /// Makes a move.
    ///
    /// # Errors
    /// Where this bench cannot do it: a tone that the source does not have, a filter that has no switch.
    pub fn make(&mut self, _a_move: Move) -> Result<(), Refusal> {
        unimplemented!()
    }

    /// What the meter shows now, each text as its display does: one, or several where the digits hunt.
    pub fn shown(&self) -> Vec<String> {
        unimplemented!()
    }

    /// How things really stand.
    pub fn truth(&self) -> Truth {
        unimplemented!()
    }

    /// What the plain rule would have given on this bench, for a corner that is wanted.
    pub fn plain_rule(&self, _wanted: Hertz) -> PlainRule {
        unimplemented!()
    }
}
