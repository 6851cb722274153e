//! A store in a folder of its own, a fixed clock, and a script that stops where it is told.

use std::fs;
use std::path::PathBuf;

use chrono::{DateTime, Duration};
use cornerset::quantity::Refusal;
use cornerset::session::{
    Ask, Clock, Desk, EntryMode, LogEntry, Moment, Notes, Opened, Operator, Question, Reply, State, Stop, run,
};
use cornerset::store::{Closed, FileJournal, Store, new_id};
use tempfile::TempDir;

/// What the technician of these tests answers; everything else is left at its default.
pub const ANSWERS: [(Question, &str); 11] = [
    (Question::Job, "Van 12"),
    (Question::Technician, "A. Example"),
    (Question::Amplifier, "Bench amplifier 2"),
    (Question::Tuning, "36"),
    (Question::Slope, "24"),
    (Question::Caution, "understood"),
    (Question::Reference, "8.00"),
    (Question::Reading, "6.10"),
    (Question::Reading, "5.66"),
    (Question::Accept, "yes"),
    (Question::SignOff, "A. Example"),
];

/// When every session of these tests is opened.
pub const OPENED_AT: &str = "2026-03-05T14:07:09.250+05:30";

pub fn moment(text: &str) -> Moment {
    Moment::new(DateTime::parse_from_rfc3339(text).unwrap())
}

/// A second later at every look.
pub struct FixedClock(Moment);

impl FixedClock {
    pub fn at(text: &str) -> Self {
        Self(moment(text))
    }
}

impl Clock for FixedClock {
    fn now(&mut self) -> Moment {
        self.0 = Moment::new(self.0.time() + Duration::seconds(1));
        self.0
    }
}

/// Answers what is asked, and stops after so many entries.
struct Script {
    left: Vec<(Question, &'static str)>,
    stop_after: usize,
}

impl Operator for Script {
    fn reply(&mut self, _: &State, ask: &Ask, _: &mut dyn Notes) -> Result<Reply, Stop> {
        if let Some(index) = self.left.iter().position(|(question, _)| *question == ask.question) {
            return Ok(Reply::Typed(self.left.remove(index).1.to_owned()));
        }
        Ok(if ask.question == Question::Reading { Reply::Done } else { Reply::Default })
    }

    fn refused(&mut self, _: &Ask, refusal: &Refusal) -> Result<(), Stop> {
        Err(Stop::Input(refusal.to_string()))
    }

    fn logged(&mut self, state: &State, _: &LogEntry) -> Result<(), Stop> {
        if state.log().len() == self.stop_after { Err(Stop::Interrupted) } else { Ok(()) }
    }
}

/// A store in a folder that goes when it is dropped.
pub struct Shop {
    pub folder: TempDir,
    pub store: Store,
}

impl Shop {
    pub fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::at(folder.path().join("store"));
        Self { folder, store }
    }

    pub fn opened(&self) -> Opened {
        Opened {
            id: new_id(),
            bench: self.store.bench().unwrap(),
            entry: EntryMode::Script,
            practice: false,
            tool: "cornerset 0.0.0".to_owned(),
            at: moment(OPENED_AT),
        }
    }

    /// Opens a session and answers until so many entries are logged.
    pub fn session_of(&self, entries: usize) -> (State, FileJournal) {
        let (mut state, mut journal) = self.store.open_session(self.opened()).unwrap();
        if entries > 0 {
            assert_eq!(work(&mut state, &mut journal, entries), Err(Stop::Interrupted));
        }
        assert_eq!(state.log().len(), entries);
        (state, journal)
    }

    /// Opens a session and answers all.
    pub fn complete(&self) -> (State, FileJournal) {
        let (mut state, mut journal) = self.store.open_session(self.opened()).unwrap();
        work(&mut state, &mut journal, usize::MAX).unwrap();
        (state, journal)
    }

    /// Opens a session, answers all and closes it.
    pub fn closed(&self) -> Closed {
        let (state, journal) = self.complete();
        self.store.close(&state, journal).unwrap()
    }

    pub fn journal_path(&self, id: &str) -> PathBuf {
        self.store.root().join("open").join(format!("{id}.ndjson"))
    }

    pub fn journal_bytes(&self, id: &str) -> Vec<u8> {
        fs::read(self.journal_path(id)).unwrap()
    }

    pub fn chain_path(&self) -> PathBuf {
        self.store.root().join("chain.json")
    }
}

/// Answers until so many entries are logged.
pub fn work(state: &mut State, journal: &mut FileJournal, stop_after: usize) -> Result<(), Stop> {
    let start = state.log().last().map_or(OPENED_AT.to_owned(), |entry| entry.at().to_string());
    work_from(state, journal, stop_after, &start)
}

/// Answers until so many entries are logged, the first one a second after `start`.
pub fn work_from(state: &mut State, journal: &mut FileJournal, stop_after: usize, start: &str) -> Result<(), Stop> {
    let mut left = ANSWERS.to_vec();
    for _ in state.readings() {
        let index = left.iter().position(|(question, _)| *question == Question::Reading).unwrap();
        left.remove(index);
    }
    let mut operator = Script { left, stop_after };
    let mut clock = FixedClock::at(start);
    run(state, &mut Desk { operator: &mut operator, clock: &mut clock, journal, memory: None })
}

/// The lines of a journal, each with its line end.
pub fn lines_of(bytes: &[u8]) -> Vec<Vec<u8>> {
    bytes.split_inclusive(|byte| *byte == b'\n').map(<[u8]>::to_vec).collect()
}
