//! A question as it comes up: with its default, and what is known of it.

use super::question::Question;

/// A question that waits for its answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// Which.
    pub question: Question,
    /// The default as it would be typed; `None` where there must be an answer.
    pub default: Option<String>,
    /// Whether the gear is known and the default is what was answered for it last time.
    pub known: bool,
    /// Whether the operator came back to it.
    pub revisited: bool,
}
