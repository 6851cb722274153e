//! What asks one question after another: a lesson, or a drill.

use super::exercise::{Exercise, Judgement};
use crate::quantity::Refusal;
use crate::screens::{Line, Screen};

/// Asks one question after another.
pub trait Quiz {
    /// What is read before the question; empty where nothing is.
    fn shown(&self, screen: Screen) -> Vec<Line>;

    /// The question as a person sees it.
    fn asked(&self, screen: Screen) -> Vec<Line>;

    /// What is asked now; `None` at the end.
    fn exercise(&self) -> Option<&Exercise>;

    /// Takes an answer, and goes on to the next question.
    ///
    /// # Errors
    /// Where it is no answer at all: the question is still the same then.
    fn answer(&mut self, typed: &str) -> Result<Outcome, Refusal>;

    /// The answer is shown in place of being given, which counts as missed; `None` at the end.
    fn pass(&mut self) -> Option<Outcome>;
}

/// What an answer led to.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// How it was.
    pub judgement: Judgement,
    /// The question that was answered, with its working.
    pub exercise: Exercise,
    /// Whether it had not come back after a miss: first tries are what a score counts.
    pub first: bool,
    /// Whether a question of this kind comes back later, with other numbers.
    pub comes_back: bool,
}
