//! What stands around questions: the head and the end of a lesson and of a drill.

use super::exercise::{Answer, Exercise, Figures};
use super::lesson::Lesson;
use super::said::what_to_type;
use crate::quantity::show;
use crate::screens::{Emphasis, Line, Screen};

/// The head of a lesson.
pub fn lesson_opening(lesson: Lesson, screen: Screen) -> Vec<Line> {
    let place = Lesson::ALL.into_iter().position(|known| known == lesson).unwrap_or(0) + 1;
    let mut lines = vec![Line::empty()];
    let text = format!("Lesson {place} of {}: {}", Lesson::ALL.len(), lesson.title());
    lines.extend(screen.paragraph(0, Emphasis::Strong, &text));
    lines.extend(screen.paragraph(0, Emphasis::Faint, KEYS));
    lines
}

/// What can be typed besides an answer.
const KEYS: &str = "?\u{a0}what can be typed  show\u{a0}the answer, and count it as missed  q\u{a0}leave";

/// A lesson was left before its end.
pub fn lesson_left(lesson: Lesson, screen: Screen) -> Vec<Line> {
    let text = format!("Left; `cornerset learn lesson {}` starts it again.", lesson.word());
    [vec![Line::empty()], screen.paragraph(0, Emphasis::Plain, &text)].concat()
}

/// The end of a lesson.
pub fn lesson_end(lesson: Lesson, questions: usize, right_at_once: usize, screen: Screen) -> Vec<Line> {
    let text = format!("{}: {right_at_once} of {} right at once.", lesson.title(), show::plural(questions, "question"));
    screen.paragraph(0, Emphasis::Strong, &text)
}

/// The head of a drill.
pub fn drill_opening(seed: u64, figures: Figures, screen: Screen) -> Vec<Line> {
    let how = match figures {
        Figures::Two => "by head: two figures do",
        Figures::Three => "with a calculator: three figures",
    };
    let mut lines = vec![Line::empty()];
    lines.extend(screen.paragraph(0, Emphasis::Strong, &format!("Drill {seed}, {how}")));
    lines.extend(screen.paragraph(0, Emphasis::Faint, KEYS));
    lines
}

/// What can be typed at a question.
pub fn question_help(exercise: &Exercise, screen: Screen) -> Vec<Line> {
    let how = match exercise.answer {
        Answer::Number { .. } => "A number, with its unit or without: 5.66, 5,66 V, 5660 mV.",
        Answer::Word { .. } => "One of the words; capitals or not.",
    };
    let mut lines = screen.paragraph(2, Emphasis::Plain, &format!("{} {how}", what_to_type(exercise)));
    let others =
        "`show` gives the answer and its working, and counts as missed; `q` leaves. What was answered is kept.";
    lines.extend(screen.paragraph(2, Emphasis::Plain, others));
    lines
}
