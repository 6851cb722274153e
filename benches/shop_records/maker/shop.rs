//! A shop: people with keys, amplifiers, and the chain of its bench.

use chrono::{DateTime, Datelike, FixedOffset, TimeDelta, TimeZone};
use cornerset::chance::Chance;
use cornerset::record::{ChainLink, Record, canonical_bytes, digest_of};
use cornerset::signature::{SigningKey, allowed_line};
use serde::Serialize;
use uuid::Builder;

use super::Order;
use super::damage::Damage;
use super::dress::{Own, dress};
use super::keys::key_of;
use super::pool::Kind;

/// The first day, and the hours that are worked on each.
const FIRST_DAY: &str = "2025-01-06T08:00:00+00:00";
const HOURS: f64 = 9.5;
const DAYS_IN_A_MONTH: f64 = 30.4375;

/// Names of nobody; a shop's number makes them its own.
const NAMES: [&str; 8] =
    ["A. Sample", "B. Sample", "C. Example", "D. Sample", "R. Example", "T. Example", "U. Sample", "V. Example"];
const VEHICLES: [&str; 8] = ["van", "estate car", "hatchback", "wagon", "boat", "bus", "coach", "both channels"];

struct Person {
    name: String,
    key: SigningKey,
    fingerprint: String,
}

/// The end of a chain.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Head {
    pub sequence: u64,
    pub digest: String,
    pub id: String,
}

/// A shop, and how far it is.
pub struct Shop {
    /// Its number, from 0.
    pub number: usize,
    /// The name of its bench.
    pub bench: String,
    /// How many records it makes.
    pub total: usize,
    order: Order,
    people: Vec<Person>,
    stranger: Person,
    /// Names, with the kind in the pool.
    amplifiers: Vec<(String, usize)>,
    offset: FixedOffset,
    chance: Chance,
    made: usize,
    /// The end of its chain, and the one before.
    pub head: Option<Head>,
    pub before: Option<Head>,
}

/// A record that waits for its signature.
pub struct Draft<'a> {
    record: Record,
    signed: Vec<u8>,
    key: Option<&'a SigningKey>,
    /// What is done to it.
    pub damage: Option<Damage>,
    /// Whether something in it stands out.
    pub stands_out: bool,
    /// Whether it is the second in its place.
    pub is_double: bool,
}

impl Shop {
    /// The shop of a number, with nothing made yet.
    pub fn new(order: &Order, kinds: usize, number: usize, total: usize) -> Self {
        let seed = order.seed;
        let mut chance = Chance::of(seed, (5 << 40) + number as u64);
        let stream = 16 * number as u64;
        let person = |place: usize, name: String| {
            let key = key_of(seed, stream + place as u64);
            Person { name, fingerprint: key.public().fingerprint(), key }
        };
        let first = chance.below(NAMES.len());
        let people = (0..2 + chance.below(4))
            .map(|place| person(place, format!("{} {}", NAMES[(first + place) % NAMES.len()], number + 1)))
            .collect();
        let amplifiers = (0..6 + chance.below(10))
            .map(|place| {
                let kind = chance.below(kinds);
                (format!("Amp {}, serial {:04}", kind + 1, (number * 131 + place * 17) % 10_000), kind)
            })
            .collect();
        let quarters = chance.below(57) as i32 - 20;
        Self {
            number,
            bench: format!("shop-{:05}", number + 1),
            total,
            order: *order,
            people,
            stranger: person(15, format!("{} {}", NAMES[first], number + 1)),
            amplifiers,
            offset: FixedOffset::east_opt(quarters * 900).expect("an offset within a day"),
            chance,
            made: 0,
            head: None,
            before: None,
        }
    }

    /// The lines of its trust list.
    pub fn trust_lines(&self) -> String {
        let line = |person: &Person| allowed_line(&person.name, &person.key.public(), None, None) + "\n";
        self.people.iter().map(line).collect()
    }

    /// How many are still to be made.
    pub const fn left(&self) -> usize {
        self.total - self.made
    }

    /// The next records, up to so many places of the chain; `damage` says what is done to which number.
    pub fn next<'a>(
        &'a mut self,
        pool: &[Kind],
        most: usize,
        damage: &dyn Fn(u64) -> Option<Damage>,
    ) -> Vec<Draft<'a>> {
        let count = most.min(self.left());
        let mut drafts: Vec<(Draft<'a>, Option<usize>)> = vec![];
        for _ in 0..count {
            self.made += 1;
            let damage = damage(self.made as u64);
            let link =
                ChainLink { sequence: self.made as u64, previous: self.head.as_ref().map(|head| head.digest.clone()) };
            let (draft, signer) = self.draft(pool, link.clone(), damage);
            let digest = draft.record.sign_off.digest.clone();
            let head = Head { sequence: link.sequence, digest, id: draft.record.id.clone() };
            self.before = self.head.replace(head);
            drafts.push((draft, signer));
            if damage == Some(Damage::Doubled) {
                let (mut double, signer) = self.draft(pool, link, damage);
                double.is_double = true;
                drafts.push((double, signer));
            }
        }
        let shop: &'a Self = self;
        drafts.into_iter().map(|(draft, signer)| Draft { key: shop.signer(signer, draft.damage), ..draft }).collect()
    }

    fn signer(&self, signer: Option<usize>, damage: Option<Damage>) -> Option<&SigningKey> {
        let person = signer.map(|place| &self.people[place])?;
        Some(if damage == Some(Damage::Foreign) { &self.stranger.key } else { &person.key })
    }

    fn draft(&mut self, pool: &[Kind], link: ChainLink, damage: Option<Damage>) -> (Draft<'static>, Option<usize>) {
        let (name, kind) = self.chance.one_of(&self.amplifiers).clone();
        let stands_out = self.chance.unit() * 100.0 < self.order.outside_percent;
        let kind = &pool[kind];
        let template = self.chance.one_of(if stands_out { &kind.outstanding } else { &kind.plain });
        let person = self.chance.below(self.people.len());
        let unsigned = self.chance.unit() * 100.0 < self.order.unsigned_percent;
        let signer = match damage {
            Some(Damage::UnsignedDigestAgain) => None,
            Some(_) => Some(person),
            None => (!unsigned).then_some(person),
        };
        let closed_at = self.closing(link.sequence);
        let id = self.id(closed_at - template.length);
        let key =
            signer.map(|place| if damage == Some(Damage::Foreign) { &self.stranger } else { &self.people[place] });
        let mut record = dress(
            template,
            Own {
                id,
                bench: &self.bench,
                job: format!("Work order {:05}, {}", link.sequence, VEHICLES[(link.sequence % 8) as usize]),
                link,
                closed_at,
                technician: &self.people[person].name,
                amplifier: &name,
                fingerprint: key.map(|person| person.fingerprint.as_str()),
            },
        );
        let signed = canonical_bytes(&record).expect("a record that can be written");
        record.sign_off.digest = digest_of(&signed);
        (Draft { record, signed, key: None, damage, stands_out, is_double: false }, signer)
    }

    /// When a record is signed off: one after the other, spread over the hours that are worked.
    fn closing(&mut self, sequence: u64) -> DateTime<FixedOffset> {
        let days = (self.order.months as f64 * DAYS_IN_A_MONTH).round().max(1.0);
        let place = (sequence as f64 - 1.0 + 0.9 * self.chance.unit()) / self.total as f64 * days;
        let millis = (place.floor() * 24.0 + place.fract() * HOURS) * 3_600_000.0;
        let first = DateTime::parse_from_rfc3339(FIRST_DAY).expect("a day").naive_utc();
        self.offset.from_utc_datetime(&(first + TimeDelta::milliseconds(millis as i64) - self.offset_delta()))
    }

    fn offset_delta(&self) -> TimeDelta {
        TimeDelta::seconds(self.offset.local_minus_utc().into())
    }

    /// A UUID of version 7 for a session that was opened then.
    fn id(&mut self, opened: DateTime<FixedOffset>) -> String {
        let mut random = [0; 10];
        random[..8].copy_from_slice(&self.chance.bits().to_le_bytes());
        random[8..].copy_from_slice(&self.chance.bits().to_le_bytes()[..2]);
        Builder::from_unix_timestamp_millis(opened.timestamp_millis() as u64, &random).into_uuid().to_string()
    }
}

impl Draft<'_> {
    /// The record, signed and then damaged; `None` where it was taken away.
    pub fn finish(self) -> Option<Record> {
        let mut record = self.record;
        record.sign_off.signature = self.key.map(|key| key.sign(&self.signed).expect("a signature"));
        match self.damage {
            Some(Damage::Removed) => None,
            Some(damage) => {
                damage.spoil(&mut record);
                Some(record)
            }
            None => Some(record),
        }
    }

    /// Its id, before it is finished.
    pub fn id(&self) -> &str {
        &self.record.id
    }

    /// Its number.
    pub const fn sequence(&self) -> u64 {
        self.record.sequence
    }

    /// The year in which it was signed off.
    pub fn year(&self) -> String {
        format!("{:04}", self.record.closed_at.time().year())
    }

    /// Whether a key signs it.
    pub const fn is_signed(&self) -> bool {
        self.key.is_some()
    }
}
