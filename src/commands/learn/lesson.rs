//! `cornerset learn lesson`: a lesson, read and answered.

use std::path::PathBuf;

use clap::Args;
use serde_json::json;

use super::learner::{Learner, LearnerOption};
use crate::commands::common::Common;
use crate::commands::error::{CommandError, Exit};
use crate::commands::words::one_of;
use crate::learn::{self, Course, FinishedLesson, Lesson};
use crate::screens::Emphasis;
use crate::session::{Clock, Stop};
use crate::terminal::{Answers, QuizEnd, SystemClock, Voice, put_questions};

/// A lesson: a screen to read, a question on it, and so on to its end
///
/// Lessons: ratio, octave, slope, cone, meter, tolerance, traps, safety. A wrong answer is followed by its working, and by
/// the same question with other numbers.
#[derive(Debug, Args)]
pub(in crate::commands) struct LessonSession {
    /// Which one
    #[arg(value_name = "LESSON", value_parser = |typed: &str| one_of(typed, &Lesson::ALL, Lesson::word))]
    lesson: Lesson,
    /// Answers from a file, or from standard input with `-`: `answer: 0.71`, one a line, `#` comments
    #[arg(long, value_name = "FILE")]
    script: Option<PathBuf>,
    #[command(flatten)]
    pub(super) learner: LearnerOption,
}

impl LessonSession {
    pub fn run(&self, learner: &LearnerOption, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let store = common.open_store()?;
        let (learner, mut answers) = learner.with_answers("a lesson", self.script.as_deref(), &store, voice)?;
        go_through(self.lesson, learner.as_ref(), &mut answers, voice)
    }
}

/// Goes through a lesson.
pub(super) fn go_through(
    lesson: Lesson,
    learner: Option<&Learner>,
    answers: &mut Answers,
    voice: &Voice,
) -> Result<Exit, CommandError> {
    let mut course = Course::new(lesson);
    voice.show(&learn::lesson_opening(lesson, voice.screen()));
    let ended = put_questions(&mut course, answers, None, voice, &mut |outcome| {
        learner.map_or(Ok(()), |learner| learner.answered(outcome))
    });
    let ended = ended.map_err(stopped)?;
    if ended == QuizEnd::Left && matches!(answers, Answers::Script(_)) {
        let why = format!("the script ends before the last question of the lesson `{}`", lesson.word());
        return Err(CommandError::Usage(format!("{why}; accepted: a line `answer: ...` for each question")));
    }
    if ended == QuizEnd::Left {
        voice.show(&learn::lesson_left(lesson, voice.screen()));
        return Ok(Exit::Interrupted);
    }
    let (questions, right_at_once) = course.score();
    if let Some(learner) = learner {
        learner.finished(FinishedLesson {
            at: SystemClock.now(),
            lesson: lesson.word().to_owned(),
            questions,
            right_at_once,
        })?;
    }
    if voice.style().json {
        let event =
            json!({"event": "lesson", "lesson": lesson.word(), "questions": questions, "right_at_once": right_at_once});
        voice.event(&event)?;
    } else {
        voice.print(&learn::lesson_end(lesson, questions, right_at_once, voice.screen()))?;
    }
    warn_of_left_over(answers, voice);
    Ok(if right_at_once == questions { Exit::Done } else { Exit::Findings })
}

/// Says which lines of a script nobody asked for.
pub(super) fn warn_of_left_over(answers: &mut Answers, voice: &Voice) {
    if let Some(line) = answers.left_over() {
        let text = format!("line {line} of the script and what follows was not asked for and is not taken.");
        voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
    }
}

/// Why questions ended before their end.
pub(super) fn stopped(stop: Stop) -> CommandError {
    match stop {
        Stop::Interrupted => CommandError::Interrupted,
        Stop::Input(why) => CommandError::Usage(why),
        Stop::NotTold(why) => CommandError::Storage(why),
        Stop::NotKept(why) => CommandError::Storage(why.to_string()),
    }
}
