//! A session without a disk: a clock that ticks, a log that is only held, and what is held of every session.

use chrono::{DateTime, TimeDelta};
use cornerset::record::{ChainLink, Record};
use cornerset::screens;
use cornerset::session::{Ask, Clock, EntryMode, Journal, Known, LogEntry, Moment, NotKept, Opened, State, replay};

use super::{record, shown};

/// The session of every input.
pub const ID: &str = "0195e5a0-0000-7000-8000-000000000001";

/// A session as it is opened; its bench may be a simulated one.
pub fn opened(bench: &str, practice: bool, entry: EntryMode) -> Opened {
    let tool = concat!("cornerset ", env!("CARGO_PKG_VERSION")).to_owned();
    Opened { id: ID.to_owned(), bench: bench.to_owned(), entry, practice, tool, at: Ticking::default().now() }
}

/// Five seconds go by between two looks at it.
pub struct Ticking(DateTime<chrono::FixedOffset>);

impl Default for Ticking {
    fn default() -> Self {
        Self(DateTime::parse_from_rfc3339("2026-03-05T14:07:09.250+05:30").expect("a time"))
    }
}

impl Clock for Ticking {
    fn now(&mut self) -> Moment {
        self.0 += TimeDelta::seconds(5);
        Moment::new(self.0)
    }
}

/// Holds what it is given.
#[derive(Default)]
pub struct Held(pub Vec<LogEntry>);

impl Journal for Held {
    fn append(&mut self, entry: &LogEntry) -> Result<(), NotKept> {
        self.0.push(entry.clone());
        Ok(())
    }
}

/// Every text of a log, to tell what was typed from what the program says.
pub fn typed(log: &[LogEntry]) -> String {
    serde_json::to_string(log).expect("a log is written")
}

/// A session, whoever made it: its log leads to it again, is read as it is written, and is shown; where it is complete,
/// so is its record.
pub fn check(state: &State) {
    let log = state.log();
    let again = replay(state.opened().clone(), log.iter().cloned()).expect("the log replays");
    assert!(again == *state, "the log leads to another session: {log:?}");
    for entry in log {
        let written = serde_json::to_string(entry).expect("an entry is written");
        assert_eq!(serde_json::from_str::<LogEntry>(&written).expect("an entry is read"), *entry);
    }
    let given = format!("{}{}", state.opened().bench, typed(log));
    for screen in shown::screens() {
        shown::lines(&screens::recap(state, 1, screen), &given);
        shown::lines(&screens::stopped(state, "cornerset set", screen), &given);
        shown::lines(&screens::all_working(state, screen), &given);
        if let Some(question) = state.next() {
            let ask = Ask { question, default: state.default_answer(question), known: Known::No, revisited: false };
            shown::lines(&screens::question(state, &ask, screen), &given);
            shown::text(&screens::prompt(&ask, 40), &given);
        }
    }
    if state.next().is_none() {
        let made =
            Record::of(state, ChainLink { sequence: 1, previous: None }).expect("a complete session has a record");
        record::of_session(&made);
    }
}
