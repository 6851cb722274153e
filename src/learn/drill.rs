//! A drill: endless questions from a seed, spaced so that what was missed comes back. A pure state machine.

use std::collections::BTreeMap;

use super::exercise::{Exercise, Figures, Judgement};
use super::form::Form;
use super::progress::{Progress, Standing};
use super::score::Score;
use super::skill::Skill;
use super::spacing::Spacing;
use crate::chance::Chance;
use crate::quantity::Refusal;

/// How often numbers are drawn again where a form would ask what it asked last time.
const OTHER_NUMBERS: usize = 20;

/// Streams of a drill's seed begin here, so that they are no other part's; each question has two.
const STREAMS: u64 = 1 << 32;

/// A drill as it stands: it follows from the seed, the progress at its start and the answers, and from nothing else.
#[derive(Debug, Clone)]
pub struct Drill {
    seed: u64,
    forms: Vec<Form>,
    figures: Figures,
    progress: Progress,
    score: Score,
    spacing: Spacing,
    /// How often each form was asked in this drill.
    asked: BTreeMap<Form, usize>,
    /// What each form asked last.
    said: BTreeMap<Form, String>,
    /// How many questions were answered.
    number: usize,
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
        let wanted = |form: &Form| skills.is_empty() || skills.contains(&form.skill());
        let forms: Vec<Form> = Form::ALL.into_iter().filter(wanted).collect();
        let placeholder = Form::ALL[0].exercise(figures, &mut Chance::of(seed, STREAMS));
        let mut drill = Self {
            seed,
            forms,
            figures,
            progress: progress.clone(),
            score: Score::default(),
            spacing: Spacing::default(),
            asked: BTreeMap::new(),
            said: BTreeMap::new(),
            number: 0,
            exercise: placeholder,
        };
        drill.ask(None);
        drill
    }

    /// The question that is asked now.
    pub const fn exercise(&self) -> &Exercise {
        &self.exercise
    }

    /// The number of the question that is asked now, from 1.
    pub const fn number(&self) -> usize {
        self.number + 1
    }

    /// Whether the question that is asked now came back after a miss.
    pub fn came_back(&self) -> bool {
        self.spacing.holds(self.exercise.form)
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
        let comes_back = self.spacing.note(form, self.number, right, &mut self.chance(1));
        self.number += 1;
        let exercise = self.exercise.clone();
        self.ask(Some(form));
        Ok(Outcome { judgement, exercise, first, comes_back })
    }

    /// The chance of this question: its numbers (0), or when it comes back (1).
    fn chance(&self, of: u64) -> Chance {
        Chance::of(self.seed, STREAMS + 2 * self.number as u64 + of)
    }

    /// Chooses the next question.
    fn ask(&mut self, last: Option<Form>) {
        let mut chance = self.chance(0);
        let form = self.choose(last, &mut chance);
        let said = self.said.get(&form);
        let mut exercise = form.exercise(self.figures, &mut chance);
        for _ in 0..OTHER_NUMBERS {
            if said != Some(&exercise.ask) {
                break;
            }
            exercise = form.exercise(self.figures, &mut chance);
        }
        self.said.insert(form, exercise.ask.clone());
        *self.asked.entry(form).or_default() += 1;
        self.exercise = exercise;
    }

    /// What is due, else what is new or weak, else what holds; what was asked least in this drill first. Never the same form
    /// twice running where there is another: then what waits comes back early.
    fn choose(&self, last: Option<Form>, chance: &mut Chance) -> Form {
        if let Some(form) = self.spacing.due(self.number, last) {
            return form;
        }
        let fresh = |form: &&Form| Some(**form) != last && !self.spacing.holds(**form);
        let rank = |form: &Form| {
            let times = self.asked.get(form).copied().unwrap_or(0);
            (self.progress.standing(*form) == Standing::Holds, times)
        };
        let first = self.forms.iter().filter(fresh).map(rank).min();
        let best: Vec<Form> =
            self.forms.iter().filter(fresh).filter(|form| Some(rank(form)) == first).copied().collect();
        if best.is_empty() {
            return self.spacing.next(last).or(last).unwrap_or(Form::ALL[0]);
        }
        *chance.one_of(&best)
    }
}
