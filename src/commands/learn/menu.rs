//! `cornerset learn` alone: what there is, what was done, what comes next.

use super::bench::BenchSession;
use super::drill::DrillSession;
use super::learner::{Learner, LearnerOption};
use super::lesson::go_through;
use crate::commands::common::Common;
use crate::commands::error::{CommandError, Exit, signals_refused};
use crate::commands::session_options::needs_terminal;
use crate::learn::{self, Choice, Progress};
use crate::quantity::text::visible;
use crate::screens::Emphasis;
use crate::terminal::{Answers, Interrupts, Voice, go_on, read_line};

/// Lets the person choose, again and again.
pub(super) fn run(option: &LearnerOption, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
    needs_terminal("learning")?;
    let store = common.open_store()?;
    let interrupts = Interrupts::listen().map_err(signals_refused)?;
    let learner = option.at_keyboard(&store, voice, &interrupts)?;
    let mut answers = Answers::Person(interrupts.clone());
    // Without a name nothing is kept on disk, but what was done just now is not offered again.
    let mut done = vec![];
    loop {
        let progress = learner.as_ref().map_or_else(|| Ok(Progress::new("")), Learner::progress)?;
        let next = learn::next_choice(&progress, &done);
        voice.show(&learn::menu(&progress, next, voice.screen()));
        let choice = loop {
            let prompt = format!("go on with [{}]", next);
            let typed = read_line(voice, &interrupts, &prompt).map_err(|_| CommandError::Interrupted)?;
            match typed.trim() {
                "q" | "Q" => return Ok(Exit::Done),
                "" => break next,
                "?" => voice.show(&learn::menu_help(voice.screen())),
                typed => match Choice::read(typed) {
                    Ok(choice) => break choice,
                    Err(refusal) => {
                        voice.show(&voice.screen().item("! ", Emphasis::Warn, &visible(&refusal.to_string())))
                    }
                },
            }
        };
        let ended = match choice {
            Choice::Lesson(lesson) => go_through(lesson, learner.as_ref(), &mut answers, voice),
            Choice::Drill => DrillSession::default().put(learner.as_ref(), &mut answers, voice),
            Choice::Bench(level) => BenchSession::of(level).set(learner.as_ref(), common, voice),
        };
        match ended {
            // `q` leads back here; a signal does not.
            Ok(Exit::Interrupted) if !interrupts.came() => {}
            Ok(Exit::Interrupted) => return Ok(Exit::Interrupted),
            Ok(_) => {
                done.push(choice);
                // The list would push what was just said off the screen.
                if !go_on(voice, &interrupts).map_err(|_| CommandError::Interrupted)? {
                    return Ok(Exit::Done);
                }
            }
            Err(error) => return Err(error),
        }
    }
}
