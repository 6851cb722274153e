//! A page of a lesson as it grows: a heading, paragraphs, tables and drawings, at most 20 lines at 80 columns.

use crate::screens::{Emphasis, Line, Row, Screen, Table};

/// Tables are never cut: each fits the narrowest page that is promised.
const WHOLE: usize = usize::MAX;

/// A page.
pub(super) struct Page {
    screen: Screen,
    lines: Vec<Line>,
}

impl Page {
    /// A page under its heading.
    pub fn new(screen: Screen, heading: &str) -> Self {
        Self { screen, lines: screen.paragraph(0, Emphasis::Strong, heading) }
    }

    /// The first page of a lesson, which says first what one can do afterwards.
    pub fn first(screen: Screen, promise: &str, heading: &str) -> Self {
        let promise = format!("After this lesson you can {promise}.");
        let mut page = Self { screen, lines: screen.paragraph(0, Emphasis::Faint, &promise) };
        page.lines.extend(screen.paragraph(0, Emphasis::Strong, heading));
        page
    }

    /// A paragraph.
    pub fn says(mut self, text: &str) -> Self {
        self.lines.extend(self.screen.paragraph(0, Emphasis::Plain, &factors_held(text)));
        self
    }

    /// An item of a list.
    pub fn item(mut self, text: &str) -> Self {
        self.lines.extend(self.screen.item("  - ", Emphasis::Plain, text));
        self
    }

    /// A name and what belongs to it.
    pub fn row(mut self, name: &str, text: &str) -> Self {
        self.lines.extend(self.screen.row(name, text));
        self
    }

    /// A table of plain rows.
    pub fn table<const N: usize>(mut self, headings: [&str; N], rows: impl IntoIterator<Item = [String; N]>) -> Self {
        let row = |cells: [String; N]| Row { cells: cells.to_vec(), emphasis: Emphasis::Plain };
        let headings = headings.map(str::to_owned).to_vec();
        let lines = Table { headings, rows: rows.into_iter().map(row).collect() }.lines(WHOLE, self.screen);
        self.lines.extend(lines.into_iter().map(|line| Line { text: line.text.trim_end().to_owned(), ..line }));
        self
    }

    /// A drawing, line by line.
    pub fn drawing(mut self, lines: Vec<String>) -> Self {
        self.lines.extend(lines.into_iter().map(|line| Line::plain(line.trim_end())));
        self
    }

    /// An empty line.
    pub fn gap(mut self) -> Self {
        self.lines.push(Line::empty());
        self
    }

    /// The page.
    pub fn done(self) -> Vec<Line> {
        self.lines
    }

    /// The last page of a lesson, which ends with what to remember.
    pub fn remember(mut self, text: &str) -> Vec<Line> {
        self.lines.extend(self.screen.item("Remember: ", Emphasis::Strong, &factors_held(text)));
        self.lines
    }
}

/// Holds a factor and its cross together: no line ends between `x` and `0.75`.
fn factors_held(text: &str) -> String {
    text.replace("x 0.", "x\u{a0}0.")
}
