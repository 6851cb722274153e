//! The one object that prints: screens to standard error, results and events to standard output.

use std::cell::RefCell;
use std::io::{self, IsTerminal, Write};

use console::Term;
use serde::Serialize;

use crate::quantity::text::json_escaped;
use crate::screens::{Emphasis, Line, Screen, WIDEST};
use crate::session::Stop;
use crate::store::in_words;

/// How things are shown, as the options say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// No colour, no drawings.
    pub plain: bool,
    /// Results as JSON.
    pub json: bool,
}

/// Why nothing could be written to standard output.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// Whoever read it has closed it.
    #[error("standard output was closed")]
    Closed,
    /// It cannot be written.
    #[error("standard output cannot be written: {}; free some space, or send it elsewhere", in_words(.0))]
    Failed(io::Error),
}

impl From<OutputError> for Stop {
    /// Nobody listens any more: the session is interrupted. Else it cannot go on telling what happens.
    fn from(error: OutputError) -> Self {
        match error {
            OutputError::Closed => Self::Interrupted,
            OutputError::Failed(_) => Self::NotTold(error.to_string()),
        }
    }
}

/// Prints.
pub struct Voice {
    term: Term,
    style: Style,
    /// What was said, where it is kept instead of printed.
    kept: Option<RefCell<String>>,
}

impl Voice {
    /// Prints in this style.
    pub fn new(style: Style) -> Self {
        Self { term: Term::stderr(), style, kept: None }
    }

    /// Prints nothing, and keeps all that would be printed, for [`Voice::said`].
    pub fn keeping(style: Style) -> Self {
        Self { kept: Some(RefCell::default()), ..Self::new(style) }
    }

    /// What was said since this was asked last, where it is kept: screens and results, in their order.
    pub fn said(&self) -> String {
        self.kept.as_ref().map_or_else(String::new, RefCell::take)
    }

    /// The style.
    pub const fn style(&self) -> Style {
        self.style
    }

    /// The terminal on standard error.
    pub const fn term(&self) -> &Term {
        &self.term
    }

    /// The columns of the window on standard error, where there is one.
    pub fn columns(&self) -> Option<usize> {
        self.term.size_checked().map(|(_, columns)| usize::from(columns)).filter(|columns| *columns > 0)
    }

    /// How screens are laid out now: the window's width where there is one.
    pub fn screen(&self) -> Screen {
        Screen::new(self.columns().unwrap_or(WIDEST), self.style.plain)
    }

    /// Colour only on a terminal that can, and where nobody asked for none (NO_COLOR, whatever it is set to).
    fn has_colour(&self, stream: &impl IsTerminal) -> bool {
        let is_dumb = std::env::var_os("TERM").is_none_or(|term| term == "dumb");
        let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        stream.is_terminal() && !is_dumb && !refused && !self.style.plain
    }

    /// Shows a screen. A screen that cannot be shown is no reason to stop: what was logged is on disk.
    pub fn show(&self, lines: &[Line]) {
        if let Some(kept) = &self.kept {
            kept.borrow_mut().extend(lines.iter().flat_map(|line| [line.text.as_str(), "\n"]));
            return;
        }
        for line in lines {
            let _ = self.term.write_line(&paint(line, self.has_colour(&io::stderr())));
        }
    }

    /// Prints a result for people on standard output.
    ///
    /// # Errors
    /// Where nobody reads it any more, or it cannot be written.
    pub fn print(&self, lines: &[Line]) -> Result<(), OutputError> {
        let colour = self.has_colour(&io::stdout());
        let mut text = String::new();
        for line in lines {
            text.push_str(&paint(line, colour));
            text.push('\n');
        }
        self.write_out(text.as_bytes())
    }

    /// Prints one JSON document.
    ///
    /// # Errors
    /// Where nobody reads it any more, or it cannot be written.
    pub fn document(&self, document: &impl Serialize) -> Result<(), OutputError> {
        let mut text = serde_json::to_vec_pretty(document).map_err(|error| OutputError::Failed(error.into()))?;
        text.push(b'\n');
        self.json_lines(text)
    }

    /// Prints JSON: what a terminal would act on or nobody can see is escaped, so that it says the same to a program.
    ///
    /// # Errors
    /// Where nobody reads it any more, or it cannot be written.
    pub fn json_lines(&self, json: Vec<u8>) -> Result<(), OutputError> {
        match String::from_utf8(json) {
            Ok(text) => self.write_out(json_escaped(&text).as_bytes()),
            Err(error) => self.write_out(error.as_bytes()),
        }
    }

    /// Writes bytes as they are.
    ///
    /// # Errors
    /// Where nobody reads them any more, or they cannot be written.
    pub fn bytes(&self, bytes: &[u8]) -> Result<(), OutputError> {
        self.write_out(bytes)
    }

    /// Prints one JSON event on a line of its own, where events were asked for.
    ///
    /// # Errors
    /// Where nobody reads it any more, or it cannot be written.
    pub fn event(&self, event: &impl Serialize) -> Result<(), OutputError> {
        if !self.style.json {
            return Ok(());
        }
        let mut text = serde_json::to_vec(event).map_err(|error| OutputError::Failed(error.into()))?;
        text.push(b'\n');
        self.json_lines(text)
    }

    fn write_out(&self, bytes: &[u8]) -> Result<(), OutputError> {
        if let Some(kept) = &self.kept {
            kept.borrow_mut().push_str(&String::from_utf8_lossy(bytes));
            return Ok(());
        }
        let mut out = io::stdout().lock();
        out.write_all(bytes).and_then(|()| out.flush()).map_err(|error| match error.kind() {
            io::ErrorKind::BrokenPipe => OutputError::Closed,
            _ => OutputError::Failed(error),
        })
    }
}

/// A line with its emphasis, where colour is on.
fn paint(line: &Line, colour: bool) -> String {
    if !colour || line.text.is_empty() {
        return line.text.clone();
    }
    let style = console::Style::new().force_styling(true);
    let style = match line.emphasis {
        Emphasis::Plain => return line.text.clone(),
        Emphasis::Strong => style.bold(),
        Emphasis::Faint => style.dim(),
        Emphasis::Good => style.bold().green(),
        Emphasis::Warn => style.bold().yellow(),
    };
    style.apply_to(&line.text).to_string()
}
