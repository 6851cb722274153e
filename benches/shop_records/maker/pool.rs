//! The pool: sessions that were really run, whose records the shops' records are made from.

use chrono::{DateTime, FixedOffset, TimeDelta};
use cornerset::audit::{Facts, Form, examine};
use cornerset::chance::Chance;
use cornerset::record::{ChainLink, Record, digest, file_bytes};
use cornerset::session::{Clock, Desk, EntryMode, Journal, LogEntry, Moment, NotKept, Opened, State, run};
use rayon::prelude::*;

use super::amplifier::Amplifier;
use super::technician::Technician;

/// Stands for the fingerprint in a statement until a key signs.
pub const FINGERPRINT: &str = "SHA256:?";
/// Sessions with each kind of amplifier; the last of them leaves the knob astray.
const EACH: usize = 8;

/// A record to make others from.
pub struct Template {
    /// As the session left it, for a key that is not named yet.
    pub record: Record,
    /// What it states without a key.
    pub unsigned_statement: String,
    /// From its opening to its sign-off.
    pub length: TimeDelta,
}

impl Template {
    /// What an audit says of it without a key: one that is stated and signs nothing would count as altered.
    fn facts(&self) -> Facts {
        let mut record = self.record.clone();
        record.sign_off.statement.clone_from(&self.unsigned_statement);
        record.sign_off.digest = digest(&record).expect("a digest");
        let bytes = file_bytes(&record).expect("a record is written");
        examine(&bytes, Form::File, None).expect("a record that can be read")
    }
}

/// The sessions with one kind of amplifier.
pub struct Kind {
    /// In which nothing stands out.
    pub plain: Vec<Template>,
    /// In which something does: accepted outside, a filter that is another one.
    pub outstanding: Vec<Template>,
}

/// Runs the sessions of so many kinds of amplifiers. A kind that nobody could set is left out.
pub fn pool(seed: u64, kinds: usize) -> Vec<Kind> {
    let made: Vec<Kind> = (0..kinds as u64).into_par_iter().map(|number| kind(seed, number)).collect();
    let made: Vec<Kind> =
        made.into_iter().filter(|kind| !kind.plain.is_empty() && !kind.outstanding.is_empty()).collect();
    assert!(!made.is_empty(), "no kind of amplifier could be set");
    made
}

fn kind(seed: u64, number: u64) -> Kind {
    let amplifier = Amplifier::of(seed, number);
    let mut kind = Kind { plain: vec![], outstanding: vec![] };
    for session in 0..EACH as u64 {
        let chance = Chance::of(seed, (2 << 40) + number * EACH as u64 + session);
        // What a session refuses is no session of the pool: an unlucky tone, a hump.
        let Some(template) = template(amplifier, chance, session + 1 == EACH as u64) else { continue };
        let facts = template.facts();
        assert!(facts.recomputed.is_empty(), "{:?}", facts.recomputed);
        if facts.outstanding.is_empty() { kind.plain.push(template) } else { kind.outstanding.push(template) }
    }
    kind
}

fn template(amplifier: Amplifier, mut chance: Chance, astray: bool) -> Option<Template> {
    let opened = Opened {
        id: "01900000-0000-7000-8000-000000000000".to_owned(),
        bench: "a bench".to_owned(),
        entry: EntryMode::Keyboard,
        practice: false,
        tool: concat!("cornerset ", env!("CARGO_PKG_VERSION")).to_owned(),
        at: Moment::new(DateTime::from_timestamp(1_735_700_000, 0)?.fixed_offset()),
    };
    let mut clock = Ticking { now: opened.at.time(), chance: Chance::of(chance.bits(), 0) };
    let mut state = State::new(opened);
    let mut operator = Technician::new(amplifier, chance, astray);
    let mut desk = Desk { operator: &mut operator, clock: &mut clock, journal: &mut Forgetful, memory: None };
    run(&mut state, &mut desk).ok()?;
    let link = || ChainLink { sequence: 1, previous: None };
    let record = Record::for_key(&state, link(), FINGERPRINT).ok()?;
    Some(Template {
        unsigned_statement: Record::of(&state, link()).ok()?.sign_off.statement,
        length: record.closed_at.time() - record.opened_at.time(),
        record,
    })
}

/// A clock that a person's pace moves on.
struct Ticking {
    now: DateTime<FixedOffset>,
    chance: Chance,
}

impl Clock for Ticking {
    fn now(&mut self) -> Moment {
        self.now += TimeDelta::milliseconds(2_000 + self.chance.below(14_000) as i64);
        Moment::new(self.now)
    }
}

struct Forgetful;

impl Journal for Forgetful {
    fn append(&mut self, _: &LogEntry) -> Result<(), NotKept> {
        Ok(())
    }
}
