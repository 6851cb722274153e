//! `src/manual/chain.sql` in DuckDB against the audit itself: every hand-made chain of these tests, records that a stranger
//! or another kind of key signed, and small chains of chance in which much is wrong at once.

use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use cornerset::audit::{Audit, Facts, Kind, Looked, VerdictDocument, Weight, Witness};
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::common::outside;
use crate::maker::{Bench, facts};
use crate::sql_by_chance::{Content, of_chance};
use crate::sql_by_hand::hand_made;

/// What one audit is given.
pub type Case = (Vec<Looked>, Vec<Witness>);

/// In place of an id that nobody noted: null in the table of ends.
pub const NOT_NOTED: &str = "not noted";

pub fn looked(facts: Result<Facts, String>) -> Looked {
    Looked { path: "line".to_owned(), facts }
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
    for seed in 0..1500 {
        let (mut files, witnesses) = of_chance(seed, &like);
        files.push(looked(Ok(real.0.clone())));
        cases.push((files, witnesses));
    }
    let cases: Vec<Case> = cases.into_iter().enumerate().map(|(number, case)| apart(case, number)).collect();
    write(&folder.path().join("many"), &cases);
    let mut folders = vec![folder.path().join("many")];
    // Some by themselves, without a real record among them.
    for seed in 2000..2010 {
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
