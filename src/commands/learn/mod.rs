//! `cornerset learn`: lessons, drills, a simulated bench.

mod bench;
mod drill;
mod learner;
mod lesson;
mod menu;
mod progress;
mod seed;

use clap::{Args, Subcommand};

use self::bench::BenchSession;
use self::drill::DrillSession;
use self::learner::LearnerOption;
use self::lesson::LessonSession;
use self::progress::{Forget, ShowProgress};
use super::common::Common;
use super::error::{CommandError, Exit, signals_refused};
use crate::terminal::{Voice, survive_size_limits};

/// Lessons, drills, a simulated bench
///
/// Without a command it shows what there is to learn and goes on where you left it, at a terminal.
#[derive(Debug, Args)]
pub(super) struct Learn {
    #[command(subcommand)]
    command: Option<Command>,
    #[command(flatten)]
    learner: LearnerOption,
}

#[derive(Debug, Subcommand)]
enum Command {
    Lesson(LessonSession),
    Drill(DrillSession),
    Bench(BenchSession),
    Progress(ShowProgress),
    Forget(Forget),
}

impl Learn {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        survive_size_limits().map_err(signals_refused)?;
        match &self.command {
            None => menu::run(&self.learner, common, voice),
            Some(Command::Lesson(lesson)) => lesson.run(&lesson.learner.or(&self.learner), common, voice),
            Some(Command::Drill(drill)) => drill.run(&drill.learner.or(&self.learner), common, voice),
            Some(Command::Bench(bench)) => bench.run(&bench.learner.or(&self.learner), common, voice),
            Some(Command::Progress(progress)) => progress.run(&progress.learner.or(&self.learner), common, voice),
            Some(Command::Forget(forget)) => forget.run(&self.learner, common, voice),
        }
    }
}
