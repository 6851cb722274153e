//! What asks one exercise after another: a lesson, or a drill.

use super::exercise::{Exercise, Judgement};
use crate::quantity::Refusal;
use crate::screens::{Line, Screen};

/// Asks one exercise after another.
pub trait Quiz {
    /// What is read before the question; empty where nothing is.
    fn shown(&self, screen: Screen) -> Vec<Line>;

    /// What is asked now; `None` at the end.
    fn exercise(&self) -> Option<&Exercise>;

    /// Takes an answer, and goes on to the next question.
    ///
    /// # Errors
    /// Where it is no answer at all; then the same question is asked.
    fn answer(&mut self, typed: &str) -> Result<Told, Refusal>;

    /// Shows the answer in place of one, which counts as missed, and goes on; `None` at the end.
    fn pass(&mut self) -> Option<Told>;
}

/// What is told of an answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// What was asked.
    pub exercise: Exercise,
    /// How the answer was.
    pub judgement: Judgement,
    /// Whether it was the first try at a question of this form.
    pub is_first: bool,
    /// Whether the same with other numbers comes again, at once or later.
    pub comes_back: bool,
}
