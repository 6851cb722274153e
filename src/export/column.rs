//! A column of a table: its name, what it holds, and where in a record that stands.

use super::cell::{Cell, Kind};
use super::error::ExportError;
use crate::plan::PlanDocument;
use crate::record::Record;
use crate::session::{PairEntry, ReadingEntry};

/// A column.
#[derive(Debug)]
pub struct Column {
    /// The name: the keys of the record, joined with `_`.
    pub name: &'static str,
    /// What the cells hold.
    pub kind: Kind,
    /// The unit; empty where there is none.
    pub unit: &'static str,
    /// Whether cells may be null.
    pub nullable: bool,
    /// What the cells mean.
    pub meaning: &'static str,
    pub(super) source: Source,
}

/// From which part of a row a cell is taken.
#[derive(Debug)]
pub(super) enum Source {
    Record(for<'a> fn(&'a Record) -> Cell<'a>),
    Reading(for<'a> fn(ReadingRow<'a>) -> Cell<'a>),
    Pair(for<'a> fn(PairRow<'a>) -> Cell<'a>),
}

/// One reading of the log, with what other entries say of it.
#[derive(Debug, Clone, Copy)]
pub(super) struct ReadingRow<'a> {
    pub(super) entry: &'a ReadingEntry,
    pub(super) strike_reason: Option<&'a str>,
    /// The final plan, where the reading was judged by it.
    pub(super) plan: Option<&'a PlanDocument>,
}

/// One exploring or sweep reading of the log.
#[derive(Debug, Clone, Copy)]
pub(super) struct PairRow<'a> {
    pub(super) event: &'static str,
    pub(super) entry: &'a PairEntry,
    pub(super) strike_reason: Option<&'a str>,
}

/// What a row stands for besides its record.
#[derive(Debug, Clone, Copy)]
pub(super) enum Line<'a> {
    Session,
    Reading(ReadingRow<'a>),
    Pair(PairRow<'a>),
}

impl Column {
    /// The cell of a row.
    ///
    /// # Errors
    /// Where a number is not finite.
    pub(super) fn cell<'a>(&self, record: &'a Record, line: Line<'a>) -> Result<Cell<'a>, ExportError> {
        let cell = match (&self.source, line) {
            (Source::Record(of), _) => of(record),
            (Source::Reading(of), Line::Reading(row)) => of(row),
            (Source::Pair(of), Line::Pair(row)) => of(row),
            (Source::Reading(_) | Source::Pair(_), _) => Cell::Null,
        };
        match cell {
            Cell::Number(number) if !number.is_finite() => Err(ExportError::NotFinite { column: self.name }),
            cell => Ok(cell),
        }
    }
}

/// Columns from lines of name, type, expression and meaning; kind, unit and null follow from the type.
macro_rules! columns {
    ($source:ident($row:ident): $($name:ident: $type:ty = $value:expr, $meaning:literal;)*) => {
        &[$($crate::export::column::Column {
            name: stringify!($name),
            kind: <$type as $crate::export::cell::Value>::KIND,
            unit: <$type as $crate::export::cell::Value>::UNIT,
            nullable: <$type as $crate::export::cell::Value>::NULLABLE,
            meaning: $meaning,
            source: $crate::export::column::Source::$source(|$row| {
                <$type as $crate::export::cell::Value>::cell($value)
            }),
        }),*]
    };
}

pub(super) use columns;
