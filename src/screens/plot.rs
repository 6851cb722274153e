//! A small drawing of cone travel against frequency, in characters.
//!
//! ```text
//!    mm  o filter out  * filter in, 22.7 Hz  @ both
//!    40 +
//!       |oooooo
//!       |======oooooo============================ Xmech 27 mm
//!    20 +            oooo
//!       |-----------*****@@o---------------------- Xmax 13 mm
//!       |     ******       *@@@@@@@@@@@@@@@@@@@@@
//!     0 +*****-------+---------------+-----------@@@@@@@@@@@@@
//!       10          20              50          100     200 Hz
//! ```

use super::axes::{Steps, reach, round_frequencies, share};
use super::choices::drawn_corner;
use super::line::{Line, Screen};
use crate::displacement::{Analysis, CurvePoint, HIGHEST};
use crate::quantity::{Hertz, Millimetres, show};

const OUT: char = 'o';
const IN: char = '*';
const BOTH: char = '@';
const XMAX: char = '-';
const XMECH: char = '=';
/// A curve that goes on above the drawing.
const BEYOND: char = '^';
/// Columns of the labels on the left, and of the axis.
const LEFT: usize = 7;

/// Lines that a drawing has besides its rows: what the curves are, and what the axis shows.
pub(super) const AROUND: usize = 2;

/// The drawing, its rows from nought up being at most so many.
pub(super) fn plot(analysis: &Analysis, most_rows: usize, screen: Screen) -> Vec<Line> {
    let columns = screen.width() - LEFT;
    let curve = analysis.curve(columns - 1);
    let scale = Scale::to(reach(analysis, &curve), most_rows - 1);
    let mut canvas = Canvas::new(columns, scale.rows);
    canvas.axis(analysis);
    canvas.limits(analysis, scale);
    canvas.curves(&curve, scale);
    canvas.limit_labels(analysis, scale);
    let mut lines = vec![Line::plain(legend(analysis, &canvas))];
    lines.extend(canvas.lines(scale));
    lines.push(Line::plain(frequencies(analysis, columns)));
    lines
}

/// How many millimetres a row is.
#[derive(Debug, Clone, Copy)]
struct Scale {
    steps: Steps,
    rows_a_step: usize,
    /// Rows above nought.
    rows: usize,
}

impl Scale {
    /// The finest scale with round labels that reaches `top` in at most so many rows.
    fn to(top: Millimetres, most: usize) -> Self {
        let scale = |steps: Steps| {
            let rows_a_step = most / steps.count;
            Self { steps, rows_a_step, rows: steps.count * rows_a_step }
        };
        let finest =
            Steps::sizes(top.mm(), most).map(scale).min_by(|one, other| one.mm_a_row().total_cmp(&other.mm_a_row()));
        finest.unwrap_or_else(|| scale(Steps { size: top.mm(), count: 1 }))
    }

    fn mm_a_row(self) -> f64 {
        self.steps.size / self.rows_a_step as f64
    }

    /// The row of a travel, from nought up; `None` above the drawing.
    fn row(self, travel: Millimetres) -> Option<usize> {
        let row = (travel.mm() / self.mm_a_row()).round() as usize;
        (row <= self.rows).then_some(row)
    }

    /// What stands on the left of a row.
    fn label(self, row: usize) -> Option<String> {
        row.is_multiple_of(self.rows_a_step).then(|| show::figures(self.steps.size * (row / self.rows_a_step) as f64))
    }
}

/// Characters by row, from nought up, and column.
struct Canvas {
    cells: Vec<Vec<char>>,
}

impl Canvas {
    fn new(columns: usize, rows: usize) -> Self {
        Self { cells: vec![vec![' '; columns]; rows + 1] }
    }

    fn columns(&self) -> usize {
        self.cells[0].len()
    }

    fn axis(&mut self, analysis: &Analysis) {
        let columns = self.columns();
        self.cells[0].fill('-');
        for frequency in round_frequencies(analysis.setup.drive.lowest, HIGHEST) {
            self.cells[0][column(analysis, frequency, columns)] = '+';
        }
    }

    fn limits(&mut self, analysis: &Analysis, scale: Scale) {
        for (_, limit, mark) in limits(analysis) {
            if let Some(row) = scale.row(limit) {
                self.cells[row].fill(mark);
            }
        }
    }

    /// The names of the limits at the right end, where no curve is high; two in one row stand side by side.
    fn limit_labels(&mut self, analysis: &Analysis, scale: Scale) {
        let mut taken: Vec<(usize, usize)> = vec![];
        for (name, limit, mark) in limits(analysis) {
            let (row, text) = match scale.row(limit) {
                Some(row) => (row, format!("{mark} {name} {} ", show::millimetres(limit))),
                None => (scale.rows, format!(" {name} {} {BEYOND} ", show::millimetres(limit))),
            };
            let end = taken.iter().filter(|(other, _)| *other == row).map(|(_, start)| *start).min();
            let start = end.unwrap_or(self.columns()).saturating_sub(text.len());
            for (column, character) in (start..).zip(text.chars()) {
                self.cells[row][column] = character;
            }
            taken.push((row, start));
        }
    }

    fn curves(&mut self, curve: &[CurvePoint], scale: Scale) {
        let out: Vec<Millimetres> = curve.iter().map(|point| point.unfiltered).collect();
        self.curve(&out, OUT, scale);
        let filtered: Option<Vec<Millimetres>> = curve.iter().map(|point| point.filtered).collect();
        if let Some(filtered) = filtered {
            self.curve(&filtered, IN, scale);
        }
    }

    /// A curve, one travel a column; where it jumps by several rows, the rows between are filled.
    fn curve(&mut self, travels: &[Millimetres], mark: char, scale: Scale) {
        let rows: Vec<usize> = travels.iter().map(|travel| scale.row(*travel).unwrap_or(scale.rows)).collect();
        for (column, travel) in travels.iter().enumerate() {
            let row = rows[column];
            let before = rows[column.saturating_sub(1)];
            let (low, high) = match before {
                _ if before > row + 1 => (row, before - 1),
                _ if before + 1 < row => (before + 1, row),
                _ => (row, row),
            };
            for cells in &mut self.cells[low..=high] {
                cells[column] = match cells[column] {
                    OUT if mark == IN => BOTH,
                    _ => mark,
                };
            }
            if scale.row(*travel).is_none() {
                self.cells[scale.rows][column] = BEYOND;
            }
        }
    }

    fn holds(&self, mark: char) -> bool {
        self.cells.iter().flatten().any(|cell| *cell == mark)
    }

    fn lines(&self, scale: Scale) -> Vec<Line> {
        let labelled = |(row, cells): (usize, &Vec<char>)| {
            let left = scale.label(row).map_or_else(|| format!("{:>LEFT$}", '|'), |label| format!("{label:>5} +"));
            let cells: String = cells.iter().collect();
            Line::plain(format!("{left}{cells}").trim_end())
        };
        self.cells.iter().enumerate().rev().map(labelled).collect()
    }
}

/// The limits, each with its name and its mark; the graver comes last, so that its mark stays in a row of both.
fn limits(analysis: &Analysis) -> Vec<(&'static str, Millimetres, char)> {
    let driver = &analysis.setup.driver;
    let mut limits = vec![("Xmax", driver.xmax, XMAX)];
    limits.extend(driver.xmech.map(|xmech| ("Xmech", xmech, XMECH)));
    limits
}

fn column(analysis: &Analysis, frequency: Hertz, columns: usize) -> usize {
    (share(frequency, analysis.setup.drive.lowest, HIGHEST) * (columns - 1) as f64).round() as usize
}

/// What the characters mean.
fn legend(analysis: &Analysis, canvas: &Canvas) -> String {
    let mut legend = format!("   mm  {OUT} filter out");
    if let Some(corner) = drawn_corner(analysis) {
        legend.push_str(&format!("  {IN} filter in, {}", show::hertz(corner)));
    }
    for (mark, meaning) in [(BOTH, "both"), (BEYOND, "beyond")] {
        if canvas.holds(mark) {
            legend.push_str(&format!("  {mark} {meaning}"));
        }
    }
    legend
}

/// The round frequencies under the axis, the last one with its unit.
fn frequencies(analysis: &Analysis, columns: usize) -> String {
    let lowest = analysis.setup.drive.lowest;
    let width = LEFT + columns;
    let mut line = String::new();
    for frequency in round_frequencies(lowest, HIGHEST) {
        let is_last = frequency == HIGHEST;
        let figures = show::figures(frequency.hz());
        let label = if is_last { format!("{figures} Hz") } else { figures };
        let middle = LEFT + column(analysis, frequency, columns);
        let start = middle.saturating_sub(label.len() / 2).min(width - label.len());
        if start > line.len() {
            line.push_str(&" ".repeat(start - line.len()));
            line.push_str(&label);
        }
    }
    line
}
