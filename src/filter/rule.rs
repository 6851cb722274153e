//! The trade's rules for where a corner goes, given the tuning of a vented box.

use std::f64::consts::FRAC_1_SQRT_2;
use std::fmt;

use serde::{Deserialize, Serialize};

use crate::quantity::Hertz;

/// How the corner follows from the tuning. Common practice, no source; the octave's arithmetic is exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Rule {
    /// Tuning x 0.75: the trade's reckoning of half an octave below (it is 0.415 octave).
    ThreeQuarters,
    /// Tuning x 0.7071: the true half octave below.
    HalfOctave,
    /// Tuning x 0.5: a whole octave below, where the slope is steep and the displacement allows it.
    Octave,
}

impl Rule {
    /// Every rule.
    pub const ALL: [Self; 3] = [Self::ThreeQuarters, Self::HalfOctave, Self::Octave];

    /// The word for options, scripts and records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::ThreeQuarters => "three-quarters",
            Self::HalfOctave => "half-octave",
            Self::Octave => "octave",
        }
    }

    /// Corner over tuning.
    pub const fn factor(self) -> f64 {
        match self {
            Self::ThreeQuarters => 0.75,
            Self::HalfOctave => FRAC_1_SQRT_2,
            Self::Octave => 0.5,
        }
    }

    /// The corner that this rule gives for a tuning.
    pub const fn corner(self, tuning: Hertz) -> Hertz {
        tuning.times(self.factor())
    }
}

impl fmt::Display for Rule {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 35 Hz tuning: trade 26.25 Hz, true half octave 24.748737 Hz, octave 17.5 Hz. The arithmetic is algebra; the
    /// factor of 0.75 is common practice, no source.
    #[test]
    fn corners_of_a_35_hz_box() {
        let corner = |rule: Rule| rule.corner(Hertz::new(35.0)).hz();
        assert_eq!(corner(Rule::ThreeQuarters), 26.25);
        assert!((corner(Rule::HalfOctave) - 24.748_737).abs() < 5e-7);
        assert_eq!(corner(Rule::Octave), 17.5);
    }
}
