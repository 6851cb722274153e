//! `cornerset records export --partition`: a file for each shop and month.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use super::export::{Export, Written};
use super::filter::{each_record, unreadable};
use crate::commands::error::CommandError;
use crate::export::Partition;
use crate::store::{Store, write_page_within};
use crate::terminal::ProgressBar;

impl Export {
    /// Writes a file for each shop and month, each whole or not at all, in the place of one that is there. Every record is
    /// read twice, so that few are held at once.
    pub(super) fn write_partitioned(&self, store: &Store) -> Result<(Written, usize), CommandError> {
        if self.output == Path::new("-") {
            let text = "output: standard output has no folders for `--partition`; accepted: a folder";
            return Err(CommandError::Usage(text.to_owned()));
        }
        let (partitions, mut all) = self.partitions(store.records()?);
        let name = format!("part-0.{}", self.format.word());
        let files = partitions.len();
        for (partition, paths) in partitions {
            let folder = partition.folders().iter().fold(self.output.clone(), |folder, name| folder.join(name));
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
    fn partitions(&self, files: Vec<PathBuf>) -> (BTreeMap<Partition, Vec<PathBuf>>, Written) {
        let mut all = Written { records: 0, rows: 0, warnings: vec![] };
        let mut partitions: BTreeMap<Partition, Vec<PathBuf>> = BTreeMap::new();
        let (count, bar) = (files.len(), ProgressBar::new("reading records"));
        for (index, (path, record)) in each_record(files.into_iter()).enumerate() {
            bar.at(index, count);
            match record {
                Ok(record) if self.filter.takes(&record) => {
                    partitions.entry(Partition::of(&record)).or_default().push(path);
                }
                Ok(_) => {}
                Err(why) => all.warnings.push(unreadable(&path, &why)),
            }
        }
        (partitions, all)
    }
}
