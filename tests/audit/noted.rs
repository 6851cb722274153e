//! Digests that were noted outside: which records they vouch for, and what is said where one is not here.

use cornerset::audit::{Audit, Kind, Looked, Reach};
use cornerset::record::Record;

use crate::maker::{Bench, digest_again, found, looked_at};

fn held(records: &[Record], noted: &[&Record]) -> Audit {
    let looked: Vec<Looked> = records.iter().map(looked_at).collect();
    let mut audit = Audit::of(&looked, &[]);
    let digests: Vec<String> = noted.iter().map(|record| record.sign_off.digest.clone()).collect();
    audit.hold_against(&looked, &digests);
    audit
}

fn reaches(audit: &Audit) -> Vec<Option<(&str, u64, u64)>> {
    let places = |reach: &Reach| (reach.first, reach.last);
    let bench = |reach: &Reach| if reach.bench == "bench-1" { "bench-1" } else { "bench-2" };
    audit
        .noted
        .iter()
        .map(|noted| noted.reach.as_ref().map(|reach| (bench(reach), places(reach).0, places(reach).1)))
        .collect()
}

#[test]
fn a_noted_digest_vouches_for_the_chain_before_it() {
    let (one, other) = (Bench::new("bench-1").records(5), Bench::new("bench-2").records(2));
    let records = [one.clone(), other.clone()].concat();
    let audit = held(&records, &[&one[3], &other[1], &one[0], &one[3]]);
    assert_eq!(found(&audit), [""; 0]);
    let expected = [Some(("bench-1", 1, 4)), Some(("bench-2", 1, 2)), Some(("bench-1", 1, 1))];
    assert_eq!(reaches(&audit), expected, "the same digest twice is one");
}

/// Every state of a chain that is shorter than when the digest was noted: whatever is left, it is told.
#[test]
fn records_that_were_taken_away_are_told_of_by_any_later_digest() {
    let records = Bench::new("bench-1").records(4);
    for left in 0..4 {
        let audit = held(&records[..left], &[&records[3]]);
        assert_eq!(found(&audit), ["noted-missing -"], "{left}");
        assert!(audit.has_findings() && audit.findings[0].detail.contains(&records[3].sign_off.digest));
    }
    // A gap before it is found by the chain, and nothing before the gap is vouched for.
    let audit = held(&[&records[..1], &records[2..]].concat(), &[&records[3]]);
    assert_eq!((found(&audit), reaches(&audit)), (vec!["missing 2".to_owned()], vec![Some(("bench-1", 3, 4))]));
}

/// All that a thief of the only key could do: the chain made anew from some place on, whole in itself.
#[test]
fn a_chain_that_was_made_anew_is_not_the_one_that_was_noted() {
    let records = Bench::new("bench-1").records(4);
    let mut forged = records.clone();
    for place in 1..4 {
        forged[place].job = "another".to_owned();
        forged[place].previous = Some(forged[place - 1].sign_off.digest.clone());
        digest_again(&mut forged[place]);
        forged[place].sign_off.signature = None;
    }
    let audit = held(&forged, &[&records[3], &records[0]]);
    assert_eq!(audit.noted[0].reach, None);
    assert!(found(&audit).contains(&"noted-missing -".to_owned()), "{:?}", found(&audit));
    assert_eq!(reaches(&audit)[1], Some(("bench-1", 1, 1)), "what lies before is vouched for");
}

#[test]
fn a_noted_record_that_was_changed_is_not_here_as_it_was() {
    let mut records = Bench::new("bench-1").records(2);
    let before = records[1].clone();
    records[1].job = "another".to_owned();
    let audit = held(&records, &[&before]);
    let finding = audit.findings.iter().find(|finding| finding.kind.word() == "noted-missing").unwrap();
    assert_eq!((finding.id.as_deref(), finding.sequence), (Some(before.id.as_str()), Some(2)));
    assert!(finding.detail.ends_with("is not here as it was: it was changed."), "{}", finding.detail);
}

/// Only the record just before, of the same bench, belongs to the chain that a digest vouches for.
#[test]
fn nothing_is_vouched_for_across_benches_and_numbers() {
    let (mut one, mut other) = (Bench::new("bench-1"), Bench::new("bench-2"));
    (one.key, other.key) = (None, None);
    let (mut one, mut other) = (one.records(4), other.records(3));
    for (place, before) in [(2, other[1].clone()), (3, one[0].clone())] {
        one[place].previous = Some(before.sign_off.digest);
        digest_again(&mut one[place]);
    }
    other[0].job.push('x');
    let audit = held(&[one.clone(), other.clone()].concat(), &[&one[2], &one[3], &one[1]]);
    assert_eq!(reaches(&audit), [Some(("bench-1", 3, 3)), Some(("bench-1", 4, 4)), Some(("bench-1", 1, 2))]);
    // What the digests show stands among all else, the worst first.
    let audit = held(&[&one[..], &other].concat(), &[&Bench::new("bench-3").record()]);
    let weights: Vec<_> = audit.findings.iter().map(|finding| finding.kind).collect();
    assert!(weights.is_sorted() && weights.last() != Some(&Kind::NotedMissing), "{weights:?}");
}
