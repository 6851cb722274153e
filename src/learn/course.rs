//! A lesson as it is gone through: read, answer, and once more with other numbers where the answer was wrong.

use super::exercise::{Answer, Exercise, Figures, Judgement};
use super::lesson::{Lesson, Step};
use super::quiz::{Outcome, Quiz};
use super::said::what_to_type;
use crate::chance::Chance;
use crate::quantity::Refusal;
use crate::screens::{Emphasis, Line, Screen};

/// So often another question of the same form is looked for.
const TRIES: usize = 8;

/// A lesson that is being gone through.
pub struct Course {
    steps: Vec<Step>,
    at: usize,
    /// The question that is asked now: that of the step, or another of its form.
    asked: Option<Exercise>,
    /// Whether it is the other one.
    is_second: bool,
    chance: Chance,
    right_at_once: usize,
}

impl Course {
    /// At the first step. The seed decides the numbers of second questions.
    pub fn new(lesson: Lesson, seed: u64) -> Self {
        let steps = lesson.steps();
        let asked = steps.first().map(|step| step.exercise.clone());
        Self { steps, at: 0, asked, is_second: false, chance: Chance::of(seed, 0), right_at_once: 0 }
    }

    /// How many questions the lesson has, and how many were answered right at once.
    pub fn score(&self) -> (usize, usize) {
        (self.steps.len(), self.right_at_once)
    }

    fn note(&mut self, exercise: Exercise, judgement: Judgement) -> Outcome {
        let (first, right) = (!self.is_second, judgement == Judgement::Right);
        self.right_at_once += usize::from(first && right);
        let other = if first && !right { self.other_than(&exercise) } else { None };
        self.is_second = other.is_some();
        if other.is_none() {
            self.at += 1;
        }
        self.asked = other.or_else(|| self.steps.get(self.at).map(|step| step.exercise.clone()));
        Outcome { judgement, exercise, first, comes_back: self.is_second }
    }

    /// Another question of the same form. The same words again would only ask for the answer that was just shown.
    fn other_than(&mut self, exercise: &Exercise) -> Option<Exercise> {
        let figures = match exercise.answer {
            Answer::Number { figures, .. } => figures,
            Answer::Word { .. } => Figures::Two,
        };
        let mut others = (0..TRIES).map(|_| exercise.form.exercise(figures, &mut self.chance));
        others.find(|other| other.ask != exercise.ask)
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
        let Some(exercise) = &self.asked else { return vec![] };
        let mut lines = vec![Line::empty()];
        lines.extend(screen.paragraph(0, Emphasis::Strong, &exercise.ask));
        lines.extend(screen.paragraph(0, Emphasis::Faint, &what_to_type(exercise)));
        lines
    }

    fn exercise(&self) -> Option<&Exercise> {
        self.asked.as_ref()
    }

    fn answer(&mut self, typed: &str) -> Result<Outcome, Refusal> {
        let Some(exercise) = self.asked.clone() else {
            return Err(Refusal::new("answer", typed, "comes after the last question", "nothing more"));
        };
        let judgement = exercise.judge(typed)?;
        Ok(self.note(exercise, judgement))
    }

    fn pass(&mut self) -> Option<Outcome> {
        let exercise = self.asked.clone()?;
        Some(self.note(exercise, Judgement::Wrong(None)))
    }
}
