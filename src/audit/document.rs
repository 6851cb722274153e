//! An audit as JSON: whole, and a verdict a line.

use serde::Serialize;

use super::examine::Facts;
use super::found::{Audit, Chain, Finding, Group, Noted};
use super::kind::{Kind, Weight};
use super::whole::of_itself;
use crate::session::Moment;

/// What `audit --json` prints.
#[derive(Debug, Serialize)]
pub struct AuditDocument<'a> {
    records: usize,
    intact: usize,
    signed: usize,
    practice: usize,
    scripted: usize,
    altered: Vec<&'a str>,
    unreadable: Vec<&'a str>,
    missing: Vec<PlaceDocument<'a>>,
    repeated: Vec<&'a str>,
    unsigned: Vec<&'a str>,
    unknown_signer: Vec<&'a str>,
    recomputed_differently: &'a [String],
    stands_out: Vec<OutstandingDocument<'a>>,
    findings: Vec<FindingDocument<'a>>,
    chains: Vec<ChainDocument<'a>>,
    witnesses: Vec<WitnessDocument<'a>>,
    technicians: Vec<GroupDocument<'a>>,
    amplifiers: Vec<GroupDocument<'a>>,
    meters: Vec<GroupDocument<'a>>,
    warnings: &'a [String],
}

#[derive(Debug, Serialize)]
struct PlaceDocument<'a> {
    bench: &'a str,
    sequence: u64,
}

#[derive(Debug, Serialize)]
struct OutstandingDocument<'a> {
    id: &'a str,
    kind: Kind,
    reason: String,
}

#[derive(Debug, Serialize)]
struct FindingDocument<'a> {
    kind: Kind,
    id: Option<&'a str>,
    bench: Option<&'a str>,
    sequence: Option<u64>,
    path: Option<&'a str>,
    job: Option<&'a str>,
    technician: Option<&'a str>,
    closed_at: Option<Moment>,
    detail: &'a str,
    meaning: &'static str,
    what_to_do: &'static str,
}

#[derive(Debug, Serialize)]
struct ChainDocument<'a> {
    bench: &'a str,
    records: usize,
    last_sequence: u64,
    last_digest: &'a str,
    whole: bool,
}

/// A digest that was noted outside; the places are null where its record is not here.
#[derive(Debug, Serialize)]
struct WitnessDocument<'a> {
    digest: &'a str,
    here: bool,
    id: Option<&'a str>,
    bench: Option<&'a str>,
    first_sequence: Option<u64>,
    last_sequence: Option<u64>,
}

#[derive(Debug, Serialize)]
struct GroupDocument<'a> {
    name: &'a str,
    records: usize,
    inside: usize,
    bias_db: Option<f64>,
    spread_db: Option<f64>,
    dial_records: usize,
    dial_error_percent: Option<f64>,
    dial_spread_percent: Option<f64>,
}

impl<'a> From<&'a Audit> for AuditDocument<'a> {
    fn from(audit: &'a Audit) -> Self {
        let ids = |kinds: &[Kind]| {
            let mut ids: Vec<&str> = audit
                .findings
                .iter()
                .filter(|finding| kinds.contains(&finding.kind))
                .filter_map(|finding| finding.id.as_deref())
                .collect();
            ids.sort_unstable();
            ids.dedup();
            ids
        };
        let stands_out = audit
            .findings
            .iter()
            .filter(|finding| finding.kind.weight() == Weight::Outstanding)
            .filter_map(|finding| Some((finding.id.as_deref()?, finding)));
        Self {
            records: audit.records,
            intact: audit.intact,
            signed: audit.signed,
            practice: audit.practice,
            scripted: audit.scripted,
            altered: ids(&[Kind::Altered]),
            unreadable: audit.of_kind(Kind::Unreadable).filter_map(|finding| finding.path.as_deref()).collect(),
            missing: audit
                .of_kind(Kind::Missing)
                .filter_map(|finding| {
                    Some(PlaceDocument { bench: finding.bench.as_deref()?, sequence: finding.sequence? })
                })
                .collect(),
            repeated: ids(&[Kind::Repeated]),
            unsigned: ids(&[Kind::Unsigned]),
            unknown_signer: ids(&[Kind::UnknownSigner, Kind::KeyNotValid, Kind::Unchecked, Kind::NoTrustList]),
            recomputed_differently: &audit.recomputed_differently,
            stands_out: stands_out
                .map(|(id, finding)| OutstandingDocument {
                    id,
                    kind: finding.kind,
                    reason: format!("{}: {}", finding.kind.title(), finding.detail),
                })
                .collect(),
            findings: audit.findings.iter().map(FindingDocument::from).collect(),
            chains: audit.chains.iter().map(ChainDocument::from).collect(),
            witnesses: audit.noted.iter().map(WitnessDocument::from).collect(),
            technicians: audit.technicians.iter().map(GroupDocument::from).collect(),
            amplifiers: audit.amplifiers.iter().map(GroupDocument::from).collect(),
            meters: audit.meters.iter().map(GroupDocument::from).collect(),
            warnings: &audit.warnings,
        }
    }
}

impl<'a> From<&'a Finding> for FindingDocument<'a> {
    fn from(finding: &'a Finding) -> Self {
        Self {
            kind: finding.kind,
            id: finding.id.as_deref(),
            bench: finding.bench.as_deref(),
            sequence: finding.sequence,
            path: finding.path.as_deref(),
            job: finding.job.as_deref(),
            technician: finding.technician.as_deref(),
            closed_at: finding.at,
            detail: &finding.detail,
            meaning: finding.kind.meaning(),
            what_to_do: finding.kind.advice(),
        }
    }
}

impl<'a> From<&'a Chain> for ChainDocument<'a> {
    fn from(chain: &'a Chain) -> Self {
        Self {
            bench: &chain.bench,
            records: chain.records,
            last_sequence: chain.last,
            last_digest: &chain.digest,
            whole: chain.whole,
        }
    }
}

impl<'a> From<&'a Noted> for WitnessDocument<'a> {
    fn from(noted: &'a Noted) -> Self {
        let reach = noted.reach.as_ref();
        Self {
            digest: &noted.digest,
            here: reach.is_some(),
            id: reach.map(|reach| reach.id.as_str()),
            bench: reach.map(|reach| reach.bench.as_str()),
            first_sequence: reach.map(|reach| reach.first),
            last_sequence: reach.map(|reach| reach.last),
        }
    }
}

impl<'a> From<&'a Group> for GroupDocument<'a> {
    fn from(group: &'a Group) -> Self {
        Self {
            name: &group.name,
            records: group.records,
            inside: group.inside,
            bias_db: group.bias.map(|bias| bias.db()),
            spread_db: group.spread.map(|spread| spread.db()),
            dial_records: group.dial_records,
            dial_error_percent: group.dial_percent,
            dial_spread_percent: group.dial_spread_percent,
        }
    }
}

/// The verdict on one record of a stream: everything that a query over all of them needs.
#[derive(Debug, Serialize)]
pub struct VerdictDocument<'a> {
    line: u64,
    id: Option<&'a str>,
    bench: Option<&'a str>,
    sequence: Option<u64>,
    previous: Option<&'a str>,
    digest: Option<&'a str>,
    /// The digest that the record says it has: what the next one may name, too.
    stated_digest: Option<&'a str>,
    /// The SHA-256 of its signature's text: copies with the same content may have another one.
    signature_digest: Option<String>,
    closed_at: Option<Moment>,
    /// When the last entry of its log was made: a session may wait for its key.
    last_at: Option<Moment>,
    /// The same two in milliseconds since 1970 began (UTC), for queries: not every engine reads every year and offset.
    closed_at_ms: Option<i64>,
    last_at_ms: Option<i64>,
    job: Option<&'a str>,
    technician: Option<&'a str>,
    amplifier: Option<&'a str>,
    meter: Option<&'a str>,
    practice: Option<bool>,
    scripted: Option<bool>,
    inside: Option<bool>,
    miss_db: Option<f64>,
    dial_error_percent: Option<f64>,
    readable: bool,
    intact: bool,
    signer: Option<&'a str>,
    trusted: bool,
    recomputes: bool,
    findings: Vec<LineFinding>,
}

#[derive(Debug, Serialize)]
struct LineFinding {
    kind: Kind,
    detail: String,
}

impl<'a> VerdictDocument<'a> {
    /// The verdict on the record in a line, counted from 1.
    pub fn of(line: u64, looked: &'a Result<Facts, String>) -> Self {
        let facts = looked.as_ref().ok();
        let findings = match looked {
            Ok(facts) => of_itself(facts),
            Err(why) => vec![(Kind::Unreadable, format!("{why}."))],
        };
        Self {
            line,
            id: facts.map(|facts| facts.id.as_str()),
            bench: facts.map(|facts| facts.bench.as_str()),
            sequence: facts.map(|facts| facts.sequence),
            previous: facts.and_then(|facts| facts.previous.as_deref()),
            digest: facts.map(|facts| facts.digest.as_str()),
            stated_digest: facts.map(|facts| facts.stated_digest.as_str()),
            signature_digest: facts.and_then(Facts::signature_digest),
            closed_at: facts.map(|facts| facts.closed_at),
            last_at: facts.map(|facts| facts.last_at),
            closed_at_ms: facts.map(|facts| facts.closed_at.time().timestamp_millis()),
            last_at_ms: facts.map(|facts| facts.last_at.time().timestamp_millis()),
            job: facts.map(|facts| facts.job.as_str()),
            technician: facts.map(|facts| facts.technician.as_str()),
            amplifier: facts.map(|facts| facts.amplifier.as_str()),
            meter: facts.map(|facts| facts.meter.as_str()),
            practice: facts.map(|facts| facts.practice),
            scripted: facts.map(|facts| facts.scripted),
            inside: facts.map(|facts| facts.inside),
            miss_db: facts.and_then(|facts| facts.miss).map(|miss| miss.db()),
            dial_error_percent: facts.and_then(|facts| facts.dial).map(|dial| dial.percent()),
            readable: facts.is_some(),
            intact: facts.is_some_and(|facts| facts.standing.is_intact()),
            signer: facts.and_then(|facts| facts.standing.signature.fingerprint()),
            trusted: facts.is_some_and(|facts| facts.standing.is_trusted()),
            recomputes: facts.is_some_and(|facts| facts.recomputed.is_empty()),
            findings: findings.into_iter().map(|(kind, detail)| LineFinding { kind, detail }).collect(),
        }
    }

    /// Whether anything is out of line: more than what is only to know.
    pub fn has_findings(&self) -> bool {
        self.findings.iter().any(|finding| finding.kind.weight() != Weight::Note)
    }
}
