//! `cornerset records show`.

use clap::{Args, ValueHint};
use serde::Serialize;

use super::one::One;
use crate::commands::error::{CommandError, Exit};
use crate::commands::trust::TrustOptions;
use crate::record::Record;
use crate::screens::{self, Alarm, Emphasis};
use crate::store::Store;
use crate::terminal::Voice;

/// One record: what happened, reading by reading, and whether it is as it was signed off
///
/// Exit code 1 where it is not, or where its signature is not good or the trust list speaks against it.
#[derive(Debug, Args)]
pub(super) struct Show {
    /// The record's id, or at least 4 characters of its start or end; or a record file
    #[arg(value_name = "ID", value_hint = ValueHint::FilePath)]
    id: String,
    #[command(flatten)]
    trust: TrustOptions,
}

/// What `--json` prints: the record's own keys, and what is known of it.
#[derive(Serialize)]
struct Document<'a> {
    #[serde(flatten)]
    record: &'a Record,
    path: &'a str,
    intact: bool,
    signer: Option<&'a str>,
    trusted: bool,
    warnings: Vec<String>,
}

impl Show {
    pub fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        let One { record, path, standing, mut warnings } = One::find(&self.id, &self.trust, store)?;
        let path = path.to_string_lossy();
        if voice.style().json {
            warnings.splice(0..0, screens::alarms(&record, &standing).iter().map(Alarm::whole));
            voice.document(&Document {
                record: &record,
                path: &path,
                intact: standing.is_intact(),
                signer: standing.signature.fingerprint(),
                trusted: standing.is_trusted(),
                warnings,
            })?;
        } else {
            let screen = voice.screen();
            let mut lines = screens::record(&record, &standing, Some(&path), screen);
            for warning in &warnings {
                lines.extend(screen.item("! ", Emphasis::Warn, warning));
            }
            voice.print(&lines)?;
        }
        Ok(if standing.is_sound() { Exit::Done } else { Exit::Findings })
    }
}
