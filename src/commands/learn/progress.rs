//! `cornerset learn progress` and `learn forget`: what is kept of a learner.

use clap::Args;
use serde_json::json;

use crate::commands::common::Common;
use crate::commands::error::{CommandError, Exit};
use crate::learn::{self, Progress};
use crate::quantity::Refusal;
use crate::quantity::text::visible;
use crate::screens::Line;
use crate::terminal::Voice;

/// What was learnt, and what comes next
#[derive(Debug, Args)]
pub(in crate::commands) struct ShowProgress {
    /// Whose [default: everybody's in this store]
    #[arg(long, value_name = "NAME")]
    learner: Option<String>,
}

/// Forgets what a learner did
#[derive(Debug, Args)]
pub(in crate::commands) struct Forget {
    /// Whose
    #[arg(value_name = "NAME")]
    learner: String,
}

impl ShowProgress {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let store = common.open_store()?;
        let learners: Vec<Progress> = match &self.learner {
            Some(name) if !store.learner_path(name).exists() => return Err(unknown(name).into()),
            Some(name) => vec![store.progress(name)?],
            None => store.learners()?,
        };
        if voice.style().json {
            voice.document(&json!({"learners": learners, "warnings": []}))?;
            return Ok(Exit::Done);
        }
        let screen = voice.screen();
        let mut lines = vec![];
        for progress in &learners {
            lines.extend(learn::progress_said(progress, screen));
            lines.push(Line::empty());
        }
        lines.pop();
        if lines.is_empty() {
            lines.push(Line::plain("Nobody's progress is kept in this store."));
        }
        voice.print(&lines)?;
        Ok(Exit::Done)
    }
}

impl Forget {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        if !common.open_store()?.forget_learner(&self.learner)? {
            return Err(unknown(&self.learner).into());
        }
        if voice.style().json {
            voice.document(&json!({"forgotten": self.learner, "warnings": []}))?;
        } else {
            voice.print(&[Line::plain(format!("Forgotten: {}.", visible(&self.learner)))])?;
        }
        Ok(Exit::Done)
    }
}

fn unknown(name: &str) -> Refusal {
    Refusal::new("learner", name, "is nobody of whom anything is kept", "a name that `cornerset learn progress` shows")
}
