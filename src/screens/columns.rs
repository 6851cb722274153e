//! A table whose first column names its rows: cells as text, for a screen and for a page.

use super::line::{Emphasis, Line, Screen};

/// Cells under their headings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Table {
    /// What stands over each column.
    pub headings: Vec<String>,
    /// As many cells in a row as there are headings.
    pub rows: Vec<Row>,
}

/// A row of a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Its name first.
    pub cells: Vec<String>,
    /// How it stands out.
    pub emphasis: Emphasis,
}

impl Table {
    /// The table as lines, names to the left and the rest to the right. Where the screen is too narrow, at most the first
    /// `held` columns come first, and the others stand below, again under the names and the second column.
    pub fn lines(&self, held: usize, screen: Screen) -> Vec<Line> {
        let fits = |shown: &[usize]| self.columns(shown).iter().all(|line| line.text.chars().count() <= screen.width());
        let all: Vec<usize> = (0..self.headings.len()).collect();
        if fits(&all) {
            return self.columns(&all);
        }
        let (mut lines, mut rest, mut names, mut most) = (vec![], &all[..], &[][..], held);
        while !rest.is_empty() {
            let with = |count: usize| [names, &rest[..count]].concat();
            let count = (1..=rest.len().min(most)).rev().find(|count| fits(&with(*count))).unwrap_or(1);
            lines.extend(self.columns(&with(count)));
            rest = &rest[count..];
            (names, most) = (&all[..2.min(count + names.len())], usize::MAX);
        }
        lines
    }

    fn columns(&self, shown: &[usize]) -> Vec<Line> {
        let headings = Row { cells: self.headings.clone(), emphasis: Emphasis::Strong };
        let rows: Vec<&Row> = std::iter::once(&headings).chain(&self.rows).collect();
        let width = |column: usize| rows.iter().map(|row| row.cells[column].chars().count()).max().unwrap_or(0);
        let cell = |row: &Row, column: usize| match column {
            0 => format!("{:<1$}", row.cells[0], width(0)),
            _ => format!("{:>1$}", row.cells[column], width(column)),
        };
        rows.iter()
            .map(|row| {
                let cells: Vec<String> = shown.iter().map(|column| cell(row, *column)).collect();
                Line { text: format!("  {}", cells.join("  ")), emphasis: row.emphasis }
            })
            .collect()
    }
}
