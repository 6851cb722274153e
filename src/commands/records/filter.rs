//! Which records are meant.

use std::path::{Path, PathBuf};

use chrono::{DateTime, FixedOffset};
use clap::Args;

use crate::commands::dates::When;
use crate::commands::error::CommandError;
use crate::commands::words::one_of;
use crate::meter::Verdict;
use crate::quantity::text::visible;
use crate::record::{Record, parse_record};
use crate::signature::fits_pattern;
use crate::store::record_bytes;

/// Which records are meant; every option narrows it.
#[derive(Debug, Args)]
pub(super) struct Filter {
    /// Only this technician's; upper and lower case are the same, `*` stands for anything
    #[arg(long, value_name = "NAME")]
    technician: Option<String>,
    /// Only this amplifier; as for technicians
    #[arg(long, value_name = "NAME")]
    amplifier: Option<String>,
    /// Only this job; as for technicians
    #[arg(long, value_name = "NAME")]
    job: Option<String>,
    /// Signed off on this day or later: 2026-03-05; or in a month, 2026-03; or at a time, 2026-03-05T14:00:00+01:00
    #[arg(long, value_name = "DATE", value_parser = When::parse)]
    since: Option<When>,
    /// Signed off on this day, in this month, or earlier
    #[arg(long, value_name = "DATE", value_parser = When::parse)]
    until: Option<When>,
    /// Only with this verdict on the accepted reading: inside, borderline, above or below
    #[arg(long, value_name = "VERDICT", value_parser = parse_verdict)]
    verdict: Option<Verdict>,
}

fn parse_verdict(typed: &str) -> Result<Verdict, String> {
    one_of(typed, &Verdict::ALL, Verdict::word)
}

impl Filter {
    /// Refuses a time that ends before it begins.
    pub fn check(&self) -> Result<(), CommandError> {
        match (self.since, self.until) {
            (Some(since), Some(until)) if until.is_before(since) => Err(CommandError::Usage(
                "until: ends before `since` begins; accepted: the same time or a later one".to_owned(),
            )),
            _ => Ok(()),
        }
    }

    /// Refuses what would leave a part of a shop's month out.
    pub fn check_months(&self) -> Result<(), CommandError> {
        let by_name = [
            ("technician", self.technician.is_some()),
            ("amplifier", self.amplifier.is_some()),
            ("job", self.job.is_some()),
            ("verdict", self.verdict.is_some()),
        ];
        let by_time = [
            ("since", self.since.is_some_and(|since| !since.starts_a_month())),
            ("until", self.until.is_some_and(|until| !until.ends_a_month())),
        ];
        let refused = |name: &str, accepted| {
            let text = format!(
                "{name}: a file of `--partition` is replaced whole, and would lack the rest; accepted: {accepted}"
            );
            Err(CommandError::Usage(text))
        };
        if let Some((name, _)) = by_name.into_iter().find(|(_, is_named)| *is_named) {
            return refused(name, "every record of a month");
        }
        if let Some((name, _)) = by_time.into_iter().find(|(_, cuts)| *cuts) {
            return refused(name, "a month such as 2026-03, or its first day for `since`, its last one for `until`");
        }
        Ok(())
    }

    /// Whether a record is meant.
    pub fn takes(&self, record: &Record) -> bool {
        is_named(self.technician.as_deref(), &record.technician)
            && is_named(self.amplifier.as_deref(), &record.amplifier.name)
            && is_named(self.job.as_deref(), &record.job)
            && self.takes_time(record.closed_at.time())
            && self.verdict.is_none_or(|verdict| record.outcome.verdict == verdict)
    }

    /// Whether a record that was signed off then could be meant.
    pub fn takes_time(&self, closed: DateTime<FixedOffset>) -> bool {
        self.since.is_none_or(|since| since.has_begun_at(closed))
            && self.until.is_none_or(|until| until.has_not_ended_at(closed))
    }
}

fn is_named(pattern: Option<&str>, name: &str) -> bool {
    pattern.is_none_or(|pattern| fits_pattern(&name.to_lowercase(), &pattern.trim().to_lowercase()))
}

/// The records in these files, one after the other; what cannot be read is told of instead.
pub(super) fn each_record(
    files: impl Iterator<Item = PathBuf>,
) -> impl Iterator<Item = (PathBuf, Result<Record, String>)> {
    files.map(|path| {
        let record = read(&path);
        (path, record)
    })
}

/// The record in a file; why there is none.
pub(super) fn read(path: &Path) -> Result<Record, String> {
    record_bytes(path).and_then(|bytes| parse_record(&bytes))
}

/// What is said of a record file that cannot be read.
pub(super) fn unreadable(path: &Path, why: &str) -> String {
    format!("{} cannot be read as a record: {why}.", visible(&path.to_string_lossy()))
}
