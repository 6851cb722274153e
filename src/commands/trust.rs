//! Whose signatures are trusted.

use std::path::PathBuf;

use clap::Args;

use super::error::CommandError;
use crate::signature::AllowedSigners;
use crate::store::{Store, read_trust_list};

/// Whose signatures are trusted.
#[derive(Debug, Args)]
pub(super) struct TrustOptions {
    /// The trust list, in OpenSSH's allowed_signers format [default: `allowed_signers` in the store]
    #[arg(long, value_name = "FILE")]
    allowed_signers: Option<PathBuf>,
}

impl TrustOptions {
    /// The list that was named, else the store's own where there is one; and what is wrong with its lines.
    pub fn list(&self, store: &Store) -> Result<(Option<AllowedSigners>, Vec<String>), CommandError> {
        let own = store.trust_list_path();
        let path = match &self.allowed_signers {
            Some(path) => path,
            None if own.exists() => &own,
            None => return Ok((None, vec![])),
        };
        let (list, problems) = read_trust_list(path)?;
        let named = crate::quantity::text::visible(&path.to_string_lossy());
        Ok((Some(list), problems.into_iter().map(|problem| format!("{named}: {problem}")).collect()))
    }
}
