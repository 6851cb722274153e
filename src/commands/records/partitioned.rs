//! `cornerset records export --partition`: a file for each shop and month.
//!
//! A table has a folder of its own, since Spark and DuckDB read a folder as one table; a file is replaced whole, so it holds
//! a whole month, and one of another format beside it would stay as it was.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::export::{Export, Written};
use super::filter::{each_record, unreadable};
use crate::commands::error::CommandError;
use crate::export::{Format, Partition};
use crate::quantity::show;
use crate::quantity::text::visible;
use crate::store::{Store, write_page_within};
use crate::terminal::ProgressBar;

/// What was found on the first reading.
#[derive(Default)]
struct Found {
    partitions: BTreeMap<Partition, Vec<PathBuf>>,
    benches: BTreeSet<String>,
    warnings: Vec<String>,
}

impl Export {
    /// Writes a file for each shop and month, each whole or not at all, in the place of one that is there. Every record is
    /// read twice, so that few are held at once.
    pub(super) fn write_partitioned(&self, store: &Store) -> Result<(Written, usize), CommandError> {
        if self.output == Path::new("-") {
            let text = "output: standard output has no folders for `--partition`; accepted: a folder";
            return Err(CommandError::Usage(text.to_owned()));
        }
        let Found { partitions, benches, warnings } = self.partitions(store.records()?);
        let mut all = Written { records: 0, rows: 0, warnings };
        if benches.len() > 1 {
            all.warnings.push(of_several(&benches));
        }
        let table = self.output.join(self.rows.word());
        let shops: BTreeSet<PathBuf> = partitions.keys().map(|partition| table.join(&partition.folders()[0])).collect();
        if let Some(other) = shops.iter().find_map(|shop| self.of_another_format(shop)) {
            let text = format!(
                "output: {} is of another format and would stay as it is; accepted: a folder without it",
                visible(&other.to_string_lossy())
            );
            return Err(CommandError::Usage(text));
        }
        let name = file_name(self.format);
        let files = partitions.len();
        for (partition, paths) in partitions {
            let folder = partition.folders().iter().fold(table.clone(), |folder, name| folder.join(name));
            let mut written = None;
            write_page_within(&folder.join(&name), |file| {
                written = Some(self.write(paths, file).map_err(io::Error::other)?);
                Ok(())
            })?;
            if let Some(written) = written {
                all.records += written.records;
                all.rows += written.rows;
                all.warnings.extend(written.warnings);
            }
        }
        Ok((all, files))
    }

    /// The record files that are meant, by shop and month; what cannot be read is told of.
    fn partitions(&self, files: Vec<PathBuf>) -> Found {
        let mut found = Found::default();
        let (count, bar) = (files.len(), ProgressBar::new("reading records"));
        for (index, (path, record)) in each_record(files.into_iter()).enumerate() {
            bar.at(index, count);
            match record {
                Ok(record) if self.filter.takes(&record) => {
                    found.partitions.entry(Partition::of(&record)).or_default().push(path);
                    found.benches.insert(record.bench);
                }
                Ok(_) => {}
                Err(why) => found.warnings.push(unreadable(&path, &why)),
            }
        }
        found
    }

    /// A file of an earlier export of this shop in another format.
    fn of_another_format(&self, shop: &Path) -> Option<PathBuf> {
        let months = fs::read_dir(shop).into_iter().flatten().flatten();
        let others = Format::ALL.into_iter().filter(|format| *format != self.format);
        let mut paths = months.flat_map(|month| others.clone().map(move |format| month.path().join(file_name(format))));
        paths.find(|path| path.exists())
    }
}

fn file_name(format: Format) -> String {
    format!("part-0.{}", format.word())
}

/// What is said of a store with records of several benches.
fn of_several(benches: &BTreeSet<String>) -> String {
    /// So many are named.
    const NAMED: usize = 5;
    let names: Vec<String> = benches.iter().take(NAMED).map(|bench| format!("`{}`", visible(bench))).collect();
    format!(
        "The store has records of {} benches, {} among them: where another store writes for one of these into the same \
         folder, the file that is written last stays.",
        benches.len(),
        show::list_and(&names)
    )
}
