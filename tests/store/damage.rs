//! Damage before the last line end stops the resume with the line's number, and the file stays as it is.

use std::fmt::Write;
use std::fs;

use cornerset::session::State;
use cornerset::store::{StoreError, new_id};
use serde_json::{Value, json};
use sha2::{Digest, Sha256};

use crate::support::{Shop, lines_of};

/// What a journal with these bytes comes to: the line and what is wrong with it, else the state and what was dropped.
fn outcome(shop: &Shop, id: &str, bytes: &[u8]) -> Result<(State, u64), (u64, String)> {
    let path = shop.journal_path(id);
    fs::write(&path, bytes).unwrap();
    match shop.store.resume(id) {
        Ok(resumed) => Ok((resumed.state, resumed.dropped_bytes)),
        Err(error) => {
            assert_eq!(fs::read(&path).unwrap(), bytes, "the file was changed");
            assert!(error.is_storage());
            let message = error.to_string();
            let StoreError::Damaged { line, what, .. } = error else { panic!("{message}") };
            assert!(message.starts_with(&format!("line {line} of {}", path.display())), "{message}");
            Err((line, what))
        }
    }
}

fn damaged(shop: &Shop, id: &str, bytes: &[u8]) -> (u64, String) {
    outcome(shop, id, bytes).expect_err("it was taken")
}

/// A journal that is not in use: its id and its bytes.
fn journal(shop: &Shop, entries: usize) -> (String, Vec<u8>) {
    let (state, journal) = shop.session_of(entries);
    drop(journal);
    let id = state.opened().id.clone();
    let bytes = shop.journal_bytes(&id);
    (id, bytes)
}

#[test]
fn any_changed_byte_is_found_in_its_line() {
    let shop = Shop::new();
    let (id, bytes) = journal(&shop, 5);
    let last = bytes.len() - 1;
    let before_last = outcome(&shop, &id, &bytes[..bytes[..last].iter().rposition(|b| *b == b'\n').unwrap() + 1]);
    let (before_last, _) = before_last.unwrap();
    let mut line = 1;
    for index in 0..bytes.len() {
        for change in [bytes[index] ^ 0x01, bytes[index] ^ 0x80, b'\n'] {
            if change == bytes[index] {
                continue;
            }
            let mut changed = bytes.clone();
            changed[index] = change;
            match outcome(&shop, &id, &changed) {
                Err((found, what)) => assert_eq!(found, line, "byte {index} to {change}: {what}"),
                Ok((state, dropped)) => {
                    assert_eq!(index, last, "byte {index} to {change} was taken");
                    assert!(dropped > 0);
                    assert_eq!(state, before_last);
                }
            }
        }
        line += u64::from(bytes[index] == b'\n');
    }
}

#[test]
fn lines_that_were_repeated_swapped_or_taken_out_are_found() {
    let shop = Shop::new();
    let (id, bytes) = journal(&shop, 15);
    let lines = lines_of(&bytes);
    for at in 0..lines.len() {
        let number = at as u64 + 1;
        let mut repeated = lines.clone();
        repeated.insert(at, lines[at].clone());
        assert_eq!(damaged(&shop, &id, &repeated.concat()).0, number + 1);
        if at + 1 < lines.len() {
            let mut swapped = lines.clone();
            swapped.swap(at, at + 1);
            assert_eq!(damaged(&shop, &id, &swapped.concat()).0, number);
            let mut without = lines.clone();
            without.remove(at);
            assert_eq!(damaged(&shop, &id, &without.concat()).0, number);
        }
        let mut empty = lines.clone();
        empty.insert(at, b"\n".to_vec());
        assert_eq!(damaged(&shop, &id, &empty.concat()).0, number);
        let mut zeros = lines.clone();
        zeros[at] = [vec![0; lines[at].len() - 1], b"\n".to_vec()].concat();
        assert_eq!(damaged(&shop, &id, &zeros.concat()).0, number);
    }
}

#[test]
fn a_line_or_a_journal_of_another_session_is_found() {
    let shop = Shop::new();
    let (_, other) = journal(&shop, 6);
    let (id, bytes) = journal(&shop, 6);
    let (mut lines, others) = (lines_of(&bytes), lines_of(&other));
    lines[4] = others[4].clone();
    assert_eq!(damaged(&shop, &id, &lines.concat()).0, 5);
    let (line, what) = damaged(&shop, &id, &other);
    assert!(line == 1 && what.contains("another session"), "{what}");
    let copy = new_id();
    assert_eq!(damaged(&shop, &copy, &bytes).0, 1);
}

/// A journal written by its rule alone, from the objects of its lines without their sums.
fn by_the_rule(objects: &[String]) -> Vec<u8> {
    let (mut bytes, mut before) = (Vec::new(), String::new());
    for object in objects {
        let start = object.strip_suffix('}').unwrap();
        let hash = Sha256::digest(format!("{before}{start}"));
        before = hash.iter().take(8).fold(String::new(), |mut text, byte| {
            write!(text, "{byte:02x}").unwrap();
            text
        });
        bytes.extend(format!("{start},\"sum\":\"{before}\"}}\n").into_bytes());
    }
    bytes
}

/// The lines of a journal as objects, without their sums.
fn objects(bytes: &[u8]) -> Vec<String> {
    let without_sum = |line: &Vec<u8>| {
        let line = String::from_utf8(line.clone()).unwrap();
        format!("{}}}", &line[..line.rfind(",\"sum\"").unwrap()])
    };
    lines_of(bytes).iter().map(without_sum).collect()
}

#[test]
fn the_rule_of_the_sums_is_as_it_is_written_down() {
    let shop = Shop::new();
    let (_, bytes) = journal(&shop, 20);
    assert_eq!(by_the_rule(&objects(&bytes)), bytes);
}

/// Changes line `at` (from 1) with right sums all along, and gives what the resume says.
fn with(at: usize, change: impl Fn(&mut String)) -> (u64, String) {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    drop(journal);
    let id = &state.opened().id;
    let mut objects = objects(&shop.journal_bytes(id));
    change(&mut objects[at - 1]);
    damaged(&shop, id, &by_the_rule(&objects))
}

fn replaced<'a>(from: &'a str, to: &'a str) -> impl Fn(&mut String) + 'a {
    move |line| {
        assert!(line.contains(from), "{line}");
        *line = line.replacen(from, to, 1);
    }
}

#[test]
fn an_older_or_newer_version_says_so() {
    for version in ["0", "2", "4000000000000"] {
        let (line, what) = with(1, replaced("\"version\":1", &format!("\"version\":{version}")));
        assert_eq!(line, 1);
        assert!(what.contains(&format!("says version {version} of the format")) && what.contains("reads version 1"));
    }
    let (_, what) = with(1, |line| *line = json!({"format": "cornerset-journal", "version": 2, "new": []}).to_string());
    assert!(what.contains("says version 2"), "{what}");
    let (line, what) = with(1, replaced("cornerset-journal", "cornerset-record"));
    assert!(line == 1 && what.contains("cornerset-record"), "{what}");
}

#[test]
fn lines_that_are_well_summed_but_wrong_are_refused_all_the_same() {
    let (line, what) = with(3, replaced("\"line\":3", "\"line\":4"));
    assert_eq!((line, what.as_str()), (3, "says that it is line 4"));
    let (line, what) = with(2, replaced("\"typed\":", "\"typed\":\"Van 13\",\"typed\":"));
    assert!(line == 2 && what.contains("duplicate"), "{what}");
    let (line, what) = with(2, replaced("\"line\":2", "\"line\":2,\"line\":2"));
    assert!(line == 2 && what.contains("duplicate"), "{what}");
    let (line, what) = with(2, replaced("\"event\":\"answer\"", "\"event\":\"answer\",\"extra\":0"));
    assert!(line == 2 && what.contains("unknown field"), "{what}");
    let (line, what) = with(2, |line| *line = "{}".to_owned());
    assert_eq!(line, 2, "{what}");
    let (line, what) = with(5, replaced("\"line\":5", &format!("\"line\":5,\"x\":\"{}\"", "y".repeat(1 << 20))));
    assert!(line == 5 && what.contains("longer than 1048576 bytes"), "{what}");
}

#[test]
fn an_entry_that_does_not_follow_from_those_before_is_refused() {
    let shop = Shop::new();
    let (state, journal) = shop.complete();
    drop(journal);
    let entry = state.log().iter().position(|entry| entry.event() == "reading").unwrap();
    let line = entry + 2;
    let (found, what) = with(line, replaced("\"verdict\":\"above\"", "\"verdict\":\"inside\""));
    assert!(found == line as u64 && what.contains("does not follow"), "{what}");
    let (found, _) = with(line, replaced("\"volts\":6.1", "\"volts\":6.2"));
    assert_eq!(found, line as u64);
    let (found, what) = with(2, replaced("\"question\":\"job\"", "\"question\":\"sign-off\""));
    assert!(found == 2 && what.contains("comes too early"), "{what}");
}

#[test]
fn what_is_not_text_or_not_a_file_is_refused() {
    let shop = Shop::new();
    let (id, bytes) = journal(&shop, 3);
    let (line, what) = damaged(&shop, &id, &[bytes.as_slice(), b"{\"line\":5,\xFF}\n"].concat());
    assert_eq!((line, what.as_str()), (5, "is not UTF-8 text"));
    let hostile = "{\"format\":\"\\u001b[2J\",\"version\":1}\n";
    let (_, what) = damaged(&shop, &id, hostile.as_bytes());
    assert!(what.contains("<U+001B>"), "{what}");

    let folder = new_id();
    fs::create_dir(shop.journal_path(&folder)).unwrap();
    let error = shop.store.resume(&folder).unwrap_err();
    assert!(error.is_storage() && error.to_string().contains("not a regular file"), "{error}");
    let listed = shop.store.open_sessions().unwrap();
    assert_eq!(listed.len(), 2);
    assert!(listed.iter().all(|session| session.problem.is_some()), "{listed:?}");
    let value: Value = serde_json::from_slice(&lines_of(&bytes)[0]).unwrap();
    assert_eq!(value["line"], 1);
}
