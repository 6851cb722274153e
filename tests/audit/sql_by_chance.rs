//! Small chains of chance, in which much is wrong at once.

use chrono::{DateTime, Duration};
use cornerset::audit::{Facts, Kind, Looked, SignatureStanding, Standing, Witness};
use cornerset::chance::Chance;
use cornerset::session::Moment;

use crate::sql::{Case, NOT_NOTED, looked};

/// One of a few contents that records of a case have; what has the same digest says the same.
pub struct Content(pub Facts);

fn content(chance: &mut Chance, quiet: bool, others: &[Content], like: &Facts) -> Content {
    let mut facts = like.clone();
    let digest = |number: usize| format!("sha256:{number}");
    facts.digest = digest(others.len());
    facts.id = format!("id-{}", if quiet { others.len() } else { chance.below(5) });
    if !quiet {
        (*chance.one_of(&["bench-1", "bench-1", "bench-1", "bench-2"])).clone_into(&mut facts.bench);
    }
    facts.sequence = *chance.one_of(&[0, 1, 1, 2, 2, 3, 3, 4]);
    // One just before it, where there is one, or any, or none.
    let is_before = |Content(other): &&Content| other.bench == facts.bench && other.sequence + 1 == facts.sequence;
    let before: Vec<String> = others.iter().filter(is_before).map(|other| other.0.digest.clone()).collect();
    let any = digest(chance.below(others.len() + 2));
    let named = if before.is_empty() || chance.below(4) == 0 { any } else { chance.one_of(&before).clone() };
    let has_previous = chance.below(8) != usize::from(facts.sequence > 1);
    facts.previous = (has_previous && (facts.sequence > 1 || chance.below(4) == 0)).then_some(named);
    facts.practice = chance.below(8) == 0;
    facts.scripted = chance.below(3) == 0;
    let start = DateTime::parse_from_rfc3339("2026-03-05T14:00:00.000+05:30").unwrap();
    let at = |minutes: usize| Moment::new(start + Duration::minutes(minutes as i64));
    (facts.closed_at, facts.last_at) = (at(5 * chance.below(8)), at(5 * chance.below(8)));
    facts.recomputed = if chance.below(6) == 0 { vec!["It does not follow.".to_owned()] } else { vec![] };
    let stands_out = |kind| (kind, "It stands out.".to_owned());
    facts.outstanding =
        [Kind::TimesBackwards, Kind::TooFast].into_iter().map(stands_out).take(chance.below(3)).collect();
    Content(facts)
}

impl Content {
    /// A record with this content, by what is stated as its digest and one of three signatures.
    fn record(&self, stated: String, signature: usize) -> Facts {
        let mut facts = self.0.clone();
        let number: usize = facts.digest["sha256:".len()..].parse().unwrap();
        let key = || "SHA256:key".to_owned();
        let moment = facts.closed_at;
        let signed = [
            SignatureStanding::Trusted { fingerprint: key() },
            SignatureStanding::Stranger { fingerprint: key() },
            SignatureStanding::NotYet { fingerprint: key(), from: moment },
            SignatureStanding::Bad { why: "it is not".to_owned() },
            SignatureStanding::NoList { fingerprint: key() },
            SignatureStanding::Unsupported { kind: "ssh-rsa".to_owned(), fingerprint: key() },
        ];
        let mut altered = vec![];
        if stated != facts.digest {
            altered.push("Its digest is another one.".to_owned());
        }
        let signature = if signature == 0 {
            facts.signature = None;
            if number.is_multiple_of(4) {
                altered.push("Its signature is gone.".to_owned());
            }
            SignatureStanding::None
        } else {
            facts.signature = Some(format!("signature {signature}"));
            signed[(number * 2 + signature * 3) % signed.len()].clone()
        };
        if matches!(signature, SignatureStanding::Bad { .. }) {
            altered.push("Its signature is not good.".to_owned());
        }
        facts.standing = Standing { altered, signature };
        facts.stated_digest = stated;
        if !facts.standing.is_intact() {
            facts.outstanding.clear();
        }
        facts
    }
}

/// A small chain of chance, in which little is as it should be; every other one has no copies, and few signatures.
pub fn of_chance(seed: u64, like: &Facts) -> Case {
    let chance = &mut Chance::of(seed, 7);
    let count = 3 + chance.below(5);
    let mut contents: Vec<Content> = vec![];
    let quiet = seed.is_multiple_of(2);
    for _ in 0..count {
        contents.push(content(chance, quiet, &contents, like));
    }
    let mut files: Vec<Looked> = (0..3 + chance.below(7))
        .map(|_| {
            let content = chance.one_of(&contents);
            let stated = if chance.below(6) == 0 { chance.one_of(&contents) } else { content };
            let signature = if quiet && chance.below(6) > 0 { 0 } else { chance.below(3) };
            looked(Ok(content.record(stated.0.digest.clone(), signature)))
        })
        .collect();
    if chance.below(10) == 0 {
        files.push(looked(Err("it is no record".to_owned())));
    }
    let ends = (0..chance.below(4)).map(|_| {
        let facts = &chance.one_of(&contents).0;
        let digest = if chance.below(4) == 0 { "sha256:other".to_owned() } else { facts.digest.clone() };
        // Where copies do not say the same, an end without an id may be the one of them that does not count.
        let is_one = contents.iter().all(|Content(other)| other.id != facts.id || other.digest == facts.digest);
        let id = match chance.below(5) {
            0 => "id-other".to_owned(),
            1 | 2 if is_one => NOT_NOTED.to_owned(),
            _ => facts.id.clone(),
        };
        // No store gives the number nought.
        let sequence = facts.sequence.max(1) + u64::from(chance.below(4) == 0);
        Witness { bench: facts.bench.clone(), sequence, digest, id }
    });
    let witnesses = ends.collect();
    (files, witnesses)
}
