//! Kinds of question, each made from chance.

use super::exercise::{Exercise, Figures};
use super::skill::Skill;
use crate::chance::Chance;

/// A kind of question.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Form {
    /// Decibels down to the share of the volts.
    RatioOfDown,
}

impl Form {
    /// Every form.
    pub const ALL: [Self; 1] = [Self::RatioOfDown];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::RatioOfDown => "ratio-of-down",
        }
    }

    /// What it trains.
    pub const fn skill(self) -> Skill {
        match self {
            Self::RatioOfDown => Skill::Ratio,
        }
    }

    /// A question of this kind.
    pub fn exercise(self, _figures: Figures, _chance: &mut Chance) -> Exercise {
        unimplemented!()
    }
}
