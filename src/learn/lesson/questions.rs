//! The questions of the lessons, put together from their parts.

use crate::learn::exercise::{Answer, Exercise, Figures, Mistake, Said};
use crate::learn::form::Form;
use crate::quantity::ranges::Quantity;

/// A question that a number answers; what is wrong is told by what it gives.
pub(super) struct Number {
    pub form: Form,
    pub ask: String,
    pub given: Vec<(&'static str, f64)>,
    pub value: f64,
    pub quantity: Quantity,
    pub working: Vec<String>,
    pub mistakes: Vec<(f64, String)>,
}

impl Number {
    /// To three figures: the lessons are taken with a calculator at hand.
    pub fn exercise(self) -> Exercise {
        self.to(Figures::Three)
    }

    /// To two figures, where the lesson says how it is done in the head.
    pub fn by_head(self) -> Exercise {
        self.to(Figures::Two)
    }

    fn to(self, figures: Figures) -> Exercise {
        let mistake = |(gives, name)| Mistake { gives: Said::Number(gives), name };
        Exercise {
            form: self.form,
            ask: self.ask,
            given: self.given,
            answer: Answer::Number { value: self.value, quantity: self.quantity, figures },
            working: self.working,
            mistakes: self.mistakes.into_iter().map(mistake).collect(),
        }
    }
}

/// A question that a word answers; every other word is a mistake with a name.
pub(super) struct Word {
    pub form: Form,
    pub ask: String,
    pub given: Vec<(&'static str, f64)>,
    pub right: &'static str,
    pub of: &'static [&'static str],
    pub working: Vec<String>,
    pub mistakes: Vec<(&'static str, String)>,
}

impl Word {
    pub fn exercise(self) -> Exercise {
        let mistake = |(gives, name)| Mistake { gives: Said::Word(gives), name };
        Exercise {
            form: self.form,
            ask: self.ask,
            given: self.given,
            answer: Answer::Word { right: self.right, of: self.of },
            working: self.working,
            mistakes: self.mistakes.into_iter().map(mistake).collect(),
        }
    }
}
