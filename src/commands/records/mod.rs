//! `cornerset records`: what was signed off, found again, read, handed on.

mod canonical;
mod export;
mod filter;
mod found;
mod list;
pub(super) mod one;
mod partitioned;
mod report;
mod show;

use clap::{Args, Subcommand};

use super::common::Common;
use super::error::{CommandError, Exit};
use crate::terminal::Voice;

/// Records that were signed off: list, show, report, export, the bytes that are signed
#[derive(Debug, Args)]
pub(super) struct Records {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    List(list::List),
    Show(show::Show),
    Report(report::Report),
    Export(export::Export),
    Canonical(canonical::Canonical),
}

impl Records {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        let store = common.open_store()?;
        match &self.command {
            Command::List(list) => list.run(&store, voice),
            Command::Show(show) => show.run(&store, voice),
            Command::Report(report) => report.run(&store, voice),
            Command::Export(export) => export.run(&store, voice),
            Command::Canonical(canonical) => canonical.run(&store, voice),
        }
    }
}
