//! `cornerset tuning`: a box's tuning, from its dimensions or from meter readings.

use clap::Args;

use super::error::{CommandError, Exit};
use crate::terminal::Voice;

/// A box's tuning from its dimensions or from meter readings
#[derive(Debug, Args)]
pub(super) struct Tuning {}

impl Tuning {
    pub fn run(&self, _voice: &Voice) -> Result<Exit, CommandError> {
        Ok(Exit::Done)
    }
}
