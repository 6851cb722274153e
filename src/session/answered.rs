//! Answers by what they mean.

use super::entry::LogEntry;
use super::question::Question;
use super::state::State;
use super::words::{Answer, UNKNOWN};
use crate::corner::Mark;
use crate::filter::{Family, Rule, Slope};
use crate::meter::{MeterSpec, Tolerance};
use crate::plan::CornerChoice;
use crate::quantity::{Hertz, Ohms, Percent, Volts, Watts};

/// What a dialogue notes when it is left for good.
pub const LEFT: &str = "left";

impl State {
    pub(super) fn text(&self, question: Question) -> Option<&str> {
        match &self.answers.get(&question)?.answer {
            Answer::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(super) fn number(&self, question: Question) -> Option<f64> {
        match self.answers.get(&question)?.answer {
            Answer::Number(number) => Some(number),
            _ => None,
        }
    }

    pub(super) fn word(&self, question: Question) -> Option<&'static str> {
        match self.answers.get(&question)?.answer {
            Answer::Word(word) => Some(word),
            _ => None,
        }
    }

    pub(super) fn yes(&self, question: Question) -> Option<bool> {
        self.word(question).map(|word| word == "yes")
    }

    /// An answer as it was typed, where it holds.
    pub fn typed(&self, question: Question) -> Option<String> {
        if question == Question::Reference && self.plan.is_some() {
            return self.log().iter().rev().find_map(|entry| match entry {
                LogEntry::Reference(reference) => Some(reference.typed.clone()),
                _ => None,
            });
        }
        self.answers.get(&question).map(|given| given.typed.clone())
    }

    /// The last answer to a question, whether it holds or was set aside.
    pub(super) fn last_typed(&self, question: Question) -> Option<String> {
        self.log().iter().rev().find_map(|entry| match entry {
            LogEntry::Answer(answer) if answer.question == question => Some(answer.typed.clone()),
            _ => None,
        })
    }

    /// What a dialogue of this name noted on the way to an answer that was not given yet, oldest first: its notes since the
    /// last answer to any question, and since it was left for good.
    pub fn on_the_way(&self, dialogue: &str) -> Vec<String> {
        let mut notes: Vec<String> = vec![];
        for entry in self.log().iter().rev() {
            match entry {
                LogEntry::Note(note) => match note.text.strip_prefix(dialogue).and_then(|text| text.strip_prefix(": "))
                {
                    Some(LEFT) => break,
                    Some(text) => notes.push(text.to_owned()),
                    None => {}
                },
                LogEntry::Pause(_) | LogEntry::Resume(_) => {}
                _ => break,
            }
        }
        notes.reverse();
        notes
    }

    /// The numbers of the first and the last reading that count, struck ones too; `None` where there is none. An answer
    /// to an earlier question makes them count no longer.
    pub fn counting_readings(&self) -> Option<(u32, u32)> {
        let counting = &self.readings[self.outdated..];
        Some((counting.first()?.number, counting.last()?.number))
    }

    /// Whether an answer that holds is the default that was taken.
    pub fn is_default(&self, question: Question) -> bool {
        self.answers.get(&question).is_some_and(|given| given.default)
    }

    /// The job.
    pub fn job(&self) -> Option<&str> {
        self.text(Question::Job)
    }

    /// The technician.
    pub fn technician(&self) -> Option<&str> {
        self.text(Question::Technician)
    }

    /// The amplifier.
    pub fn amplifier(&self) -> Option<&str> {
        self.text(Question::Amplifier)
    }

    /// The meter's name.
    pub fn meter_name(&self) -> Option<&str> {
        self.text(Question::Meter)
    }

    /// The meter's specification.
    pub fn meter(&self) -> Option<MeterSpec> {
        Some(MeterSpec {
            accuracy: Percent::new(self.number(Question::MeterAccuracy)?),
            digits: self.number(Question::MeterDigits)? as u32,
            resolution: Volts::new(self.number(Question::MeterResolution)?),
        })
    }

    /// The tuning, where it is known.
    pub fn tuning(&self) -> Option<Hertz> {
        self.number(Question::Tuning).map(Hertz::new)
    }

    /// Whether the tuning was said to be unknown.
    pub fn tuning_is_unknown(&self) -> bool {
        self.word(Question::Tuning) == Some(UNKNOWN)
    }

    /// The slope as answered: `None` until then, `Some(None)` for unknown.
    pub fn slope(&self) -> Option<Option<Slope>> {
        match self.answers.get(&Question::Slope)?.answer {
            Answer::Number(number) => Some(Slope::new(number as u32)),
            _ => Some(None),
        }
    }

    /// The family as answered: `None` until then, `Some(None)` for unknown.
    pub fn family(&self) -> Option<Option<Family>> {
        let word = self.word(Question::Family)?;
        Some(Family::ALL.into_iter().find(|family| family.word() == word))
    }

    /// The wanted corner and why.
    pub fn corner(&self) -> Option<CornerChoice> {
        let word = self.word(Question::Rule)?;
        match Rule::ALL.into_iter().find(|rule| rule.word() == word) {
            Some(rule) => CornerChoice::by_rule(self.tuning()?, rule).ok(),
            None => Some(CornerChoice::Own(Hertz::new(self.number(Question::Corner)?), self.tuning())),
        }
    }

    /// The mark at which the filter stands while a reference is read; `None` where it is taken out.
    pub fn mark(&self) -> Option<Mark> {
        Some(Mark {
            at: Hertz::new(self.number(Question::ReferenceMark)?),
            uncertainty: self.number(Question::MarkUncertainty).map_or(Mark::USUAL_UNCERTAINTY, Percent::new),
        })
    }

    /// What the print at the knob says where it was left, where it has one.
    pub fn dial_mark(&self) -> Option<Hertz> {
        self.number(Question::DialMark).map(Hertz::new)
    }

    /// The setting tone.
    pub fn tone(&self) -> Option<Hertz> {
        self.number(Question::Tone).map(Hertz::new)
    }

    /// The tolerance.
    pub fn tolerance(&self) -> Option<Tolerance> {
        match self.answers.get(&Question::Tolerance)?.answer {
            Answer::Tolerance(tolerance) => Some(tolerance),
            _ => None,
        }
    }

    /// Whether the meter stays on one range.
    pub fn range_held(&self) -> Option<bool> {
        self.yes(Question::RangeHeld)
    }

    /// The rated power, where it was asked for and is known.
    pub fn rated_power(&self) -> Option<Watts> {
        self.number(Question::RatedPower).map(Watts::new)
    }

    /// The load, where it was asked for and is known.
    pub fn load(&self) -> Option<Ohms> {
        self.number(Question::Load).map(Ohms::new)
    }
}
