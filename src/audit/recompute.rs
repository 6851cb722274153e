//! A record worked out again from what was typed, by the same session that made it.

use crate::record::{ChainLink, Record};
use crate::session::{Opened, differences, replay};

/// So many differences are named.
const MOST: usize = 5;

/// Where a record says something else than its own log leads to, as sentences; empty where it follows.
pub(super) fn recompute(record: &Record) -> Vec<String> {
    let opened = Opened {
        id: record.id.clone(),
        bench: record.bench.clone(),
        entry: record.entry,
        practice: record.practice,
        tool: record.tool.clone(),
        at: record.opened_at,
    };
    let state = match replay(opened, record.log.iter().cloned()) {
        Ok(state) => state,
        Err(why) => return vec![format!("Its log does not replay: {why}.")],
    };
    if let Some(next) = state.next() {
        return vec![format!("Its log ends before the sign-off: `{next}` is not answered.")];
    }
    let link = ChainLink { sequence: record.sequence, previous: record.previous.clone() };
    let Some(mut again) = Record::without_digest(&state, link, record.key_stated()) else {
        return vec!["Its log leads to no record.".to_owned()];
    };
    again.sign_off.digest.clone_from(&record.sign_off.digest);
    again.sign_off.signature.clone_from(&record.sign_off.signature);
    if again == *record {
        return vec![];
    }
    let mut said = record.clone();
    if record.tool != concat!("cornerset ", env!("CARGO_PKG_VERSION")) {
        // Another version may word a warning in another way; numbers and verdicts are the same in all.
        said.plan.warnings.clone_from(&again.plan.warnings);
        said.sign_off.statement.clone_from(&again.sign_off.statement);
    }
    match (serde_json::to_value(&said), serde_json::to_value(&again)) {
        (Ok(said), Ok(again)) => differences(&said, &again, MOST).iter().map(|found| format!("{found}.")).collect(),
        _ => vec!["It cannot be written down again.".to_owned()],
    }
}
