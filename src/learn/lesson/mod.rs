//! A lesson: steps, each a screen to read and a question on it.

mod bench;
mod cone;
mod drawings;
mod meter;
mod octave;
mod page;
mod questions;
mod ratio;
mod safety;
mod slope;
mod tolerance;
mod traps;

use super::exercise::{Answer, Exercise};
use crate::screens::{Line, Screen, WIDEST};

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
    /// The same with other numbers, or of another case: asked where the first answer was wrong.
    pub again: Exercise,
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

    /// The lesson of a word, in any case.
    pub fn from_word(word: &str) -> Option<Self> {
        let word = word.trim().to_lowercase();
        Self::ALL.into_iter().find(|lesson| lesson.word() == word)
    }

    /// What one can do afterwards, as the end of a sentence: `turn decibels into volts`.
    pub const fn promise(self) -> &'static str {
        match self {
            Self::Ratio => ratio::PROMISE,
            Self::Octave => octave::PROMISE,
            Self::Slope => slope::PROMISE,
            Self::Cone => cone::PROMISE,
            Self::Meter => meter::PROMISE,
            Self::Tolerance => tolerance::PROMISE,
            Self::Traps => traps::PROMISE,
            Self::Safety => safety::PROMISE,
        }
    }

    /// Its steps.
    pub fn steps(self) -> Vec<Step> {
        match self {
            Self::Ratio => ratio::steps(),
            Self::Octave => octave::steps(),
            Self::Slope => slope::steps(),
            Self::Cone => cone::steps(),
            Self::Meter => meter::steps(),
            Self::Tolerance => tolerance::steps(),
            Self::Traps => traps::steps(),
            Self::Safety => safety::steps(),
        }
    }

    /// How many minutes it takes, rounded: from its words and its questions, one in four of them asked again.
    pub fn minutes(self) -> usize {
        let screen = Screen::new(WIDEST, false);
        let steps = self.steps();
        let words = |texts: &dyn Fn(&Step) -> usize| steps.iter().map(texts).sum::<usize>();
        let (read, again) = (words(&|step| step.words(screen)), words(&Step::words_again));
        let questions: usize = steps.iter().map(Step::seconds).sum();
        let seconds = |words: usize| words * 60 / WORDS_A_MINUTE + questions;
        (seconds(read) + seconds(again) / RETRIES + 30) / 60
    }
}

/// Words read in a minute. Grown-ups read 238 of plain prose (Brysbaert, J. Mem. Lang. 109, 2019, from memory); where
/// numbers are to be followed it is taken as three quarters of that: common practice, no source.
const WORDS_A_MINUTE: usize = 180;
/// Seconds to work out a number with a calculator at hand, and to choose a word: common practice, no source.
const SECONDS_A_NUMBER: usize = 35;
const SECONDS_A_WORD: usize = 15;
/// One question in so many is asked again: common practice, no source.
const RETRIES: usize = 4;

impl Step {
    /// How long its question takes.
    const fn seconds(&self) -> usize {
        match self.exercise.answer {
            Answer::Number { .. } => SECONDS_A_NUMBER,
            Answer::Word { .. } => SECONDS_A_WORD,
        }
    }

    /// The words on its screen and in its question. What holds no letter is no word: bars are not read, and of the
    /// figures in a table only a few.
    pub fn words(&self, screen: Screen) -> usize {
        let shown = (self.shown)(screen);
        let texts = shown.iter().map(|line| line.text.as_str()).chain([self.exercise.ask.as_str()]);
        texts.map(words).sum()
    }

    /// The words that are read where it is asked again: the working of the first question, and the second.
    fn words_again(&self) -> usize {
        let working: usize = self.exercise.working.iter().map(|line| words(line)).sum();
        working + words(&self.again.ask)
    }
}

fn words(text: &str) -> usize {
    text.split_whitespace().filter(|word| word.contains(char::is_alphabetic)).count()
}
