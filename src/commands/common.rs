//! Options of every command.

use std::path::PathBuf;

use clap::Args;

/// Options of every command.
#[derive(Debug, Clone, Args)]
pub(super) struct Common {
    /// Where sessions and records are kept [default: the folder in CORNERSET_STORE, or the platform's data folder]
    #[arg(long, global = true, value_name = "DIR", help_heading = "Everywhere")]
    pub store: Option<PathBuf>,
    /// Print results as JSON
    #[arg(long, global = true, help_heading = "Everywhere")]
    pub json: bool,
    /// No colour, no large letters, no drawings
    #[arg(long, global = true, help_heading = "Everywhere")]
    pub plain: bool,
}
