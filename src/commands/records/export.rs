//! `cornerset records export`.

use std::io::{self, BufWriter, IsTerminal, Write};
use std::path::{Path, PathBuf};

use clap::Args;
use serde_json::json;

use super::filter::{Filter, each_record, unreadable};
use crate::commands::error::{CommandError, Exit};
use crate::commands::words::one_of;
use crate::export::{ExportError, Exporter, Format, Rows};
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::record::is_intact;
use crate::screens::{Emphasis, Line};
use crate::store::{Store, write_page_with};
use crate::terminal::{OutputError, ProgressBar, Voice};

/// Records as rows for a spreadsheet or a warehouse: NDJSON, CSV or Parquet
///
/// The columns are named as in the record; the data dictionary is `src/export/columns.md`.
#[derive(Debug, Args)]
pub(super) struct Export {
    /// ndjson, csv or parquet
    #[arg(long, value_name = "FORMAT", value_parser = parse_format)]
    pub(super) format: Format,
    /// A row for each: readings (while the knob was turned), sessions, or pairs (readings at other tones)
    #[arg(long, value_name = "ROWS", default_value = "readings", value_parser = parse_rows)]
    pub(super) rows: Rows,
    /// Where the file goes; `-` for standard output
    #[arg(short, long, value_name = "FILE")]
    pub(super) output: PathBuf,
    /// A file for each shop and month, below the folder FILE: readings/shop=.../month=2026-05/part-0.parquet. Whole months
    /// only; each file takes the place of the one before, another store's of the same bench too
    #[arg(long)]
    partition: bool,
    #[command(flatten)]
    pub(super) filter: Filter,
}

fn parse_format(typed: &str) -> Result<Format, String> {
    one_of(typed, &Format::ALL, Format::word)
}

fn parse_rows(typed: &str) -> Result<Rows, String> {
    one_of(typed, &Rows::ALL, Rows::word)
}

/// What was written.
pub(super) struct Written {
    pub records: usize,
    pub rows: u64,
    pub warnings: Vec<String>,
}

impl Export {
    pub fn run(&self, store: &Store, voice: &Voice) -> Result<Exit, CommandError> {
        self.filter.check()?;
        if self.partition {
            self.filter.check_months()?;
            let (written, files) = self.write_partitioned(store)?;
            let folder = std::path::absolute(&self.output).unwrap_or_else(|_| self.output.clone());
            return Self::tell(&folder, Some(files), &written, voice);
        }
        let files = store.records()?;
        if self.output == Path::new("-") {
            if self.format == Format::Parquet && io::stdout().is_terminal() {
                let text = "output: Parquet is nothing for a terminal; accepted: a file, or standard output to a pipe";
                return Err(CommandError::Usage(text.to_owned()));
            }
            let written = self.write(files, BufWriter::new(io::stdout())).map_err(|error| match error {
                // Nobody reads it any more, and there is nobody to tell.
                ExportError::Io(why) if why.kind() == io::ErrorKind::BrokenPipe => OutputError::Closed.into(),
                error => CommandError::Storage(error.to_string()),
            })?;
            for warning in &written.warnings {
                voice.show(&voice.screen().item("! ", Emphasis::Warn, warning));
            }
            return Ok(Exit::Done);
        }
        let mut written = None;
        let path = write_page_with(&self.output, |file| {
            written = Some(self.write(files, file).map_err(io::Error::other)?);
            Ok(())
        })?;
        let written = written.unwrap_or(Written { records: 0, rows: 0, warnings: vec![] });
        Self::tell(&path, None, &written, voice)
    }

    /// Says what was written where; in how many files, where they are several.
    fn tell(path: &Path, files: Option<usize>, written: &Written, voice: &Voice) -> Result<Exit, CommandError> {
        let Written { records, rows, warnings } = written;
        let path = path.to_string_lossy();
        if voice.style().json {
            let mut document = json!({"path": path, "records": records, "rows": rows, "warnings": warnings});
            if let Some(files) = files {
                document["files"] = json!(files);
            }
            voice.document(&document)?;
            return Ok(Exit::Done);
        }
        let rows = show::plural(usize::try_from(*rows).unwrap_or(usize::MAX), "row");
        let records = show::plural(*records, "record");
        let files = files.map_or_else(String::new, |files| format!(", in {}", show::plural(files, "file")));
        let mut lines =
            vec![Line::plain(format!("{rows} of {records}{files}")), Line::plain(format!("  {}", visible(&path)))];
        for warning in warnings {
            lines.extend(voice.screen().item("! ", Emphasis::Warn, warning));
        }
        voice.print(&lines)?;
        Ok(Exit::Done)
    }

    /// Writes the rows of every record that is meant; what cannot be read is told of.
    pub(super) fn write(&self, files: Vec<PathBuf>, to: impl Write + Send) -> Result<Written, ExportError> {
        let mut exporter = Exporter::new(self.format, self.rows, to)?;
        let (count, bar) = (files.len(), ProgressBar::new("exporting records"));
        let (mut records, mut warnings) = (0, vec![]);
        for (index, (path, record)) in each_record(files.into_iter()).enumerate() {
            bar.at(index, count);
            match record {
                Ok(record) if self.filter.takes(&record) => {
                    match exporter.add(&record) {
                        Ok(()) => records += 1,
                        // One record that a format cannot hold stops no other.
                        Err(error @ ExportError::TooLarge { .. }) => {
                            warnings.push(format!("{} is left out: {error}.", visible(&path.to_string_lossy())));
                        }
                        Err(error) => return Err(error),
                    }
                    if !is_intact(&record) {
                        let text = format!("{} is not as it was signed off.", visible(&path.to_string_lossy()));
                        warnings.push(text);
                    }
                }
                Ok(_) => {}
                Err(why) => warnings.push(unreadable(&path, &why)),
            }
        }
        Ok(Written { records, rows: exporter.finish()?, warnings })
    }
}
