//! The chains of benches: what is missing in them, what is there twice, what does not hold together.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use chrono::TimeDelta;

use super::examine::Facts;
use super::found::{Chain, Finding};
use super::kind::Kind;
use super::standing::SignatureStanding;

/// So many missing numbers of one gap are named one by one, and so many in all; a forged number could claim any count.
const MOST_IN_A_GAP: u64 = 1000;
const MOST_NAMED: usize = 10_000;

/// So many other records in the same place are named in each finding.
const OTHERS_NAMED: usize = 5;

/// So long a signed-off session may wait for its key while others are closed. Common practice, no source.
const WAITED: TimeDelta = TimeDelta::minutes(10);

/// A record that was certainly closed, as something beside the records remembers it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Witness {
    /// Its bench.
    pub bench: String,
    /// Its place.
    pub sequence: u64,
    /// Its digest.
    pub digest: String,
    /// Its id.
    pub id: String,
}

/// A record and the file that it is in.
pub type Placed<'a> = (&'a Facts, &'a str);

/// What the chains say, of records that are there once each.
#[derive(Debug, Default)]
pub(super) struct Chains {
    pub chains: Vec<Chain>,
    pub findings: Vec<Finding>,
    pub warnings: Vec<String>,
    /// Ids of records that the chain shows to be altered.
    pub altered: BTreeSet<String>,
    /// How many missing numbers were named.
    named: usize,
}

/// One bench: its records by their places, and what is remembered of them.
struct Bench<'a> {
    name: &'a str,
    places: BTreeMap<u64, Vec<Placed<'a>>>,
    witnesses: Vec<&'a Witness>,
    /// The places and digests that whole records name as those before them.
    named: HashSet<(u64, &'a str)>,
}

pub(super) fn check_chains(records: &[Placed<'_>], witnesses: &[Witness]) -> Chains {
    let mut benches: BTreeMap<&str, Bench<'_>> = BTreeMap::new();
    let new = |name| Bench { name, places: BTreeMap::new(), witnesses: vec![], named: HashSet::new() };
    for record in records {
        let bench = benches.entry(&record.0.bench).or_insert_with(|| new(&record.0.bench));
        bench.places.entry(record.0.sequence).or_default().push(*record);
        if let (true, Some(previous)) = (record.0.standing.is_intact(), &record.0.previous) {
            bench.named.insert((record.0.sequence.saturating_sub(1), previous));
        }
    }
    for witness in witnesses {
        benches.entry(&witness.bench).or_insert_with(|| new(&witness.bench)).witnesses.push(witness);
    }
    let mut told = Chains::default();
    for bench in benches.values() {
        bench.check(&mut told);
    }
    told
}

impl<'a> Bench<'a> {
    fn check(&self, told: &mut Chains) {
        let before = told.findings.len();
        let has_gaps = self.missing(told);
        for witness in &self.witnesses {
            self.remembered(witness, told);
        }
        for taken in self.places.values() {
            self.repeated(taken, told);
            for record in taken {
                self.linked(*record, told);
            }
        }
        let Some((last, taken)) = self.places.last_key_value() else { return };
        let holds = told.findings[before..].iter().all(|finding| finding.kind == Kind::TimesBackwards);
        told.chains.push(Chain {
            bench: self.name.to_owned(),
            records: self.places.values().map(Vec::len).sum(),
            last: *last,
            digest: taken[0].0.digest.clone(),
            whole: holds && !has_gaps && self.places.values().flatten().all(|(facts, _)| facts.standing.is_intact()),
        });
    }

    /// Places that no record has, from the first to the last that is known of; whether there are any.
    fn missing(&self, told: &mut Chains) -> bool {
        let remembered = self.witnesses.iter().map(|witness| witness.sequence);
        let ends: BTreeSet<u64> = self.places.keys().copied().chain(remembered).collect();
        let (mut next, mut has_gaps) = (1, false);
        for end in ends {
            let after = end.saturating_add(1);
            let absent = next..if self.places.contains_key(&end) { end } else { after };
            let count = absent.end.saturating_sub(absent.start);
            let room = MOST_IN_A_GAP.min((MOST_NAMED - told.named) as u64);
            for sequence in absent.take(room as usize) {
                let witness = self.witnesses.iter().find(|witness| witness.sequence == sequence);
                let remembered = witness.map_or("", |_| " The store remembers that it was closed (chain.json).");
                let detail = format!("Number {sequence} of bench {} is not here.{remembered}", self.name);
                let id = witness.map(|witness| witness.id.clone());
                told.findings.push(Finding { sequence: Some(sequence), id, ..self.finding(Kind::Missing, detail) });
                told.named += 1;
            }
            has_gaps |= count > 0;
            if count > room {
                let text = format!(
                    "{count} numbers of bench {} up to {end} are missing; {room} of them are named.",
                    self.name
                );
                told.warnings.push(text);
            }
            next = next.max(after);
        }
        has_gaps
    }

    /// Whether a record that is remembered is the one that is there.
    fn remembered(&self, witness: &Witness, told: &mut Chains) {
        let Some(taken) = self.places.get(&witness.sequence) else { return };
        match taken.iter().find(|(facts, _)| facts.id == witness.id) {
            Some(record) if record.0.digest != witness.digest => {
                alter(*record, "The store remembers another digest for it (chain.json).".to_owned(), told);
            }
            Some(_) => {}
            None => {
                let detail = format!(
                    "Number {} of bench {} is not here, and another record stands in its place.",
                    witness.sequence, self.name
                );
                told.findings.push(Finding {
                    sequence: Some(witness.sequence),
                    id: Some(witness.id.clone()),
                    ..self.finding(Kind::Missing, detail)
                });
                for record in taken.iter().filter(|record| !is_cleared(record)) {
                    let text =
                        format!("It stands in the place of {}, which the store remembers (chain.json).", witness.id);
                    alter(*record, text, told);
                }
            }
        }
    }

    /// Several records in one place.
    fn repeated(&self, taken: &[Placed<'a>], told: &mut Chains) {
        if taken.len() < 2 {
            return;
        }
        for record in taken {
            let others = taken.iter().map(|(other, _)| other.id.as_str()).filter(|id| *id != record.0.id);
            let mut others: Vec<&str> = others.take(OTHERS_NAMED).collect();
            if taken.len() - 1 > OTHERS_NAMED {
                others.push("others");
            }
            let which = if self.is_named_by_next(record) {
                "the chain goes on from this one"
            } else {
                "no record here goes on from this one"
            };
            let detail =
                format!("Number {} of its bench is also that of {}; {which}.", record.0.sequence, others.join(", "));
            told.findings.push(of_record(Kind::Repeated, *record, detail));
        }
    }

    /// Whether a record names the one before it, and was closed after it.
    fn linked(&self, record: Placed<'a>, told: &mut Chains) {
        let facts = record.0;
        if !facts.standing.is_intact() {
            return;
        }
        let (number, previous) = (facts.sequence, facts.previous.as_ref());
        let text = match (number, previous) {
            (0, _) => "Its number is nought; the first of a bench is 1.".to_owned(),
            (1, Some(_)) => "It is the first of its bench and names a record before it.".to_owned(),
            (1, None) => return,
            (_, None) => format!("It is number {number} of its bench and names no record before it."),
            (_, Some(previous)) => return self.follows(record, previous, told),
        };
        alter(record, text, told);
    }

    fn follows(&self, record: Placed<'a>, previous: &String, told: &mut Chains) {
        let facts = record.0;
        let number = facts.sequence - 1;
        let Some(before) = self.places.get(&number) else { return };
        let named = before.iter().find(|(other, _)| [&other.digest, &other.stated_digest].contains(&previous));
        if let Some((other, _)) = named {
            if other.closed_at.time() - facts.last_at.time() > WAITED {
                let (own, earlier) = (facts.closed_at.minute(), other.closed_at.minute());
                let detail = format!("It was signed off at {own}, and number {number} before it at {earlier}.");
                told.findings.push(of_record(Kind::TimesBackwards, record, detail));
            }
            return;
        }
        if before.iter().any(|(other, _)| !other.standing.is_intact()) {
            return;
        }
        // One of the two is not what it was; what vouches for one of them accuses the other.
        if before.iter().any(|other| self.is_vouched_for(other)) && !self.is_vouched_for(&record) {
            let text = format!("The record before it that it names is not number {number} of its bench.");
            alter(record, text, told);
        } else {
            let accused = before.iter().find(|other| !self.is_vouched_for(other)).unwrap_or(&before[0]);
            let doubt = if self.is_vouched_for(&record) { "" } else { " One of the two is not what it was." };
            let text = format!("The record after it, {}, names another record in its place.{doubt}", facts.id);
            alter(*accused, text, told);
        }
    }

    /// Whether anything but the record itself says that it is what it was: a signature, the store's memory, or the record
    /// after it.
    fn is_vouched_for(&self, record: &Placed<'a>) -> bool {
        let facts = record.0;
        let is_remembered =
            self.witnesses.iter().any(|witness| witness.id == facts.id && witness.digest == facts.digest);
        is_cleared(record) || is_remembered || self.is_named_by_next(record)
    }

    fn is_named_by_next(&self, record: &Placed<'a>) -> bool {
        self.named.contains(&(record.0.sequence, record.0.digest.as_str()))
    }

    fn finding(&self, kind: Kind, detail: String) -> Finding {
        let bench = Some(self.name.to_owned());
        Finding { kind, id: None, bench, sequence: None, path: None, job: None, technician: None, at: None, detail }
    }
}

/// Whether a signature speaks for a record: one that is trusted. Any other could be made by whoever changed it.
fn is_cleared(record: &Placed<'_>) -> bool {
    matches!(record.0.standing.signature, SignatureStanding::Trusted { .. })
}

/// A record that is altered by itself is found out already.
fn alter(record: Placed<'_>, detail: String, told: &mut Chains) {
    if record.0.standing.is_intact() && told.altered.insert(record.0.id.clone()) {
        told.findings.push(of_record(Kind::Altered, record, detail));
    }
}

/// A finding about a record.
pub(super) fn of_record(kind: Kind, (facts, path): Placed<'_>, detail: String) -> Finding {
    Finding {
        kind,
        id: Some(facts.id.clone()),
        bench: Some(facts.bench.clone()),
        sequence: Some(facts.sequence),
        path: Some(path.to_owned()),
        job: Some(facts.job.clone()),
        technician: Some(facts.technician.clone()),
        at: Some(facts.closed_at),
        detail,
    }
}
