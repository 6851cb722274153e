//! From a form to a question with numbers.

use super::draft::Draft;
use super::kind::Form;
use super::level;
use crate::chance::Chance;
use crate::learn::exercise::{Exercise, Figures};

/// How often numbers are drawn again so that every known mistake can be told from the right answer and from the others.
const DRAWS: usize = 12;

impl Form {
    /// A question of this kind.
    ///
    /// Numbers are drawn until every known mistake stands apart; where that does not come about, the draw that keeps most
    /// of them is taken.
    pub fn exercise(self, figures: Figures, chance: &mut Chance) -> Exercise {
        let mut best: Option<(usize, Exercise)> = None;
        for _ in 0..DRAWS {
            let draft = self.draft(figures, chance);
            let all = draft.mistakes.len();
            let exercise = draft.into_exercise(self);
            let kept = exercise.mistakes.len();
            if best.as_ref().is_none_or(|(most, _)| kept > *most) {
                best = Some((kept, exercise));
            }
            if kept == all {
                break;
            }
        }
        best.map_or_else(|| self.draft(figures, chance).into_exercise(self), |(_, exercise)| exercise)
    }

    fn draft(self, figures: Figures, chance: &mut Chance) -> Draft {
        match self {
            Self::RatioOfDown => level::ratio_of_down(figures, chance),
        }
    }
}
