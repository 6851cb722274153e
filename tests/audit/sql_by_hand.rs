//! Records in which something is wrong that an audit by SQL could see in another way than the audit itself.

use chrono::{DateTime, Duration};
use cornerset::audit::{Form, Looked, SignatureStanding, examine};
use cornerset::record::{Record, file_bytes};

use crate::chains;
use crate::maker::{Bench, audited, digest_again, other_key, sample_key, sign, trusted};
use crate::sql::{Case, looked};

/// Records as a stream has them.
fn as_lines(records: &[Record]) -> Vec<Looked> {
    let line = |record| looked(examine(&file_bytes(record).unwrap(), Form::Line, Some(&trusted())));
    records.iter().map(line).collect()
}

/// Every audit that the tests of chains make, and those of this file.
pub fn hand_made() -> Vec<Case> {
    assert_eq!(include_str!("chains.rs").matches("#[test]").count(), chains::ALL.len(), "every test of chains");
    let _ = audited();
    chains::ALL.iter().for_each(|test| test());
    let mut cases: Vec<Case> =
        audited().iter().map(|(records, witnesses)| (as_lines(records), witnesses.clone())).collect();
    cases.extend([signed_by_others(), practice_among_real(), far_away(), damaged_before(), in_different_places()]);
    cases.extend([named_by_a_damaged_one(), named_as_it_says(), one_of_two_is_vouched_for()]);
    cases.extend([1, 2].map(noughts_before_the_first));
    cases.extend((0..6).map(copies_before_a_damaged_one));
    cases.extend([[0, 1, 2], [1, 0, 2]].map(named_twice));
    cases
}

/// A bench without a key.
fn unsigned() -> Bench {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    bench
}

/// A digest that no record has.
fn nobodys() -> String {
    format!("sha256:{}", "0".repeat(64))
}

/// A key of another kind; a stranger's copy beside the whole record; a digest changed under a good signature.
fn signed_by_others() -> Case {
    let mut bench = Bench::new("bench-1");
    let mut records = bench.records(4);
    let mut copy = records[1].clone();
    copy.job.push('x');
    copy.sign_off.statement =
        copy.sign_off.statement.replace(&sample_key().public().fingerprint(), &other_key().public().fingerprint());
    sign(&mut copy, &other_key());
    records[2].sign_off.digest = records[0].sign_off.digest.clone();
    records.push(copy);
    let mut files = as_lines(&records);
    let facts = files[3].facts.as_mut().unwrap();
    facts.standing.signature =
        SignatureStanding::Unsupported { kind: "ssh-rsa".to_owned(), fingerprint: "SHA256:x".to_owned() };
    (files, vec![])
}

/// Practice records, one signed by a stranger, between real ones, and real ones by script between typed ones.
fn practice_among_real() -> Case {
    let mut bench = Bench::new("bench-1");
    let mut records = bench.records(1);
    bench.entry = cornerset::session::EntryMode::Script;
    records.push(bench.record());
    bench.practice = true;
    records.push(bench.record());
    bench.key = Some(other_key());
    records.push(bench.record());
    (as_lines(&records), vec![])
}

/// Offsets and years that not every engine reads, and a clock set back between them.
fn far_away() -> Case {
    let mut bench = unsigned();
    let mut records = vec![];
    for at in ["2026-03-05T14:07:09.250+23:59", "2026-03-05T14:07:09.250-23:59", "0000-01-02T00:00:00.000-23:59"] {
        bench.now = DateTime::parse_from_rfc3339(at).unwrap();
        records.push(bench.record());
    }
    (as_lines(&records), vec![])
}

/// A record that names another one before it, where that one is damaged, and where it is not.
fn damaged_before() -> Case {
    let mut bench = unsigned();
    let mut records = bench.records(6);
    for place in [1, 4] {
        records[place].previous = Some(nobodys());
        digest_again(&mut records[place]);
    }
    records[0].job.push('x');
    (as_lines(&records), vec![])
}

/// Copies of one id with other numbers and benches.
fn in_different_places() -> Case {
    let mut bench = unsigned();
    let mut records = bench.records(3);
    for change in [|record: &mut Record| record.sequence = 7, |record: &mut Record| record.bench.push('x')] {
        let mut copy = records[1].clone();
        change(&mut copy);
        digest_again(&mut copy);
        records.push(copy);
    }
    (as_lines(&records), vec![])
}

/// The first of a bench names a record with the number nought, which was closed hours later; there may be another nought.
fn noughts_before_the_first(count: usize) -> Case {
    let mut bench = unsigned();
    let mut records = bench.records(1);
    bench.now -= Duration::hours(3);
    records.extend(bench.records(1));
    for (number, record) in (0..).zip(&mut records) {
        record.sequence = number;
    }
    digest_again(&mut records[0]);
    records[1].previous = Some(records[0].sign_off.digest.clone());
    digest_again(&mut records[1]);
    let mut other = records[0].clone();
    other.id.push('z');
    digest_again(&mut other);
    records.extend([other].into_iter().take(count - 1));
    (as_lines(&records), vec![])
}

/// The second names the digest that the first says it has, and is hours older.
fn named_as_it_says() -> Case {
    let mut bench = unsigned();
    let mut records = bench.records(1);
    bench.now -= Duration::hours(3);
    records.extend(bench.records(1));
    records[0].sign_off.digest = nobodys();
    records[1].previous = Some(nobodys());
    digest_again(&mut records[1]);
    (as_lines(&records), vec![])
}

/// Two with the first number, of which a second record goes on from one; another second one, which is remembered, names
/// neither.
fn one_of_two_is_vouched_for() -> Case {
    let mut records = unsigned().records(2);
    let mut other = records[0].clone();
    other.id.push('z');
    digest_again(&mut other);
    let mut second = records[1].clone();
    second.id.push('z');
    second.previous = Some(nobodys());
    digest_again(&mut second);
    let end = chains::witness(&second);
    records.extend([other, second]);
    (as_lines(&records), vec![end])
}

/// The second names another one than the first; what names the first is itself damaged, and speaks for nobody.
fn named_by_a_damaged_one() -> Case {
    let mut bench = unsigned();
    let mut records = bench.records(2);
    bench.put_back(&records[0]);
    records.extend(bench.records(1));
    records[1].previous = Some(nobodys());
    digest_again(&mut records[1]);
    records[2].job.push('x');
    (as_lines(&records), vec![])
}

/// Two of one id with other numbers, and the only record that names one of them is damaged.
fn copies_before_a_damaged_one(number: usize) -> Case {
    let mut bench = unsigned();
    let mut records = bench.records(2);
    let mut copy = records[0].clone();
    copy.job.push_str(&number.to_string());
    copy.sequence = 7;
    digest_again(&mut copy);
    records[1].job.push('x');
    records.push(copy);
    (as_lines(&records), vec![])
}

/// Two with the first number, of which one says of itself that it is the other one, hours later; the next names both.
fn named_twice(order: [usize; 3]) -> Case {
    let mut bench = unsigned();
    let mut records = bench.records(2);
    let mut late = unsigned();
    late.now = bench.now + Duration::hours(5);
    let mut other = late.record();
    other.id = format!("{}-late", records[0].id);
    other.sign_off.digest = records[0].sign_off.digest.clone();
    records.insert(1, other);
    if order[0] == 1 {
        let early = records[0].id.clone();
        records[0].id = format!("{early}-z");
        digest_again(&mut records[0]);
        let digest = records[0].sign_off.digest.clone();
        records[1].sign_off.digest.clone_from(&digest);
        records[2].previous = Some(digest);
        digest_again(&mut records[2]);
    }
    let records = order.map(|place| records[place].clone());
    (as_lines(&records), vec![])
}
