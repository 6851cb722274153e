//! CSV: RFC 4180 with a header, safe to open in a spreadsheet.

use std::borrow::Cow;
use std::io::Write;

use csv::{Terminator, Writer, WriterBuilder};

use super::cell::Cell;
use super::column::Column;
use super::error::ExportError;
use super::guard::guarded;

/// Rows as lines of CSV.
pub(super) struct CsvRows<W: Write> {
    file: Writer<W>,
}

impl<W: Write> CsvRows<W> {
    /// Writes the header.
    pub(super) fn new(columns: &[&'static Column], file: W) -> Result<Self, ExportError> {
        let mut file = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(file);
        file.write_record(columns.iter().map(|column| column.name)).map_err(io)?;
        Ok(Self { file })
    }

    pub(super) fn row(&mut self, cells: &[Cell<'_>]) -> Result<(), ExportError> {
        for cell in cells {
            let field = match cell {
                Cell::Null => Cow::Borrowed(""),
                Cell::Text(text) => guarded(text),
                Cell::Moment(moment) => Cow::Owned(moment.to_string()),
                // As JSON has them, so that a number is the same digits everywhere.
                other => Cow::Owned(serde_json::to_string(other).map_err(std::io::Error::from)?),
            };
            self.file.write_field(field.as_bytes()).map_err(io)?;
        }
        // Ends the line.
        self.file.write_record(None::<&[u8]>).map_err(io)
    }

    pub(super) fn finish(mut self) -> Result<(), ExportError> {
        Ok(self.file.flush()?)
    }
}

fn io(error: csv::Error) -> ExportError {
    ExportError::Io(error.into())
}
