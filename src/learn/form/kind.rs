//! The kinds of question: their words and what they train.

use crate::learn::skill::Skill;

macro_rules! forms {
    ($($(#[$doc:meta])* $name:ident, $word:literal, $skill:ident;)*) => {
        /// A kind of question.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Form {
            $($(#[$doc])* $name,)*
        }

        impl Form {
            /// Every form.
            pub const ALL: [Self; [$($word),*].len()] = [$(Self::$name),*];

            /// Its word.
            pub const fn word(self) -> &'static str {
                match self {
                    $(Self::$name => $word,)*
                }
            }

            /// What it trains.
            pub const fn skill(self) -> Skill {
                match self {
                    $(Self::$name => Skill::$skill,)*
                }
            }
        }
    };
}

forms! {
    /// Decibels down to the share of the volts.
    RatioOfDown, "ratio-of-down", Ratio;
}

impl Form {
    /// The form of a word.
    pub fn from_word(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|form| form.word() == word)
    }

    /// Units that only this form's answers have, the one that is shown first.
    pub const fn unit_words(self) -> &'static [&'static str] {
        &[]
    }
}
