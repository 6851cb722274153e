//! `cornerset records`: found again, shown, handed on.

use std::fs;
use std::process::Stdio;

use serde_json::{Value, json};

use crate::common::lines::Lines;
use crate::common::{Ran, Shop, read_json};

/// Three jobs by two technicians, one of them accepted outside.
fn shop() -> Shop {
    let shop = Shop::new();
    let lines = |technician: &str, job: &str| {
        Lines::required().with("job", job).with("technician", technician).with("sign-off", technician)
    };
    shop.script(&lines("A. Sample", "Work order 0501").with("amplifier", "Bench amplifier 3").text()).expect(0);
    shop.script(&lines("B. Sample", "Work order 0502").text()).expect(0);
    shop.script(&lines("A. Sample", "Boat 7").with("reading", "5.00").with("reason", "no time").text()).expect(1);
    shop
}

fn jobs(ran: &Ran) -> Vec<String> {
    ran.json()["records"].as_array().unwrap().iter().map(|record| record["job"].as_str().unwrap().to_owned()).collect()
}

fn listed(shop: &Shop, options: &[&str]) -> Vec<String> {
    jobs(&shop.run(&[&["records", "list", "--json"][..], options].concat()).expect(0))
}

#[test]
fn the_list_is_newest_first_and_narrowed_by_options() {
    let shop = shop();
    assert_eq!(listed(&shop, &[]), ["Boat 7", "Work order 0502", "Work order 0501"]);
    assert_eq!(listed(&shop, &["--technician", "a. sample"]), ["Boat 7", "Work order 0501"]);
    assert_eq!(listed(&shop, &["--technician", "Sample"]), [""; 0], "a whole name");
    assert_eq!(listed(&shop, &["--technician", "B.*"]), ["Work order 0502"]);
    assert_eq!(listed(&shop, &["--job", "work order *"]), ["Work order 0502", "Work order 0501"]);
    assert_eq!(listed(&shop, &["--amplifier", "bench amplifier 3"]), ["Work order 0501"]);
    assert_eq!(listed(&shop, &["--verdict", "below"]), ["Boat 7"]);
    assert_eq!(listed(&shop, &["--verdict", "inside", "--technician", "A. Sample"]), ["Work order 0501"]);
    assert_eq!(listed(&shop, &["--limit", "1"]), ["Boat 7"]);
    let closed = read_json(&shop.records()[0])["closed_at"].as_str().unwrap().to_owned();
    let day = &closed[..10];
    assert_eq!(listed(&shop, &["--since", day, "--until", day]).len(), 3);
    assert_eq!(listed(&shop, &["--since", &day[..7]]).len(), 3);
    assert_eq!(listed(&shop, &["--until", "2020-01-01"]), [""; 0]);
    assert_eq!(listed(&shop, &["--since", "2999-01"]), [""; 0]);
    assert_eq!(listed(&shop, &["--since", &closed]).len(), 3);
    assert_eq!(listed(&shop, &["--until", &closed]), ["Work order 0501"]);
    for wrong in [["--since", "yesterday"], ["--verdict", "good"], ["--limit", "-1"]] {
        assert_eq!(shop.run(&[&["records", "list"][..], &wrong].concat()).code, Some(2), "{wrong:?}");
    }
    let none = shop.run(&["records", "list", "--technician", "C. Sample"]).expect(0);
    assert!(none.stdout.contains("records of A. Sample and B. Sample."), "{}", none.stdout);
}

#[test]
fn what_cannot_be_read_or_was_altered_is_said() {
    let shop = shop();
    fs::write(&shop.records()[0], "{").unwrap();
    let text = fs::read_to_string(&shop.records()[1]).unwrap();
    fs::write(&shop.records()[1], text.replace("Work order 0502", "Work order 0503")).unwrap();
    let list = shop.run(&["records", "list", "--json"]).expect(0).json();
    assert_eq!(list["records"].as_array().unwrap().len(), 2);
    assert_eq!(list["records"][1]["intact"], false);
    assert!(list["warnings"][0].as_str().unwrap().contains("it ends too early, in line 1"), "{}", list["warnings"]);
    assert!(shop.run(&["records", "list"]).expect(0).stdout.contains("ALTERED"));
    let id = list["records"][1]["id"].as_str().unwrap();
    let shown = shop.run(&["records", "show", id]).expect(1);
    assert!(
        shown.stdout.starts_with("ALTERED") || shown.stdout.lines().any(|line| line.starts_with("!! ALTERED")),
        "{}",
        shown.stdout
    );
    let exported = shop.run(&["records", "export", "--format", "csv", "-o", "rows.csv", "--json"]).expect(0).json();
    assert_eq!((exported["records"].clone(), exported["warnings"].as_array().unwrap().len()), (json!(2), 2));
    shop.run(&["records", "canonical", id]).expect(1);
    shop.run(&["records", "report", id, "-o", "page.html"]).expect(1);
}

/// A signature that the trust list speaks against is not listed as one.
#[test]
fn the_list_says_whose_signatures_are_not_trusted() {
    let shop = Shop::new();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    shop.script(&Lines::required().text()).expect(0);
    let list = |expected: &str| {
        let said = shop.run(&["records", "list"]).expect(0).stdout;
        assert!(said.lines().next().unwrap().ends_with(expected), "{said}");
        shop.run(&["records", "list", "--json"]).expect(0).json()["records"][0]["sound"].clone()
    };
    assert_eq!(list("  signed"), true);
    let public = shop.store().join("keys/a-sample.pub");
    let ended = shop
        .run(&["key", "trust", public.to_str().unwrap(), "--name", "A. Sample", "--valid-before", "2020-01-01"])
        .expect(0);
    assert!(ended.stdout.contains("It signs until 2020-01-01 00:00 (UTC +00:00)."), "{}", ended.stdout);
    assert_eq!(list("  NOT TRUSTED"), false);
}

#[test]
fn a_record_is_shown_by_a_part_of_its_id_or_its_file() {
    let shop = shop();
    let (path, record) = (shop.records()[0].clone(), read_json(&shop.records()[0]));
    let id = record["id"].as_str().unwrap();
    for named in [id, &id[..18], &id[30..], path.to_str().unwrap()] {
        let shown = shop.run(&["records", "show", named, "--json"]).expect(0).json();
        assert_eq!(
            (&shown["id"], &shown["intact"], &shown["signer"], &shown["warnings"]),
            (&record["id"], &json!(true), &Value::Null, &json!([]))
        );
        for key in record.as_object().unwrap().keys() {
            assert_eq!(shown[key], record[key], "{key}");
        }
    }
    let shown = shop.run(&["records", "show", id]).expect(0).stdout;
    for said in ["Work order 0501", "INSIDE", "5.66 V", "Bench amplifier 3", "cautions acknowledged"] {
        assert!(shown.contains(said), "{said}\n{shown}");
    }
    assert!(shop.run(&["records", "show", "dead-beef"]).expect(2).stderr.contains("records list"));
    let ambiguous = shop.run(&["records", "show", &id[..4]]).expect(2);
    assert!(ambiguous.stderr.contains("fits 3 ids"), "{}", ambiguous.stderr);
}

/// Files that exchanged their names are not taken for one another.
#[test]
fn a_file_of_another_records_name_is_refused() {
    let shop = shop();
    let [one, other] = [shop.records()[0].clone(), shop.records()[1].clone()];
    let (first, second) = (fs::read(&one).unwrap(), fs::read(&other).unwrap());
    fs::write(&one, second).unwrap();
    fs::write(&other, first).unwrap();
    let id = one.file_stem().unwrap().to_str().unwrap();
    for command in
        [&["records", "show", id][..], &["records", "canonical", id], &["records", "report", id, "-o", "x.html"]]
    {
        let ran = shop.run(command).expect(3);
        assert!(ran.stderr.contains("which is not the one that it is named after"), "{}", ran.stderr);
        assert_eq!(ran.stdout, "");
    }
}

#[test]
fn a_report_is_a_page_and_never_written_over_a_record() {
    let shop = shop();
    let id = read_json(&shop.records()[0])["id"].as_str().unwrap().to_owned();
    let made = shop.run(&["records", "report", &id, "-o", "page.html", "--json"]).expect(0).json();
    let page = fs::read_to_string(made["path"].as_str().unwrap()).unwrap();
    assert!(page.contains("<h1>Work order 0501</h1>") && page.contains("default-src 'none'"));
    assert!(shop.run(&["records", "report", &id, "-o", "page.pdf"]).expect(2).stderr.contains("ends in .html"));
    let before = fs::read(&shop.records()[0]).unwrap();
    fs::hard_link(&shop.records()[0], shop.path().join("kept.html")).unwrap();
    let record = shop.records()[0].clone();
    #[cfg(unix)]
    std::os::unix::fs::symlink(record.parent().unwrap(), shop.path().join("linked")).unwrap();
    shop.run(&["key", "new", "Ada", "--no-passphrase", "-o", "secret"]).expect(0);
    let secret = fs::read(shop.path().join("secret")).unwrap();
    for (command, target) in [
        (&["records", "export", "--format", "csv", "-o"][..], record.to_str().unwrap().to_owned()),
        (&["records", "export", "--format", "csv", "-o"], shop.store().join("chain.json").to_str().unwrap().to_owned()),
        (&["records", "report", &id, "-o"], shop.store().join("records/page.html").to_str().unwrap().to_owned()),
        (&["audit", "-o"], shop.store().join("keys/page.html").to_str().unwrap().to_owned()),
        // A link to the record outside of the store, and one to a folder of it.
        (&["audit", "-o"], shop.path().join("kept.html").to_str().unwrap().to_owned()),
        (&["records", "export", "--format", "csv", "-o"], "linked/new.csv".to_owned()),
        (&["records", "export", "--format", "csv", "-o"], "secret".to_owned()),
    ] {
        let ran = shop.run(&[command, &[target.as_str()]].concat()).expect(3);
        let why = ["it belongs to a store", "is not there", "it is a record", "it is a private key"];
        assert!(why.iter().any(|why| ran.stderr.contains(why)), "{target}: {}", ran.stderr);
    }
    // A copy of a store that has lost what marks one is one all the same.
    let copied = shop.path().join("copied");
    fs::create_dir_all(copied.join("records")).unwrap();
    fs::write(copied.join("allowed_signers"), "").unwrap();
    let list = copied.join("allowed_signers");
    let ran = shop.run(&["records", "export", "--format", "csv", "-o", list.to_str().unwrap()]).expect(3);
    assert!(ran.stderr.contains("it belongs to a store"), "{}", ran.stderr);
    assert_eq!(fs::read(&shop.records()[0]).unwrap(), before);
    assert_eq!(fs::read(shop.path().join("secret")).unwrap(), secret);
    // A folder that only has the name of one of a store's is like any other.
    fs::create_dir(shop.path().join("records")).unwrap();
    shop.run(&["records", "export", "--format", "csv", "-o", "records/rows.csv"]).expect(0);
    shop.run(&["records", "export", "--format", "csv", "-o", "records/rows.csv"]).expect(0);
}

#[test]
fn exports_have_a_row_for_each_reading_session_or_pair() {
    let shop = shop();
    let count = |rows: &str, format: &str| {
        let name = format!("{rows}.{format}");
        let made = shop
            .run(&["records", "export", "--format", format, "--rows", rows, "-o", &name, "--json"])
            .expect(0)
            .json();
        assert!(rows == "pairs" || shop.path().join(&name).metadata().unwrap().len() > 0);
        made["rows"].as_u64().unwrap()
    };
    for format in ["ndjson", "csv", "parquet"] {
        assert_eq!(
            (count("readings", format), count("sessions", format), count("pairs", format)),
            (3, 3, 0),
            "{format}"
        );
    }
    let usual = shop.run(&["records", "export", "--format", "ndjson", "-o", "-"]).expect(0).stdout;
    assert_eq!(usual, fs::read_to_string(shop.path().join("readings.ndjson")).unwrap());
    let narrowed =
        shop.run(&["records", "export", "--format", "ndjson", "-o", "-", "--technician", "B. Sample"]).expect(0);
    assert_eq!(narrowed.events().len(), 1);
    assert_eq!(shop.run(&["records", "export", "--format", "xlsx", "-o", "x"]).code, Some(2));
    shop.run(&["records", "export", "--format", "csv", "-o", "/nowhere/x.csv"]).expect(3);
}

/// Without a record there is no file, and no folder that would be named.
#[test]
fn an_export_by_shop_and_month_without_records_names_no_folder() {
    let shop = Shop::new();
    let arguments = ["records", "export", "--format", "csv", "--partition", "-o", "lake"];
    assert_eq!(shop.run(&arguments).expect(0).stdout, "0 rows of 0 records: no file is written\n");
    assert!(!shop.path().join("lake").exists());
    shop.script(&Lines::required().text()).expect(0);
    let said = shop.run(&arguments).expect(0).stdout;
    assert!(said.contains(" of 1 record, in 1 file\n") && said.trim_end().ends_with("lake"), "{said}");
}

#[test]
fn nobody_reading_is_no_failure() {
    let shop = shop();
    for arguments in [
        &["records", "export", "--format", "csv", "-o", "-"][..],
        &["records", "list"],
        &["audit"],
        &["audit", "--json"],
    ] {
        let mut child = shop.command().args(arguments).stdout(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let output = child.wait_with_output().unwrap();
        assert!(matches!(output.status.code(), Some(0 | 1)), "{arguments:?}: {output:?}");
        assert_eq!(String::from_utf8_lossy(&output.stderr), "", "{arguments:?}");
    }
}

/// A session that was opened first and signed off last is the newest record.
#[test]
fn the_newest_is_the_one_that_was_signed_off_last() {
    let shop = Shop::new();
    shop.script(&Lines::required().with("job", "Begun first").before("sign-off").text()).expect(2);
    shop.script(&Lines::required().with("job", "Done first").text()).expect(0);
    let id = shop.journals()[0].file_stem().unwrap().to_str().unwrap().to_owned();
    let rest = Lines::required().from("sign-off").text();
    shop.run_with_input(&["set", "--resume", &id, "--script", "-"], rest.as_bytes()).expect(0);
    assert_eq!(listed(&shop, &[]), ["Begun first", "Done first"]);
    assert_eq!(listed(&shop, &["--limit", "1"]), ["Begun first"]);
    shop.run(&["records", "list", "--limit", "0"]).expect(2);
    let ran = shop.run(&["records", "list", "--since", "2026-11", "--until", "2026-10"]).expect(2);
    assert!(ran.stderr.contains("ends before `since` begins"), "{}", ran.stderr);
    let ran = shop.run(&["--store", "nowhere", "records", "list"]).expect(0);
    assert!(ran.stdout.contains("There is no store at"), "{}", ran.stdout);
}

/// A signature that the trust list speaks against is no good sign, whatever the record says: exit code 1.
#[test]
fn a_signature_that_is_not_trusted_is_no_good_sign() {
    let shop = Shop::new();
    shop.run(&["key", "new", "A. Sample", "--no-passphrase"]).expect(0);
    shop.script(&Lines::required().text()).expect(0);
    let id = read_json(&shop.records()[0])["id"].as_str().unwrap().to_owned();
    let ends = |code: i32, word: &str| {
        shop.run(&["records", "show", &id]).expect(code);
        shop.run(&["records", "report", &id, "-o", "page.html"]).expect(code);
        let list = shop.run(&["records", "list"]).expect(0).stdout;
        assert!(list.lines().next().unwrap().ends_with(word), "{list}");
    };
    ends(0, "signed");
    let list = shop.store().join("allowed_signers");
    fs::remove_file(&list).unwrap();
    ends(0, "unlisted key");
    fs::write(&list, "").unwrap();
    ends(1, "NOT TRUSTED");
}
