//! Which question comes next: what is due, what is new or weak, what holds.

use std::collections::BTreeMap;

use super::exercise::{Exercise, Figures};
use super::form::Form;
use super::progress::{Progress, Standing};
use super::skill::Skill;
use super::spacing::Spacing;
use crate::chance::Chance;

/// How often numbers are drawn again where a form would ask what it asked last time.
const OTHER_NUMBERS: usize = 20;

/// Streams of a drill's seed begin here; each question has two.
const STREAMS: u64 = 1 << 32;

/// The order of a drill's questions.
#[derive(Debug, Clone)]
pub(super) struct Order {
    seed: u64,
    forms: Vec<Form>,
    figures: Figures,
    spacing: Spacing,
    /// How many questions were answered.
    number: usize,
    /// Whether the last question came back after a miss.
    last_came_back: bool,
    /// How often each form was asked in this drill.
    asked: BTreeMap<Form, usize>,
    /// What each form asked last.
    said: BTreeMap<Form, String>,
}

impl Order {
    /// The order of questions in these skills; through all of them where none is named.
    pub fn new(seed: u64, skills: &[Skill], figures: Figures) -> Self {
        let wanted = |form: &Form| {
            (skills.is_empty() || skills.contains(&form.skill())) && (figures == Figures::Three || form.is_by_head())
        };
        Self {
            seed,
            forms: Form::ALL.into_iter().filter(wanted).collect(),
            figures,
            spacing: Spacing::default(),
            number: 0,
            last_came_back: false,
            asked: BTreeMap::new(),
            said: BTreeMap::new(),
        }
    }

    /// How many questions were answered.
    pub const fn number(&self) -> usize {
        self.number
    }

    /// Whether this form waits to come back after a miss.
    pub fn comes_back(&self, form: Form) -> bool {
        self.spacing.holds(form)
    }

    /// Takes note of how a question went. Gives whether its form comes back.
    pub fn note(&mut self, form: Form, right: bool) -> bool {
        let comes_back = self.spacing.note(form, self.number, right, &mut self.chance(1));
        self.number += 1;
        comes_back
    }

    /// The next question, after one of the form `last`.
    pub fn next(&mut self, last: Option<Form>, progress: &Progress) -> Exercise {
        let mut chance = self.chance(0);
        let form = self.choose(last, progress, &mut chance);
        self.last_came_back = self.spacing.holds(form);
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
        exercise
    }

    /// The chance of this question: its form and numbers (0), or when it comes back (1).
    fn chance(&self, of: u64) -> Chance {
        Chance::of(self.seed, STREAMS + 2 * self.number as u64 + of)
    }

    /// What is due, else what is new or weak, else what holds; what was asked least in this drill first. Never the same form
    /// twice running where there is another: then what waits comes back early. Nor do two questions running come back where
    /// there is a fresh one: who misses much would see only a few kinds of question for ever.
    fn choose(&self, last: Option<Form>, progress: &Progress, chance: &mut Chance) -> Form {
        let is_fresh = |form: &Form| Some(*form) != last && !self.spacing.holds(*form);
        if let Some(form) = self.spacing.due(self.number, last)
            && !(self.last_came_back && self.forms.iter().any(is_fresh))
        {
            return form;
        }
        let rank = |form: &Form| {
            let times = self.asked.get(form).copied().unwrap_or(0);
            (progress.standing(*form) == Standing::Holds, times)
        };
        let fresh = || self.forms.iter().filter(|form| is_fresh(form));
        let first = fresh().map(rank).min();
        let best: Vec<Form> = fresh().filter(|form| Some(rank(form)) == first).copied().collect();
        if best.is_empty() {
            return self.spacing.next(last).or(last).unwrap_or(Form::ALL[0]);
        }
        *chance.one_of(&best)
    }
}
