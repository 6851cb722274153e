//! `cornerset excursion`: does this driver in this box need the filter, and where.

use clap::Args;

use super::error::{CommandError, Exit};
use crate::terminal::Voice;

/// Does this driver in this box need the filter, and where
#[derive(Debug, Args)]
pub(super) struct Excursion {}

impl Excursion {
    pub fn run(&self, _voice: &Voice) -> Result<Exit, CommandError> {
        Ok(Exit::Done)
    }
}
