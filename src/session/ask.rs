//! A question as it comes up: with its default, and what is known of it.

use super::question::Question;

/// Where a default comes from that need not be asked for again.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// It must be asked for.
    No,
    /// The gear is known, and this was its answer last time.
    LastTime,
    /// It was answered in this session, before an earlier answer was changed.
    Before,
    /// Few have an answer; who has one gives it at the question after it, or goes back.
    Elsewhere,
}

/// A question that waits for its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Which.
    pub question: Question,
    /// The default as it would be typed; `None` where there must be an answer.
    pub default: Option<String>,
    /// Whether the default need not be asked for again, and where it comes from.
    pub known: Known,
    /// Whether the operator came back to it.
    pub revisited: bool,
}
