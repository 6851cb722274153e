//! One question, its answer, its working, and the mistakes that are known.

use super::form::Form;
use crate::quantity::Refusal;
use crate::quantity::ranges::Quantity;

/// How exactly a number is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Figures {
    /// Two significant figures: by head.
    Two,
    /// Three significant figures: with a calculator.
    Three,
}

/// A question that is checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Exercise {
    /// The kind of question.
    pub form: Form,
    /// The question, as one or two plain sentences.
    pub ask: String,
    /// The numbers in it, by name with the unit as suffix (`reference_v`), so that it can be worked out again elsewhere.
    pub given: Vec<(&'static str, f64)>,
    /// The answer.
    pub answer: Answer,
    /// The working of this very question: each line a formula with its numbers.
    pub working: Vec<String>,
    /// Mistakes that are known, with what each gives here. None of them is right.
    pub mistakes: Vec<Mistake>,
}

/// What is right.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A number.
    Number {
        /// The exact value, in the base unit of its quantity.
        value: f64,
        /// The quantity.
        quantity: Quantity,
        /// How exactly it is asked for.
        figures: Figures,
    },
    /// One of these words.
    Word {
        /// The right one.
        right: &'static str,
        /// Those to choose from.
        of: &'static [&'static str],
    },
}

/// A mistake that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Mistake {
    /// What it gives here.
    pub gives: Said,
    /// What was done, as a sentence: `That is 10 log: ...`.
    pub name: String,
}

/// What somebody says.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A number in the base unit.
    Number(f64),
    /// A word.
    Word(&'static str),
}

/// How an answer was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judgement {
    /// Right.
    Right,
    /// Wrong; the place in `mistakes` of the one that was made, where it is known.
    Wrong(Option<usize>),
}

impl Exercise {
    /// Judges what was typed.
    ///
    /// # Errors
    /// Where it is no answer at all: not a number, another unit, a word that is not offered. That is no wrong answer.
    pub fn judge(&self, _typed: &str) -> Result<Judgement, Refusal> {
        unimplemented!()
    }

    /// The right answer as it is said: to the figures asked for, with its unit.
    pub fn right(&self) -> String {
        unimplemented!()
    }
}
