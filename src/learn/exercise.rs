//! One question, its answer, its working, and the mistakes that are known.

use super::form::Form;
use super::typed;
use crate::quantity::Refusal;
use crate::quantity::ranges::Quantity;

/// How exactly a number is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Figures {
    /// Two significant figures: by head.
    Two,
    /// Three significant figures: with a calculator.
    Three,
}

/// A question that is checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Exercise {
    /// The kind of question.
    pub form: Form,
    /// The question, as one or two plain sentences.
    pub ask: String,
    /// The numbers in it, by name with the unit as suffix (`reference_v`), so that it can be worked out again elsewhere.
    pub given: Vec<(&'static str, f64)>,
    /// The answer.
    pub answer: Answer,
    /// The working of this very question: each line a formula with its numbers.
    pub working: Vec<String>,
    /// Mistakes that are known, with what each gives here. None of them is right.
    pub mistakes: Vec<Mistake>,
}

/// What is right.
#[derive(Debug, Clone, PartialEq)]
pub enum Answer {
    /// A number.
    Number {
        /// The exact value, in the base unit of its quantity.
        value: f64,
        /// The quantity.
        quantity: Quantity,
        /// How exactly it is asked for.
        figures: Figures,
    },
    /// One of these words.
    Word {
        /// The right one.
        right: &'static str,
        /// Those to choose from.
        of: &'static [&'static str],
    },
}

/// A mistake that is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Mistake {
    /// What it gives here.
    pub gives: Said,
    /// What was done, as a sentence: `That is 10 log: ...`.
    pub name: String,
}

/// What somebody says.
#[derive(Debug, Clone, PartialEq)]
pub enum Said {
    /// A number in the base unit.
    Number(f64),
    /// A word.
    Word(&'static str),
}

/// How an answer was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Judgement {
    /// Right.
    Right,
    /// Not right, but it agrees with the answer to two figures where three are asked for.
    Nearly,
    /// Wrong; the place in `mistakes` of the one that was made, where it is known.
    Wrong(Option<usize>),
    /// No answer was given: it was shown.
    Shown,
}

impl Figures {
    /// How many.
    pub const fn count(self) -> usize {
        match self {
            Self::Two => 2,
            Self::Three => 3,
        }
    }

    /// The least tolerance, as a share.
    ///
    /// A figure that was rounded on the way is off by up to 2 % with two figures from 25 up, and by up to 0.2 % with three
    /// from 250 up: 0.71 for 0.7079 is no mistake by head.
    const fn least(self) -> f64 {
        match self {
            Self::Two => 0.02,
            Self::Three => 0.002,
        }
    }

    /// How far from this value an answer still is this value: half a unit of its last figure, so that what is rounded rightly
    /// is always right, and never less than 2 % by head or 0.2 % with a calculator.
    pub fn tolerance(self, value: f64) -> f64 {
        (half_unit(value, self.count()).max(self.least() * value.abs())) * (1.0 + NOISE)
    }
}

/// Room for the rounding of binary arithmetic, as a share.
const NOISE: f64 = 1e-9;

impl Answer {
    /// Whether this could be said for an answer: a positive number, a whole one where things are counted.
    pub(super) fn can_be(&self, said: &Said) -> bool {
        match (self, said) {
            (Self::Number { quantity, .. }, Said::Number(value)) => {
                *value > 0.0 && value.is_finite() && (*quantity != Quantity::Count || value.fract() == 0.0)
            }
            (Self::Word { of, .. }, Said::Word(word)) => of.contains(word),
            _ => false,
        }
    }

    /// Whether two values are too near to be told apart: where what is taken for the one may be taken for the other.
    pub(super) fn confuses(&self, one: &Said, other: &Said) -> bool {
        match (self, one, other) {
            (Self::Number { quantity: Quantity::Count, .. }, Said::Number(one), Said::Number(other)) => one == other,
            (Self::Number { figures, .. }, Said::Number(one), Said::Number(other)) => {
                (one - other).abs() <= figures.tolerance(*one) + figures.tolerance(*other)
            }
            (_, one, other) => one == other,
        }
    }

    /// What is right.
    pub(super) const fn said(&self) -> Said {
        match self {
            Self::Number { value, .. } => Said::Number(*value),
            Self::Word { right, .. } => Said::Word(right),
        }
    }
}

impl Exercise {
    /// Judges what was typed.
    ///
    /// # Errors
    /// Where it is no answer at all: not a number, another unit, a word that is not offered. That is no wrong answer.
    pub fn judge(&self, typed: &str) -> Result<Judgement, Refusal> {
        match &self.answer {
            Answer::Number { value, quantity, figures } => {
                let said = typed::number(typed, *quantity, self.form.unit_words())?;
                let is = |right: f64, said: f64| match quantity {
                    Quantity::Count => said == right,
                    _ => (said - right).abs() <= figures.tolerance(right),
                };
                if is(*value, said.value) {
                    return Ok(Judgement::Right);
                }
                if said.as_factor.is_some_and(|factor| is(*value, factor)) {
                    return Ok(Judgement::Right);
                }
                let was = |gives: f64| is(gives, said.value) || said.as_factor.is_some_and(|factor| is(gives, factor));
                let made = |mistake: &Mistake| matches!(mistake.gives, Said::Number(gives) if was(gives));
                Ok(match self.mistakes.iter().position(made) {
                    None if *figures == Figures::Three && is_near(*value, said.value, *quantity) => Judgement::Nearly,
                    known => Judgement::Wrong(known),
                })
            }
            Answer::Word { right, of } => {
                let said = typed::word(typed, of)?;
                if said == *right {
                    return Ok(Judgement::Right);
                }
                Ok(Judgement::Wrong(self.mistakes.iter().position(|mistake| mistake.gives == Said::Word(said))))
            }
        }
    }

    /// The right answer as it is said: to the figures asked for, with its unit.
    pub fn right(&self) -> String {
        self.say(&self.answer.said())
    }

    /// An answer to this question as it is said: to the figures asked for, with its unit.
    pub fn say(&self, said: &Said) -> String {
        match (&self.answer, said) {
            (Answer::Number { quantity, figures, .. }, Said::Number(value)) => {
                let number = match quantity {
                    Quantity::Count => format!("{value}"),
                    _ => rounded(*value, figures.count()),
                };
                let unit = self.form.unit_words().first().copied().unwrap_or(quantity.unit());
                format!("{number} {unit}").trim_end().to_owned()
            }
            (Answer::Word { .. }, Said::Number(value)) => format!("{value}"),
            (_, Said::Word(word)) => (*word).to_owned(),
        }
    }
}

/// Whether a number is right to two figures.
fn is_near(right: f64, said: f64, quantity: Quantity) -> bool {
    quantity != Quantity::Count && (said - right).abs() <= half_unit(right, Figures::Two.count()) * (1.0 + NOISE)
}

/// The power of ten of a value's first figure, once it is rounded to so many.
fn exponent(value: f64, figures: usize) -> i32 {
    let text = format!("{:.*e}", figures - 1, value);
    text.split_once('e').and_then(|(_, power)| power.parse().ok()).unwrap_or(0)
}

/// So many figures that nothing is rounded.
const EVERY_FIGURE: usize = 17;

/// Half a unit of the last of so many figures. Where a value rounds up to a power of ten, its own figures count.
fn half_unit(value: f64, figures: usize) -> f64 {
    0.5 * 10f64.powi(exponent(value, EVERY_FIGURE) - (figures as i32 - 1))
}

/// A number to so many significant figures, written out with its zeros: 7.10, and 6.0 for 6.0206. What is one step of a
/// place says no more than that: 0.01.
///
/// Halves are rounded up, as people do: 1.25 is said as 1.3.
fn rounded(value: f64, figures: usize) -> String {
    let up = value * (1.0 + NOISE);
    let decimals = figures as i32 - 1 - exponent(up, figures);
    let near: f64 = format!("{:.*e}", figures - 1, up).parse().unwrap_or(value);
    let written = format!("{near:.*}", usize::try_from(decimals).unwrap_or(0));
    let step = 10f64.powi(exponent(up, figures));
    let is_step = step < 1.0 && (step - value).abs() <= NOISE * step;
    if is_step { written.trim_end_matches('0').to_owned() } else { written }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_said_to_their_figures() {
        for (value, figures, text) in [
            (5.6634, 2, "5.7"),
            (5.6634, 3, "5.66"),
            (0.70795, 2, "0.71"),
            (0.9996, 3, "1.00"),
            (449.6, 2, "450"),
            (1234.0, 3, "1230"),
            (3.0103, 2, "3.0"),
            (0.01, 2, "0.01"),
            (0.3 * 0.3, 2, "0.090"),
            (7.1, 3, "7.10"),
            (1.25, 2, "1.3"),
            (6.965, 3, "6.97"),
            (20.0, 3, "20.0"),
            (20.0, 2, "20"),
        ] {
            assert_eq!(rounded(value, figures), text);
        }
    }

    /// Half a unit of the second figure of 1.23 is 0.05, of 8.5 it is 0.05 too, but 2 % of 8.5 is more.
    #[test]
    fn a_tolerance_is_half_a_unit_of_the_last_figure_and_no_less_than_a_share() {
        let near = |one: f64, other: f64| (one - other).abs() < 1e-7;
        assert!(near(Figures::Two.tolerance(1.23), 0.05));
        assert!(near(Figures::Two.tolerance(8.5), 0.17));
        assert!(near(Figures::Three.tolerance(1.234), 0.005));
        assert!(near(Figures::Three.tolerance(8.5), 0.017));
    }
}
