//! `cornerset audit` on stores on disk: what was done to them is named, who did nothing is not accused.

use std::fs;
use std::io::{BufRead, BufReader, Write};
use std::path::{Path, PathBuf};
use std::process::Stdio;

use cornerset::signature::{KeyKind, SigningKey};
use serde_json::{Value, json};

use crate::common::lines::Lines;
use crate::common::{Ran, Shop, read_json};

/// A shop in which so many sessions were signed off with a key, one after the other.
fn shop_with(sessions: usize) -> Shop {
    let shop = Shop::new();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    work(&shop, sessions);
    shop
}

fn work(shop: &Shop, sessions: usize) {
    for _ in 0..sessions {
        shop.script(&Lines::required().text()).expect(0);
    }
}

/// Records by their places in the chain.
fn files(shop: &Shop) -> Vec<(PathBuf, Value)> {
    let mut files: Vec<(PathBuf, Value)> =
        shop.records().into_iter().map(|path| (path.clone(), read_json(&path))).collect();
    files.sort_by_key(|(_, record)| record["sequence"].as_u64());
    files
}

fn audited(shop: &Shop, arguments: &[&str]) -> (Option<i32>, Value) {
    let ran = shop.run(&[&["audit", "--json"][..], arguments].concat());
    (ran.code, ran.json())
}

/// The kinds of what was found, sorted.
fn kinds(audit: &Value) -> Vec<String> {
    let mut kinds: Vec<String> = audit["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|finding| finding["kind"].as_str().unwrap().to_owned())
        .collect();
    kinds.sort();
    kinds
}

fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap();
        if path.is_dir() {
            copy(&path, &to.join(name));
        } else {
            fs::copy(&path, to.join(name)).unwrap();
        }
    }
}

#[test]
fn a_store_in_order_has_every_key_of_the_contract_and_nothing_in_it() {
    let shop = shop_with(3);
    let (code, audit) = audited(&shop, &[]);
    assert_eq!(code, Some(0));
    for (key, value) in [("records", json!(3)), ("intact", json!(3)), ("signed", json!(3))] {
        assert_eq!(audit[key], value, "{key}");
    }
    for key in [
        "altered",
        "unreadable",
        "missing",
        "unsigned",
        "unknown_signer",
        "recomputed_differently",
        "stands_out",
        "warnings",
    ] {
        assert_eq!(audit[key], json!([]), "{key}");
    }
    let said = shop.run(&["audit"]).expect(0).stdout;
    assert!(said.starts_with("NOTHING OUT OF LINE in 3 records of 1 bench\n"), "{said}");
    // Unsigned records are listed, and no finding.
    shop.run_with_input(&["set", "--no-sign", "--script", "-"], Lines::required().text().as_bytes()).expect(0);
    let (code, audit) = audited(&shop, &[]);
    assert_eq!((code, audit["unsigned"].as_array().unwrap().len()), (Some(0), 1));
}

#[test]
fn an_empty_store_and_none_at_all_are_no_findings_and_no_folder_is_a_mistake() {
    let shop = Shop::new();
    let (code, audit) = audited(&shop, &[]);
    assert_eq!((code, &audit["records"], audit["warnings"].as_array().unwrap().len()), (Some(0), &json!(0), 1));
    let ran = shop.run(&["audit", "nowhere"]).expect(2);
    assert!(ran.stderr.contains("nowhere is no folder that can be read"), "{}", ran.stderr);
}

/// What someone with the files could do to them; each is named, by id or by number.
#[test]
fn whatever_is_done_to_the_files_is_named() {
    type Deed = fn(&Shop, &[(PathBuf, Value)]);
    let deeds: &[(&str, Deed, &[&str])] = &[
        ("the first is removed", |_, files| fs::remove_file(&files[0].0).unwrap(), &["missing"]),
        ("one in the middle is removed", |_, files| fs::remove_file(&files[1].0).unwrap(), &["missing"]),
        ("the last is removed", |_, files| fs::remove_file(&files[3].0).unwrap(), &["missing"]),
        (
            "the last is removed, and a file of its name says that it is open",
            |shop, files| {
                let name = files[3].0.file_name().unwrap().to_str().unwrap().replace(".json", ".ndjson");
                for folder in ["open", "away"] {
                    fs::create_dir_all(shop.store().join(folder)).unwrap();
                    fs::write(shop.store().join(folder).join(&name), "").unwrap();
                }
                fs::remove_file(&files[3].0).unwrap();
            },
            &["missing"],
        ),
        (
            "all are removed",
            |_, files| files.iter().for_each(|(path, _)| fs::remove_file(path).unwrap()),
            &["missing", "missing", "missing", "missing"],
        ),
        (
            "one is cut off",
            |_, files| fs::write(&files[1].0, &fs::read(&files[1].0).unwrap()[..900]).unwrap(),
            &["missing", "unreadable"],
        ),
        (
            "one is changed",
            |_, files| {
                let text = fs::read_to_string(&files[2].0).unwrap();
                fs::write(&files[2].0, text.replace("\"volts\": 5.66,", "\"volts\": 5.65,")).unwrap();
            },
            &["altered"],
        ),
        (
            "one is written again in another layout",
            |_, files| fs::write(&files[2].0, files[2].1.to_string()).unwrap(),
            &["rewritten"],
        ),
        (
            "two files exchange their names",
            |_, files| {
                let (one, other) = (fs::read(&files[0].0).unwrap(), fs::read(&files[1].0).unwrap());
                fs::write(&files[0].0, other).unwrap();
                fs::write(&files[1].0, one).unwrap();
            },
            &["misfiled", "misfiled"],
        ),
        (
            "one is there under another name as well",
            |_, files| {
                fs::copy(&files[1].0, files[1].0.with_file_name("again.json")).unwrap();
            },
            &["copied"],
        ),
        (
            "a twin without a signature stands in another year",
            |shop, files| {
                let mut twin = files[1].1.clone();
                twin["job"] = json!("Another job");
                twin["sign_off"]["signature"] = Value::Null;
                let folder = shop.store().join("records/2020");
                fs::create_dir_all(&folder).unwrap();
                fs::write(folder.join(files[1].0.file_name().unwrap()), serde_json::to_vec_pretty(&twin).unwrap())
                    .unwrap();
            },
            &["altered", "repeated"],
        ),
        (
            "two signatures change places",
            |_, files| {
                let mut pair = [files[0].1.clone(), files[1].1.clone()];
                let first = pair[0]["sign_off"]["signature"].take();
                pair[0]["sign_off"]["signature"] = pair[1]["sign_off"]["signature"].take();
                pair[1]["sign_off"]["signature"] = first;
                for (record, (path, _)) in pair.iter().zip(files) {
                    fs::write(path, format!("{}\n", serde_json::to_string_pretty(record).unwrap())).unwrap();
                }
            },
            &["altered", "altered"],
        ),
        (
            "the trust list is emptied",
            |shop, _| fs::write(shop.store().join("allowed_signers"), "").unwrap(),
            &["unknown-signer"; 4],
        ),
        (
            "the trust list is gone",
            |shop, _| fs::remove_file(shop.store().join("allowed_signers")).unwrap(),
            &["no-trust-list"; 4],
        ),
    ];
    let shop = shop_with(4);
    let whole = shop.path().join("whole");
    copy(&shop.store(), &whole);
    for (deed, act, expected) in deeds {
        fs::remove_dir_all(shop.store()).unwrap();
        copy(&whole, &shop.store());
        act(&shop, &files(&shop));
        let (code, audit) = audited(&shop, &[]);
        assert_eq!(kinds(&audit), *expected, "{deed}");
        assert_eq!(code, Some(i32::from(*expected != ["copied"])), "{deed}");
    }
}

/// The newest record is gone and another one, whole and signed by the same hand, stands in its place; the store remembers
/// the one that it closed.
#[test]
fn a_record_in_the_place_of_the_last_one_is_found() {
    let shop = shop_with(2);
    let other = Shop::new();
    copy(&shop.store(), &other.store());
    work(&shop, 1);
    work(&other, 1);
    let (last, substitute) = (files(&shop)[2].0.clone(), files(&other)[2].0.clone());
    let lost = read_json(&last)["id"].clone();
    fs::remove_file(&last).unwrap();
    fs::copy(&substitute, last.with_file_name(substitute.file_name().unwrap())).unwrap();
    let (code, audit) = audited(&shop, &[]);
    assert_eq!((code, kinds(&audit)), (Some(1), vec!["missing".to_owned()]));
    assert_eq!((&audit["findings"][0]["id"], &audit["missing"][0]["sequence"]), (&lost, &json!(3)));
    assert_eq!(audit["chains"][0]["whole"], false);
    // The next session says so, and names the remembered one: the gap is there for ever.
    let next = shop.script(&Lines::required().text()).expect(0);
    assert!(
        next.stderr.contains("Record number 3") && next.stderr.contains("run `cornerset audit`"),
        "{}",
        next.stderr
    );
    let (code, audit) = audited(&shop, &[]);
    assert_eq!(code, Some(1));
    assert!(!audit["altered"].as_array().unwrap().is_empty(), "{audit}");
}

/// The last record changed, digested again, and unsigned; and another one forged on top of it, so that the store's memory is
/// not of the highest number: found before the next session and after it.
#[test]
fn a_forged_last_record_is_found_for_ever() {
    use cornerset::record::{Record, digest, file_bytes};
    for on_top in [false, true] {
        let shop = Shop::new();
        work(&shop, 2);
        let (path, record) = files(&shop)[1].clone();
        let mut record: Record = serde_json::from_value(record).unwrap();
        record.technician = "B. Sample".to_owned();
        record.sign_off.digest = digest(&record).unwrap();
        fs::write(&path, file_bytes(&record).unwrap()).unwrap();
        if on_top {
            let mut next = record.clone();
            next.id = "01a20000-0000-7000-8000-000000000003".to_owned();
            (next.sequence, next.previous) = (3, Some(record.sign_off.digest.clone()));
            next.sign_off.digest = digest(&next).unwrap();
            fs::write(path.with_file_name(format!("{}.json", next.id)), file_bytes(&next).unwrap()).unwrap();
        }
        for sessions in 0..3 {
            work(&shop, usize::from(sessions > 0));
            let (code, audit) = audited(&shop, &[]);
            let altered = audit["altered"].as_array().unwrap();
            assert!(code == Some(1) && altered.contains(&json!(record.id)), "{on_top}, after {sessions} more: {audit}");
        }
    }
}

#[test]
fn a_store_that_forgot_its_last_record_says_so() {
    for damage in [None, Some("x"), Some("{}")] {
        let shop = shop_with(2);
        let memory = shop.store().join("chain.json");
        match damage {
            None => fs::remove_file(&memory).unwrap(),
            Some(text) => fs::write(&memory, text).unwrap(),
        }
        let (code, audit) = audited(&shop, &[]);
        assert_eq!(code, Some(0));
        assert!(
            audit["warnings"][0].as_str().unwrap().contains("records taken from the end would not be missed"),
            "{audit}"
        );
    }
}

/// What the disk does not give is not said to be gone, and nothing is said to be in order without it; a link to itself stands
/// for it.
#[cfg(unix)]
#[test]
fn a_memory_that_cannot_be_read_ends_an_audit() {
    let shop = shop_with(2);
    let memory = shop.store().join("chain.json");
    fs::remove_file(&memory).unwrap();
    std::os::unix::fs::symlink("chain.json", &memory).unwrap();
    for records in [2, 0] {
        let ran = shop.run(&["audit"]).expect(3);
        assert!(ran.stderr.contains(&format!("cannot read {}: ", memory.display())), "{records}: {}", ran.stderr);
        shop.records().iter().for_each(|record| fs::remove_file(record).unwrap());
    }
}

/// A bench that got another name: both chains are whole, and the end of the old one is remembered.
#[test]
fn a_renamed_bench_keeps_its_end() {
    let shop = shop_with(2);
    let old = files(&shop)[0].1["bench"].clone();
    fs::write(shop.store().join("bench.toml"), "name = \"workbench 2\"\n").unwrap();
    work(&shop, 2);
    let (code, audit) = audited(&shop, &[]);
    assert_eq!((code, audit["chains"].as_array().unwrap().len()), (Some(0), 2));
    let last_of_old =
        files(&shop).into_iter().find(|(_, record)| record["bench"] == old && record["sequence"] == 2).unwrap().0;
    fs::remove_file(last_of_old).unwrap();
    let (code, audit) = audited(&shop, &[]);
    assert_eq!((code, &audit["missing"]), (Some(1), &json!([{"bench": old, "sequence": 2}])));
    // Back to the old name: its chain goes on after the gap.
    fs::write(shop.store().join("bench.toml"), format!("name = {old}\n")).unwrap();
    work(&shop, 1);
    let (_, audit) = audited(&shop, &[]);
    assert_eq!(audit["missing"], json!([{"bench": old, "sequence": 2}]));
    assert!(files(&shop).iter().any(|(_, record)| record["bench"] == old && record["sequence"] == 3));
}

/// Two copies of one store, with one trust list between them: the same records, counted once.
#[test]
fn a_backup_beside_its_store_is_a_copy_whatever_is_trusted_there() {
    let shop = shop_with(3);
    let backup = shop.path().join("backup");
    copy(&shop.store(), &backup);
    fs::remove_file(backup.join("allowed_signers")).unwrap();
    let store = shop.store();
    for stores in [[store.to_str().unwrap(), "backup"], ["backup", store.to_str().unwrap()]] {
        let (code, audit) = audited(&shop, &stores);
        assert_eq!(
            (code, &audit["records"], &audit["intact"], &audit["signed"]),
            (Some(0), &json!(3), &json!(3), &json!(3)),
            "{audit}"
        );
        assert_eq!(kinds(&audit), ["copied"; 3]);
    }
    work(&shop, 1);
    let forked = Shop::new();
    copy(&backup, &forked.store());
    work(&forked, 1);
    let (code, audit) = audited(&shop, &[store.to_str().unwrap(), forked.store().to_str().unwrap()]);
    assert_eq!((code, audit["repeated"].as_array().unwrap().len()), (Some(1), 2));
}

/// Sessions are closed while audits run: nobody is accused.
#[test]
fn an_audit_beside_working_benches_accuses_nobody() {
    let shop = shop_with(1);
    std::thread::scope(|scope| {
        let worker = scope.spawn(|| work(&shop, 25));
        let mut audits = 0;
        while !worker.is_finished() {
            let (code, audit) = audited(&shop, &[]);
            assert_eq!((code, &audit["missing"], &audit["altered"]), (Some(0), &json!([]), &json!([])), "{audit}");
            audits += 1;
        }
        assert!(audits > 0, "{audits}");
    });
    assert_eq!(audited(&shop, &[]).1["records"], 26);
}

#[test]
fn a_folder_of_record_files_is_audited_and_says_what_it_passes_over() {
    let shop = shop_with(2);
    let loose = shop.path().join("loose");
    fs::create_dir_all(loose.join("older/deep")).unwrap();
    for (path, record) in files(&shop) {
        fs::copy(path, loose.join(format!("job {}.json", record["sequence"]))).unwrap();
    }
    let (code, audit) = audited(&shop, &["loose", "--allowed-signers", "store/allowed_signers"]);
    assert_eq!((code, &audit["records"]), (Some(0), &json!(2)));
    assert!(audit["warnings"][0].as_str().unwrap().contains("older"), "{}", audit["warnings"]);
    let (_, of_records) = audited(&shop, &["store/records", "--allowed-signers", "store/allowed_signers"]);
    assert_eq!(of_records["records"], 2);
}

/// The published samples pass, and what was done to the tampered one is named with its field.
#[test]
fn the_samples_pass_and_the_tampered_one_does_not() {
    let shop = Shop::new();
    let samples = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-sessions");
    let (code, audit) = audited(&shop, &[samples]);
    assert_eq!(code, Some(1));
    assert_eq!(
        (&audit["records"], &audit["intact"], &audit["signed"], kinds(&audit)),
        (&json!(7), &json!(7), &json!(7), vec!["accepted-outside".to_owned()])
    );
    let list = format!("{samples}/allowed_signers");
    let (code, audit) = audited(&shop, &[&format!("{samples}/tampered"), "--allowed-signers", &list]);
    assert_eq!((code, kinds(&audit)), (Some(1), vec!["altered".to_owned()]));
    let detail = audit["findings"][0]["detail"].as_str().unwrap();
    assert!(detail.contains("volts says 5.65, and should say 5.66"), "{detail}");
}

#[test]
fn a_stream_gives_a_verdict_a_line() {
    let shop = shop_with(2);
    let mut altered = files(&shop)[1].1.clone();
    altered["job"] = json!("Another job");
    let whole = files(&shop)[0].1.to_string();
    let lines = format!("{whole}\n\n{{}}\n{altered}\n");
    let ran = shop.run_with_input(&["audit", "--stream"], lines.as_bytes()).expect(1);
    let verdicts = ran.events();
    let seen: Vec<(u64, bool, bool, bool)> = verdicts
        .iter()
        .map(|verdict| {
            let is = |key: &str| verdict[key].as_bool().unwrap();
            (verdict["line"].as_u64().unwrap(), is("readable"), is("intact"), is("trusted"))
        })
        .collect();
    assert_eq!(seen, [(1, true, true, true), (3, false, false, false), (4, true, false, false)]);
    assert_eq!(verdicts[0]["digest"], files(&shop)[0].1["sign_off"]["digest"]);
    let blank = "\n".repeat(9 * 1024 * 1024);
    let ran = shop.run_with_input(&["audit", "--stream"], format!("{blank}{altered}").as_bytes()).expect(1);
    assert_eq!(ran.events()[0]["line"], blank.len() + 1);
    assert_eq!(shop.run_with_input(&["audit", "--stream"], b"").expect(0).stdout, "");
    // One that is out of line stays so, whatever comes after it.
    shop.run_with_input(&["audit", "--stream"], format!("{altered}\n{}", format!("{whole}\n").repeat(300)).as_bytes())
        .expect(1);
    shop.run_with_input(&["audit", "--stream"], whole.as_bytes()).expect(0);
}

/// Another program may write a record and wait for its verdict.
#[test]
fn a_stream_answers_at_once() {
    let shop = shop_with(1);
    let record = files(&shop)[0].1.to_string();
    let mut child = shop.command().args(["audit", "--stream"]).stdin(Stdio::piped()).spawn().unwrap();
    let mut input = child.stdin.take().unwrap();
    let mut output = BufReader::new(child.stdout.take().unwrap());
    for number in 1..=3 {
        input.write_all(format!("{record}\n").as_bytes()).unwrap();
        let mut line = String::new();
        output.read_line(&mut line).unwrap();
        assert_eq!(serde_json::from_str::<Value>(&line).unwrap()["line"], number);
    }
    drop(input);
    assert!(child.wait().unwrap().success());
}

/// Peak memory is the same for a hundred records and for some thousands.
#[cfg(target_os = "linux")]
#[test]
fn a_stream_takes_the_same_memory_however_long_it_is() {
    let shop = shop_with(1);
    let record = format!("{}\n", files(&shop)[0].1);
    let peak = |count: usize| {
        let mut child = shop.command().args(["audit", "--stream"]).stdin(Stdio::piped()).spawn().unwrap();
        let mut input = child.stdin.take().unwrap();
        let mut output = BufReader::new(child.stdout.take().unwrap());
        let reader = std::thread::spawn(move || {
            let (mut line, mut lines) = (String::new(), 0);
            while output.read_line(&mut line).unwrap() > 0 {
                line.clear();
                lines += 1;
            }
            lines
        });
        for _ in 0..count {
            input.write_all(record.as_bytes()).unwrap();
        }
        // The input is still open, so the program waits and can be looked at.
        let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap();
        drop(input);
        assert!(child.wait().unwrap().success());
        assert_eq!(reader.join().unwrap(), count);
        let line = status.lines().find(|line| line.starts_with("VmHWM")).unwrap().to_owned();
        line.split_whitespace().nth(1).unwrap().parse::<u64>().unwrap()
    };
    let (short, long) = (peak(100), peak(3000));
    assert!(long < short + 16 * 1024, "{short} kB, {long} kB");
}

#[test]
fn an_audit_is_a_page_as_well() {
    let shop = shop_with(2);
    let ran: Ran = shop.run(&["audit", "-o", "audit.html"]).expect(0);
    assert!(ran.stdout.starts_with("NOTHING OUT OF LINE"));
    let page = fs::read_to_string(shop.path().join("audit.html")).unwrap();
    assert!(page.contains("<h1>NOTHING OUT OF LINE in 2 records of 1 bench</h1>"), "{page}");
    shop.run(&["audit", "-o", "nowhere/audit.html"]).expect(3);
}

/// Records that lie beside the parts of a store, or in `records` without a year, are looked at as well.
#[test]
fn no_record_hides_beside_the_parts_of_a_store() {
    let shop = shop_with(2);
    let (path, mut record) = files(&shop)[0].clone();
    record["job"] = json!("Another job");
    let text = format!("{}\n", serde_json::to_string_pretty(&record).unwrap());
    let name = path.file_name().unwrap();
    for beside in ["keys", "open", "records", "bench.toml", "chain.json", "gear.json"] {
        let evidence = shop.path().join(format!("evidence with {beside}"));
        fs::create_dir(&evidence).unwrap();
        if beside.contains('.') {
            fs::write(evidence.join(beside), "").unwrap();
        } else {
            fs::create_dir(evidence.join(beside)).unwrap();
        }
        fs::write(evidence.join(name), &text).unwrap();
        let (code, audit) = audited(&shop, &[evidence.to_str().unwrap()]);
        assert_eq!((code, kinds(&audit)), (Some(1), vec!["altered".to_owned()]), "{beside}: {audit}");
    }
    for place in ["", "records", "2019"] {
        let folder = shop.store().join(place);
        fs::create_dir_all(&folder).unwrap();
        fs::write(folder.join("stray.json"), &text).unwrap();
        let (code, audit) = audited(&shop, &[]);
        assert!(code == Some(1) && kinds(&audit).contains(&"altered".to_owned()), "{place}: {audit}");
        fs::remove_file(folder.join("stray.json")).unwrap();
    }
    assert_eq!(audited(&shop, &[]).0, Some(0));
}

/// The last record is taken away and the journal that it was made from put back, as a crash between the two leaves it:
/// nobody can tell the two apart, and the audit says how to finish it.
#[test]
fn a_session_that_waits_to_be_closed_is_told_of() {
    let shop = shop_with(1);
    let key = SigningKey::generate(KeyKind::Ed25519, "").unwrap().file_text(Some("pass phrase")).unwrap();
    let path = shop.path().join("locked");
    fs::write(&path, &*key).unwrap();
    #[cfg(unix)]
    fs::set_permissions(&path, std::os::unix::fs::PermissionsExt::from_mode(0o600)).unwrap();
    // Nobody gives the passphrase: the session stays open at its end.
    let set = ["set", "--script", "-", "--key", "locked"];
    let stopped = shop.run_with_input(&set, Lines::required().text().as_bytes()).expect(2);
    assert!(stopped.stderr.contains("needs its passphrase"), "{}", stopped.stderr);
    let journal = shop.journals()[0].clone();
    let kept = fs::read(&journal).unwrap();
    assert_eq!(audited(&shop, &[]).1["warnings"], json!([]));
    let id = journal.file_stem().unwrap().to_str().unwrap().to_owned();
    let finish = ["set", "--resume", &id, "--no-sign", "--script", "/dev/null"];
    shop.run(&finish).expect(0);
    fs::remove_file(&files(&shop)[1].0).unwrap();
    fs::write(&journal, kept).unwrap();
    let (code, audit) = audited(&shop, &[]);
    let warning = audit["warnings"][0].as_str().unwrap();
    assert!(code == Some(0) && warning.contains("Number 2") && warning.contains("set --resume"), "{audit}");
    // What it says is done, and all is well.
    shop.run(&finish).expect(0);
    assert_eq!((audited(&shop, &[]).1["warnings"].clone(), files(&shop).len()), (json!([]), 2));
}

/// Where several stores are named, a list that was named is complained about once; and where there is no store, too.
#[test]
fn a_trust_list_that_was_named_is_read_in_any_case() {
    let shop = shop_with(1);
    copy(&shop.store(), &shop.path().join("copy"));
    fs::write(shop.path().join("list"), "nonsense\n").unwrap();
    let (_, audit) = audited(&shop, &["store", "copy", "--allowed-signers", "list"]);
    let said = audit["warnings"].as_array().unwrap();
    assert_eq!(said.iter().filter(|text| text.as_str().unwrap().starts_with("list: line 1")).count(), 1, "{audit}");
    let ran = Shop::new().run(&["audit", "--allowed-signers", "nowhere"]).expect(2);
    assert!(ran.stderr.contains("nowhere"), "{}", ran.stderr);
}

/// Text from a record is escaped in every JSON that is printed: a program reads it as it is, a terminal never acts on it.
#[test]
fn json_holds_nothing_that_acts_on_a_terminal() {
    let shop = shop_with(1);
    let hostile = "A\u{9b}31m\u{202e}B\u{7f}";
    let (path, mut record) = files(&shop)[0].clone();
    record["technician"] = json!(hostile);
    fs::write(&path, serde_json::to_string_pretty(&record).unwrap()).unwrap();
    let id = record["id"].as_str().unwrap();
    let stream = shop.run_with_input(&["audit", "--stream"], record.to_string().as_bytes());
    let printed = [
        (shop.run(&["records", "list", "--json"]), "/records/0/technician"),
        (shop.run(&["records", "show", id, "--json"]), "/technician"),
        (shop.run(&["audit", "--json"]), "/findings/0/technician"),
        (stream, "/technician"),
    ];
    for (ran, place) in printed {
        assert!(!ran.stdout.contains(['\u{9b}', '\u{202e}', '\u{7f}']), "{}", ran.stdout);
        assert_eq!(ran.json().pointer(place), Some(&json!(hostile)), "{place}: {}", ran.stdout);
    }
}
