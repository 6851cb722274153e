//! Taking up a session again: the same fold over what was kept, each entry checked against what the state makes of it.

use super::entry::LogEntry;
use super::same::differences;
use super::state::{Opened, State};

/// Why a log does not replay: the number of the entry, from 1, and the reason.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("entry {entry}: {why}")]
pub struct NotReplayed {
    /// Which entry, from 1.
    pub entry: usize,
    /// Why, as a sentence.
    pub why: String,
}

/// The state after a log.
///
/// # Errors
/// At the first entry that does not follow from those before it.
pub fn replay(opened: Opened, log: impl IntoIterator<Item = LogEntry>) -> Result<State, NotReplayed> {
    let mut state = State::new(opened);
    for (index, entry) in log.into_iter().enumerate() {
        let fail = |why: String| NotReplayed { entry: index + 1, why };
        let again = judge_again(&state, &entry).map_err(|refusal| fail(refusal.to_string()))?;
        if let Some(difference) = difference(&again, &entry) {
            return Err(fail(format!("this {} does not say what its own inputs say: {difference}", entry.event())));
        }
        state.apply(entry).map_err(|refusal| fail(refusal.to_string()))?;
    }
    Ok(state)
}

/// What the state makes of what was typed.
fn judge_again(state: &State, entry: &LogEntry) -> Result<LogEntry, crate::quantity::Refusal> {
    use super::question::Question;
    let at = entry.at();
    match entry {
        LogEntry::Answer(given) => state.judge(given.question, &given.typed, given.default, at),
        LogEntry::Caution(given) => {
            // The wording of a caution may change between versions: what was shown then is what counts.
            let mut again = state.judge(given.question, &given.typed, given.default, at)?;
            if let LogEntry::Caution(again) = &mut again {
                again.text.clone_from(&given.text);
            }
            Ok(again)
        }
        LogEntry::Reference(given) => state.judge(Question::Reference, &given.typed, false, at),
        LogEntry::Explore(given) => state.judge(Question::Explore, &given.typed, false, at),
        LogEntry::Reading(given) => state.judge(Question::Reading, &given.typed, false, at),
        LogEntry::Strike(given) => {
            state.judge(given.question, &format!("strike {} {}", given.number, given.reason), false, at)
        }
        LogEntry::Accept(given) => state.judge(Question::Accept, &given.typed, false, at),
        LogEntry::Sweep(given) => state.judge(Question::Sweep, &given.typed, false, at),
        LogEntry::Note(given) => state.judge_note(given.question, &given.text, at),
        LogEntry::Pause(_) | LogEntry::Resume(_) => Ok(entry.clone()),
    }
}

/// Where an entry says something else than what it was worked out to, numbers nearly the same.
fn difference(again: &LogEntry, entry: &LogEntry) -> Option<String> {
    if again == entry {
        return None;
    }
    match (serde_json::to_value(entry), serde_json::to_value(again)) {
        (Ok(entry), Ok(again)) => differences(&entry, &again, 1).first().map(ToString::to_string),
        _ => Some("it cannot be written down".to_owned()),
    }
}
