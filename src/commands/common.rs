//! Options of every command.

use std::path::PathBuf;

use clap::{Args, ValueHint};

use super::error::CommandError;
use crate::store::Store;

/// Options of every command.
#[derive(Debug, Clone, Args)]
pub(super) struct Common {
    /// Where sessions and records are kept [default: the folder in CORNERSET_STORE, or the platform's data folder]
    #[arg(long, global = true, value_name = "DIR", value_hint = ValueHint::DirPath, help_heading = "Everywhere")]
    pub store: Option<PathBuf>,
    /// Print results as JSON
    #[arg(long, global = true, help_heading = "Everywhere")]
    pub json: bool,
    /// No colour, no large letters, no drawings
    #[arg(long, global = true, help_heading = "Everywhere")]
    pub plain: bool,
}

impl Common {
    /// The store that is meant.
    pub fn open_store(&self) -> Result<Store, CommandError> {
        let named = self.store.clone().or_else(|| std::env::var_os("CORNERSET_STORE").map(PathBuf::from));
        Ok(match named.filter(|root| !root.as_os_str().is_empty()) {
            Some(root) => Store::at(root),
            None => Store::at(Store::default_dir()?),
        })
    }
}
