//! Lessons and drills: what a beginner reads, is asked, and is told of a mistake.

mod course;
mod drill;
mod exercise;
mod form;
mod lesson;
mod progress;
mod said;
mod score;
mod skill;
mod spacing;
mod typed;

pub use drill::{Drill, Outcome};
pub use exercise::{Answer, Exercise, Figures, Judgement, Mistake, Said};
pub use form::Form;
pub use lesson::{Lesson, Step};
pub use progress::{FinishedLesson, IN_A_ROW, KEPT, Progress, ProgressError, Standing, TriedBench, Tries, forms_of};
pub use said::{exercise_asked, exercise_judged, outcome, progress_said, score_said, what_to_type};
pub use score::{Score, SkillScore, lesson_for};
pub use skill::Skill;
