//! Whose signatures are trusted.

use std::path::{Path, PathBuf};

use clap::Args;

use super::error::CommandError;
use crate::quantity::text::visible;
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
        if let Some((list, problems)) = self.named_list()? {
            return Ok((Some(list), problems));
        }
        let own = store.trust_list_path();
        if !own.exists() {
            return Ok((None, vec![]));
        }
        let (list, problems) = read(&own)?;
        Ok((Some(list), problems))
    }

    /// The list that was named, for which no store is needed.
    pub fn named_list(&self) -> Result<Option<(AllowedSigners, Vec<String>)>, CommandError> {
        self.allowed_signers.as_deref().map(read).transpose()
    }
}

fn read(path: &Path) -> Result<(AllowedSigners, Vec<String>), CommandError> {
    let (list, problems) = read_trust_list(path)?;
    let named = visible(&path.to_string_lossy());
    Ok((list, problems.into_iter().map(|problem| format!("{named}: {problem}")).collect()))
}
