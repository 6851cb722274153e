//! Events on standard output: which, in which order, and what is on disk by then.

use std::io::{BufRead, BufReader, Lines as Incoming, Write};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Stdio};

use serde_json::Value;

use crate::common::lines::Lines;
use crate::common::{Shop, read_json};
use crate::support::session_id;

/// A program that drives a session through pipes.
pub struct Driver {
    child: Child,
    answers: Option<ChildStdin>,
    events: Incoming<BufReader<ChildStdout>>,
    /// Every event so far.
    pub seen: Vec<Value>,
}

impl Driver {
    pub fn start(shop: &Shop, arguments: &[&str]) -> Self {
        let mut child = shop
            .command()
            .args(arguments)
            .stdin(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("the program starts");
        let answers = child.stdin.take();
        let events = BufReader::new(child.stdout.take().expect("a pipe")).lines();
        Self { child, answers, events, seen: vec![] }
    }

    /// The next event; `None` at the end of standard output.
    pub fn next(&mut self) -> Option<Value> {
        let line = self.events.next()?.expect("a line");
        let event: Value = serde_json::from_str(&line).expect("JSON");
        self.seen.push(event.clone());
        Some(event)
    }

    /// Reads events up to one of this kind.
    pub fn until(&mut self, kind: &str) -> Value {
        loop {
            let event = self.next().unwrap_or_else(|| panic!("no {kind} after {:?}", self.seen));
            if event["event"] == kind {
                return event;
            }
        }
    }

    pub fn say(&mut self, line: &str) {
        let answers = self.answers.as_mut().expect("a pipe");
        writeln!(answers, "{line}").and_then(|()| answers.flush()).expect("the program reads");
    }

    /// Ends standard input, reads what is left, and gives the exit code.
    pub fn end(mut self) -> Option<i32> {
        self.answers = None;
        while self.next().is_some() {}
        self.child.wait().expect("the program ends").code()
    }

    pub fn id(&self) -> u32 {
        self.child.id()
    }

    /// Waits for the end without ending standard input.
    pub fn wait(mut self) -> Option<i32> {
        self.child.wait().expect("the program ends").code()
    }
}

/// Every entry of a journal on disk.
fn on_disk(journal: &Path) -> Vec<Value> {
    let text = std::fs::read_to_string(journal).expect("a journal");
    assert!(text.ends_with('\n'), "whole lines: {text}");
    text.lines().skip(1).map(|line| serde_json::from_str::<Value>(line).expect("JSON")["entry"].clone()).collect()
}

fn journal(shop: &Shop, id: &Value) -> PathBuf {
    shop.store().join("open").join(format!("{}.ndjson", id.as_str().unwrap()))
}

#[test]
fn the_session_its_questions_every_entry_and_the_record_in_order() {
    let shop = Shop::new();
    let ran = shop.events(&Lines::required().with("note", "painted").text()).expect(0);
    let events = ran.events();
    let record = shop.record();
    let path = shop.records()[0].clone();
    assert_eq!(events[0], serde_json::json!({"event": "session", "id": record["id"]}));
    let last = events.last().unwrap();
    assert_eq!(*last, serde_json::json!({"event": "record", "id": record["id"], "path": path}));
    assert!(path.is_absolute());
    let logged: Vec<&Value> = events
        .iter()
        .filter(|event| !["session", "question", "record"].contains(&event["event"].as_str().unwrap()))
        .collect();
    let log: Vec<&Value> = record["log"].as_array().unwrap().iter().collect();
    assert_eq!(logged, log, "every log entry, as the record holds it");
    for (index, event) in events.iter().enumerate().filter(|(_, event)| event["event"] == "question") {
        assert_eq!(event.as_object().unwrap().len(), 3, "{event}");
        let next = &events[index + 1];
        if let Some(question) = next["question"].as_str() {
            assert_eq!(event["id"], question);
            if next["default"] == true {
                assert_eq!(event["default"], next["typed"], "the default as it is then typed");
            }
        }
    }
    let required: Vec<&Value> = events
        .iter()
        .filter(|event| event["event"] == "question" && event["default"].is_null())
        .map(|event| &event["id"])
        .collect();
    assert_eq!(
        required,
        ["job", "technician", "tuning", "slope", "caution", "reference", "reading", "reading", "accept", "sign-off"]
    );
    assert!(!ran.stderr.contains("\"event\""), "{}", ran.stderr);
}

/// Another program reads each event before it answers: what an event says is on disk by then, and no line is waited for
/// before it is needed.
#[test]
fn an_event_is_on_disk_before_it_is_told_and_the_next_line_is_not_waited_for() {
    let shop = Shop::new();
    let mut driver = Driver::start(&shop, &["set", "--script", "-", "--json"]);
    let session = driver.until("session");
    let journal = journal(&shop, &session["id"]);
    assert!(journal.is_file(), "the journal is there when the session is told");
    let mut told = 0;
    for (id, answer) in Lines::required().before("accept").pairs() {
        driver.say(&format!("{id}: {answer}"));
        loop {
            let event = driver.next().expect("an event");
            if event["event"] == "question" {
                continue;
            }
            told += 1;
            let kept = on_disk(&journal);
            assert!(kept.len() >= told, "{event} is told, and {} entries are kept", kept.len());
            assert_eq!(kept[told - 1], event);
            if event["typed"] == *answer.as_str() && event["default"] != true {
                break;
            }
        }
    }
    let reading = driver.seen.last().unwrap().clone();
    assert_eq!((&reading["event"], &reading["verdict"]), (&Value::from("reading"), &Value::from("inside")));
    driver.say("accept: yes");
    driver.until("accept");
    driver.say("sign-off: A. Sample");
    let record = driver.until("record");
    let path = PathBuf::from(record["path"].as_str().unwrap());
    assert_eq!(read_json(&path)["id"], session["id"], "the record is there when it is told");
    assert!(!journal.exists());
    // Standard input is still open.
    assert_eq!(driver.wait(), Some(0));
}

/// A verdict is read, then the next reading is made of it: what the whole thing is for.
#[test]
fn a_program_turns_a_knob_by_the_verdicts() {
    let shop = Shop::new();
    let mut driver = Driver::start(&shop, &["set", "--script", "-", "--json"]);
    for (id, answer) in Lines::required().before("reading").pairs() {
        driver.say(&format!("{id}: {answer}"));
    }
    let (mut low, mut high) = (15.0f64, 60.0f64);
    for turn in 1.. {
        let corner = (low * high).sqrt();
        driver.say(&format!("reading: {:.2}", 8.0 / (1.0 + (corner / 27.0).powi(8)).sqrt()));
        let reading = driver.until("reading");
        assert_eq!(reading["number"], turn);
        match reading["verdict"].as_str().unwrap() {
            "above" => low = corner,
            "below" => high = corner,
            "inside" => break,
            // Between the accept zone and the window: a touch towards the middle.
            _ if reading["corner_hz"].as_f64().unwrap() < 27.0 => low = corner,
            _ => high = corner,
        }
        assert!(turn < 20, "{:?}", driver.seen);
    }
    driver.say("accept: yes");
    driver.say("sign-off: A. Sample");
    assert_eq!(driver.end(), Some(0));
    let corner = shop.record()["outcome"]["corner_hz"].as_f64().unwrap();
    assert!((corner / 27.0 - 1.0).abs() < 0.03, "{corner}");
}

#[test]
fn paths_are_absolute_where_the_store_is_not() {
    let shop = Shop::new();
    for store in ["sub/store", "./sub/store", "sub/../sub/store"] {
        let ran = shop
            .run_with_input(&["--store", store, "--json", "set", "--script", "-"], Lines::required().text().as_bytes());
        let events = ran.expect(0).events();
        let path = PathBuf::from(events.last().unwrap()["path"].as_str().unwrap());
        assert!(path.is_absolute() && path.is_file(), "{}", path.display());
    }
    assert!(!shop.store().exists(), "--store goes before CORNERSET_STORE");
}

/// A signal ends a script at once; what was logged is kept.
#[cfg(unix)]
#[test]
fn an_interrupted_script_ends_with_130_and_goes_on_later() {
    for signal in ["INT", "TERM", "HUP"] {
        let shop = Shop::new();
        let lines = Lines::required();
        let mut driver = Driver::start(&shop, &["set", "--script", "-", "--json"]);
        let session = driver.until("session")["id"].as_str().unwrap().to_owned();
        for (id, answer) in lines.clone().before("accept").pairs() {
            driver.say(&format!("{id}: {answer}"));
        }
        driver.until("reading");
        let sent = std::process::Command::new("kill").args(["-s", signal, &driver.id().to_string()]).status();
        assert!(sent.is_ok_and(|status| status.success()));
        assert_eq!(driver.wait(), Some(130), "{signal}");
        shop.go_on(&session, &lines.from("accept").text()).expect(0);
        assert_eq!(shop.record()["outcome"]["verdict"], "inside");
    }
}

/// A killed script loses nothing that was told.
#[cfg(unix)]
#[test]
fn a_killed_script_goes_on_later() {
    let shop = Shop::new();
    let lines = Lines::required();
    let mut driver = Driver::start(&shop, &["set", "--script", "-", "--json"]);
    let session = driver.until("session")["id"].as_str().unwrap().to_owned();
    for (id, answer) in lines.clone().before("accept").pairs() {
        driver.say(&format!("{id}: {answer}"));
    }
    let told = driver.until("reading");
    driver.child.kill().unwrap();
    driver.wait();
    let ran = shop.go_on(&session, &lines.from("accept").text()).expect(0);
    assert_eq!(session_id(&ran), session);
    assert!(shop.record()["log"].as_array().unwrap().contains(&told));
}

/// Whoever reads the events goes away: the session is kept, and that is no success.
#[cfg(unix)]
#[test]
fn events_that_nobody_reads_any_more_stop_the_session() {
    let shop = Shop::new();
    let mut driver = Driver::start(&shop, &["set", "--script", "-", "--json"]);
    driver.until("session");
    let Driver { mut child, answers, events, .. } = driver;
    drop(events);
    let mut answers = answers.unwrap();
    // The program may be gone before everything is written.
    let _ = answers.write_all(Lines::required().text().as_bytes());
    drop(answers);
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert_eq!((shop.journals().len(), shop.records().len()), (1, 0));
}

/// Events that cannot be written, because the disk is full, are no success either.
#[cfg(target_os = "linux")]
#[test]
fn events_that_cannot_be_written_are_a_failure() {
    let full = || Stdio::from(std::fs::OpenOptions::new().write(true).open("/dev/full").expect("/dev/full"));
    let shop = Shop::new();
    let script = shop.path().join("script");
    std::fs::write(&script, Lines::required().text()).unwrap();
    for arguments in [
        &["--json", "set", "--script", "script"][..],
        &["targets", "--corner", "27", "--slope", "24", "--reference", "8"],
    ] {
        let output = shop.command().args(arguments).stdout(full()).output().unwrap();
        let stderr = String::from_utf8(output.stderr).unwrap();
        assert_ne!(output.status.code(), Some(0), "{arguments:?}: {stderr}");
        assert!(stderr.lines().last().is_some_and(|line| line.starts_with("cornerset: ")), "{arguments:?}: {stderr}");
    }
}

/// A pipe with a name is driven like standard input: the session's end is the program's end, whether or not the other
/// side has closed it.
#[cfg(target_os = "linux")]
#[test]
fn a_pipe_with_a_name_is_not_waited_for_after_the_end() {
    let shop = Shop::new();
    let mut driver = Driver::start(&shop, &["set", "--script", "/dev/stdin", "--json"]);
    for (id, answer) in Lines::required().pairs() {
        driver.say(&format!("{id}: {answer}"));
    }
    driver.until("record");
    let patience = std::time::Instant::now();
    while driver.child.try_wait().unwrap().is_none() {
        if patience.elapsed() > std::time::Duration::from_secs(3) {
            driver.child.kill().unwrap();
            panic!("the program waits for a line that nobody asked for");
        }
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    assert_eq!(driver.wait(), Some(0));
}
