//! The kinds of question: their words and what they train.

use crate::learn::skill::Skill;

macro_rules! forms {
    ($($(#[$doc:meta])* $name:ident, $word:literal, $skill:ident;)*) => {
        /// A kind of question.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Form {
            $($(#[$doc])* $name,)*
        }

        impl Form {
            /// Every form.
            pub const ALL: [Self; [$($word),*].len()] = [$(Self::$name),*];

            /// Its word.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$name => $word,)*
                }
            }

            /// What it trains.
            pub const fn skill(self) -> Skill {
                match self {
                    $(Self::$name => Skill::$skill,)*
                }
            }
        }
    };
}

forms! {
    /// Decibels down to the share of the volts.
    RatioOfDown, "ratio-of-down", Ratio;
    /// The share of the volts to decibels down.
    DownOfRatio, "down-of-ratio", Ratio;
    /// Reference and reading to decibels down.
    DownOfVolts, "down-of-volts", Ratio;
    /// Reference and decibels down to volts.
    VoltsOfDown, "volts-of-down", Ratio;
    /// Decibels down to the share of the power.
    PowerOfDown, "power-of-down", Power;
    /// Two voltages to the share of the power.
    PowerOfVoltsShare, "power-share", Power;
    /// Power and load to volts.
    VoltsOfPower, "volts-of-power", Power;
    /// Volts and load to power.
    PowerOfVolts, "power-of-volts", Power;
    /// A tuning to its corner, by three quarters.
    CornerThreeQuarters, "corner-three-quarters", Octave;
    /// A tuning to its corner, a true half octave below.
    CornerHalfOctave, "corner-half-octave", Octave;
    /// A tuning to its corner, an octave below.
    CornerOctave, "corner-octave", Octave;
    /// Two frequencies to the octaves between them.
    OctavesBetween, "octaves-between", Octave;
    /// A frequency so many octaves below another.
    OctavesBelow, "octaves-below", Octave;
    /// A slope to its order.
    OrderOfSlope, "order-of-slope", Slope;
    /// An order to its slope.
    SlopeOfOrder, "slope-of-order", Slope;
    /// Decibels down far below the corner, by the rule of thumb.
    DownByThumb, "down-by-thumb", Slope;
    /// Decibels down of a Butterworth at a tone, exactly.
    ButterworthDown, "butterworth-down", Slope;
    /// Decibels down at the corner, by family.
    DownAtCorner, "down-at-corner", Slope;
    /// Volts at the corner of a second-order filter.
    VoltsOfQ, "volts-of-q", Slope;
    /// At which of two tones the cone travels more.
    TravelsMore, "travels-more", Cone;
    /// Which of two filters protects the cone more.
    TwoFilters, "two-filters", Cone;
    /// Whether a box needs a filter.
    FilterNeeded, "filter-needed", Cone;
    /// Travel and decibels down to the travel that is left.
    TravelOfDown, "travel-of-down", Cone;
    /// Which way the knob protects the cone.
    KnobForCone, "knob-for-cone", Cone;
    /// The limit of error of a reading, in volts.
    LimitInVolts, "limit-in-volts", Meter;
    /// The limit of error of a reading, in per cent of it.
    LimitInPercent, "limit-in-percent", Meter;
    /// Counts and range to the display step.
    DisplayStep, "display-step", Meter;
    /// The middle of digits that hunt.
    HuntingMiddle, "hunting-middle", Meter;
    /// How far digits hunt about their middle.
    HuntingLimit, "hunting-limit", Meter;
    /// An error that cancels in a ratio.
    GainError, "gain-error", Meter;
    /// Whether a tone lies in the meter's band.
    InBand, "in-band", Meter;
    /// An end of the window, from a tolerance of the corner.
    WindowEnd, "window-end", Window;
    /// An end of the accept zone.
    AcceptEnd, "accept-end", Window;
    /// The verdict on a reading.
    Verdict, "verdict", Window;
    /// Which way to turn.
    WhichWay, "which-way", Window;
    /// The target at the corner, by family.
    TargetAtCorner, "target-at-corner", Traps;
    /// What is left at a tone off the corner.
    VoltsAtTone, "volts-at-tone", Traps;
    /// The reference of a filter that stays in.
    TrueReference, "true-reference", Traps;
    /// The corner that a reading says.
    CornerOfReading, "corner-of-reading", Traps;
    /// The corner of a filter that was taken for another.
    OtherFamily, "other-family", Traps;
    /// Whether a voltage is hazardous to touch.
    Hazard, "hazard", Safety;
    /// What the page of cautions says.
    SafeBench, "safe-bench", Safety;
}

impl Form {
    /// The form of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|form| form.word() == word)
    }

    /// Whether it can be asked by head.
    pub const fn is_by_head(self) -> bool {
        !matches!(self, Self::VoltsOfQ)
    }

    /// Units that only this form's answers have, the one that is shown first.
    pub const fn unit_words(self) -> &'static [&'static str] {
        match self {
            Self::OctavesBetween => &["octaves", "octave", "oct"],
            Self::SlopeOfOrder => &["dB/octave", "dB/oct", "dB per octave", "dB an octave", "dB"],
            _ => &[],
        }
    }
}
