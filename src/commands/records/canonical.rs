//! `cornerset records canonical`.

use std::io::{self, IsTerminal};

use clap::{Args, ValueHint};

use super::one::find;
use crate::commands::error::{CommandError, Exit};
use crate::quantity::text::visible;
use crate::record::{canonical_bytes, is_intact};
use crate::screens::Emphasis;
use crate::store::Store;
use crate::terminal::Voice;

/// The exact bytes of a record that are digested and signed: RFC 8785, no line end
#[derive(Debug, Args)]
pub(super) struct Canonical {
    /// The record's id, or at least 4 characters of its start or end; or a record file
    #[arg(value_name = "ID", value_hint = ValueHint::FilePath)]
    id: String,
}

impl Canonical {
    pub fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        let (record, path) = find(&self.id, store)?;
        let bytes = canonical_bytes(&record).map_err(|error| CommandError::Usage(error.to_string()))?;
        // Exact bytes cannot be made harmless, and are no use on a screen.
        if io::stdout().is_terminal() && String::from_utf8_lossy(&bytes) != visible(&String::from_utf8_lossy(&bytes)) {
            let text = "the record holds characters that a terminal acts on or nobody can see; accepted: standard output to a \
                        file or a pipe";
            return Err(CommandError::Usage(text.to_owned()));
        }
        voice.bytes(&bytes)?;
        if is_intact(&record) {
            return Ok(Exit::Done);
        }
        let text = format!("{} is not as it was signed off.", visible(&path.to_string_lossy()));
        voice.show(&voice.screen().item("! ", Emphasis::Warn, &text));
        Ok(Exit::Findings)
    }
}
