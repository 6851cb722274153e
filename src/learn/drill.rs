//! A drill: endless questions from a seed, spaced so that what was missed comes back. A pure state machine.

use super::exercise::{Exercise, Figures, Judgement};
use super::order::Order;
use super::progress::Progress;
use super::quiz::{Outcome, Quiz};
use super::said::exercise_asked;
use super::score::Score;
use super::skill::Skill;
use crate::quantity::Refusal;
use crate::screens::{Line, Screen};

/// A drill as it stands: it follows from the seed, the progress at its start and the answers, and from nothing else.
#[derive(Debug, Clone)]
pub struct Drill {
    order: Order,
    progress: Progress,
    score: Score,
    exercise: Exercise,
}

impl Quiz for Drill {
    fn shown(&self, _screen: Screen) -> Vec<Line> {
        vec![]
    }

    fn asked(&self, screen: Screen) -> Vec<Line> {
        exercise_asked(&self.exercise, &format!("{}. ", self.number()), self.came_back(), screen)
    }

    fn exercise(&self) -> Option<&Exercise> {
        Some(&self.exercise)
    }

    fn answer(&mut self, typed: &str) -> Result<Outcome, Refusal> {
        Ok(self.note(self.exercise.judge(typed)?))
    }

    fn pass(&mut self) -> Option<Outcome> {
        Some(self.note(Judgement::Shown))
    }
}

impl Drill {
    /// A drill in these skills; in all of them where none is named.
    pub fn new(seed: u64, skills: &[Skill], figures: Figures, progress: &Progress) -> Self {
        let mut order = Order::new(seed, skills, figures);
        let exercise = order.next(None, progress);
        Self { order, progress: progress.clone(), score: Score::default(), exercise }
    }

    /// The number of the question that is asked now, from 1.
    pub const fn number(&self) -> usize {
        self.order.number() + 1
    }

    /// Whether the question that is asked now came back after a miss.
    pub fn came_back(&self) -> bool {
        self.order.comes_back(self.exercise.form)
    }

    /// How it goes.
    pub const fn score(&self) -> &Score {
        &self.score
    }

    /// The learner's progress, with this drill.
    pub const fn progress(&self) -> &Progress {
        &self.progress
    }

    /// Takes note of how the question was answered, and asks the next one.
    fn note(&mut self, judgement: Judgement) -> Outcome {
        let form = self.exercise.form;
        let (first, right) = (!self.came_back(), judgement == Judgement::Right);
        self.score.note(&self.exercise, judgement, first);
        if first {
            self.progress.note(form, right);
        }
        let comes_back = self.order.note(form, right);
        let next = self.order.next(Some(form), &self.progress);
        let exercise = std::mem::replace(&mut self.exercise, next);
        Outcome { judgement, exercise, first, comes_back }
    }
}
