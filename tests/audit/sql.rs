//! `src/manual/chain.sql` in DuckDB against the audit itself: every hand-made chain of these tests, records that a stranger
//! or another kind of key signed, and small chains of chance in which much is wrong at once.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use chrono::{DateTime, Duration};
use cornerset::audit::{
    Audit, Facts, Form, Kind, Looked, SignatureStanding, Standing, VerdictDocument, Weight, Witness, examine,
};
use cornerset::chance::Chance;
use cornerset::record::{Record, file_bytes};
use cornerset::session::Moment;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::chains;
use crate::common::outside;
use crate::maker::{Bench, audited, digest_again, facts, other_key, sign, trusted};

/// What one audit is given.
type Case = (Vec<Looked>, Vec<Witness>);

/// In place of an id that nobody noted: null in the table of ends.
const NOT_NOTED: &str = "not noted";

fn looked(facts: Result<Facts, String>) -> Looked {
    Looked { path: "line".to_owned(), facts }
}

/// Records as a stream has them.
fn as_lines(records: &[Record]) -> Vec<Looked> {
    let line = |record| looked(examine(&file_bytes(record).unwrap(), Form::Line, Some(&trusted())));
    records.iter().map(line).collect()
}

/// Other benches and ids than any other case has, so that many can be in one table.
fn apart((mut files, mut witnesses): Case, number: usize) -> Case {
    let mark = |name: &mut String| *name = format!("{number:04} {name}");
    for facts in files.iter_mut().filter_map(|file| file.facts.as_mut().ok()) {
        mark(&mut facts.bench);
        mark(&mut facts.id);
    }
    for witness in &mut witnesses {
        mark(&mut witness.bench);
        if witness.id != NOT_NOTED {
            mark(&mut witness.id);
        }
    }
    (files, witnesses)
}

/// An end of which only the digest was noted is that of the record in its place with this digest, where there is one.
fn by_id(end: &Witness, files: &[Looked]) -> Witness {
    let mut records = files.iter().filter_map(|file| file.facts.as_ref().ok());
    let is_it =
        |facts: &&Facts| (&facts.bench, facts.sequence, &facts.digest) == (&end.bench, end.sequence, &end.digest);
    let found = records.find(is_it).filter(|_| end.id == NOT_NOTED);
    Witness { id: found.map_or(&end.id, |facts| &facts.id).clone(), ..end.clone() }
}

/// Verdicts, ends and the audit's findings of these cases, as lines of files in one folder.
fn write(folder: &Path, cases: &[Case]) {
    fs::create_dir(folder).unwrap();
    let (mut verdicts, mut ends, mut findings) = (vec![], vec![], vec![]);
    let noted = |id: &str| (id != NOT_NOTED).then(|| id.to_owned());
    for (files, witnesses) in cases {
        verdicts.extend(files.iter().map(|file| serde_json::to_string(&VerdictDocument::of(1, &file.facts)).unwrap()));
        ends.extend(witnesses.iter().map(|end| {
            let id = noted(&end.id);
            json!({"bench": end.bench, "sequence": end.sequence, "digest": end.digest, "id": id}).to_string()
        }));
        let witnesses: Vec<Witness> = witnesses.iter().map(|end| by_id(end, files)).collect();
        findings.extend(Audit::of(files, &witnesses).findings.iter().map(|found| {
            let (kind, id) = (found.kind.word(), found.id.as_deref().and_then(noted));
            json!({"kind": kind, "bench": found.bench, "sequence": found.sequence, "id": id}).to_string()
        }));
    }
    for (name, lines) in [("verdicts", verdicts), ("ends", ends), ("findings", findings)] {
        fs::write(
            folder.join(format!("{name}.ndjson")),
            lines.iter().map(|line| format!("{line}\n")).collect::<String>(),
        )
        .unwrap();
    }
}

/// Every audit that the tests of chains make.
fn hand_made() -> Vec<Case> {
    assert_eq!(include_str!("chains.rs").matches("#[test]").count(), chains::ALL.len(), "every test of chains");
    let _ = audited();
    chains::ALL.iter().for_each(|test| test());
    let mut cases: Vec<Case> =
        audited().iter().map(|(records, witnesses)| (as_lines(records), witnesses.clone())).collect();
    cases.extend([signed_by_others(), practice_among_real(), far_away(), damaged_before(), in_different_places()]);
    cases
}

/// A key of another kind; a stranger's copy beside the whole record; a digest changed under a good signature.
fn signed_by_others() -> Case {
    let mut bench = Bench::new("bench-1");
    let mut records = bench.records(4);
    let mut copy = records[1].clone();
    copy.job.push('x');
    copy.sign_off.statement = copy
        .sign_off
        .statement
        .replace(&crate::maker::sample_key().public().fingerprint(), &other_key().public().fingerprint());
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
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut records = vec![];
    for at in ["2026-03-05T14:07:09.250+23:59", "2026-03-05T14:07:09.250-23:59", "0000-01-02T00:00:00.000-23:59"] {
        bench.now = DateTime::parse_from_rfc3339(at).unwrap();
        records.push(bench.record());
    }
    (as_lines(&records), vec![])
}

/// A record that names another one before it, where that one is damaged, and where it is not.
fn damaged_before() -> Case {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut records = bench.records(6);
    for place in [1, 4] {
        records[place].previous = Some(format!("sha256:{}", "0".repeat(64)));
        digest_again(&mut records[place]);
    }
    records[0].job.push('x');
    (as_lines(&records), vec![])
}

/// Copies of one id with other numbers and benches.
fn in_different_places() -> Case {
    let mut bench = Bench::new("bench-1");
    bench.key = None;
    let mut records = bench.records(3);
    for change in [|record: &mut Record| record.sequence = 7, |record: &mut Record| record.bench.push('x')] {
        let mut copy = records[1].clone();
        change(&mut copy);
        digest_again(&mut copy);
        records.push(copy);
    }
    (as_lines(&records), vec![])
}

/// One of a few contents that records of a case have; what has the same digest says the same.
struct Content(Facts);

fn content(chance: &mut Chance, number: usize, count: usize, like: &Facts) -> Content {
    let mut facts = like.clone();
    let digest = |number: usize| format!("sha256:{number}");
    facts.digest = digest(number);
    facts.id = format!("id-{}", chance.below(5));
    (*chance.one_of(&["bench-1", "bench-1", "bench-1", "bench-2"])).clone_into(&mut facts.bench);
    facts.sequence = *chance.one_of(&[0, 1, 1, 2, 2, 3, 3, 4]);
    let other = chance.below(count + 1);
    let has_previous = chance.below(8) != usize::from(facts.sequence > 1);
    facts.previous = (has_previous && (facts.sequence > 1 || chance.below(4) == 0)).then(|| digest(other));
    facts.practice = chance.below(8) == 0;
    facts.scripted = chance.below(3) == 0;
    let start = DateTime::parse_from_rfc3339("2026-03-05T14:00:00.000+05:30").unwrap();
    let at = |minutes: usize| Moment::new(start + Duration::minutes(minutes as i64));
    (facts.closed_at, facts.last_at) = (at(chance.below(40)), at(chance.below(40)));
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

/// A small chain of chance, in which little is as it should be.
fn of_chance(seed: u64, like: &Facts) -> Case {
    let chance = &mut Chance::of(seed, 7);
    let count = 3 + chance.below(5);
    let contents: Vec<Content> = (0..count).map(|number| content(chance, number, count, like)).collect();
    let mut files: Vec<Looked> = (0..3 + chance.below(7))
        .map(|_| {
            let content = chance.one_of(&contents);
            let stated = if chance.below(6) == 0 { chance.one_of(&contents) } else { content };
            looked(Ok(content.record(stated.0.digest.clone(), chance.below(3))))
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

/// The kinds that `chain.sql` names of a changed copy are those that make a record count for nothing.
#[test]
fn the_sql_names_every_kind_that_one_record_can_be_broken_by() {
    let sql = include_str!("../../src/manual/chain.sql");
    let named = sql.split_once("WHERE kind IN ('").unwrap().1.split_once("')").unwrap().0;
    let of_several = [Kind::Missing, Kind::NotedMissing, Kind::Repeated, Kind::Unreadable];
    let broken = Kind::ALL.iter().filter(|kind| kind.weight() == Weight::Broken && !of_several.contains(kind));
    assert_eq!(named.split("', '").collect::<Vec<_>>(), broken.map(|kind| kind.word()).collect::<Vec<_>>());
}

#[test]
fn the_sql_finds_what_the_audit_finds() {
    if !outside::needs("DuckDB", outside::runs("python3", &["-c", "import duckdb"])) {
        return;
    }
    let folder = TempDir::new().unwrap();
    let like = facts(&Bench::new("bench-1").record());
    let mut cases = hand_made();
    // Whether practice stands among real records is asked of all records there are: in one table there are always some.
    let real = Content(Facts { bench: "real".to_owned(), id: "real".to_owned(), ..like.clone() });
    for seed in 0..600 {
        let (mut files, witnesses) = of_chance(seed, &like);
        files.push(looked(Ok(real.0.clone())));
        cases.push((files, witnesses));
    }
    let cases: Vec<Case> = cases.into_iter().enumerate().map(|(number, case)| apart(case, number)).collect();
    write(&folder.path().join("many"), &cases);
    let mut folders = vec![folder.path().join("many")];
    // Some by themselves, without a real record among them.
    for seed in 1000..1020 {
        let (mut files, witnesses) = of_chance(seed, &like);
        files.iter_mut().filter_map(|file| file.facts.as_mut().ok()).for_each(|facts| facts.practice = true);
        folders.push(folder.path().join(seed.to_string()));
        write(folders.last().unwrap(), &[(files, witnesses)]);
    }
    let check = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/audit/chain_sql.py");
    let ran = Command::new("python3").arg("-B").arg(check).args(&folders).stdin(Stdio::null()).output().unwrap();
    let (out, error) = (String::from_utf8_lossy(&ran.stdout), String::from_utf8_lossy(&ran.stderr));
    assert!(ran.status.success(), "{out}\n{error}");
    let counts: Value = serde_json::from_str(&out).unwrap();
    for kind in [
        Kind::Altered,
        Kind::Missing,
        Kind::Repeated,
        Kind::Unreadable,
        Kind::UnknownSigner,
        Kind::KeyNotValid,
        Kind::Unchecked,
        Kind::RecomputedDifferently,
        Kind::NoTrustList,
        Kind::TimesBackwards,
        Kind::TooFast,
        Kind::Scripted,
        Kind::Practice,
        Kind::Copied,
        Kind::Unsigned,
    ] {
        assert!(counts[kind.word()].as_u64() > Some(20), "{}: {counts}", kind.word());
    }
}
