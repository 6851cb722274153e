//! `cornerset audit`: every record checked, what is out of line first.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

use chrono::Local;
use clap::{Args, ValueHint};
use rayon::prelude::*;

use super::common::Common;
use super::error::{CommandError, Exit, told};
use super::page_name::check_page_name;
use super::stream::Records;
use super::trust::TrustOptions;
use crate::audit::{Audit as Found, AuditDocument, Form, Looked, VerdictDocument, Witness, digest_typed, examine};
use crate::pages;
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::screens::{self, Line};
use crate::signature::AllowedSigners;
use crate::store::{Store, gather, id_of, in_words, record_bytes, write_page};
use crate::terminal::{OutputError, ProgressBar, Voice};

/// Checks every record and lists what stands out, the worst first
///
/// Altered, missing, repeated and unreadable records, signatures by strangers, records that do not follow from their own
/// readings; then what should be looked at; then, by technician, amplifier and meter, how far off and how scattered. Exit
/// code 1 where anything but unsigned records and copies is found.
#[derive(Debug, Args)]
pub(super) struct Audit {
    /// Stores, or folders of record files [default: the store]
    #[arg(value_name = "STORE", value_hint = ValueHint::DirPath, conflicts_with = "stream")]
    stores: Vec<PathBuf>,
    #[command(flatten)]
    trust: TrustOptions,
    /// A digest that was noted outside, of a record that must be here; may be given several times
    ///
    /// `sha256:` and 64 hexadecimal figures, as an audit prints it at the end of each chain. Where its record is not here,
    /// records were taken away or put back to an older state; where it is, everything before it in its chain is as it was.
    #[arg(long, value_name = "DIGEST", value_parser = parse_digest, conflicts_with = "stream")]
    witness: Vec<String>,
    /// Write the audit as a page as well: HTML that stands alone
    #[arg(short, long, value_name = "FILE.html", conflicts_with = "stream")]
    output: Option<PathBuf>,
    /// Records as NDJSON on standard input, a verdict a line on standard output, in constant memory
    #[arg(long)]
    stream: bool,
}

fn parse_digest(typed: &str) -> Result<String, String> {
    digest_typed(typed).ok_or_else(|| {
        "accepted: the 64 hexadecimal figures of a record's SHA-256 digest, with `sha256:` before them or without"
            .to_owned()
    })
}

impl Audit {
    pub fn run(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        if self.stream { self.of_stream(common, voice) } else { self.of_stores(common, voice) }
    }

    fn of_stores(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        self.output.as_deref().map_or(Ok(()), check_page_name)?;
        let roots =
            if self.stores.is_empty() { vec![common.open_store()?.root().to_owned()] } else { self.stores.clone() };
        let (mut files, mut witnesses, mut warnings, mut shown) = (vec![], vec![], vec![], vec![]);
        let mut passed_over: Vec<PathBuf> = vec![];
        let mut lists: Vec<Option<AllowedSigners>> = vec![];
        for root in &roots {
            let (list, problems) = self.trust.list(&Store::at(root))?;
            // A list that was named is read for each of several stores.
            warnings.extend(problems.into_iter().filter(|problem| !warnings.contains(problem)).collect::<Vec<_>>());
            if self.stores.is_empty() && !root.exists() {
                warnings.push("There is no store yet, and so no record.".to_owned());
                continue;
            }
            let gathered = gather(root)?;
            files.extend(gathered.files.into_iter().map(|path| (path, lists.len())));
            lists.push(list);
            witnesses.extend(gathered.witnesses);
            warnings.extend(gathered.warnings);
            passed_over.extend(gathered.passed_over);
            shown.push(gathered.root.to_string_lossy().into_owned());
        }
        passed_over.retain(|folder| !shown.iter().any(|root: &String| Path::new(root) == folder));
        if !passed_over.is_empty() {
            let names: Vec<String> = passed_over.iter().map(|folder| visible(&folder.to_string_lossy())).collect();
            warnings.push(format!("Not looked into: {}. Name such a folder to audit it.", show::list_and(&names)));
        }
        let audit = look_over(&files, &lists, &witnesses, &self.witness, warnings);
        let mut page = None;
        if let Some(output) = &self.output {
            let made_at = Local::now().format("%Y-%m-%d %H:%M %:z").to_string();
            page = Some(write_page(output, pages::audit_page(&audit, &shown, &made_at).as_bytes())?);
        }
        let said = if voice.style().json {
            voice.document(&AuditDocument::from(&audit))
        } else {
            let mut lines = screens::audit(&audit, &shown, voice.screen());
            lines.extend(page.map(|page| Line::plain(format!("The page is {}", visible(&page.to_string_lossy())))));
            voice.print(&lines)
        };
        told(said, if audit.has_findings() { Exit::Findings } else { Exit::Done })
    }

    fn of_stream(&self, common: &Common, voice: &Voice) -> Result<Exit, CommandError> {
        // A worker may have no home, and so no store.
        let (list, problems) = match self.trust.named_list()? {
            Some((list, problems)) => (Some(list), problems),
            None => self.trust.list(&common.open_store()?)?,
        };
        for problem in problems {
            voice.show(&voice.screen().item("! ", screens::Emphasis::Warn, &problem));
        }
        let mut input = Records::new(io::stdin());
        let mut found = false;
        loop {
            let lines = input.next_lines().map_err(|error| {
                CommandError::Storage(format!("standard input cannot be read: {}", in_words(&error)))
            })?;
            let Some(lines) = lines else { break };
            let said = lines.par_iter().map(|(number, line)| {
                let facts = match line {
                    Some(bytes) => examine(bytes, Form::Line, list.as_ref()),
                    None => Err("it is too large".to_owned()),
                };
                let verdict = VerdictDocument::of(*number, &facts);
                serde_json::to_vec(&verdict).map(|text| (verdict.has_findings(), text))
            });
            let said: Vec<(bool, Vec<u8>)> =
                said.collect::<Result<_, _>>().map_err(|error| OutputError::Failed(error.into()))?;
            found |= said.iter().any(|(found, _)| *found);
            let mut out = Vec::new();
            for (_, text) in said {
                out.extend(text);
                out.push(b'\n');
            }
            voice.json_lines(out)?;
        }
        Ok(if found { Exit::Findings } else { Exit::Done })
    }
}

/// Looks over every file on every core, then over all together.
fn look_over(
    files: &[(PathBuf, usize)],
    lists: &[Option<AllowedSigners>],
    witnesses: &[Witness],
    noted: &[String],
    warnings: Vec<String>,
) -> Found {
    let bar = ProgressBar::new("auditing records");
    let done = AtomicUsize::new(0);
    let looked: Vec<Looked> = files
        .par_iter()
        .map(|(path, list)| {
            bar.at(done.fetch_add(1, Ordering::Relaxed), files.len());
            look_at(path, lists[*list].as_ref())
        })
        .collect();
    drop(bar);
    let mut audit = Found::of(&looked, witnesses);
    audit.hold_against(&looked, noted);
    audit.warnings.splice(0..0, warnings);
    audit
}

fn look_at(path: &Path, list: Option<&AllowedSigners>) -> Looked {
    let mut facts = record_bytes(path).and_then(|bytes| examine(&bytes, Form::File, list));
    if let (Ok(facts), Some(named)) = (&mut facts, id_of(path)) {
        facts.is_in_file_of(named);
    }
    Looked { path: path.to_string_lossy().into_owned(), facts }
}
