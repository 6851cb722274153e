//! The loop: ask, judge, keep, apply, tell.

use super::ask::{Ask, Known};
use super::entry::{LogEntry, PauseEntry};
use super::memory::{Memory, Remembered};
use super::ports::{Clock, Journal, Notes, Operator, Reply, Stop};
use super::question::Question;
use super::state::State;
use super::words::UNKNOWN;
use crate::quantity::Refusal;

/// Everything outside that a session works with.
pub struct Desk<'a> {
    /// Who answers.
    pub operator: &'a mut dyn Operator,
    /// The time.
    pub clock: &'a mut dyn Clock,
    /// Where entries are kept.
    pub journal: &'a mut dyn Journal,
    /// What was answered before; a script has none, so that it means the same everywhere.
    pub memory: Option<&'a Memory>,
}

/// Leads through the questions until the session is complete.
///
/// An entry is kept before it is applied and before anyone is told.
///
/// # Errors
/// Why it stopped before its end. The session is kept, and everything that was logged with it.
pub fn run(state: &mut State, desk: &mut Desk<'_>) -> Result<(), Stop> {
    let mut turned_to = None;
    while let Some(next) = state.next() {
        let question = turned_to.take().unwrap_or(next);
        let ask = desk.ask(state, question, question < next);
        let reply = match desk.reply(state, &ask) {
            Err(Stop::Interrupted) => return Err(desk.pause(state)),
            other => other?,
        };
        if ask.revisited && is_unchanged(state, &ask, &reply) {
            continue;
        }
        let at = desk.clock.now();
        let judged = match &reply {
            Reply::Typed(typed) => state.judge(question, typed, false, at),
            Reply::TypedFor(other, typed) => state.judge(*other, typed, false, at),
            Reply::Default => match &ask.default {
                Some(default) => state.judge(question, default, !was_typed(state, question, default), at),
                None => Err(unanswered(question)),
            },
            Reply::Note(text) => {
                turned_to = Some(question).filter(|question| *question != Question::Note);
                state.judge_note(question, text, at)
            }
            Reply::Done => match end_of_list(state, &ask) {
                Ok(Ended::Next(next)) => {
                    turned_to = Some(next);
                    continue;
                }
                Ok(Ended::Answer(word, default)) => state.judge(question, &word, default, at),
                Err(refusal) => Err(refusal),
            },
            Reply::Back(target) => match back_to(state, question, *target) {
                Ok(earlier) => {
                    turned_to = Some(earlier);
                    continue;
                }
                Err(refusal) => Err(refusal),
            },
            Reply::Pause => return Err(desk.pause(state)),
        };
        match judged {
            Ok(entry) => desk.keep(state, entry)?,
            Err(refusal) => {
                desk.operator.refused(&ask, &refusal)?;
                turned_to = Some(question);
            }
        }
    }
    Ok(())
}

impl Desk<'_> {
    /// Keeps an entry, applies it, tells the operator.
    ///
    /// # Errors
    /// Where it could not be kept; then it is not applied either.
    pub fn keep(&mut self, state: &mut State, entry: LogEntry) -> Result<(), Stop> {
        self.journal.append(&entry)?;
        state.apply(entry.clone()).map_err(|refusal| Stop::Input(refusal.to_string()))?;
        self.operator.logged(state, &entry)
    }

    /// What the operator says, and the notes that led there.
    fn reply(&mut self, state: &mut State, ask: &Ask) -> Result<Reply, Stop> {
        let mut notebook =
            Notebook { state, question: ask.question, clock: self.clock, journal: self.journal, kept: vec![] };
        let reply = self.operator.reply(state, ask, &mut notebook);
        for entry in notebook.kept {
            state.apply(entry.clone()).map_err(|refusal| Stop::Input(refusal.to_string()))?;
            self.operator.logged(state, &entry)?;
        }
        reply
    }

    /// The question with its default: what was set aside, else what is remembered, else the usual.
    fn ask(&self, state: &State, question: Question, revisited: bool) -> Ask {
        let usual = state.default_answer(question);
        let plain = |default| Ask { question, default, known: Known::No, revisited };
        let Some(memory) = self.memory else {
            return plain(usual);
        };
        if question == Question::Driver && !revisited && state.set_aside.get(&question).is_none_or(Option::is_none) {
            return Ask { question, default: usual, known: Known::Elsewhere, revisited };
        }
        let still_taken = |typed: &str| state.answer(question, typed).is_ok();
        if revisited && let Some(typed) = state.typed(question) {
            return plain(Some(typed));
        }
        let recalled = memory.recall(state, question).filter(|remembered| still_taken(&remembered.typed));
        // Where the cone decides, the corner is looked at each time.
        let cone_decides = matches!(question, Question::Rule | Question::Corner) && state.excursion().is_some();
        // Where the dial points is another matter each time the knob was moved.
        let points_elsewhere = question == Question::DialMark;
        if let Some(set_aside) =
            state.set_aside.get(&question).filter(|_| !revisited && !cone_decides && !points_elsewhere)
        {
            if question == Question::Tuning && set_aside.as_deref() == Some(UNKNOWN) && usual.is_some() {
                return plain(usual);
            }
            let (default, from) = match (set_aside.clone().filter(|typed| still_taken(typed)), recalled) {
                (Some(typed), _) => (Some(typed), Known::Before),
                (None, Some(Remembered { typed, known: true })) => (Some(typed), Known::LastTime),
                (None, Some(Remembered { typed, known: false })) => (Some(typed), Known::No),
                // The usual answer, if that is still what it was; the usual tone goes with its corner.
                (None, None) if question == Question::Tone || usual == state.last_typed(question) => {
                    (usual.clone(), Known::Before)
                }
                (None, None) => (usual.clone(), Known::No),
            };
            let is_safe = !question.guards() && !question.repeats() && question < Question::Reference;
            // What would be refused must be asked for, or it would be taken and refused for ever.
            let is_taken = is_safe && default.as_deref().is_some_and(still_taken);
            return Ask { question, default, known: if is_taken { from } else { Known::No }, revisited };
        }
        match recalled.filter(|_| !cone_decides) {
            Some(remembered) => {
                let known = if remembered.known && !revisited { Known::LastTime } else { Known::No };
                Ask { question, default: Some(remembered.typed), known, revisited }
            }
            None => plain(usual),
        }
    }

    /// Logs that the session was left. The log is whole without that line, so its failure is no other failure.
    fn pause(&mut self, state: &mut State) -> Stop {
        let entry = LogEntry::Pause(PauseEntry { at: self.clock.now() });
        if self.journal.append(&entry).is_ok() && state.apply(entry.clone()).is_ok() {
            let _ = self.operator.logged(state, &entry);
        }
        Stop::Interrupted
    }
}

/// Notes on the way to an answer, each kept at once.
struct Notebook<'a> {
    state: &'a State,
    question: Question,
    clock: &'a mut dyn Clock,
    journal: &'a mut dyn Journal,
    kept: Vec<LogEntry>,
}

impl Notes for Notebook<'_> {
    fn keep(&mut self, text: &str) -> Result<(), Stop> {
        // What leads to the last note is not that note.
        let question = match self.question {
            Question::Note => self.state.before(Question::Note).unwrap_or(Question::Accept),
            question => question,
        };
        let judged = self.state.judge_note(question, text, self.clock.now());
        let entry = judged.map_err(|refusal| Stop::Input(refusal.to_string()))?;
        self.journal.append(&entry)?;
        self.kept.push(entry);
        Ok(())
    }
}

/// Whether a default is what was typed before an earlier answer was changed.
fn was_typed(state: &State, question: Question, default: &str) -> bool {
    state.set_aside.get(&question).is_some_and(|set_aside| set_aside.as_deref() == Some(default))
}

/// Whether a question that was gone back to keeps its answer: then nothing is logged, and nothing is set aside.
fn is_unchanged(state: &State, ask: &Ask, reply: &Reply) -> bool {
    let Some(typed) = state.typed(ask.question) else {
        return false;
    };
    // To name the filter that was told takes back the one that was found.
    let names_a_filter = matches!(ask.question, Question::Slope | Question::Family | Question::Q);
    if names_a_filter && state.found().is_some() && matches!(reply, Reply::Typed(_)) {
        return false;
    }
    match reply {
        Reply::Default => ask.default.as_ref() == Some(&typed),
        Reply::Typed(again) => {
            !ask.question.repeats()
                && ask.question != Question::Reference
                && same_answer(state, ask.question, again, &typed)
        }
        _ => false,
    }
}

fn same_answer(state: &State, question: Question, one: &str, other: &str) -> bool {
    match (state.answer(question, one), state.answer(question, other)) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}

/// What follows when a list ends.
enum Ended {
    /// Another question; nothing is logged.
    Next(Question),
    /// The answer that ends it, and whether it is the default.
    Answer(String, bool),
}

fn end_of_list(state: &State, ask: &Ask) -> Result<Ended, Refusal> {
    if ask.question != Question::Reading {
        let word = state.default_answer(ask.question).ok_or_else(|| unanswered(ask.question))?;
        return Ok(Ended::Answer(word, true));
    }
    if state.last_reading().is_none() {
        return Err(unanswered(Question::Reading));
    }
    state.after(Question::Reading).map(Ended::Next).ok_or_else(|| unanswered(Question::Reading))
}

/// The question to go back to.
fn back_to(state: &State, from: Question, target: Option<Question>) -> Result<Question, Refusal> {
    match target {
        Some(target) if target <= from && state.comes_up(target) => Ok(target),
        Some(target) => Err(Refusal::new(
            from.word(),
            target.word(),
            "is not a question before this one",
            "`<`, or `<` and the name of an earlier question",
        )),
        None => state
            .before(from)
            .ok_or_else(|| Refusal::new(from.word(), "<", "goes back, but this is the first question", "an answer")),
    }
}

fn unanswered(question: Question) -> Refusal {
    let accepted = match question {
        Question::Reading => "at least one reading",
        Question::Caution => "the whole word `understood`",
        Question::Accept => "`yes` or `no`",
        _ => "an answer: this question has no default",
    };
    Refusal::new(question.word(), "", "was given", accepted)
}
