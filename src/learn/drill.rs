//! A drill: endless questions from a seed, spaced so that what was missed comes back. A pure state machine.

use super::course::Course;
use super::exercise::{Exercise, Figures, Judgement};
use super::progress::Progress;
use super::score::Score;
use super::skill::Skill;
use crate::quantity::Refusal;

/// A drill as it stands: it follows from the seed, the progress at its start and the answers, and from nothing else.
#[derive(Debug, Clone)]
pub struct Drill {
    course: Course,
    progress: Progress,
    score: Score,
    exercise: Exercise,
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
    /// Whether a question of this kind comes back with other numbers.
    pub comes_back: bool,
}

impl Drill {
    /// A drill in these skills; in all of them where none is named.
    pub fn new(seed: u64, skills: &[Skill], figures: Figures, progress: &Progress) -> Self {
        let mut course = Course::new(seed, skills, figures);
        let exercise = course.next(None, progress);
        Self { course, progress: progress.clone(), score: Score::default(), exercise }
    }

    /// The question that is asked now.
    pub const fn exercise(&self) -> &Exercise {
        &self.exercise
    }

    /// The number of the question that is asked now, from 1.
    pub const fn number(&self) -> usize {
        self.course.number() + 1
    }

    /// Whether the question that is asked now came back after a miss.
    pub fn came_back(&self) -> bool {
        self.course.comes_back(self.exercise.form)
    }

    /// How it goes.
    pub const fn score(&self) -> &Score {
        &self.score
    }

    /// The learner's progress, with this drill.
    pub const fn progress(&self) -> &Progress {
        &self.progress
    }

    /// Answers the question and asks the next one.
    ///
    /// # Errors
    /// Where it is no answer at all: the question is still the same then.
    pub fn answer(&mut self, typed: &str) -> Result<Outcome, Refusal> {
        let judgement = self.exercise.judge(typed)?;
        let form = self.exercise.form;
        let (first, right) = (!self.came_back(), judgement == Judgement::Right);
        self.score.note(&self.exercise, judgement, first);
        if first {
            self.progress.note(form, right);
        }
        let comes_back = self.course.note(form, right);
        let next = self.course.next(Some(form), &self.progress);
        let exercise = std::mem::replace(&mut self.exercise, next);
        Ok(Outcome { judgement, exercise, first, comes_back })
    }
}
