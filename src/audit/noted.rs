//! Digests that somebody noted outside: whether their records are here, and how much of the chain they vouch for.
//!
//! A record names the one before it by its digest, so who knows one digest knows what every record before it was. Unlike the
//! store's own memory, what was noted elsewhere is not put back with the store.

use std::collections::HashMap;

use super::examine::Facts;
use super::found::{Audit, Finding, Noted, Reach};
use super::kind::Kind;
use super::whole::{Looked, key};

/// So many hexadecimal figures a SHA-256 digest has.
const FIGURES: usize = 64;
/// What records write before them.
const ALGORITHM: &str = "sha256:";

/// A digest as records write it, from what was typed: with `sha256:` or without, in upper or lower case, blanks where it was
/// wrapped.
pub fn digest_typed(typed: &str) -> Option<String> {
    let typed: String = typed.split_whitespace().collect::<String>().to_ascii_lowercase();
    let figures = typed.strip_prefix(ALGORITHM).unwrap_or(&typed);
    let is_one = figures.len() == FIGURES && figures.bytes().all(|byte| byte.is_ascii_hexdigit());
    is_one.then(|| format!("{ALGORITHM}{figures}"))
}

impl Audit {
    /// Holds what was audited against digests that were noted outside, as records write them.
    pub fn hold_against(&mut self, files: &[Looked], noted: &[String]) {
        if noted.is_empty() {
            return;
        }
        let mut records: HashMap<&str, &Facts> = HashMap::new();
        for facts in files.iter().filter_map(|file| file.facts.as_ref().ok()) {
            records.entry(&facts.digest).or_insert(facts);
        }
        for digest in noted {
            if self.noted.iter().any(|other| other.digest == *digest) {
                continue;
            }
            let reach = records.get(digest.as_str()).map(|last| reach(last, &records));
            if reach.is_none() {
                self.findings.push(gone(digest, files));
            }
            self.noted.push(Noted { digest: digest.clone(), reach });
        }
        self.findings.sort_by(|one, other| key(one).cmp(&key(other)));
    }
}

/// From this record back, as long as each names the one before and that one is here.
fn reach(last: &Facts, records: &HashMap<&str, &Facts>) -> Reach {
    let before = |facts: &Facts| {
        let before = *records.get(facts.previous.as_deref()?)?;
        (before.bench == facts.bench && before.sequence.checked_add(1) == Some(facts.sequence)).then_some(before)
    };
    let mut first = last;
    while let Some(earlier) = before(first) {
        first = earlier;
    }
    Reach { bench: last.bench.clone(), first: first.sequence, last: last.sequence, id: last.id.clone() }
}

fn gone(digest: &str, files: &[Looked]) -> Finding {
    let says_so = |facts: &&Facts| facts.stated_digest == *digest;
    let changed = files.iter().filter_map(|file| file.facts.as_ref().ok()).find(says_so);
    let why = match changed {
        Some(_) => "is not here as it was: it was changed.",
        None => "is not here: records were taken away or put back to an older state.",
    };
    Finding {
        kind: Kind::NotedMissing,
        id: changed.map(|facts| facts.id.clone()),
        bench: changed.map(|facts| facts.bench.clone()),
        sequence: changed.map(|facts| facts.sequence),
        path: None,
        job: None,
        technician: None,
        at: None,
        detail: format!("The record whose digest was noted as {digest} {why}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_is_taken_as_it_was_copied() {
        let figures = "0123456789abcdef".repeat(4);
        let written = format!("sha256:{figures}");
        for typed in [
            written.clone(),
            figures.clone(),
            figures.to_uppercase(),
            format!("SHA256:{figures}"),
            format!(" sha256:{}\n    {}\n", &figures[..32], &figures[32..]),
        ] {
            assert_eq!(digest_typed(&typed).as_ref(), Some(&written), "{typed}");
        }
        let other = |algorithm: &str| format!("{algorithm}:{figures}");
        for wrong in
            ["", "sha256:", &figures[1..], &format!("{figures}0"), &figures.replace('a', "g"), &other("sha512")]
        {
            assert_eq!(digest_typed(wrong), None, "{wrong}");
        }
    }
}
