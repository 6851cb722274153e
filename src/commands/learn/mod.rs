//! `cornerset learn`: lessons, drills, a simulated bench.

use clap::Args;

use super::common::Common;
use super::error::{CommandError, Exit};
use crate::terminal::Voice;

/// Lessons, drills, a simulated bench
#[derive(Debug, Args)]
pub(super) struct Learn {}

impl Learn {
    pub fn run(&self, _common: &Common, _voice: &Voice) -> Result<Exit, CommandError> {
        unimplemented!()
    }
}
