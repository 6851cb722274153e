//! Lessons and drills: what a beginner reads, is asked, and is told of a mistake.

mod article;
mod course;
mod drill;
mod exercise;
mod form;
mod frame;
mod left;
mod lesson;
mod looked;
mod menu;
mod order;
mod progress;
mod quiz;
mod said;
mod score;
mod skill;
mod slips;
mod spacing;
mod typed;

pub use course::Course;
pub use drill::Drill;
pub use exercise::{Answer, Exercise, Figures, Judgement, Mistake, Said};
pub use form::Form;
pub use frame::{drill_opening, lesson_end, lesson_left, lesson_opening, question_help};
pub use left::left;
pub use lesson::{Lesson, Step};
pub use menu::{Choice, menu, menu_help, next_choice};
pub use progress::{FinishedLesson, IN_A_ROW, KEPT, Progress, ProgressError, Standing, TriedBench, Tries, forms_of};
pub use quiz::{Outcome, Quiz};
pub use said::{exercise_asked, exercise_judged, outcome, progress_said, score_said, what_to_type};
pub use score::{Score, SkillScore, lesson_for};
pub use skill::Skill;
pub use slips::{Slip, slips};
