//! A session that stopped is taken up again by a script, with the answers still missing.

use std::io::{BufRead, BufReader, Write};
use std::process::Stdio;

use serde_json::{Value, json};

use crate::common::lines::Lines;
use crate::common::{Shop, read_json};
use crate::script::required;
use crate::support::{entries, session_id};

#[test]
fn whatever_was_missing_is_all_that_is_asked_for_again() {
    for (lines, id) in required() {
        let shop = Shop::new();
        let whole = {
            let shop = Shop::new();
            let ran = shop.events(&lines.text());
            assert!(ran.code == Some(0) || (id == "reason" && ran.code == Some(1)), "{ran:?}");
            shop.record()
        };
        let stopped = shop.events(&lines.clone().before(id).text()).expect(2);
        let session = session_id(&stopped);
        assert_eq!(shop.journals(), [shop.store().join("open").join(format!("{session}.ndjson"))]);
        let ran = shop.go_on(&session, &lines.from(id).text());
        assert!(ran.code == Some(0) || (id == "reason" && ran.code == Some(1)), "{id}: {ran:?}");
        let record = shop.record();
        assert_eq!(record["id"], *session);
        assert_eq!(record["entry"], "script");
        assert_eq!(entries(&record["log"], "resume").len(), 1);
        // But for the resume, the same was asked, answered and made of it.
        let told = |log: &Value| -> Vec<Value> {
            let mut entries = log.as_array().unwrap().clone();
            entries.retain(|entry| entry["event"] != "resume");
            for entry in &mut entries {
                entry.as_object_mut().unwrap().remove("at");
            }
            entries
        };
        assert_eq!(told(&record["log"]), told(&whole["log"]), "{id}");
        assert_eq!((&record["plan"], &record["outcome"]), (&whole["plan"], &whole["outcome"]), "{id}");
        assert_eq!(shop.journals().len(), 0);
    }
}

#[test]
fn what_was_answered_is_not_asked_again() {
    let shop = Shop::new();
    let lines = Lines::required();
    let session = session_id(&shop.events(&lines.clone().before("reading").text()).expect(2));
    let refused = shop.go_on(&session, &lines.text()).expect(2);
    assert!(refused.stderr.contains("line 1 of the script is out of order"), "{}", refused.stderr);
    let ran = shop.go_on(&session, &lines.from("reading").text()).expect(0);
    let questions: Vec<Value> = ran
        .events()
        .into_iter()
        .filter(|event| event["event"] == "question")
        .map(|event| event["id"].clone())
        .collect();
    assert_eq!(questions[0], "reading", "{questions:?}");
    assert_eq!(ran.events()[1]["event"], "resume");
}

/// A refused answer leaves what came before it, and the next script goes on from there.
#[test]
fn a_refused_answer_can_be_given_again() {
    let shop = Shop::new();
    let lines = Lines::required();
    let session = session_id(&shop.events(&lines.clone().with("reference", "8 Hz").text()).expect(2));
    let again = shop.go_on(&session, &lines.clone().from("reference").with("reading", "0").text()).expect(2);
    assert!(again.stderr.contains("line 2 of the script: reading: `0`"), "{}", again.stderr);
    shop.go_on(&session, &lines.from("reading").text()).expect(0);
    assert_eq!(entries(&shop.record()["log"], "resume").len(), 2);
}

#[test]
fn an_id_is_a_whole_one_or_enough_of_it() {
    let shop = Shop::new();
    let lines = Lines::required();
    let stop = || session_id(&shop.events(&lines.clone().before("accept").text()).expect(2));
    let (one, other) = (stop(), stop());
    for (part, says) in [
        ("", "not the id"),
        ("abc", "not the id"),
        ("../../etc", "not the id"),
        ("\u{1b}[31m", "not the id"),
        ("dead-dead", "no open session"),
        (&one[..8], "fits 2"),
    ] {
        let refused = shop.go_on(part, &lines.clone().from("accept").text()).expect(2);
        assert!(refused.stderr.contains(says), "{part}: {}", refused.stderr);
    }
    shop.go_on(&one[24..], &lines.clone().from("accept").text()).expect(0);
    let closed = shop.go_on(&one, &lines.clone().from("accept").text()).expect(2);
    let record = shop.records()[0].display().to_string();
    assert!(closed.stderr.contains("closed") && closed.stderr.contains(&record), "{}", closed.stderr);
    shop.go_on(&other, &lines.from("accept").text()).expect(0);
    assert_eq!(shop.records().len(), 2);
}

/// The session that is worked on is not taken up by another program.
#[test]
fn a_session_in_use_is_refused() {
    let shop = Shop::new();
    let mut child = shop
        .command()
        .args(["set", "--script", "-", "--json"])
        .stdin(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .expect("the program starts");
    let mut answers = child.stdin.take().unwrap();
    let mut events = BufReader::new(child.stdout.take().unwrap()).lines();
    let session: Value = serde_json::from_str(&events.next().unwrap().unwrap()).unwrap();
    let id = session["id"].as_str().unwrap().to_owned();
    let refused = shop.go_on(&id, "job: another\n").expect(2);
    assert!(refused.stderr.contains("in use"), "{}", refused.stderr);
    answers.write_all(Lines::required().text().as_bytes()).unwrap();
    drop(answers);
    events.for_each(drop);
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

/// A torn last line is dropped and reported; damage before it stops the resume with its number.
#[test]
fn a_journal_that_was_torn_or_damaged() {
    let shop = Shop::new();
    let lines = Lines::required();
    let session = session_id(&shop.events(&lines.clone().before("accept").text()).expect(2));
    let journal = shop.journals()[0].clone();
    let whole = std::fs::read(&journal).unwrap();
    let damaged: Vec<u8> = String::from_utf8(whole.clone()).unwrap().replacen("36 Hz", "37 Hz", 1).into_bytes();
    std::fs::write(&journal, &damaged).unwrap();
    let stopped = shop.go_on(&session, &lines.clone().from("accept").text()).expect(3);
    let line = 1 + String::from_utf8(whole.clone()).unwrap().lines().position(|line| line.contains("36 Hz")).unwrap();
    assert!(stopped.stderr.contains(&format!("line {line} of {}", journal.display())), "{}", stopped.stderr);
    assert_eq!(std::fs::read(&journal).unwrap(), damaged, "nothing was changed");
    std::fs::write(&journal, [whole, b"{\"line\":99,\"entry\":{\"event\":\"re".to_vec()].concat()).unwrap();
    let ran = shop.go_on(&session, &lines.from("accept").text()).expect(0);
    assert!(ran.stderr.contains("torn"), "{}", ran.stderr);
    let record = read_json(&shop.records()[0]);
    assert_eq!(entries(&record["log"], "resume")[0]["dropped_bytes"], json!(31));
}
