//! What a session needs from outside: someone to ask, the time, and a journal that keeps what it is given.

use super::ask::Ask;
use super::entry::LogEntry;
use super::moment::Moment;
use super::question::Question;
use super::state::State;
use crate::quantity::Refusal;

/// What the operator says to a question.
#[derive(Debug, Clone, PartialEq)]
pub enum Reply {
    /// An answer, as typed.
    Typed(String),
    /// An answer to another question that is open as well: a reading, where it is asked whether to accept.
    TypedFor(Question, String),
    /// The default.
    Default,
    /// No more of a list: on to the next question.
    Done,
    /// A note, before the answer.
    Note(String),
    /// Back to an earlier question; the one before where none is named.
    Back(Option<Question>),
    /// Enough for now.
    Pause,
}

/// Why a session stopped before its end. It is kept.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Stop {
    /// Ctrl-C, a signal, a closed terminal, or the operator's pause.
    #[error("interrupted")]
    Interrupted,
    /// A script that cannot go on: what is wrong, as a sentence.
    #[error("{0}")]
    Input(String),
    /// What happened could not be told: standard output cannot be written.
    #[error("{0}")]
    NotTold(String),
    /// The journal could not keep an entry.
    #[error(transparent)]
    NotKept(#[from] NotKept),
}

/// An entry that could not be kept, with what failed and what to do, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct NotKept(pub String);

/// Who answers: a person, a script, a simulated bench.
pub trait Operator {
    /// A question comes up. What leads to the answer, where that takes several steps, can be kept as notes on the way.
    ///
    /// # Errors
    /// Where the session should stop.
    fn reply(&mut self, state: &State, ask: &Ask, notes: &mut dyn Notes) -> Result<Reply, Stop>;

    /// What was said last was refused. Returning asks again.
    ///
    /// # Errors
    /// Where the session should stop, as a script does.
    fn refused(&mut self, ask: &Ask, refusal: &Refusal) -> Result<(), Stop>;

    /// An entry is kept, and the state is the one after it.
    ///
    /// # Errors
    /// Where the session should stop.
    fn logged(&mut self, state: &State, entry: &LogEntry) -> Result<(), Stop>;
}

/// Where an operator keeps what leads to an answer.
pub trait Notes {
    /// Keeps a note for good before it returns.
    ///
    /// # Errors
    /// Where it is refused or not certain to be kept.
    fn keep(&mut self, text: &str) -> Result<(), Stop>;
}

/// The time.
pub trait Clock {
    /// Now.
    fn now(&mut self) -> Moment;
}

/// Where entries are kept.
pub trait Journal {
    /// Keeps an entry for good before it returns.
    ///
    /// # Errors
    /// Where it is not certain to be kept.
    fn append(&mut self, entry: &LogEntry) -> Result<(), NotKept>;
}
