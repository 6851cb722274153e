//! How far off the corner, or the level, may be.

use crate::quantity::entry::{self, ToleranceEntry};
use crate::quantity::{Decibels, Percent, Refusal};

/// A share of the corner, which is what protects the cone, or a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Tolerance {
    /// The corner may be this share too low or too high.
    Corner(Percent),
    /// The voltage may be this far up or down.
    Level(Decibels),
}

impl Tolerance {
    /// What is taken where nobody says otherwise: 3 % of the corner.
    pub const USUAL: Self = Self::Corner(Percent::new(3.0));

    /// Reads `3`, `3 %` or `0.5 dB`.
    ///
    /// # Errors
    /// Where it is neither 0.1 to 20 % nor 0.1 to 3 dB.
    pub fn parse(text: &str) -> Result<Self, Refusal> {
        Ok(match entry::parse_tolerance(text)? {
            ToleranceEntry::Percent(percent) => Self::Corner(percent),
            ToleranceEntry::Decibels(db) => Self::Level(db),
        })
    }

    /// The share of the corner, where that is what was given.
    pub const fn percent(self) -> Option<Percent> {
        match self {
            Self::Corner(percent) => Some(percent),
            Self::Level(_) => None,
        }
    }

    /// The level, where that is what was given.
    pub const fn db(self) -> Option<Decibels> {
        match self {
            Self::Level(db) => Some(db),
            Self::Corner(_) => None,
        }
    }
}
