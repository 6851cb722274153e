//! A question while it is made.

use super::kind::Form;
use crate::learn::exercise::{Answer, Exercise, Figures, Mistake, Said};
use crate::quantity::ranges::Quantity;

/// A question that may still have mistakes which cannot be told apart.
pub(super) struct Draft {
    pub ask: String,
    pub given: Vec<(&'static str, f64)>,
    pub answer: Answer,
    pub working: Vec<String>,
    pub mistakes: Vec<Mistake>,
}

impl Draft {
    /// A question for a number.
    pub fn number(
        ask: String,
        given: &[(&'static str, f64)],
        value: f64,
        quantity: Quantity,
        figures: Figures,
    ) -> Self {
        let answer = Answer::Number { value, quantity, figures };
        Self { ask, given: given.to_vec(), answer, working: vec![], mistakes: vec![] }
    }

    /// A question for a word.
    pub fn word(ask: String, given: &[(&'static str, f64)], right: &'static str, of: &'static [&'static str]) -> Self {
        Self { ask, given: given.to_vec(), answer: Answer::Word { right, of }, working: vec![], mistakes: vec![] }
    }

    /// With a line of working.
    pub fn working(mut self, line: impl Into<String>) -> Self {
        self.working.push(line.into());
        self
    }

    /// With a mistake that gives a number.
    pub fn mistake(mut self, gives: f64, name: impl Into<String>) -> Self {
        self.mistakes.push(Mistake { gives: Said::Number(gives), name: name.into() });
        self
    }

    /// With a mistake that gives a word.
    pub fn mistaken_word(mut self, gives: &'static str, name: impl Into<String>) -> Self {
        self.mistakes.push(Mistake { gives: Said::Word(gives), name: name.into() });
        self
    }

    /// The question, without the mistakes that nobody could type as an answer here, and without those that the right answer
    /// or an earlier mistake could be taken for.
    pub fn into_exercise(self, form: Form) -> Exercise {
        let Self { ask, given, answer, working, mistakes } = self;
        let mut apart: Vec<Mistake> = vec![];
        for mistake in mistakes {
            let taken = !answer.can_be(&mistake.gives)
                || answer.confuses(&answer.said(), &mistake.gives)
                || apart.iter().any(|other| answer.confuses(&other.gives, &mistake.gives));
            if !taken {
                apart.push(mistake);
            }
        }
        Exercise { form, ask, given, answer, working, mistakes: apart }
    }
}
