//! `cornerset records list`.

use std::num::NonZeroUsize;

use clap::Args;
use serde::Serialize;

use super::filter::Filter;
use super::found::Found;
use crate::audit::Standing;
use crate::commands::error::{CommandError, Exit};
use crate::commands::trust::TrustOptions;
use crate::meter::Verdict;
use crate::quantity::text::{short_id, visible};
use crate::quantity::{Hertz, show};
use crate::record::Record;
use crate::screens::{self, Emphasis, ListedRecord, Listing, day, minute};
use crate::session::{EntryMode, Moment};
use crate::store::Store;
use crate::terminal::Voice;

/// So many technicians are named where a list is empty.
const NAMED: usize = 8;

/// In fewer columns the day of a sign-off is enough.
const ROOM_FOR_MINUTES: usize = 70;

/// The records in the store, the newest first
#[derive(Debug, Args)]
pub(super) struct List {
    #[command(flatten)]
    pub(super) filter: Filter,
    #[command(flatten)]
    trust: TrustOptions,
    /// At most so many
    #[arg(long, value_name = "COUNT", value_parser = parse_limit)]
    pub(super) limit: Option<NonZeroUsize>,
}

/// A count of records.
fn parse_limit(typed: &str) -> Result<NonZeroUsize, String> {
    typed.parse().map_err(|_| "accepted: a whole number from 1".to_owned())
}

/// What `--json` prints.
#[derive(Serialize)]
struct Document {
    records: Vec<Listed>,
    warnings: Vec<String>,
}

/// A record in the list.
#[derive(Serialize)]
pub(super) struct Listed {
    pub id: String,
    pub closed_at: Moment,
    bench: String,
    sequence: u64,
    job: String,
    technician: String,
    amplifier: String,
    meter: String,
    verdict: Verdict,
    corner_hz: Option<Hertz>,
    corner_uncertainty_hz: Option<Hertz>,
    entry: EntryMode,
    practice: bool,
    /// Whether there is a signature.
    signed: bool,
    /// Whether it is as it was signed off.
    intact: bool,
    /// Whether nothing speaks against it: neither its digest nor its signature, nor the trust list.
    sound: bool,
    /// Whether the trust list has its key for the name that signed off.
    trusted: bool,
    path: String,
}

impl List {
    pub fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        let mut document = Document { records: vec![], warnings: vec![] };
        let (list, problems) = self.trust.list(store)?;
        document.warnings.extend(problems);
        self.filter.check()?;
        if !store.root().exists() {
            let root = visible(&store.root().to_string_lossy());
            document.warnings.push(format!("There is no store at {root} yet, and so no record."));
        }
        let found = self.first_page(store, list.as_ref()).map_or_else(|| self.read_all(store, list.as_ref()), Ok)?;
        let Found { listed, others, unreadable } = found;
        document.records = listed;
        document.warnings.extend(unreadable);
        if voice.style().json {
            voice.document(&document)?;
            return Ok(Exit::Done);
        }
        let screen = voice.screen();
        let time = if screen.width() < ROOM_FOR_MINUTES { day } else { minute };
        let cells: Vec<[String; 3]> = document
            .records
            .iter()
            .map(|record| {
                [
                    time(record.closed_at),
                    record.corner_hz.map_or_else(|| "none".to_owned(), show::hertz),
                    short_id(&record.id).to_owned(),
                ]
            })
            .collect();
        let rows: Vec<ListedRecord<'_>> = document
            .records
            .iter()
            .zip(&cells)
            .map(|(record, [closed_at, corner, id])| ListedRecord {
                id,
                closed_at,
                job: &record.job,
                technician: &record.technician,
                amplifier: &record.amplifier,
                corner,
                verdict: record.verdict.word(),
                standing: match record {
                    Listed { intact: false, .. } => Listing::Altered,
                    Listed { sound: false, .. } => Listing::Doubted,
                    Listed { practice: true, .. } => Listing::Practice,
                    Listed { trusted: true, .. } => Listing::Signed,
                    Listed { signed: true, .. } => Listing::Unlisted,
                    Listed { .. } => Listing::ByName,
                },
            })
            .collect();
        let mut lines = screens::records_list(&rows, screen);
        if rows.is_empty() && !others.is_empty() {
            let names: Vec<String> = others.iter().take(NAMED).map(|name| visible(name)).collect();
            let text = format!(
                "No record fits these options. `*` in a name stands for anything; there are records of {}.",
                show::list_and(&names)
            );
            lines.extend(screen.paragraph(0, Emphasis::Plain, &text));
        }
        for warning in &document.warnings {
            lines.extend(screen.item("! ", Emphasis::Warn, warning));
        }
        voice.print(&lines)?;
        Ok(Exit::Done)
    }
}

impl Listed {
    pub fn of(record: Record, standing: &Standing, path: String) -> Self {
        Self {
            intact: standing.is_intact(),
            sound: standing.is_sound(),
            trusted: standing.is_trusted(),
            id: record.id,
            closed_at: record.closed_at,
            bench: record.bench,
            sequence: record.sequence,
            job: record.job,
            technician: record.technician,
            amplifier: record.amplifier.name,
            meter: record.meter.name,
            verdict: record.outcome.verdict,
            corner_hz: record.outcome.corner_hz,
            corner_uncertainty_hz: record.outcome.corner_uncertainty_hz,
            entry: record.entry,
            practice: record.practice,
            signed: record.sign_off.signature.is_some(),
            path,
        }
    }
}
