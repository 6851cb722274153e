//! From records to a file of rows.

use std::io::Write;

use super::cell::Cell;
use super::column::Column;
use super::error::ExportError;
use super::table::{Rows, columns, each_row};
use super::write_csv::CsvRows;
use super::write_ndjson::NdjsonRows;
#[cfg(feature = "parquet")]
use super::write_parquet::ParquetRows;
use crate::record::Record;

/// How rows are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// One JSON object a line.
    Ndjson,
    /// Comma-separated values for spreadsheets.
    Csv,
    /// Typed columns for warehouses.
    Parquet,
}

impl Format {
    /// Every format.
    pub const ALL: [Self; 3] = [Self::Ndjson, Self::Csv, Self::Parquet];

    /// The word for options, and the usual end of a file's name.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ndjson => "ndjson",
            Self::Csv => "csv",
            Self::Parquet => "parquet",
        }
    }
}

/// Writes the rows of records to a file, one record after the other, in memory that does not grow with their number.
///
/// After an error, and without [`Exporter::finish`], the file is not whole and should be thrown away.
pub struct Exporter<W: Write + Send> {
    rows: Rows,
    columns: Vec<&'static Column>,
    sink: Sink<W>,
    written: u64,
}

enum Sink<W: Write + Send> {
    Ndjson(NdjsonRows<W>),
    Csv(Box<CsvRows<W>>),
    #[cfg(feature = "parquet")]
    Parquet(Box<ParquetRows<W>>),
}

impl<W: Write + Send> Exporter<W> {
    /// Starts a file.
    ///
    /// # Errors
    /// Where it cannot be written, and for Parquet where the program was built without it.
    pub fn new(format: Format, rows: Rows, file: W) -> Result<Self, ExportError> {
        let columns = columns(rows);
        let sink = match format {
            Format::Ndjson => Sink::Ndjson(NdjsonRows::new(file)),
            Format::Csv => Sink::Csv(Box::new(CsvRows::new(&columns, file)?)),
            #[cfg(feature = "parquet")]
            Format::Parquet => Sink::Parquet(Box::new(ParquetRows::new(rows, &columns, file)?)),
            #[cfg(not(feature = "parquet"))]
            Format::Parquet => return Err(ExportError::NoParquet),
        };
        Ok(Self { rows, columns, sink, written: 0 })
    }

    /// Adds the rows of a record.
    ///
    /// # Errors
    /// Where they cannot be written, or a number is not one that the format holds.
    pub fn add(&mut self, record: &Record) -> Result<(), ExportError> {
        let Self { rows, columns, sink, written } = self;
        each_row(*rows, columns, record, |cells| {
            sink.row(columns, cells)?;
            *written += 1;
            Ok(())
        })
    }

    /// Ends the file, and says how many rows it has.
    ///
    /// # Errors
    /// Where the rest cannot be written.
    pub fn finish(self) -> Result<u64, ExportError> {
        match self.sink {
            Sink::Ndjson(file) => file.finish(),
            Sink::Csv(file) => file.finish(),
            #[cfg(feature = "parquet")]
            Sink::Parquet(file) => file.finish(),
        }?;
        Ok(self.written)
    }
}

impl<W: Write + Send> Sink<W> {
    fn row(&mut self, columns: &[&'static Column], cells: &[Cell<'_>]) -> Result<(), ExportError> {
        match self {
            Self::Ndjson(file) => file.row(columns, cells),
            Self::Csv(file) => file.row(cells),
            #[cfg(feature = "parquet")]
            Self::Parquet(file) => file.row(columns, cells),
        }
    }
}
