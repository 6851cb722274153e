//! A lesson: steps, each a screen to read and a question on it.

use super::exercise::Exercise;
use crate::screens::{Line, Screen};

/// A lesson.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Lesson {
    /// Ratio and decibels.
    Ratio,
    /// Octaves and half octaves.
    Octave,
    /// Slope and family.
    Slope,
    /// The cone below the tuning.
    Cone,
    /// Reading a meter at 25 Hz.
    Meter,
    /// Tolerance and guard band.
    Tolerance,
    /// The traps.
    Traps,
    /// Safety at the bench.
    Safety,
}

/// A part of a lesson.
pub struct Step {
    /// What is read first; at most 20 lines at 80 columns.
    pub shown: fn(Screen) -> Vec<Line>,
    /// What is asked then.
    pub exercise: Exercise,
}

impl Lesson {
    /// Every lesson, in the order in which they are best taken.
    pub const ALL: [Self; 8] =
        [Self::Ratio, Self::Octave, Self::Slope, Self::Cone, Self::Meter, Self::Tolerance, Self::Traps, Self::Safety];

    /// Its word on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ratio => "ratio",
            Self::Octave => "octave",
            Self::Slope => "slope",
            Self::Cone => "cone",
            Self::Meter => "meter",
            Self::Tolerance => "tolerance",
            Self::Traps => "traps",
            Self::Safety => "safety",
        }
    }

    /// Its title.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Ratio => "Ratio and decibels",
            Self::Octave => "Octaves and half octaves",
            Self::Slope => "Slope and family",
            Self::Cone => "What the cone does below tuning",
            Self::Meter => "Reading a meter at 25 Hz",
            Self::Tolerance => "Tolerance and guard band",
            Self::Traps => "The traps",
            Self::Safety => "Safety at the bench",
        }
    }

    /// Its steps.
    pub fn steps(self) -> Vec<Step> {
        unimplemented!()
    }
}
