//! The three tables, and the rows that a record has in each.
use super::cell::Cell;
use super::column::{Column, Line};
use super::error::ExportError;
use super::{identity, pairs, readings, sessions};
use crate::record::Record;

/// The name of the tables' format.
pub const FORMAT: &str = "cornerset-rows";

/// The version of the tables. A column that goes, or means something else, makes another one; a new column does not.
///
/// - 1: the first.
pub const VERSION: u32 = 1;

/// Which table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rows {
    /// One row for every reading while the knob was turned.
    Readings,
    /// One row for every record.
    Sessions,
    /// One row for every reading at another tone: exploring and sweep.
    Pairs,
}

impl Rows {
    /// Every table.
    pub const ALL: [Self; 3] = [Self::Readings, Self::Sessions, Self::Pairs];

    /// The word for options.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Readings => "readings",
            Self::Sessions => "sessions",
            Self::Pairs => "pairs",
        }
    }

    /// What a row stands for.
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Readings => "One row for every reading that was taken while the knob was turned, struck ones too.",
            Self::Sessions => "One row for every record: everything in it that is not a list.",
            Self::Pairs => {
                "One row for every reading that was taken to find out the filter (`explore`) or to check it (`sweep`), \
                 struck ones too."
            }
        }
    }
}

/// The columns of a table, in order.
pub fn columns(rows: Rows) -> Vec<&'static Column> {
    let own = match rows {
        Rows::Readings => readings::COLUMNS,
        Rows::Sessions => sessions::COLUMNS,
        Rows::Pairs => pairs::COLUMNS,
    };
    identity::COLUMNS.iter().chain(own).collect()
}

/// Hands every row that a record has in a table to `take`, in the order of the log.
pub(super) fn each_row<'a>(
    rows: Rows,
    columns: &[&'static Column],
    record: &'a Record,
    mut take: impl FnMut(&[Cell<'a>]) -> Result<(), ExportError>,
) -> Result<(), ExportError> {
    let mut cells = Vec::with_capacity(columns.len());
    let mut row = |line: Line<'a>| {
        cells.clear();
        for column in columns {
            cells.push(column.cell(record, line)?);
        }
        take(&cells)
    };
    match rows {
        Rows::Readings => readings::of(record).try_for_each(|reading| row(Line::Reading(reading))),
        Rows::Sessions => row(Line::Session),
        Rows::Pairs => pairs::of(record).try_for_each(|pair| row(Line::Pair(pair))),
    }
}
