//! `cornerset records report`.

use std::path::PathBuf;

use clap::{Args, ValueHint};
use serde_json::json;

use super::one::One;
use crate::commands::error::{CommandError, Exit};
use crate::commands::page_name::check_page_name;
use crate::commands::trust::TrustOptions;
use crate::pages;
use crate::quantity::text::visible;
use crate::screens::{Alarm, Emphasis, Line, alarms};
use crate::store::{Store, write_page};
use crate::terminal::Voice;

/// One record as a page to hand on: HTML that stands alone, for screen and paper
#[derive(Debug, Args)]
pub(super) struct Report {
    /// The record's id, or at least 4 characters of its start or end; or a record file
    #[arg(value_name = "ID", value_hint = ValueHint::FilePath)]
    id: String,
    /// Where the page goes
    #[arg(short, long, value_name = "FILE.html")]
    output: PathBuf,
    #[command(flatten)]
    trust: TrustOptions,
}

impl Report {
    pub fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        check_page_name(&self.output)?;
        let One { record, standing, mut warnings, .. } = One::find(&self.id, &self.trust, store)?;
        let page = pages::record_page(&record, &standing);
        let path = write_page(&self.output, page.as_bytes())?;
        warnings.splice(0..0, alarms(&record, &standing).iter().map(Alarm::whole));
        let path = path.to_string_lossy();
        if voice.style().json {
            voice.document(&json!({"id": record.id, "path": path, "warnings": warnings}))?;
        } else {
            let screen = voice.screen();
            let text = visible(&path);
            let mut lines = vec![Line::plain(format!("The page is {text}"))];
            for warning in &warnings {
                lines.extend(screen.item("! ", Emphasis::Warn, &visible(warning)));
            }
            voice.print(&lines)?;
        }
        Ok(if standing.is_sound() { Exit::Done } else { Exit::Findings })
    }
}
