//! `cornerset set`: the guided session, at the keyboard or by script.

use clap::Args;

use super::common::Common;
use super::error::{CommandError, Exit};
use super::session_options::{Place, SessionOptions};
use crate::terminal::Voice;

/// The guided session: questions, tone and target, the knob, the record
#[derive(Debug, Args, Default)]
pub(super) struct Set {
    #[command(flatten)]
    session: SessionOptions,
}

impl Set {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let place = Place { command: "set".to_owned(), common, voice, store: common.open_store()?, simulated: None };
        Ok(self.session.run(&place)?.map_or(Exit::Interrupted, |ended| ended.exit))
    }
}
