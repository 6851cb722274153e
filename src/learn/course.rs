//! A lesson as it is gone through: read, answer, and once more with other numbers where the answer was wrong.

use super::exercise::{Exercise, Judgement};
use super::lesson::{Lesson, Step};
use super::quiz::{Outcome, Quiz};
use super::said::what_to_type;
use crate::quantity::Refusal;
use crate::screens::{Emphasis, Line, Screen};

/// A lesson that is being gone through.
pub struct Course {
    steps: Vec<Step>,
    at: usize,
    /// Whether the step's second question is asked.
    is_second: bool,
    right_at_once: usize,
}

impl Course {
    /// At the first step.
    pub fn new(lesson: Lesson) -> Self {
        Self { steps: lesson.steps(), at: 0, is_second: false, right_at_once: 0 }
    }

    /// How many questions the lesson has, and how many were answered right at once.
    pub fn score(&self) -> (usize, usize) {
        (self.steps.len(), self.right_at_once)
    }

    fn note(&mut self, exercise: Exercise, judgement: Judgement) -> Outcome {
        let (first, right) = (!self.is_second, judgement == Judgement::Right);
        self.right_at_once += usize::from(first && right);
        self.is_second = first && !right;
        self.at += usize::from(!self.is_second);
        // The second question comes at once, and says so itself.
        Outcome { judgement, exercise, first, comes_back: false }
    }
}

impl Quiz for Course {
    fn shown(&self, screen: Screen) -> Vec<Line> {
        match self.steps.get(self.at) {
            Some(step) if !self.is_second => [vec![Line::empty()], (step.shown)(screen)].concat(),
            _ => vec![],
        }
    }

    fn asked(&self, screen: Screen) -> Vec<Line> {
        let Some(exercise) = self.exercise() else { return vec![] };
        let mut lines = vec![Line::empty()];
        if self.is_second {
            lines.push(Line { text: "Once more, with other numbers:".to_owned(), emphasis: Emphasis::Faint });
        }
        lines.extend(screen.paragraph(0, Emphasis::Strong, &exercise.ask));
        lines.extend(screen.paragraph(0, Emphasis::Faint, &what_to_type(exercise)));
        lines
    }

    fn exercise(&self) -> Option<&Exercise> {
        let step = self.steps.get(self.at)?;
        Some(if self.is_second { &step.again } else { &step.exercise })
    }

    fn answer(&mut self, typed: &str) -> Result<Outcome, Refusal> {
        let Some(exercise) = self.exercise().cloned() else {
            return Err(Refusal::new("answer", typed, "comes after the last question", "nothing more"));
        };
        let judgement = exercise.judge(typed)?;
        Ok(self.note(exercise, judgement))
    }

    fn pass(&mut self) -> Option<Outcome> {
        let exercise = self.exercise().cloned()?;
        Some(self.note(exercise, Judgement::Shown))
    }
}
