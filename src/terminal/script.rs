//! A script in place of a person: `id: answer`, one a line, `#` comments.
//!
//! A line is read only when its question comes up, and the next one is not waited for until it is needed, so another
//! program can drive a session through a pipe and read each verdict before it answers.

use std::fs::File;
use std::io::{self, BufRead, BufReader, Read};
use std::path::Path;

use serde_json::json;

use super::driver::driver_line;
use super::voice::Voice;
use crate::quantity::Refusal;
use crate::quantity::text::visible;
use crate::screens::{self, Emphasis};
use crate::session::{Ask, LogEntry, Notes, Operator, Question, Reply, State, Stop};
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

/// One line of a script: an answer to a question.
struct ScriptLine {
    number: u64,
    question: Question,
    answer: String,
}

/// Answers from a script.
pub struct Script<'a> {
    voice: &'a Voice,
    reader: BufReader<Box<dyn Read>>,
    /// Whether it can be read to its end without waiting for anyone.
    is_file: bool,
    show_working: bool,
    /// A line that was read and belongs to a later question.
    waiting: Option<ScriptLine>,
    /// The number of the last line read.
    line: u64,
    /// Where the last answer stood.
    answered_at: Option<u64>,
}

impl<'a> Script<'a> {
    /// A script whose screens go to `voice`.
    pub fn new(voice: &'a Voice, source: ScriptSource, show_working: bool) -> Self {
        let is_file = matches!(source, ScriptSource::File(_));
        let source: Box<dyn Read> = match source {
            ScriptSource::Input => Box::new(io::stdin()),
            ScriptSource::File(file) | ScriptSource::Pipe(file) => Box::new(file),
        };
        let reader = BufReader::new(source);
        Self { voice, reader, is_file, show_working, waiting: None, line: 0, answered_at: None }
    }

    /// The number of the first line that nobody asked for, once a session is complete. Of a pipe, whose other side may
    /// still be open, only what has come already is looked at.
    pub fn left_over(&mut self) -> Option<u64> {
        if self.is_file {
            return match self.next_line() {
                Ok(line) => line.map(|line| line.number),
                Err(_) => Some(self.line),
            };
        }
        let come = String::from_utf8_lossy(self.reader.buffer()).into_owned();
        let index = come.lines().position(|line| !is_empty(line))?;
        Some(self.line + index as u64 + 1)
    }

    fn next_line(&mut self) -> Result<Option<ScriptLine>, Stop> {
        if let Some(line) = self.waiting.take() {
            return Ok(Some(line));
        }
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
            let word = word.trim();
            let Some(question) = Question::from_word(word) else {
                let known: Vec<&str> = Question::ALL.into_iter().map(Question::word).collect();
                return refuse(&format!("names no question: `{}`; accepted: {}", shortened(word), known.join(", ")));
            };
            return Ok(Some(ScriptLine { number, question, answer: answer.trim().to_owned() }));
        }
    }
}

impl Operator for Script<'_> {
    fn reply(&mut self, state: &State, ask: &Ask, _notes: &mut dyn Notes) -> Result<Reply, Stop> {
        let event = json!({"event": "question", "id": ask.question, "default": ask.default});
        self.voice.event(&event)?;
        let screen = self.voice.screen();
        self.voice.show(&screens::question(state, ask, screen));
        let prompt = screens::prompt(ask, screen.width() / 2);
        let echo = |text: &str| {
            self.voice.show(&screen.paragraph(0, Emphasis::Plain, &format!("{prompt}: {}", visible(text))));
        };
        let Some(line) = self.next_line()? else {
            return match (&ask.default, ask.question.repeats()) {
                (_, true) if !(ask.question == Question::Reading && state.last_reading().is_none()) => Ok(Reply::Done),
                (Some(default), _) => {
                    echo(default);
                    Ok(Reply::Default)
                }
                (None, _) => Err(Stop::Input(format!(
                    "the script ends before `{}`, which has no default; accepted: a line `{}: ...`",
                    ask.question, ask.question
                ))),
            };
        };
        if line.question == ask.question {
            self.answered_at = Some(line.number);
            echo(&line.answer);
            if ask.question == Question::Driver {
                let given = driver_line(&line.answer);
                return given
                    .map(Reply::Typed)
                    .map_err(|why| Stop::Input(format!("line {} of the script: driver: {why}", line.number)));
            }
            return Ok(Reply::Typed(line.answer));
        }
        let refuse = |what: String| Err(Stop::Input(format!("line {} of the script {what}", line.number)));
        if line.question < ask.question {
            return refuse(if state.comes_up(line.question) {
                format!("is out of order: `{}` comes before `{}`, which is asked now", line.question, ask.question)
            } else {
                format!(
                    "answers `{}`, which does not come up here; accepted now: `{}: ...`",
                    line.question, ask.question
                )
            });
        }
        let no_reading = ask.question == Question::Reading && state.last_reading().is_none();
        if no_reading || (ask.default.is_none() && !ask.question.repeats()) {
            return refuse(format!(
                "answers `{}`, but `{}` comes first and has no default; accepted now: `{}: ...`",
                line.question, ask.question, ask.question
            ));
        }
        self.answered_at = Some(line.number);
        self.waiting = Some(line);
        match &ask.default {
            Some(default) if !ask.question.repeats() => {
                echo(default);
                Ok(Reply::Default)
            }
            _ => Ok(Reply::Done),
        }
    }

    fn refused(&mut self, _ask: &Ask, refusal: &Refusal) -> Result<(), Stop> {
        let place = match self.answered_at {
            Some(number) => format!("line {number} of the script: "),
            None => "the script: ".to_owned(),
        };
        Err(Stop::Input(format!("{place}{refusal}")))
    }

    fn logged(&mut self, state: &State, entry: &LogEntry) -> Result<(), Stop> {
        self.voice.show(&screens::news(state, entry, self.show_working, self.voice.screen()));
        Ok(self.voice.event(entry)?)
    }
}

/// A blank line, or a comment.
fn is_empty(line: &str) -> bool {
    line.trim().is_empty() || line.trim_start().starts_with('#')
}

/// The start of what was given, made harmless.
fn shortened(text: &str) -> String {
    const SHOWN: usize = 60;
    let visible = visible(text);
    if visible.chars().count() <= SHOWN {
        return visible;
    }
    let start: String = visible.chars().take(SHOWN).collect();
    format!("{start}...")
}
