//! The questions of a session, in order.

use std::fmt;

use serde::{Deserialize, Serialize};

/// A question of the guided session. The order of the variants is the order in which they are asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Question {
    /// What the record is filed under.
    Job,
    /// Who turns the knob.
    Technician,
    /// The amplifier.
    Amplifier,
    /// The meter.
    Meter,
    /// The meter's share of reading.
    MeterAccuracy,
    /// The meter's steps of the last digit.
    MeterDigits,
    /// One display step on the range in use.
    MeterResolution,
    /// The driver and its box as one line of a driver file's keys, or `unknown`.
    Driver,
    /// The box's tuning, or `unknown`.
    Tuning,
    /// The filter's slope, or `unknown`.
    Slope,
    /// The filter's family, or `unknown`.
    Family,
    /// The Q of a second-order filter.
    Q,
    /// The rule that puts the corner, or `own`.
    Rule,
    /// A corner of one's own.
    Corner,
    /// Whether the filter can be taken out.
    Bypass,
    /// The mark at which the filter stands while the reference is read.
    ReferenceMark,
    /// How far the print of that mark may be off.
    MarkUncertainty,
    /// The tone that is played.
    Tone,
    /// How far off the knob may stand.
    Tolerance,
    /// Whether the meter stays on one range.
    RangeHeld,
    /// The page of cautions.
    Caution,
    /// Whether the gain is set.
    Gain,
    /// The amplifier's rated power, to set the gain by.
    RatedPower,
    /// The load, to set the gain by.
    Load,
    /// Readings that find out an unknown family.
    Explore,
    /// The reference voltage.
    Reference,
    /// Confirms a reference that is hazardous or means much power.
    ReferenceConfirmed,
    /// Readings while the knob is turned.
    Reading,
    /// Whether the setting is accepted.
    Accept,
    /// Readings at more tones, to check the filter.
    Sweep,
    /// Whether the knob is set again for the filter that the sweep found.
    SetAgain,
    /// What the print at the knob says where it was left, or `unknown`.
    DialMark,
    /// Why it is accepted all the same.
    Reason,
    /// A note for the record.
    Note,
    /// The name that signs off.
    SignOff,
}

impl Question {
    /// Every question, in order.
    pub const ALL: [Self; 35] = [
        Self::Job,
        Self::Technician,
        Self::Amplifier,
        Self::Meter,
        Self::MeterAccuracy,
        Self::MeterDigits,
        Self::MeterResolution,
        Self::Driver,
        Self::Tuning,
        Self::Slope,
        Self::Family,
        Self::Q,
        Self::Rule,
        Self::Corner,
        Self::Bypass,
        Self::ReferenceMark,
        Self::MarkUncertainty,
        Self::Tone,
        Self::Tolerance,
        Self::RangeHeld,
        Self::Caution,
        Self::Gain,
        Self::RatedPower,
        Self::Load,
        Self::Explore,
        Self::Reference,
        Self::ReferenceConfirmed,
        Self::Reading,
        Self::Accept,
        Self::Sweep,
        Self::SetAgain,
        Self::DialMark,
        Self::Reason,
        Self::Note,
        Self::SignOff,
    ];

    /// The word for scripts, events and records.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Job => "job",
            Self::Technician => "technician",
            Self::Amplifier => "amplifier",
            Self::Meter => "meter",
            Self::MeterAccuracy => "meter-accuracy",
            Self::MeterDigits => "meter-digits",
            Self::MeterResolution => "meter-resolution",
            Self::Driver => "driver",
            Self::Tuning => "tuning",
            Self::Slope => "slope",
            Self::Family => "family",
            Self::Q => "q",
            Self::Rule => "rule",
            Self::Corner => "corner",
            Self::Bypass => "bypass",
            Self::ReferenceMark => "reference-mark",
            Self::MarkUncertainty => "mark-uncertainty",
            Self::Tone => "tone",
            Self::Tolerance => "tolerance",
            Self::RangeHeld => "range-held",
            Self::Caution => "caution",
            Self::Gain => "gain",
            Self::RatedPower => "rated-power",
            Self::Load => "load",
            Self::Explore => "explore",
            Self::Reference => "reference",
            Self::ReferenceConfirmed => "reference-confirmed",
            Self::Reading => "reading",
            Self::Accept => "accept",
            Self::Sweep => "sweep",
            Self::SetAgain => "set-again",
            Self::DialMark => "dial-mark",
            Self::Reason => "reason",
            Self::Note => "note",
            Self::SignOff => "sign-off",
        }
    }

    /// The question of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|question| question.word() == word)
    }

    /// Whether it takes several answers, one after the other.
    pub const fn repeats(self) -> bool {
        matches!(self, Self::Explore | Self::Reading | Self::Sweep)
    }

    /// Whether a person must type the answer at the keyboard even where a script may leave it out: it guards something.
    pub const fn guards(self) -> bool {
        matches!(self, Self::Caution | Self::ReferenceConfirmed | Self::Accept | Self::SetAgain | Self::SignOff)
    }

    /// Whether its answer describes the meter that was named.
    pub const fn is_of_meter(self) -> bool {
        matches!(self, Self::MeterAccuracy | Self::MeterDigits | Self::MeterResolution)
    }

    /// Whether its answer describes the filter of the amplifier that was named.
    pub const fn is_of_filter(self) -> bool {
        matches!(
            self,
            Self::Slope | Self::Family | Self::Q | Self::Bypass | Self::ReferenceMark | Self::MarkUncertainty
        )
    }

    /// Whether its answer belongs to the gear, so that known gear need not be asked for it again.
    pub const fn is_gear(self) -> bool {
        matches!(
            self,
            Self::Meter
                | Self::MeterAccuracy
                | Self::MeterDigits
                | Self::MeterResolution
                | Self::Slope
                | Self::Family
                | Self::Q
                | Self::Rule
                | Self::Bypass
                | Self::ReferenceMark
                | Self::MarkUncertainty
                | Self::Tone
                | Self::Tolerance
                | Self::RangeHeld
                | Self::DialMark
        )
    }
}

impl fmt::Display for Question {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_list_is_whole_in_order_and_its_words_are_those_of_the_serialised_form() {
        assert!(Question::ALL.is_sorted());
        for question in Question::ALL {
            assert_eq!(Question::from_word(question.word()), Some(question));
            assert_eq!(serde_json::to_value(question).unwrap(), question.word());
        }
        assert_eq!(Question::ALL.last(), Some(&Question::SignOff));
    }
}
