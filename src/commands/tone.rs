//! `cornerset tone`: test tones as WAV files.

use clap::Args;

use super::common::Common;
use super::error::{CommandError, Exit};
use crate::terminal::Voice;

/// Test tones as WAV files
#[derive(Debug, Args)]
pub(super) struct Tone {}

impl Tone {
    pub fn run(&self, _common: &Common, _voice: &Voice) -> Result<Exit, CommandError> {
        unimplemented!()
    }
}
