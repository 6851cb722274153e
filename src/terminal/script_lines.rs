//! The lines of a script: `word: answer`, one a line, `#` comments.
//!
//! A line is read only when it is asked for, and the next one is not waited for until it is needed, so another program
//! can answer through a pipe and read each verdict before it goes on.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Cursor, Read};
use std::path::Path;

use crate::quantity::text::visible;
use crate::session::Stop;
use crate::store::in_words;

/// The longest line that is read.
const LONGEST_LINE: u64 = 64 * 1024;

/// Where a script comes from.
pub enum ScriptSource {
    /// Standard input.
    Input,
    /// A file.
    File(File),
    /// A pipe with a name, or a device.
    Pipe(File),
    /// Text that is there already.
    Text(Vec<u8>),
}

impl ScriptSource {
    /// Opens a script; `-` is standard input.
    ///
    /// # Errors
    /// Where the file cannot be opened or is no file.
    pub fn open(path: &Path) -> io::Result<Self> {
        if path.as_os_str() == "-" {
            return Ok(Self::Input);
        }
        let file = File::open(path)?;
        let kind = file.metadata()?.file_type();
        if kind.is_dir() {
            return Err(io::Error::from(io::ErrorKind::IsADirectory));
        }
        Ok(if kind.is_file() { Self::File(file) } else { Self::Pipe(file) })
    }
}

/// One line of a script.
pub(super) struct ScriptLine {
    /// Its number, from 1.
    pub number: u64,
    /// What it answers.
    pub word: String,
    /// The answer.
    pub answer: String,
}

/// The lines of a script, one at a time.
pub(super) struct ScriptLines {
    reader: BufReader<Box<dyn Read>>,
    /// Whether it can be read to its end without waiting for anyone.
    is_file: bool,
    /// The number of the last line read.
    line: u64,
}

impl ScriptLines {
    /// The lines of this script.
    pub fn of(source: ScriptSource) -> Self {
        let is_file = matches!(source, ScriptSource::File(_) | ScriptSource::Text(_));
        let source: Box<dyn Read> = match source {
            ScriptSource::Input => Box::new(io::stdin()),
            ScriptSource::File(file) | ScriptSource::Pipe(file) => Box::new(file),
            ScriptSource::Text(text) => Box::new(Cursor::new(text)),
        };
        Self { reader: BufReader::new(source), is_file, line: 0 }
    }

    /// The number of the first line that nobody asked for, at the end. Of a pipe, whose other side may still be open, only
    /// what has come already is looked at.
    pub fn left_over(&mut self) -> Option<u64> {
        if self.is_file {
            return match self.next() {
                Ok(line) => line.map(|line| line.number),
                Err(_) => Some(self.line),
            };
        }
        let come = String::from_utf8_lossy(self.reader.buffer()).into_owned();
        let index = come.lines().position(|line| !is_empty(line))?;
        Some(self.line + index as u64 + 1)
    }

    /// The next line; `None` at the end.
    ///
    /// # Errors
    /// Where it cannot be read, or is no `word: answer`.
    pub fn next(&mut self) -> Result<Option<ScriptLine>, Stop> {
        loop {
            let mut bytes = Vec::new();
            let read = self.reader.by_ref().take(LONGEST_LINE + 1).read_until(b'\n', &mut bytes);
            self.line += 1;
            let number = self.line;
            let refuse = |what: &str| Err(Stop::Input(format!("line {number} of the script {what}")));
            match read {
                Ok(0) => {
                    self.line -= 1;
                    return Ok(None);
                }
                Ok(_) => {}
                Err(error) => return refuse(&format!("cannot be read: {}", in_words(&error))),
            }
            if bytes.len() as u64 > LONGEST_LINE {
                return refuse("is longer than 65536 bytes; accepted: `id: answer`");
            }
            let Ok(text) = String::from_utf8(bytes) else {
                return refuse("is not UTF-8 text; accepted: `id: answer`");
            };
            let text = text.trim_start_matches('\u{feff}').trim();
            if is_empty(text) {
                continue;
            }
            let Some((word, answer)) = text.split_once(':') else {
                return refuse(&format!("has no question: `{}`; accepted: `id: answer`", shortened(text)));
            };
            return Ok(Some(ScriptLine { number, word: word.trim().to_owned(), answer: answer.trim().to_owned() }));
        }
    }
}

/// A blank line, or a comment.
fn is_empty(line: &str) -> bool {
    line.trim().is_empty() || line.trim_start().starts_with('#')
}

/// The start of what was given, made harmless.
pub(super) fn shortened(text: &str) -> String {
    const SHOWN: usize = 60;
    let visible = visible(text);
    if visible.chars().count() <= SHOWN {
        return visible;
    }
    let start: String = visible.chars().take(SHOWN).collect();
    format!("{start}...")
}
