//! All records together: what each is, what the chains say, what they have in common.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::chain::{Placed, Witness, check_chains, of_record};
use super::examine::Facts;
use super::found::{Audit, Finding};
use super::groups;
use super::kind::{Kind, Weight};
use super::standing::SignatureStanding;

/// A record file that was looked at.
#[derive(Debug, Clone, PartialEq)]
pub struct Looked {
    /// Where it is, as it is shown.
    pub path: String,
    /// What it holds, or why it cannot be read.
    pub facts: Result<Facts, String>,
}

impl Audit {
    /// What all of these say together.
    pub fn of(files: &[Looked], witnesses: &[Witness]) -> Self {
        let mut audit = Self { records: files.len(), ..Self::default() };
        let mut records: Vec<Placed<'_>> = vec![];
        for file in files {
            match &file.facts {
                Ok(facts) => records.push((facts, &file.path)),
                Err(why) => audit.findings.push(unreadable(&file.path, why)),
            }
        }
        let records = audit.once_each(records, witnesses);
        let chains = check_chains(&records, witnesses);
        let real: Vec<Placed<'_>> = records.iter().copied().filter(|(facts, _)| !facts.practice).collect();
        let altered = |facts: &Facts| !facts.standing.is_intact() || chains.altered.contains(&facts.id);
        audit.practice = records.len() - real.len();
        audit.records -= audit.practice;
        audit.intact = real.iter().filter(|(facts, _)| !altered(facts)).count();
        audit.signed = real.iter().filter(|(facts, _)| facts.standing.signature.fingerprint().is_some()).count();
        audit.recomputed_differently =
            real.iter().filter(|(facts, _)| !facts.recomputed.is_empty()).map(|(facts, _)| facts.id.clone()).collect();
        audit.scripted = real.iter().filter(|(facts, _)| facts.scripted).count();
        let by_hand: BTreeSet<&str> =
            real.iter().filter(|(facts, _)| !facts.scripted).map(|(facts, _)| facts.bench.as_str()).collect();
        for record in &records {
            let mut kinds = of_itself(record.0);
            if record.0.practice && !real.is_empty() {
                kinds.push((Kind::Practice, "The readings come from a simulated bench.".to_owned()));
            } else if !record.0.practice && record.0.scripted && by_hand.contains(record.0.bench.as_str()) {
                kinds.push((Kind::Scripted, "A script typed the readings.".to_owned()));
            }
            audit.findings.extend(kinds.into_iter().map(|(kind, detail)| of_record(kind, *record, detail)));
        }
        // What a record says that does not follow from its own readings would count for anything.
        let counts = |facts: &&Facts| !altered(facts) && facts.recomputed.is_empty();
        let counting = || real.iter().map(|(facts, _)| *facts).filter(counts);
        audit.technicians = groups::by(counting(), |facts| &facts.technician);
        audit.amplifiers = groups::by(counting(), |facts| &facts.amplifier);
        audit.meters = groups::by(counting(), |facts| &facts.meter);
        audit.findings.extend(chains.findings);
        audit.chains = chains.chains;
        audit.warnings.extend(chains.warnings);
        let has = |kind| audit.of_kind(kind).next().is_some();
        if has(Kind::Missing) && has(Kind::Unreadable) {
            audit.warnings.push("A number that is missing may be that of a file that cannot be read.".to_owned());
        }
        audit.findings.sort_by(|one, other| key(one).cmp(&key(other)));
        audit
    }

    /// Every record once: copies are told of, and two different records of one id too.
    fn once_each<'a>(&mut self, records: Vec<Placed<'a>>, witnesses: &'a [Witness]) -> Vec<Placed<'a>> {
        let mut by_id: BTreeMap<&str, Vec<Placed<'a>>> = BTreeMap::new();
        for record in &records {
            by_id.entry(&record.0.id).or_default().push(*record);
        }
        let named = named_copies(&by_id, &records, witnesses);
        let mut once = vec![];
        for copies in by_id.into_values() {
            // The one that stands best comes first: a copy that was changed does not hide a whole one. Where a copy lies
            // says nothing of it, so the path only puts alike ones in order.
            let mut copies = copies;
            if copies.len() > 1 {
                copies.sort_by_cached_key(|(facts, path)| {
                    let said = (facts.digest.as_str(), facts.stated_digest.as_str(), facts.signature_digest());
                    (trust_rank(facts), !named.contains(&place(facts)), said, *path)
                });
            }
            let first = copies[0];
            once.push(first);
            for other in &copies[1..] {
                let of = |facts: &'a Facts| (&facts.digest, &facts.stated_digest, &facts.signature);
                let same = of(other.0) == of(first.0);
                self.records -= usize::from(same);
                let (kind, text) = if same {
                    (Kind::Copied, format!("Also at {}.", first.1))
                } else {
                    (
                        Kind::Repeated,
                        format!("It is at {}, and another record of the same id is at {}.", other.1, first.1),
                    )
                };
                self.findings.push(of_record(kind, *other, text));
                if !same {
                    let kinds = of_itself(other.0).into_iter().filter(|(kind, _)| kind.weight() == Weight::Broken);
                    self.findings.extend(kinds.map(|(kind, detail)| of_record(kind, *other, detail)));
                }
            }
        }
        once
    }

    /// Whether anything is out of line: more than what is only to know.
    pub fn has_findings(&self) -> bool {
        self.findings.iter().any(|finding| finding.kind.weight() != Weight::Note)
    }

    /// The findings of a kind.
    pub fn of_kind(&self, kind: Kind) -> impl Iterator<Item = &Finding> {
        self.findings.iter().filter(move |finding| finding.kind == kind)
    }
}

/// Where a record stands in the chains, and as what.
type Place<'a> = (&'a str, u64, &'a str);

fn place(facts: &Facts) -> Place<'_> {
    (&facts.bench, facts.sequence, &facts.digest)
}

/// Of copies that do not say the same, those that a whole record names as the one before it, or that are remembered.
fn named_copies<'a>(
    by_id: &BTreeMap<&str, Vec<Placed<'a>>>,
    records: &[Placed<'a>],
    witnesses: &'a [Witness],
) -> HashSet<Place<'a>> {
    let differ = |copies: &&Vec<Placed<'a>>| copies.iter().any(|(facts, _)| facts.digest != copies[0].0.digest);
    let copies: HashSet<Place<'a>> = by_id.values().filter(differ).flatten().map(|(facts, _)| place(facts)).collect();
    if copies.is_empty() {
        return copies;
    }
    let before = |(facts, _): &Placed<'a>| {
        let previous = facts.previous.as_deref().filter(|_| facts.standing.is_intact())?;
        Some((facts.bench.as_str(), facts.sequence.checked_sub(1)?, previous))
    };
    let remembered =
        witnesses.iter().map(|witness| (witness.bench.as_str(), witness.sequence, witness.digest.as_str()));
    records.iter().filter_map(before).chain(remembered).filter(|place| copies.contains(place)).collect()
}

/// How well a record stands among others of its id, the best first: trusted, else signed by somebody, else whole.
fn trust_rank(facts: &Facts) -> u8 {
    match &facts.standing {
        standing if standing.is_trusted() => 0,
        standing if standing.is_intact() && standing.signature.fingerprint().is_some() => 1,
        standing if standing.is_intact() => 2,
        _ => 3,
    }
}

/// The order of findings: worst first, then by bench and place.
pub(super) fn key(finding: &Finding) -> (Kind, Option<&str>, Option<u64>, Option<&str>, Option<&str>) {
    (finding.kind, finding.bench.as_deref(), finding.sequence, finding.id.as_deref(), finding.path.as_deref())
}

fn unreadable(path: &str, why: &str) -> Finding {
    Finding {
        kind: Kind::Unreadable,
        id: None,
        bench: None,
        sequence: None,
        path: Some(path.to_owned()),
        job: None,
        technician: None,
        at: None,
        detail: format!("{why}."),
    }
}

/// What is out of line in a record, looked at by itself. What a practice record says is nobody's business.
pub(super) fn of_itself(facts: &Facts) -> Vec<(Kind, String)> {
    let mut kinds = vec![];
    if !facts.standing.is_intact() {
        // What was changed shows where something does not follow any more.
        let changed = facts.standing.altered.iter().chain(facts.recomputed.first());
        kinds.push((Kind::Altered, changed.map(String::as_str).collect::<Vec<_>>().join(" ")));
    }
    kinds.extend(of_signature(facts));
    if facts.standing.is_intact() && !facts.recomputed.is_empty() {
        kinds.push((Kind::RecomputedDifferently, facts.recomputed.join(" ")));
    }
    kinds.extend(facts.outstanding.iter().cloned());
    if facts.practice {
        kinds.retain(|(kind, _)| kind.weight() == Weight::Broken);
    }
    kinds
}

fn of_signature(facts: &Facts) -> Option<(Kind, String)> {
    use SignatureStanding as Signature;
    Some(match &facts.standing.signature {
        Signature::Trusted { .. } | Signature::Bad { .. } => return None,
        Signature::None if facts.could_have_signed => {
            (Kind::Unsigned, "Signed off by name alone, though the trust list has a key of that name.".to_owned())
        }
        Signature::None => (Kind::Unsigned, "Signed off by name alone.".to_owned()),
        Signature::NoList { fingerprint } => (Kind::NoTrustList, format!("Signed with the key {fingerprint}.")),
        Signature::Stranger { fingerprint } => {
            (Kind::UnknownSigner, format!("The key {fingerprint} is not in the trust list."))
        }
        Signature::OtherName { fingerprint, principals } => {
            (Kind::UnknownSigner, format!("The key {fingerprint} is that of {principals} in the trust list."))
        }
        Signature::OtherNamespace { fingerprint } => {
            (Kind::UnknownSigner, format!("The trust list has the key {fingerprint} for other purposes only."))
        }
        Signature::NotYet { fingerprint, from } => {
            (Kind::KeyNotValid, format!("The key {fingerprint} is valid from {} on.", from.minute()))
        }
        Signature::NoLonger { fingerprint, until } => {
            (Kind::KeyNotValid, format!("The key {fingerprint} was valid until {}.", until.minute()))
        }
        Signature::Unsupported { kind, fingerprint } => {
            (Kind::Unchecked, format!("The key {fingerprint} is of kind {kind}."))
        }
    })
}
