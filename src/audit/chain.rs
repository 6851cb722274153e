//! The chains of benches: what is missing in them, what is there twice, what does not hold together.

use std::collections::{BTreeMap, BTreeSet};

use chrono::TimeDelta;

use super::examine::Facts;
use super::found::{Chain, Finding};
use super::kind::Kind;

/// So many missing numbers of one gap are named one by one; a forged number could claim any count.
const MOST_NAMED: u64 = 1000;

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

/// The records of one bench by their places.
type Places<'a> = BTreeMap<u64, Vec<Placed<'a>>>;

/// What the chains say, of records that are there once each.
#[derive(Debug, Default)]
pub(super) struct Chains {
    pub chains: Vec<Chain>,
    pub findings: Vec<Finding>,
    pub warnings: Vec<String>,
    /// Ids of records that the chain shows to be altered.
    pub altered: BTreeSet<String>,
}

pub(super) fn check_chains(records: &[Placed<'_>], witnesses: &[Witness]) -> Chains {
    let mut benches: BTreeMap<&str, Places<'_>> = BTreeMap::new();
    for record in records {
        benches.entry(&record.0.bench).or_default().entry(record.0.sequence).or_default().push(*record);
    }
    let mut told = Chains::default();
    let witnessed: BTreeSet<&str> = witnesses.iter().map(|witness| witness.bench.as_str()).collect();
    let names: BTreeSet<&str> = benches.keys().copied().chain(witnessed).collect();
    for bench in names {
        let places = benches.remove(bench).unwrap_or_default();
        let of_bench: Vec<&Witness> = witnesses.iter().filter(|witness| witness.bench == bench).collect();
        check_chain(bench, &places, &of_bench, &mut told);
    }
    told
}

fn check_chain(bench: &str, places: &Places<'_>, witnesses: &[&Witness], told: &mut Chains) {
    let before = told.findings.len();
    missing(bench, places, witnesses, told);
    for taken in places.values() {
        repeated(taken, places, told);
        for record in taken {
            linked(record, places, told);
        }
    }
    for witness in witnesses {
        remembered(witness, places, told);
    }
    if let Some((last, taken)) = places.last_key_value() {
        told.chains.push(Chain {
            bench: bench.to_owned(),
            records: places.values().map(Vec::len).sum(),
            last: *last,
            digest: taken[0].0.digest.clone(),
            whole: told.findings[before..].iter().all(|finding| finding.kind == Kind::TimesBackwards),
        });
    }
}

/// Places that no record has, from the first to the last that is known of.
fn missing(bench: &str, places: &Places<'_>, witnesses: &[&Witness], told: &mut Chains) {
    let ends = witnesses.iter().map(|witness| witness.sequence).filter(|sequence| !places.contains_key(sequence));
    let known: BTreeSet<u64> = places.keys().copied().collect();
    let ends: BTreeSet<u64> = ends.chain(known.iter().copied()).collect();
    let mut next = 1;
    for end in ends {
        let absent = if known.contains(&end) { next..end } else { next..end.saturating_add(1) };
        let count = absent.end.saturating_sub(absent.start);
        for sequence in absent.take(MOST_NAMED as usize) {
            let detail = format!("Number {sequence} of bench {bench} is not here.");
            told.findings.push(Finding { sequence: Some(sequence), ..of_bench(Kind::Missing, bench, detail) });
        }
        if count > MOST_NAMED {
            told.warnings.push(format!(
                "{count} numbers of bench {bench} before {end} are missing; the first {MOST_NAMED} are named."
            ));
        }
        next = next.max(end.saturating_add(1));
    }
}

/// Several records in one place.
fn repeated(taken: &[Placed<'_>], places: &Places<'_>, told: &mut Chains) {
    if taken.len() < 2 {
        return;
    }
    let next = taken[0].0.sequence.checked_add(1).and_then(|next| places.get(&next));
    for record in taken {
        let others: Vec<&str> =
            taken.iter().filter(|other| other.0.id != record.0.id).map(|(other, _)| other.id.as_str()).collect();
        let goes_on =
            next.is_some_and(|next| next.iter().any(|(later, _)| later.previous.as_ref() == Some(&record.0.digest)));
        let which = if goes_on { "the chain goes on from this one" } else { "no record here goes on from this one" };
        let detail =
            format!("Number {} of its bench is also that of {}; {which}.", record.0.sequence, others.join(", "));
        told.findings.push(of_record(Kind::Repeated, *record, detail));
    }
}

/// Whether a record names the one before it, and was closed after it.
fn linked(record: &Placed<'_>, places: &Places<'_>, told: &mut Chains) {
    let facts = record.0;
    if !facts.standing.is_intact() {
        return;
    }
    let previous = match (facts.sequence.checked_sub(1), &facts.previous) {
        (Some(0), None) => return,
        (Some(0), Some(_)) => {
            return alter(record, "It is the first of its bench and names a record before it.".to_owned(), told);
        }
        (_, None) => {
            let text = format!("It is number {} of its bench and names no record before it.", facts.sequence);
            return alter(record, text, told);
        }
        (None, _) => return alter(record, "Its number is nought; the first of a bench is 1.".to_owned(), told),
        (Some(before), Some(_)) => before,
    };
    let Some(before) = places.get(&previous) else { return };
    let named = |other: &Placed<'_>| {
        [&other.0.digest, &other.0.stated_digest].contains(&facts.previous.as_ref().unwrap_or(&other.0.digest))
    };
    match before.iter().find(|other| named(other)) {
        Some(other) if other.0.closed_at.time() - facts.last_at.time() > WAITED => {
            let detail = format!(
                "It was signed off at {}, and number {previous} before it at {}.",
                facts.closed_at, other.0.closed_at
            );
            told.findings.push(of_record(Kind::TimesBackwards, *record, detail));
        }
        Some(_) => {}
        None if before.iter().any(|other| !other.0.standing.is_intact()) => {}
        None => {
            // One of the two is not what it was. A good signature clears a record.
            let is_signed = |other: &Placed<'_>| other.0.standing.signature.fingerprint().is_some();
            if is_signed(&before[0]) && !is_signed(record) {
                let text = format!("The record before it that it names is not number {previous} of its bench.");
                alter(record, text, told);
            } else {
                let text = format!("The record after it, {}, names another record in its place.", facts.id);
                alter(&before[0], text, told);
            }
        }
    }
}

/// Whether a record that is remembered is the one that is there.
fn remembered(witness: &Witness, places: &Places<'_>, told: &mut Chains) {
    let there = places.get(&witness.sequence).into_iter().flatten().find(|(facts, _)| facts.id == witness.id);
    if let Some(record) = there
        && record.0.standing.is_intact()
        && record.0.digest != witness.digest
    {
        alter(record, "The store remembers another digest for it (chain.json).".to_owned(), told);
    }
}

fn alter(record: &Placed<'_>, detail: String, told: &mut Chains) {
    if told.altered.insert(record.0.id.clone()) {
        told.findings.push(of_record(Kind::Altered, *record, detail));
    }
}

fn of_bench(kind: Kind, bench: &str, detail: String) -> Finding {
    Finding { kind, id: None, bench: Some(bench.to_owned()), sequence: None, path: None, job: None, at: None, detail }
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
        at: Some(facts.closed_at),
        detail,
    }
}
