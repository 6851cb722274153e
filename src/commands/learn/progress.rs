//! `cornerset learn progress` and `learn forget`: what is kept of a learner.

use clap::Args;
use serde_json::json;

use super::learner::LearnerOption;
use crate::commands::common::Common;
use crate::commands::error::{CommandError, Exit};
use crate::learn::{self, Progress};
use crate::quantity::Refusal;
use crate::quantity::text::visible;
use crate::screens::{Emphasis, Line};
use crate::store::StoreError;
use crate::terminal::Voice;

/// What was learnt, and what comes next: everybody's in this store, or one learner's
#[derive(Debug, Args)]
pub(in crate::commands) struct ShowProgress {
    #[command(flatten)]
    pub(super) learner: LearnerOption,
}

/// Forgets what a learner did
#[derive(Debug, Args)]
pub(in crate::commands) struct Forget {
    /// Whose
    #[arg(value_name = "NAME")]
    name: String,
}

impl ShowProgress {
    pub fn run(&self, learner: &LearnerOption, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let store = common.open_store()?;
        let (learners, damaged): (Vec<Progress>, Vec<StoreError>) = match learner.given() {
            Some(name) if !store.learner_path(name).exists() => return Err(unknown(name).into()),
            Some(name) => (vec![store.progress(name)?], vec![]),
            None => store.learners()?,
        };
        let warnings: Vec<String> = damaged.iter().map(StoreError::to_string).collect();
        if voice.style().json {
            voice.document(&json!({"learners": learners, "warnings": warnings}))?;
            return Ok(Exit::Done);
        }
        let screen = voice.screen();
        for warning in &warnings {
            voice.show(&screen.item("! ", Emphasis::Warn, warning));
        }
        let mut lines = vec![];
        for progress in &learners {
            lines.extend(learn::progress_said(progress, screen));
            lines.push(Line::empty());
        }
        lines.pop();
        if lines.is_empty() && warnings.is_empty() {
            lines.push(Line::plain("Nobody's progress is kept in this store."));
        }
        voice.print(&lines)?;
        Ok(Exit::Done)
    }
}

impl Forget {
    pub fn run(&self, above: &LearnerOption, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        // Which of two names is meant would be a guess, and what is forgotten is gone.
        if let Some(other) = above.given() {
            return Err(Refusal::new("learner", other, "comes with `forget`", "the name after `forget` alone").into());
        }
        if !common.open_store()?.forget_learner(&self.name)? {
            return Err(unknown(&self.name).into());
        }
        if voice.style().json {
            voice.document(&json!({"forgotten": self.name, "warnings": []}))?;
        } else {
            voice.print(&[Line::plain(format!("Forgotten: {}.", visible(&self.name)))])?;
        }
        Ok(Exit::Done)
    }
}

fn unknown(name: &str) -> Refusal {
    Refusal::new("learner", name, "is a name of which nothing is kept", "a name that `cornerset learn progress` shows")
}
