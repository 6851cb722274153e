//! A lesson as it is gone through: read, answer, and once more with other numbers where the answer was wrong.

use super::exercise::{Answer, Exercise, Figures, Judgement};
use super::lesson::{Lesson, Step};
use super::quiz::{Quiz, Told};
use crate::chance::Chance;
use crate::quantity::Refusal;
use crate::screens::{Line, Screen};

/// A lesson that is being gone through.
pub struct Course {
    lesson: Lesson,
    steps: Vec<Step>,
    at: usize,
    /// The question that is asked now: that of the step, or another of its kind.
    asked: Option<Exercise>,
    is_second: bool,
    chance: Chance,
    right_at_once: usize,
}

impl Course {
    /// At the first step. The seed decides the numbers of second questions.
    pub fn new(lesson: Lesson, seed: u64) -> Self {
        let steps = lesson.steps();
        let asked = steps.first().map(|step| step.exercise.clone());
        let chance = Chance::of(seed, lesson as u64);
        Self { lesson, steps, at: 0, asked, is_second: false, chance, right_at_once: 0 }
    }

    /// The lesson.
    pub const fn lesson(&self) -> Lesson {
        self.lesson
    }

    /// How many steps it has, and how many of their questions were answered right at once.
    pub fn score(&self) -> (usize, usize) {
        (self.steps.len(), self.right_at_once)
    }

    /// Whether it is gone through.
    pub const fn is_over(&self) -> bool {
        self.asked.is_none()
    }

    fn go_on(&mut self) {
        self.at += 1;
        self.is_second = false;
        self.asked = self.steps.get(self.at).map(|step| step.exercise.clone());
    }
}

impl Quiz for Course {
    fn shown(&self, screen: Screen) -> Vec<Line> {
        match self.steps.get(self.at) {
            Some(step) if !self.is_second => (step.shown)(screen),
            _ => vec![],
        }
    }

    fn exercise(&self) -> Option<&Exercise> {
        self.asked.as_ref()
    }

    fn answer(&mut self, typed: &str) -> Result<Told, Refusal> {
        let Some(exercise) = self.asked.clone() else {
            return Err(Refusal::new("answer", typed, "comes after the last question", "nothing more"));
        };
        let judgement = exercise.judge(typed)?;
        Ok(self.told(exercise, judgement))
    }

    fn pass(&mut self) -> Option<Told> {
        let exercise = self.asked.clone()?;
        Some(self.told(exercise, Judgement::Wrong(None)))
    }
}

impl Course {
    fn told(&mut self, exercise: Exercise, judgement: Judgement) -> Told {
        let is_first = !self.is_second;
        let comes_back = is_first && judgement != Judgement::Right;
        if comes_back {
            let figures = match exercise.answer {
                Answer::Number { figures, .. } => figures,
                Answer::Word { .. } => Figures::Two,
            };
            let mut others = (0..TRIES).map(|_| exercise.form.exercise(figures, &mut self.chance));
            // The same words again would only ask for the answer that was just shown.
            self.asked = others.find(|other| other.ask != exercise.ask);
            self.is_second = true;
        }
        if !comes_back || self.asked.is_none() {
            self.go_on();
        }
        self.right_at_once += usize::from(is_first && judgement == Judgement::Right);
        Told { exercise, judgement, is_first, comes_back: comes_back && self.is_second }
    }
}

/// So often another question of the same form is looked for.
const TRIES: usize = 8;
