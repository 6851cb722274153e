//! A refused value: which field, what was given, what is wrong with it and what is accepted.

use super::text::visible;

/// How much of what was given is shown back.
const SHOWN: usize = 60;

/// Why a value was not taken. Prints as one plain sentence without a full stop.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{field}: {} {}; accepted: {accepted}", shown(given), visible(problem))]
pub struct Refusal {
    /// The field as a person knows it: `tuning`, `reference`, `meter-digits`.
    pub field: String,
    /// What was given, as it was given.
    pub given: String,
    /// What is wrong, as the end of a sentence that starts with what was given: `is not a number`.
    pub problem: String,
    /// What would be taken.
    pub accepted: String,
}

impl Refusal {
    /// A refusal of `given` for `field`.
    pub fn new(
        field: impl Into<String>,
        given: impl Into<String>,
        problem: impl Into<String>,
        accepted: impl Into<String>,
    ) -> Self {
        Self { field: field.into(), given: given.into(), problem: problem.into(), accepted: accepted.into() }
    }
}

/// What was given, in quotes, made harmless and cut to a length that fits a line.
fn shown(given: &str) -> String {
    if given.trim().is_empty() {
        return "nothing".to_owned();
    }
    let visible = visible(given);
    let count = visible.chars().count();
    if count <= SHOWN {
        format!("`{visible}`")
    } else {
        let start: String = visible.chars().take(SHOWN).collect();
        format!("`{start}...` ({count} characters)")
    }
}
