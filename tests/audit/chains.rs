//! Chains: removed, repeated and swapped records are named, and who does nothing wrong is not accused.

use cornerset::audit::{Audit, Looked, Witness};
use cornerset::record::{Record, SEQUENCE_MAX};

use crate::maker::{Bench, audit, digest_again, found, looked_at, other_key, sample_key, sign};

pub fn witness(record: &Record) -> Witness {
    Witness {
        bench: record.bench.clone(),
        sequence: record.sequence,
        digest: record.sign_off.digest.clone(),
        id: record.id.clone(),
    }
}

/// Every test here: their records are audited by SQL, too.
pub const ALL: &[fn()] = &[
    a_whole_chain_has_nothing_out_of_line,
    every_set_of_removed_records_is_named,
    a_gap_of_any_size_is_bounded,
    a_copy_is_no_finding,
    a_changed_copy_does_not_hide_behind_the_whole_one,
    a_fork_is_named_on_both_sides,
    a_backup_that_was_put_back_shows_beside_a_later_copy,
    a_bench_that_is_renamed_starts_another_chain,
    swapped_records_are_found,
    a_forged_unsigned_record_is_found_by_the_one_after_it,
    a_good_signature_clears_a_record,
    a_chain_signed_again_by_a_stranger_is_a_strangers,
    a_record_that_names_none_or_one_too_many_before_it_is_found,
    a_clock_set_back_between_records_stands_out,
    a_record_signed_twice_for_one_place_is_found,
    a_number_that_json_does_not_hold_exactly_is_not_read,
    a_strangers_signature_clears_no_record,
    what_speaks_for_a_record_accuses_the_other,
    a_copy_with_another_signature_or_digest_is_named,
    where_a_copy_lies_says_nothing_of_it,
];

#[test]
fn a_whole_chain_has_nothing_out_of_line() {
    let records = Bench::new("bench-1").records(6);
    let audit = audit(&records, &[witness(&records[5])]);
    assert_eq!(found(&audit), [""; 0]);
    assert_eq!((audit.records, audit.intact, audit.signed), (6, 6, 6));
    let chain = &audit.chains[0];
    assert_eq!((chain.bench.as_str(), chain.records, chain.last, chain.whole), ("bench-1", 6, 6, true));
    assert_eq!(chain.digest, records[5].sign_off.digest);
}

#[test]
fn every_set_of_removed_records_is_named() {
    let records = Bench::new("bench-1").records(5);
    let witness = witness(&records[4]);
    for gone in 1u32..(1 << 5) {
        let is_gone = |record: &Record| gone & (1 << (record.sequence - 1)) != 0;
        let left: Vec<Record> = records.iter().filter(|record| !is_gone(record)).cloned().collect();
        let named: Vec<String> = records
            .iter()
            .filter(|record| is_gone(record))
            .map(|record| format!("missing {}", record.sequence))
            .collect();
        assert_eq!(found(&audit(&left, std::slice::from_ref(&witness))), named);
        // Without the store's memory of the last one, those after the last that is left cannot be known of.
        let last = left.last().map_or(0, |record| record.sequence);
        let known: Vec<String> =
            named.into_iter().filter(|name| name.split_once(' ').unwrap().1.parse::<u64>().unwrap() < last).collect();
        assert_eq!(found(&audit(&left, &[])), known);
    }
}

#[test]
fn a_gap_of_any_size_is_bounded() {
    let mut records = Bench::new("bench-1").records(1);
    records[0].sequence = SEQUENCE_MAX;
    records[0].previous = Some(records[0].sign_off.digest.clone());
    digest_again(&mut records[0]);
    records[0].sign_off.signature = None;
    let audit = audit(&records, &[]);
    assert!(audit.findings.len() < 1100, "{}", audit.findings.len());
    assert!(
        audit.warnings.iter().any(|warning| warning.contains("are missing; 1000 of them are named")),
        "{:?}",
        audit.warnings
    );
}

/// A record that is there twice is counted once.
#[test]
fn a_copy_is_no_finding() {
    let records = Bench::new("bench-1").records(3);
    let gathered = [&records[..], &records[1..2]].concat();
    let audit = audit(&gathered, &[]);
    assert_eq!(found(&audit), ["copied 2"]);
    assert!(!audit.has_findings());
    assert_eq!((audit.records, audit.intact, audit.chains[0].whole), (3, 3, true));
}

/// A copy of which one was changed: the whole one stands in the chain, the changed one is named.
#[test]
fn a_changed_copy_does_not_hide_behind_the_whole_one() {
    let records = Bench::new("bench-1").records(3);
    let mut changed = records[1].clone();
    changed.job.push('x');
    let audit = audit(&[&records[..], &[changed]].concat(), &[]);
    assert_eq!(found(&audit), ["altered 2", "repeated 2"]);
    assert_eq!((audit.records, audit.intact), (4, 3));
}

/// A store that was copied, and both went on.
#[test]
fn a_fork_is_named_on_both_sides() {
    let mut bench = Bench::new("bench-1");
    let shared = bench.records(2);
    let one = bench.records(2);
    bench.put_back(&shared[1]);
    let other = bench.records(1);
    let audit = audit(&[&shared[..], &one, &other].concat(), &[]);
    assert_eq!(found(&audit), ["repeated 3", "repeated 3"]);
    let says = |record: &Record| {
        audit.findings.iter().find(|finding| finding.id.as_ref() == Some(&record.id)).unwrap().detail.clone()
    };
    assert!(says(&one[0]).contains("the chain goes on from this one"), "{}", says(&one[0]));
    assert!(says(&other[0]).contains("no record here goes on from this one"), "{}", says(&other[0]));
    assert!(says(&other[0]).contains(&one[0].id));
    assert!(!audit.chains[0].whole);
}

/// A backup that is put back: the newest records are gone, and the store's memory with them; the copy that was made before
/// shows it.
#[test]
fn a_backup_that_was_put_back_shows_beside_a_later_copy() {
    let mut bench = Bench::new("bench-1");
    let records = bench.records(4);
    bench.put_back(&records[1]);
    let again = bench.records(1);
    let store = [&records[..2], &again].concat();
    assert_eq!(found(&audit(&store, &[witness(&again[0])])), [""; 0], "the store alone cannot tell");
    assert_eq!(
        found(&audit(&[&store[..], &records].concat(), &[])),
        ["repeated 3", "repeated 3", "copied 1", "copied 2"]
    );
}

#[test]
fn a_bench_that_is_renamed_starts_another_chain() {
    let (old, new) = (Bench::new("bench-old").records(3), Bench::new("bench-new").records(2));
    let audit = audit(&[old, new].concat(), &[]);
    assert_eq!(found(&audit), [""; 0]);
    let chains: Vec<(&str, u64, bool)> =
        audit.chains.iter().map(|chain| (chain.bench.as_str(), chain.last, chain.whole)).collect();
    assert_eq!(chains, [("bench-new", 2, true), ("bench-old", 3, true)]);
}

/// Two unsigned records whose numbers were exchanged, digests and all: what names them shows it.
#[test]
fn swapped_records_are_found() {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut records = bench.records(5);
    let (two, three) = (records[1].sequence, records[2].sequence);
    records[1].sequence = three;
    records[2].sequence = two;
    records[1..3].iter_mut().for_each(digest_again);
    let audit = audit(&records, &[]);
    let altered: Vec<u64> =
        audit.of_kind(cornerset::audit::Kind::Altered).filter_map(|finding| finding.sequence).collect();
    assert!(!altered.is_empty() && altered.iter().all(|number| [1, 2, 3].contains(number)), "{altered:?}");
    // Signed ones cannot be exchanged without their signatures saying so.
    let mut records = Bench::new("bench-1").records(5);
    records[1].sequence = 3;
    records[2].sequence = 2;
    records[1..3].iter_mut().for_each(digest_again);
    let named = found(&crate::maker::audit(&records, &[]));
    assert_eq!(named.iter().filter(|line| line.starts_with("altered")).collect::<Vec<_>>(), ["altered 2", "altered 3"]);
}

/// An unsigned record that was changed and digested again: the record after it names another one.
#[test]
fn a_forged_unsigned_record_is_found_by_the_one_after_it() {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut records = bench.records(4);
    records[1].job.push('x');
    digest_again(&mut records[1]);
    assert_eq!(found(&audit(&records, &[]))[0], "altered 2");
    // The last one has none after it, but the store remembers its digest.
    let mut records = Bench::new("bench-1").records(1);
    let remembered = witness(&records[0]);
    records[0].technician = "B. Sample".to_owned();
    digest_again(&mut records[0]);
    records[0].sign_off.signature = None;
    assert!(found(&audit(&records, &[remembered])).contains(&"altered 1".to_owned()));
}

/// A good signature clears a record: then it is the other one that was changed.
#[test]
fn a_good_signature_clears_a_record() {
    let mut bench = Bench::new("bench-1");
    let first = bench.record();
    bench.key = None;
    let mut second = bench.record();
    second.previous = Some(format!("sha256:{}", "0".repeat(64)));
    digest_again(&mut second);
    assert_eq!(found(&audit(&[first, second], &[])), ["altered 2", "unsigned 2"]);
}

/// The whole chain signed again by someone else: every record is a stranger's.
#[test]
fn a_chain_signed_again_by_a_stranger_is_a_strangers() {
    let mut bench = Bench::new("bench-1");
    bench.key = Some(other_key());
    let records = bench.records(2);
    assert_eq!(found(&audit(&records, &[])), ["unknown-signer 1", "unknown-signer 2"]);
}

#[test]
fn a_record_that_names_none_or_one_too_many_before_it_is_found() {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut records = bench.records(2);
    records[0].previous = Some(records[1].sign_off.digest.clone());
    records[1].previous = None;
    records.iter_mut().for_each(digest_again);
    assert_eq!(found(&audit(&records, &[]))[..2], ["altered 1", "altered 2"]);
    let mut nought = bench.record();
    nought.sequence = 0;
    digest_again(&mut nought);
    assert!(found(&audit(&[nought], &[])).contains(&"altered 0".to_owned()));
}

#[test]
fn a_clock_set_back_between_records_stands_out() {
    let mut bench = Bench::new("bench-1");
    let first = bench.record();
    bench.now -= chrono::Duration::hours(3);
    let second = bench.record();
    assert_eq!(found(&audit(&[first, second], &[])), ["times-backwards 2"]);
    // Minutes may pass while a session waits for its key and another one is closed.
    let mut bench = Bench::new("bench-1");
    let first = bench.record();
    bench.now -= chrono::Duration::minutes(5);
    let second = bench.record();
    assert_eq!(found(&audit(&[first, second], &[])), [""; 0]);
}

/// A record signed with a stolen place: the same number, signed by the technician twice.
#[test]
fn a_record_signed_twice_for_one_place_is_found() {
    let mut bench = Bench::new("bench-1");
    let mut records = bench.records(2);
    let mut again = records[1].clone();
    again.job.push_str(", again");
    sign(&mut again, &crate::maker::sample_key());
    records.push(again);
    let named = found(&audit(&records, &[]));
    assert!(named.contains(&"repeated 2".to_owned()), "{named:?}");
}

/// From 2^53 on two numbers may have one canonical form (RFC 8785 writes numbers as ECMAScript does): none is read.
#[test]
fn a_number_that_json_does_not_hold_exactly_is_not_read() {
    let mut record = Bench::new("bench-1").record();
    record.sequence = SEQUENCE_MAX + 1;
    digest_again(&mut record);
    assert_eq!(found(&audit(&[record], &[])), ["unreadable -"]);
}

/// The first record changed and signed by a stranger: that clears it of nothing, and the next one is not accused.
#[test]
fn a_strangers_signature_clears_no_record() {
    let mut bench = Bench::new("bench-1");
    let first = bench.record();
    bench.key = None;
    let mut records = [first, bench.record()];
    records[0].job.push('x');
    let key = other_key();
    records[0].sign_off.statement =
        records[0].sign_off.statement.replace(&sample_key().public().fingerprint(), &key.public().fingerprint());
    sign(&mut records[0], &key);
    let audit = audit(&records, &[]);
    assert_eq!(found(&audit), ["altered 1", "unknown-signer 1", "recomputed-differently 1", "unsigned 2"]);
    assert_eq!(audit.intact, 1, "what the chain shows to be altered is not intact");
}

/// Of two unsigned records that do not fit together, the one that nothing speaks for is accused.
#[test]
fn what_speaks_for_a_record_accuses_the_other() {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let whole = bench.records(3);
    let changed = |place: usize, change: fn(&mut Record)| {
        let mut records = whole.clone();
        change(&mut records[place]);
        digest_again(&mut records[place]);
        records
    };
    // Another job, or another record before it.
    let other_job = |record: &mut Record| record.job.push('x');
    let other_before = |record: &mut Record| record.previous = Some(format!("sha256:{}", "0".repeat(64)));
    let found_in = |records: &[Record], witnesses: &[_]| found(&audit(records, witnesses));
    // The third names the second as it is: the second is right about the first.
    let sure = audit(&changed(0, other_job), &[]);
    assert_eq!(found(&sure)[0], "altered 1");
    assert!(!sure.findings[0].detail.contains("One of the two"), "{}", sure.findings[0].detail);
    // The last one names another record before it: nothing speaks for either, until the store remembers the one before.
    let records = changed(2, other_before);
    let open = audit(&records, &[]);
    assert!(open.findings[0].detail.ends_with("One of the two is not what it was."), "{}", open.findings[0].detail);
    assert_eq!(found_in(&records, &[witness(&whole[1])])[0], "altered 3");
    // The store remembers the third as it is: then it is the second that was changed.
    let records = changed(1, other_job);
    assert_eq!(found_in(&records, &[witness(&records[2])])[0], "altered 2");
    // It remembers the second, by another digest than it has now.
    let found = found_in(&records, &[witness(&whole[1])]);
    assert!(found.contains(&"altered 2".to_owned()) && !found.contains(&"altered 3".to_owned()), "{found:?}");
}

/// Copies of which only the signature, or only the digest, is another one are no copies.
#[test]
fn a_copy_with_another_signature_or_digest_is_named() {
    let records = Bench::new("bench-1").records(2);
    let other = records[1].sign_off.clone();
    type Change<'a> = &'a dyn Fn(&mut Record);
    let changes: [Change<'_>; 2] = [&|record| record.sign_off.signature.clone_from(&other.signature), &|record| {
        record.sign_off.digest.clone_from(&other.digest)
    }];
    for change in changes {
        let mut changed = records[0].clone();
        change(&mut changed);
        assert_eq!(found(&audit(&[&records[..], &[changed]].concat(), &[])), ["altered 1", "repeated 1"]);
    }
}

/// Two unsigned records of one id: the one that the next record or the store's memory names is the one, wherever it lies.
#[test]
fn where_a_copy_lies_says_nothing_of_it() {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let records = bench.records(3);
    for (place, remembered) in [(1, None), (2, Some(witness(&records[2])))] {
        for number in 0..6 {
            let mut changed = records[place].clone();
            changed.job.push_str(&number.to_string());
            digest_again(&mut changed);
            for path in ["a.json", "z.json"] {
                let mut files: Vec<Looked> = records.iter().map(looked_at).collect();
                files.push(Looked { path: path.to_owned(), facts: looked_at(&changed).facts });
                let audit = Audit::of(&files, remembered.as_slice());
                let named: Vec<String> =
                    found(&audit).into_iter().filter(|line| !line.starts_with("unsigned")).collect();
                let repeated = format!("repeated {}", records[place].sequence);
                let recomputed = format!("recomputed-differently {}", records[place].sequence);
                assert_eq!(named, [repeated, recomputed], "{path} {number}");
                assert_eq!(audit.findings[0].path.as_deref(), Some(path));
            }
        }
    }
}
