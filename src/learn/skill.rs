//! What can be learnt.

/// What an exercise trains.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Skill {
    /// Volts and decibels, 20 log.
    Ratio,
    /// Power and decibels, 10 log; drive voltage.
    Power,
    /// Octaves, half octaves, corners from a tuning.
    Octave,
    /// Slope, family, and what is left at a tone.
    Slope,
    /// What the cone does, and which way the knob protects it.
    Cone,
    /// Digits, counts, limits of error.
    Meter,
    /// Tolerance window, guard band, verdict, which way to turn.
    Window,
    /// A filter that stays in, a tone off the corner, a family that is another one.
    Traps,
    /// Safety at the bench.
    Safety,
}

impl Skill {
    /// Every skill, in the order in which they are best learnt.
    pub const ALL: [Self; 9] = [
        Self::Ratio,
        Self::Power,
        Self::Octave,
        Self::Slope,
        Self::Cone,
        Self::Meter,
        Self::Window,
        Self::Traps,
        Self::Safety,
    ];

    /// Its word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ratio => "ratio",
            Self::Power => "power",
            Self::Octave => "octave",
            Self::Slope => "slope",
            Self::Cone => "cone",
            Self::Meter => "meter",
            Self::Window => "window",
            Self::Traps => "traps",
            Self::Safety => "safety",
        }
    }

    /// The skill of a word, in any case.
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase();
        Self::ALL.into_iter().find(|skill| skill.word() == word)
    }

    /// Its name with its word, as `--skill` takes it: `Volts and decibels (ratio)`.
    pub fn named(self) -> String {
        format!("{} ({})", self.title(), self.word())
    }

    /// Its name on a screen.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Ratio => "Volts and decibels",
            Self::Power => "Power",
            Self::Octave => "Octaves and corners",
            Self::Slope => "Slope and family",
            Self::Cone => "The cone",
            Self::Meter => "The meter",
            Self::Window => "Tolerance window",
            Self::Traps => "Traps",
            Self::Safety => "Safety",
        }
    }
}
