//! A script in place of a person at a session: each line answers a question, or moves something at a simulated bench.

use serde_json::json;

use super::driver::driver_line;
use super::script_lines::{ScriptLine, ScriptLines, ScriptSource, shortened};
use super::simulated::{Simulated, check_note, is_move};
use super::voice::Voice;
use crate::quantity::Refusal;
use crate::quantity::text::visible;
use crate::screens::{self, Emphasis};
use crate::session::{Ask, LogEntry, Notes, Operator, Question, Reply, State, Stop};

/// The word of a line that moves something at the bench.
const BENCH: &str = "bench";

/// One line of a script: an answer to a question.
struct AnswerLine {
    number: u64,
    question: Question,
    answer: String,
}

/// Answers from a script.
pub struct Script<'a> {
    voice: &'a Voice,
    lines: ScriptLines,
    show_working: bool,
    /// The bench, where it is a simulated one.
    bench: Option<Simulated>,
    /// A line that was read and belongs to a later question.
    waiting: Option<AnswerLine>,
    /// Where the last answer stood.
    answered_at: Option<u64>,
}

impl<'a> Script<'a> {
    /// A script whose screens go to `voice`; `bench` where it works on a simulated one.
    pub fn new(voice: &'a Voice, source: ScriptSource, show_working: bool, bench: Option<Simulated>) -> Self {
        Self { voice, lines: ScriptLines::of(source), show_working, bench, waiting: None, answered_at: None }
    }

    /// The number of the first line that nobody asked for, once a session is complete.
    pub fn left_over(&mut self) -> Option<u64> {
        self.waiting.take().map(|line| line.number).or_else(|| self.lines.left_over())
    }

    /// The next answer; what is moved at the bench before it is moved, and told.
    fn next_line(&mut self, notes: &mut dyn Notes) -> Result<Option<AnswerLine>, Stop> {
        if let Some(line) = self.waiting.take() {
            return Ok(Some(line));
        }
        while let Some(ScriptLine { number, word, answer }) = self.lines.next()? {
            if let Some(bench) = self.bench.as_mut().filter(|_| word == BENCH) {
                let refused = |why: &Refusal| Stop::Input(format!("line {number} of the script: {why}"));
                bench.by_line(&answer, self.voice, notes)?.map_err(|why| refused(&why))?;
                continue;
            }
            let Some(question) = Question::from_word(&word) else {
                let known: Vec<&str> = Question::ALL.into_iter().map(Question::word).collect();
                return Err(Stop::Input(format!(
                    "line {number} of the script names no question: `{}`; accepted: {}",
                    shortened(&word),
                    known.join(", ")
                )));
            };
            return Ok(Some(AnswerLine { number, question, answer }));
        }
        Ok(None)
    }
}

impl Operator for Script<'_> {
    fn reply(&mut self, state: &State, ask: &Ask, notes: &mut dyn Notes) -> Result<Reply, Stop> {
        let event = json!({"event": "question", "id": ask.question, "default": ask.default});
        self.voice.event(&event)?;
        let screen = self.voice.screen();
        self.voice.show(&screens::question(state, ask, screen));
        let prompt = screens::prompt(ask, screen.width() / 2);
        let echo = |text: &str| {
            self.voice.show(&screen.paragraph(0, Emphasis::Plain, &format!("{prompt}: {}", visible(text))));
        };
        let Some(line) = self.next_line(notes)? else {
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
            if self.bench.is_some() && ask.question == Question::Note {
                check_note(&line.answer)
                    .map_err(|why| Stop::Input(format!("line {} of the script: {why}", line.number)))?;
            }
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
        if self.bench.is_none() || !is_move(entry) {
            self.voice.show(&screens::news(state, entry, self.show_working, self.voice.screen()));
        }
        Ok(self.voice.event(entry)?)
    }
}
