//! NDJSON: one object a line, nulls written out.

use std::io::{BufWriter, Write};

use serde::{Serialize, Serializer};

use super::cell::Cell;
use super::column::Column;
use super::error::ExportError;
use crate::quantity::text::json_escaped;

/// Rows as lines of JSON.
pub(super) struct NdjsonRows<W: Write> {
    file: BufWriter<W>,
}

struct Object<'a> {
    columns: &'a [&'static Column],
    cells: &'a [Cell<'a>],
}

impl Serialize for Object<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.columns.iter().map(|column| column.name).zip(self.cells))
    }
}

impl<W: Write> NdjsonRows<W> {
    pub(super) fn new(file: W) -> Self {
        Self { file: BufWriter::new(file) }
    }

    pub(super) fn row(&mut self, columns: &[&'static Column], cells: &[Cell<'_>]) -> Result<(), ExportError> {
        let json = serde_json::to_string(&Object { columns, cells }).map_err(std::io::Error::from)?;
        self.file.write_all(json_escaped(&json).as_bytes())?;
        Ok(self.file.write_all(b"\n")?)
    }

    pub(super) fn finish(mut self) -> Result<(), ExportError> {
        Ok(self.file.flush()?)
    }
}
