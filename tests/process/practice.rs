//! A session on a simulated bench, driven through pipes: moves, readings, the record that counts nowhere, the truth at the
//! end, and a session that was cut off and goes on with its bench as it stood.

use cornerset::practice::{Bench, Level};
use serde_json::{Value, json};

use crate::common::{Shop, read_json};
use crate::events::Driver;

const SEED: u64 = 421;

/// The real bench beside the one that the program holds: what is printed on it is known to both.
fn bench() -> Bench {
    Bench::new(Level::Friendly, SEED)
}

fn arguments(more: &[&'static str]) -> Vec<&'static str> {
    [&["learn", "bench", "--level", "friendly", "--seed", "421", "--script", "-", "--json"], more].concat()
}

/// The first number that the meter shows.
fn shown(event: &Value) -> f64 {
    event["shown"][0].as_str().expect("a display").parse().expect("volts")
}

impl Driver {
    fn moves(&mut self, a_move: &str) -> Value {
        self.say(&format!("bench: {a_move}"));
        self.until("bench")
    }

    /// Answers up to the reference, and brings the level to about 7 V.
    fn prepares(&mut self) -> f64 {
        let sheet = bench().sheet().clone();
        let label = sheet.label.alignment().expect("friendly benches say what they are");
        for (question, answer) in [
            ("job", "Practice".to_owned()),
            ("technician", "A. Learner".to_owned()),
            ("amplifier", sheet.amplifier.clone()),
            ("meter-accuracy", sheet.meter.spec.accuracy.percent().to_string()),
            ("meter-digits", sheet.meter.spec.digits.to_string()),
            ("tuning", sheet.tuning.hz().to_string()),
            ("slope", label.slope().db_per_octave().to_string()),
            ("caution", "understood".to_owned()),
        ] {
            self.say(&format!("{question}: {answer}"));
        }
        self.moves("out");
        self.moves(&format!("play {}", sheet.wanted().hz()));
        let level = (0..=30).map(|step| (step, shown(&self.moves(&format!("volume {step}"))))).find(|(_, v)| *v > 6.5);
        let (_, reference) = level.expect("loud enough");
        self.say(&format!("reference: {reference}"));
        self.moves("in");
        reference
    }

    /// Turns the knob between two places until a reading is inside; how many readings that took.
    fn turns(&mut self, mut low: f64, mut high: f64) -> usize {
        for count in 1..20 {
            let middle = (low + high) / 2.0;
            let volts = shown(&self.moves(&format!("turn {middle:.2}")));
            self.say(&format!("reading: {volts}"));
            match self.until("reading")["verdict"].as_str().expect("a verdict") {
                "above" => low = middle,
                "below" => high = middle,
                _ => return count,
            }
        }
        panic!("never inside");
    }

    fn ends(&mut self) {
        for line in ["accept: yes", "sign-off: A. Learner"] {
            self.say(line);
        }
    }
}

#[test]
fn a_bench_is_set_by_the_real_session_and_told_as_it_stood() {
    let shop = Shop::new();
    let mut driver = Driver::start(&shop, &arguments(&["--learner", "A. Learner"]));
    let panel = driver.until("panel");
    let sheet = bench().sheet().clone();
    assert_eq!(panel["tuning_hz"], json!(sheet.tuning.hz()));
    assert_eq!(panel["prints"].as_array().map(Vec::len), Some(sheet.prints.len()), "{panel}");
    assert_eq!((&panel["has_switch"], &panel["tones_hz"]), (&json!(true), &Value::Null));
    driver.prepares();
    driver.turns(0.0, 10.0);
    driver.ends();
    let (record, truth) = (driver.until("record"), driver.until("truth"));
    let moves: Vec<String> =
        driver.seen.iter().filter(|event| event["event"] == "bench").map(|event| text(&event["move"])).collect();
    assert_eq!(driver.end(), Some(0));

    // The same moves on a bench of the same seed lead to the same truth.
    let mut again = bench();
    for typed in &moves {
        again.make(Bench::read(typed).expect("a move").expect("a good one")).unwrap();
    }
    let close = |value: &Value, hz: f64| (value.as_f64().unwrap() - hz).abs() < 1e-9;
    assert!(close(&truth["corner_hz"], again.truth().corner.hz()), "{truth}");
    let plain = again.plain_rule(again.sheet().wanted());
    assert!(close(&truth["plain_rule"]["corner_hz"], plain.corner.hz()), "{truth}");
    assert_eq!((&truth["level"], &truth["seed"]), (&json!("friendly"), &json!(SEED)));
    assert!(truth["error_percent"].as_f64().unwrap().abs() < 3.5, "{truth}");

    // The record is practice, in a store of its own, and no audit counts it.
    let path = record["path"].as_str().unwrap();
    let kept = read_json(path.as_ref());
    assert_eq!(kept["practice"], true);
    assert_eq!(kept["bench"], "simulated friendly 421");
    let canonical = shop.run(&["--store", "store/practice", "records", "canonical", &text(&record["id"])]).expect(0);
    assert!(canonical.stdout.contains("\"practice\":true"), "it is in what is signed");
    assert!(shop.records().is_empty(), "the shop's own records have none");
    assert_eq!(shop.run(&["audit", "--json"]).json()["records"], 0);
    let audited = shop.run(&["audit", "store/practice", "--json"]).json();
    assert_eq!((&audited["records"], &audited["practice"]), (&json!(0), &json!(1)), "{audited}");

    let listed = shop.run(&["--store", "store/practice", "records", "list"]).expect(0);
    assert!(listed.stdout.contains("PRACTICE"), "{}", listed.stdout);

    // The learner's file has the bench.
    let progress = shop.run(&["learn", "progress", "--json"]).expect(0).json();
    assert_eq!(progress["learners"][0]["benches"][0]["seed"], json!(SEED), "{progress}");
}

/// The sample: a filter that the sweep confirms, and a record that is practice.
#[test]
fn the_sample_script_sets_its_bench() {
    let shop = Shop::new();
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-sessions/practice/usual-421.script");
    let arguments = ["learn", "bench", "--level", "usual", "--seed", "421", "--script", script];
    let ran = shop.run(&arguments).expect(0);
    assert!(ran.stdout.contains("How this bench really stands"), "{}", ran.stdout);
    let truth = Bench::new(Level::Usual, 421).truth();
    assert!(ran.stdout.contains(&truth.alignment.to_string()), "{}", ran.stdout);
    assert!(ran.stdout.contains("fits the filter in use best"), "{}", ran.stdout);
}

#[test]
fn a_bench_that_was_cut_off_stands_as_it_stood() {
    let shop = Shop::new();
    let mut driver = Driver::start(&shop, &arguments(&[]));
    driver.prepares();
    let before = driver.moves("turn 3.7");
    let id = text(&driver.seen[0]["id"]);
    let killed = std::process::Command::new("kill").args(["-9", &driver.id().to_string()]).status().unwrap();
    assert!(killed.success());
    driver.end();

    let resume = ["learn", "bench", "--resume", &id, "--script", "-", "--json"];
    let mut driver = Driver::start(&shop, &resume);
    let after = driver.moves("look");
    assert_eq!(shown(&after), shown(&before), "the knob, the tone and the volume are where they were");
    driver.turns(0.0, 10.0);
    driver.ends();
    let truth = driver.until("truth");
    assert_eq!(truth["seed"], json!(SEED));
    assert_eq!(driver.end(), Some(0));
}

/// A note that a person types moves nothing, whatever it says; and no real bench has a simulated one's name.
#[test]
fn a_typed_note_moves_nothing_and_a_real_bench_is_real() {
    let shop = Shop::new();
    let script =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/sample-sessions/practice/usual-421.script"))
            .unwrap();
    let truth = |script: &str| {
        let arguments = ["learn", "bench", "--level", "usual", "--seed", "421", "--script", "-", "--json"];
        let ran = shop.run_with_input(&arguments, script.as_bytes()).expect(0);
        ran.events().into_iter().find(|event| event["event"] == "truth").unwrap()
    };
    let plain = truth(&script);
    let noted = truth(&script.replace("sign-off:", "note: bench: turn 9\nsign-off:"));
    assert_eq!(noted["corner_hz"], plain["corner_hz"]);
    // What would be taken for a move that was kept is refused.
    let forged = script.replace("sign-off:", "note: bench: turn 9 -> 3.83 V\nsign-off:");
    let arguments = ["learn", "bench", "--level", "usual", "--seed", "421", "--script", "-"];
    let ran = shop.run_with_input(&arguments, forged.as_bytes()).expect(2);
    assert!(ran.stderr.contains("reads like a move at the bench"), "{}", ran.stderr);
    // Blanks of any kind between a move and its number are one blank in what is kept.
    let tabbed = truth(&script.replace("bench: turn 4.1", "bench: turn\t4.1"));
    assert_eq!(tabbed["corner_hz"], plain["corner_hz"]);

    let real = Shop::new();
    std::fs::create_dir(real.store()).unwrap();
    std::fs::write(real.store().join("bench.toml"), "name = \"simulated usual 421\"\n").unwrap();
    let ran = real.script("job: Real\nbench: turn 4\n").expect(2);
    assert!(ran.stderr.contains("is the name of a simulated bench"), "{}", ran.stderr);
}

/// Whatever is done at the bench while the last note is asked for, the note is still asked for.
#[test]
fn a_move_at_the_last_note_is_not_the_note() {
    let shop = Shop::new();
    let mut driver = Driver::start(&shop, &arguments(&[]));
    driver.prepares();
    driver.turns(0.0, 10.0);
    for line in ["accept: yes", "sweep: done", "dial-mark: unknown"] {
        driver.say(line);
    }
    while driver.until("question")["id"] != "note" {}
    driver.moves("look");
    let id = text(&driver.seen[0]["id"]);
    assert!(std::process::Command::new("kill").args(["-9", &driver.id().to_string()]).status().unwrap().success());
    driver.end();
    let resume = ["learn", "bench", "--resume", &id, "--script", "-", "--json"];
    let mut driver = Driver::start(&shop, &resume);
    assert_eq!(driver.until("question")["id"], "note");
    driver.say("note: as it is");
    driver.say("sign-off: A. Learner");
    let record = driver.until("record");
    driver.end();
    let kept = read_json(text(&record["path"]).as_ref());
    let notes: Vec<&Value> = kept["log"].as_array().unwrap().iter().filter(|entry| entry["event"] == "note").collect();
    assert_eq!(notes.last().unwrap()["text"], "as it is");
}

/// A key of the store signs real work; practice is signed by name, and by a key only where one is named.
#[test]
fn practice_is_signed_by_a_key_only_where_one_is_named() {
    let shop = Shop::new();
    shop.run(&["key", "new", "B. Learner", "--no-passphrase"]).expect(0);
    let keys = shop.store().join("practice/keys");
    std::fs::create_dir_all(&keys).unwrap();
    for name in ["b-learner", "b-learner.pub"] {
        std::fs::copy(shop.store().join("keys").join(name), keys.join(name)).unwrap();
    }
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/sample-sessions/practice/usual-421.script");
    let arguments = ["learn", "bench", "--level", "usual", "--seed", "421", "--script", script];
    let ran = shop.run(&arguments).expect(0);
    assert!(ran.stdout.contains("B. Learner, by name"), "{}", ran.stdout);
    let key = shop.store().join("keys/b-learner");
    let ran = shop.run(&[&arguments[..], &["--key", key.to_str().unwrap()]].concat()).expect(0);
    assert!(ran.stdout.contains("B. Learner, with a key"), "{}", ran.stdout);
}

/// A session goes on only where it belongs, so that no real record lies among practice, and no practice among real records.
#[test]
fn a_session_goes_on_only_where_it_belongs() {
    let shop = Shop::new();
    shop.script("job: Real\n").expect(2);
    shop.run_with_input(&["learn", "bench", "--seed", "7", "--script", "-"], b"job: Practice\n").expect(2);
    let [real, practice] = ["store/open", "store/practice/open"].map(|folder| {
        let folder = shop.path().join(folder);
        std::fs::read_dir(&folder).unwrap().next().unwrap().unwrap().path()
    });
    for (journal, to) in [(&real, "store/practice/open"), (&practice, "store/open")] {
        std::fs::copy(journal, shop.path().join(to).join(journal.file_name().unwrap())).unwrap();
    }
    let id = |journal: &std::path::PathBuf| journal.file_stem().unwrap().to_str().unwrap().to_owned();
    let ran = shop.run(&["learn", "bench", "--resume", &id(&real), "--script", "-"]).expect(2);
    assert!(ran.stderr.contains("is no practice; accepted: `cornerset set --resume`"), "{}", ran.stderr);
    let ran = shop.run(&["set", "--resume", &id(&practice), "--script", "-"]).expect(2);
    assert!(ran.stderr.contains("is practice on a simulated bench"), "{}", ran.stderr);
}

#[test]
fn what_the_bench_cannot_do_stops_a_script_with_its_line() {
    let shop = Shop::new();
    let script = "job: Practice\nbench: turn 11\n";
    let ran = shop.run_with_input(&["learn", "bench", "--seed", "7", "--script", "-"], script.as_bytes()).expect(2);
    assert!(ran.stderr.contains("line 2 of the script: "), "{}", ran.stderr);
    let script = "job: Practice\nbench: dance\n";
    let ran = shop.run_with_input(&["learn", "bench", "--seed", "7", "--script", "-"], script.as_bytes()).expect(2);
    assert!(ran.stderr.contains("line 2 of the script: ") && ran.stderr.contains("`turn 4.2`"), "{}", ran.stderr);
    // A real session knows no such line.
    let ran = shop.script("bench: turn 4\n").expect(2);
    assert!(ran.stderr.contains("names no question"), "{}", ran.stderr);
}

#[test]
fn a_bench_that_is_none_is_refused() {
    let refused = Shop::new().run(&["learn", "bench", "--seed", "0", "--script", "-"]).expect(2);
    assert!(refused.stderr.contains("1 to 9999"), "{}", refused.stderr);
    let refused = Shop::new().run(&["learn", "bench", "--seed", "7", "--resume", "01a2", "--script", "-"]).expect(2);
    assert!(refused.stderr.contains("seed: `7` comes with --resume"), "{}", refused.stderr);
    let refused = Shop::new().run(&["learn", "bench", "--level", "hard", "--script", "-"]).expect(2);
    assert!(refused.stderr.contains("friendly, usual, awkward or nasty"), "{}", refused.stderr);
}

fn text(value: &Value) -> String {
    value.as_str().unwrap_or_else(|| panic!("{value} is no text")).to_owned()
}
