//! The lessons: every question answered and answered wrongly, every number worked out again elsewhere, every screen as
//! text at 80 and at 60 columns.

mod common;

#[path = "lessons/answers.rs"]
mod answers;
#[path = "lessons/elsewhere.rs"]
mod elsewhere;
#[path = "lessons/screens.rs"]
mod screens;
#[path = "lessons/texts.rs"]
mod texts;
