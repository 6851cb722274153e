//! When a form that was missed comes back.

use super::form::Form;
use crate::chance::Chance;

/// Forms that come back, each at most once.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Spacing(Vec<Due>);

/// A form that comes back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Due {
    form: Form,
    /// At which question, counted from the first.
    at: usize,
    /// Whether it was right once since it was missed.
    once: bool,
}

impl Spacing {
    /// Takes note of how the question of this number went. Gives whether the form comes back.
    ///
    /// Missed, it comes back after 2 or 3 others; right then, after about 7 (6 to 8); right again, it leaves. Missed
    /// meanwhile, it starts over.
    pub fn note(&mut self, form: Form, number: usize, right: bool, chance: &mut Chance) -> bool {
        let waited = self.0.iter().position(|due| due.form == form).map(|place| self.0.remove(place));
        let due = match (right, waited) {
            (false, _) => Due { form, at: number + 3 + chance.below(2), once: false },
            (true, Some(Due { once: false, .. })) => Due { form, at: number + 7 + chance.below(3), once: true },
            (true, _) => return false,
        };
        self.0.push(due);
        true
    }

    /// Whether a form is waiting to come back.
    pub fn holds(&self, form: Form) -> bool {
        self.0.iter().any(|due| due.form == form)
    }

    /// The form that is due at this question or overdue, the longest first, other than `last`.
    pub fn due(&self, number: usize, last: Option<Form>) -> Option<Form> {
        self.soonest(last).filter(|due| due.at <= number).map(|due| due.form)
    }

    /// The form that comes back soonest, due or not, other than `last`.
    pub fn next(&self, last: Option<Form>) -> Option<Form> {
        self.soonest(last).map(|due| due.form)
    }

    fn soonest(&self, last: Option<Form>) -> Option<Due> {
        self.0.iter().filter(|due| Some(due.form) != last).min_by_key(|due| due.at).copied()
    }
}
