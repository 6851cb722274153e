//! Lessons and drills: what a beginner reads, is asked, and is told of a mistake.

mod exercise;
mod form;
mod lesson;
mod skill;
mod typed;

pub use exercise::{Answer, Exercise, Figures, Judgement, Mistake, Said};
pub use form::Form;
pub use lesson::{Lesson, Step};
pub use skill::Skill;
mod course;
mod frame;
mod menu;
mod quiz;
mod stub;
pub use course::Course;
pub use frame::*;
pub use menu::*;
pub use quiz::*;
pub use stub::*;
