//! The one object that prints: screens to standard error, results and events to standard output.

use std::io::{self, Write};

use console::Term;
use serde::Serialize;

use crate::screens::{Emphasis, Line, Screen, WIDEST};

/// How things are shown, as the options say.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Style {
    /// No colour, no drawings.
    pub plain: bool,
    /// Results as JSON.
    pub json: bool,
}

/// Standard output was closed by whoever read it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("standard output was closed")]
pub struct OutputClosed;

/// Prints.
pub struct Voice {
    term: Term,
    style: Style,
}

impl Voice {
    /// Prints in this style.
    pub fn new(style: Style) -> Self {
        Self { term: Term::stderr(), style }
    }

    /// The style.
    pub const fn style(&self) -> Style {
        self.style
    }

    /// The terminal on standard error.
    pub const fn term(&self) -> &Term {
        &self.term
    }

    /// How screens are laid out now: the window's width where there is one.
    pub fn screen(&self) -> Screen {
        let columns = self.term.size_checked().map_or(WIDEST, |(_, columns)| usize::from(columns));
        Screen::new(columns, self.style.plain)
    }

    /// Shows a screen. A screen that cannot be shown is no reason to stop: what was logged is on disk.
    pub fn show(&self, lines: &[Line]) {
        for line in lines {
            let _ = self.term.write_line(&paint(line, console::colors_enabled_stderr() && !self.style.plain, true));
        }
    }

    /// Prints a result for people on standard output.
    ///
    /// # Errors
    /// Where nobody reads it any more.
    pub fn print(&self, lines: &[Line]) -> Result<(), OutputClosed> {
        let colour = console::colors_enabled() && !self.style.plain;
        let mut text = String::new();
        for line in lines {
            text.push_str(&paint(line, colour, false));
            text.push('\n');
        }
        write_out(text.as_bytes())
    }

    /// Prints one JSON document.
    ///
    /// # Errors
    /// Where nobody reads it any more.
    pub fn document(&self, document: &impl Serialize) -> Result<(), OutputClosed> {
        let mut text = serde_json::to_vec_pretty(document).map_err(|_| OutputClosed)?;
        text.push(b'\n');
        write_out(&text)
    }

    /// Prints one JSON event on a line of its own, where events were asked for.
    ///
    /// # Errors
    /// Where nobody reads it any more.
    pub fn event(&self, event: &impl Serialize) -> Result<(), OutputClosed> {
        if !self.style.json {
            return Ok(());
        }
        let mut text = serde_json::to_vec(event).map_err(|_| OutputClosed)?;
        text.push(b'\n');
        write_out(&text)
    }
}

fn write_out(bytes: &[u8]) -> Result<(), OutputClosed> {
    let mut out = io::stdout().lock();
    out.write_all(bytes).and_then(|()| out.flush()).map_err(|_| OutputClosed)
}

/// A line with its emphasis, where colour is on.
fn paint(line: &Line, colour: bool, stderr: bool) -> String {
    if !colour || line.text.is_empty() {
        return line.text.clone();
    }
    let style = console::Style::new();
    let style = if stderr { style.for_stderr() } else { style.for_stdout() };
    let style = match line.emphasis {
        Emphasis::Plain => return line.text.clone(),
        Emphasis::Strong => style.bold(),
        Emphasis::Faint => style.dim(),
        Emphasis::Good => style.bold().green(),
        Emphasis::Warn => style.bold().yellow(),
    };
    style.apply_to(&line.text).to_string()
}
