//! The only file that knows exit codes.

use crate::quantity::Refusal;
use crate::terminal::OutputError;

/// How a command ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Exit {
    /// 0: done.
    Done,
    /// 1: findings, a verdict that is not inside, or a corner that is not one.
    Findings,
    /// 2: bad usage or input.
    Usage,
    /// 3: storage failed.
    Storage,
    /// 130: interrupted; the session is kept.
    Interrupted,
}

impl Exit {
    /// The number that the shell sees.
    pub const fn code(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::Findings => 1,
            Self::Usage => 2,
            Self::Storage => 3,
            Self::Interrupted => 130,
        }
    }
}

/// Why a command failed: one plain sentence, printed after the program's name.
#[derive(Debug, thiserror::Error)]
pub enum CommandError {
    /// A refused value.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// Bad usage or input.
    #[error("{0}")]
    Usage(String),
    /// Storage failed.
    #[error("{0}")]
    Storage(String),
    /// The person stopped here, or a signal came.
    #[error("stopped")]
    Interrupted,
    /// Nothing could be written to standard output.
    #[error(transparent)]
    Output(#[from] OutputError),
}

/// How a command ends whose result was told: what it found stands, whether anyone reads of it or not.
pub(super) fn told(told: Result<(), OutputError>, exit: Exit) -> Result<Exit, CommandError> {
    match told {
        Ok(()) | Err(OutputError::Closed) => Ok(exit),
        Err(error) => Err(error.into()),
    }
}

/// Signals cannot be handled.
pub(super) fn signals_refused(error: std::io::Error) -> CommandError {
    CommandError::Storage(format!("signals cannot be handled: {error}"))
}

impl CommandError {
    /// How the command ends.
    pub const fn exit(&self) -> Exit {
        match self {
            Self::Refused(_) | Self::Usage(_) => Exit::Usage,
            Self::Interrupted => Exit::Interrupted,
            Self::Storage(_) | Self::Output(OutputError::Failed(_)) => Exit::Storage,
            Self::Output(OutputError::Closed) => Exit::Done,
        }
    }
}
