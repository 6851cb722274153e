//! Makes records as a bench would, without a disk: a fixed clock, answers, a key.

use std::cell::RefCell;
use std::fs;
use std::path::Path;

use chrono::{DateTime, Duration};
use cornerset::audit::{Audit, Facts, Form, Looked, Witness, examine};
use cornerset::quantity::Refusal;
use cornerset::record::{ChainLink, Record, canonical_bytes, digest, file_bytes};
use cornerset::session::{
    Ask, Clock, Desk, EntryMode, Journal, LogEntry, Moment, NotKept, Notes, Opened, Operator, Question, Reply, State,
    Stop, run,
};
use cornerset::signature::{AllowedSigners, KeyKind, LockedKey, PublicKey, SigningKey, allowed_line};

/// What the technician answers; everything else is left at its default.
pub const ANSWERS: [(Question, &str); 11] = [
    (Question::Job, "Work order 0907, coach"),
    (Question::Technician, "A. Sample"),
    (Question::Amplifier, "Bench amplifier 3"),
    (Question::Tuning, "33"),
    (Question::Slope, "24"),
    (Question::Caution, "understood"),
    (Question::Reference, "7.20"),
    (Question::Reading, "5.60"),
    (Question::Reading, "5.09"),
    (Question::Accept, "yes"),
    (Question::SignOff, "A. Sample"),
];

/// A bench that makes one record after the other.
pub struct Bench {
    pub name: String,
    pub technician: &'static str,
    pub key: Option<SigningKey>,
    pub entry: EntryMode,
    pub practice: bool,
    /// Between two looks at the clock.
    pub pace: Duration,
    pub now: DateTime<chrono::FixedOffset>,
    made: u32,
    link: ChainLink,
}

impl Bench {
    /// A bench of this name where people type.
    pub fn new(name: &str) -> Self {
        Self {
            name: name.to_owned(),
            technician: "A. Sample",
            key: Some(sample_key()),
            entry: EntryMode::Keyboard,
            practice: false,
            pace: Duration::seconds(5),
            now: DateTime::parse_from_rfc3339("2026-03-05T14:07:09.250+05:30").unwrap(),
            made: 0,
            link: ChainLink { sequence: 1, previous: None },
        }
    }

    /// The next record, some answers changed.
    pub fn record_with(&mut self, changed: &[(Question, &'static str)]) -> Record {
        let changes = |question: &Question| changed.iter().any(|(other, _)| other == question);
        let mut answers: Vec<(Question, &'static str)> =
            ANSWERS.into_iter().filter(|(question, _)| !changes(question)).chain(changed.iter().copied()).collect();
        if !changes(&Question::SignOff) {
            answers
                .iter_mut()
                .filter(|(question, _)| *question == Question::SignOff)
                .for_each(|answer| answer.1 = self.technician);
        }
        if !changes(&Question::Technician) {
            answers
                .iter_mut()
                .filter(|(question, _)| *question == Question::Technician)
                .for_each(|answer| answer.1 = self.technician);
        }
        let mut state = State::new(self.opened());
        let (mut operator, mut journal) = (Answers(answers), Forgetful);
        let mut clock = Ticking { now: self.now, pace: self.pace };
        run(&mut state, &mut Desk { operator: &mut operator, clock: &mut clock, journal: &mut journal, memory: None })
            .expect("a whole session");
        self.now = clock.now;
        self.close(&state)
    }

    /// The next record.
    pub fn record(&mut self) -> Record {
        self.record_with(&[])
    }

    /// So many records.
    pub fn records(&mut self, count: usize) -> Vec<Record> {
        (0..count).map(|_| self.record()).collect()
    }

    /// Forgets what came after a record, as a backup that is put back does.
    pub fn put_back(&mut self, last: &Record) {
        self.link = ChainLink { sequence: last.sequence + 1, previous: Some(last.sign_off.digest.clone()) };
    }

    fn opened(&mut self) -> Opened {
        self.made += 1;
        // The bench's name makes ids of different benches differ; the version and variant bits are those of RFC 9562.
        let mark = self.name.bytes().fold(7u32, |sum, byte| sum.wrapping_mul(31).wrapping_add(u32::from(byte)));
        Opened {
            id: format!("019cbd39-{:04x}-7000-8000-0000{mark:08x}", self.made),
            bench: self.name.clone(),
            entry: self.entry,
            practice: self.practice,
            tool: concat!("cornerset ", env!("CARGO_PKG_VERSION")).to_owned(),
            at: Moment::new(self.now),
        }
    }

    fn close(&mut self, state: &State) -> Record {
        let mut record = match &self.key {
            Some(key) => Record::for_key(state, self.link.clone(), &key.public().fingerprint()).expect("a record"),
            None => Record::of(state, self.link.clone()).expect("a record"),
        };
        if let Some(key) = &self.key {
            sign(&mut record, key);
        }
        self.put_back(&record);
        record
    }
}

struct Answers(Vec<(Question, &'static str)>);

impl Operator for Answers {
    fn reply(&mut self, _: &State, ask: &Ask, _: &mut dyn Notes) -> Result<Reply, Stop> {
        if let Some(index) = self.0.iter().position(|(question, _)| *question == ask.question) {
            return Ok(Reply::Typed(self.0.remove(index).1.to_owned()));
        }
        Ok(if ask.question == Question::Reading { Reply::Done } else { Reply::Default })
    }

    fn refused(&mut self, _: &Ask, refusal: &Refusal) -> Result<(), Stop> {
        Err(Stop::Input(refusal.to_string()))
    }

    fn logged(&mut self, _: &State, _: &LogEntry) -> Result<(), Stop> {
        Ok(())
    }
}

struct Ticking {
    now: DateTime<chrono::FixedOffset>,
    pace: Duration,
}

impl Clock for Ticking {
    fn now(&mut self) -> Moment {
        self.now += self.pace;
        Moment::new(self.now)
    }
}

struct Forgetful;

impl Journal for Forgetful {
    fn append(&mut self, _: &LogEntry) -> Result<(), NotKept> {
        Ok(())
    }
}

/// The published test key.
pub fn sample_key() -> SigningKey {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("sample-sessions/sample-key");
    LockedKey::parse(&fs::read_to_string(path).unwrap()).unwrap().unlock("").unwrap()
}

/// Another key.
pub fn other_key() -> SigningKey {
    SigningKey::generate(KeyKind::Ed25519, "another").unwrap()
}

/// Digests what a record says now, and signs it.
pub fn sign(record: &mut Record, key: &SigningKey) {
    record.sign_off.digest = digest(record).unwrap();
    record.sign_off.signature = Some(key.sign(&canonical_bytes(record).unwrap()).unwrap());
}

/// Digests what a record says now, as someone without a key would.
pub fn digest_again(record: &mut Record) {
    record.sign_off.digest = digest(record).unwrap();
}

/// A trust list with these names and keys.
pub fn list(lines: &[(&str, &PublicKey)]) -> AllowedSigners {
    let text: String = lines.iter().map(|(name, key)| format!("{}\n", allowed_line(name, key, None, None))).collect();
    parsed(&text)
}

/// A trust list from its text; times without a zone are UTC.
pub fn parsed(text: &str) -> AllowedSigners {
    let (list, problems) = AllowedSigners::parse(text, &|time| Some(time.and_utc().fixed_offset()));
    assert!(problems.is_empty(), "{problems:?}");
    list
}

/// The test key for the technician of these tests.
pub fn trusted() -> AllowedSigners {
    list(&[("A. Sample", &sample_key().public())])
}

/// A record as the audit finds it in its file.
pub fn looked_at(record: &Record) -> Looked {
    looked_at_bytes(&record.id, &file_bytes(record).unwrap())
}

pub fn looked_at_bytes(id: &str, bytes: &[u8]) -> Looked {
    Looked { path: format!("records/2026/{id}.json"), facts: examine(bytes, Form::File, Some(&trusted())) }
}

pub fn facts(record: &Record) -> Facts {
    looked_at(record).facts.expect("a record")
}

thread_local! {
    static AUDITED: RefCell<Vec<(Vec<Record>, Vec<Witness>)>> = const { RefCell::new(vec![]) };
}

/// What this test had audited until now.
pub fn audited() -> Vec<(Vec<Record>, Vec<Witness>)> {
    AUDITED.take()
}

/// The audit of these records.
pub fn audit(records: &[Record], witnesses: &[Witness]) -> Audit {
    AUDITED.with_borrow_mut(|audited| audited.push((records.to_vec(), witnesses.to_vec())));
    Audit::of(&records.iter().map(looked_at).collect::<Vec<_>>(), witnesses)
}

/// What an audit found, a line each: kind, id, number.
pub fn found(audit: &Audit) -> Vec<String> {
    audit
        .findings
        .iter()
        .map(|finding| {
            let number = finding.sequence.map_or_else(|| "-".to_owned(), |sequence| sequence.to_string());
            format!("{} {number}", finding.kind.word())
        })
        .collect()
}
