//! What the process tests share.

use serde_json::Value;

use crate::common::{Ran, Shop};

/// Runs a command that prints one JSON document.
pub fn json_of(arguments: &str) -> Value {
    Shop::new().run(&words(&format!("{arguments} --json"))).expect(0).json()
}

/// Runs a command that is refused: nothing on standard output, one sentence on standard error.
#[track_caller]
pub fn refusal_of(arguments: &str) -> String {
    let ran = Shop::new().run(&words(arguments)).expect(2);
    assert_eq!(ran.stdout, "", "{arguments}");
    assert!(ran.stderr.starts_with("cornerset: ") && ran.stderr.lines().count() == 1, "{arguments}: {}", ran.stderr);
    ran.stderr
}

/// Arguments at blanks; a `_` stands for a blank in one.
pub fn words(arguments: &str) -> Vec<&str> {
    // Leaked on purpose: a few bytes in a test, for arguments as plain text.
    arguments.split(' ').map(|word| &*word.replace('_', " ").leak()).collect()
}

/// The keys of an object, sorted.
pub fn keys(object: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = object.as_object().expect("an object").keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// Words, sorted.
pub fn sorted(words: &str) -> Vec<&str> {
    let mut words: Vec<&str> = words.split_whitespace().collect();
    words.sort_unstable();
    words
}

/// Holds a number against another to a share of a billionth.
#[track_caller]
pub fn close(value: &Value, expected: f64) {
    let number = value.as_f64().unwrap_or_else(|| panic!("{value} is not a number"));
    assert!((number - expected).abs() <= 1e-9 * expected.abs(), "{number} is not {expected}");
}

/// The entries of a record's log that are of this kind.
pub fn entries<'a>(log: &'a Value, event: &str) -> Vec<&'a Value> {
    log.as_array().expect("a log").iter().filter(|entry| entry["event"] == event).collect()
}

/// The answer that the log holds for a question.
pub fn answer<'a>(log: &'a Value, question: &str) -> &'a Value {
    let mut answers = log.as_array().expect("a log").iter().filter(|entry| entry["question"] == question);
    answers.next_back().unwrap_or_else(|| panic!("no answer to {question}"))
}

/// The id that a session's events begin with.
pub fn session_id(ran: &Ran) -> String {
    let events = ran.events();
    assert_eq!(events[0]["event"], "session", "{events:?}");
    events[0]["id"].as_str().expect("an id").to_owned()
}

impl Shop {
    /// Runs a scripted session with events.
    pub fn events(&self, script: &str) -> Ran {
        self.run_with_input(&["set", "--script", "-", "--json"], script.as_bytes())
    }

    /// Goes on with a session, with events.
    pub fn go_on(&self, id: &str, script: &str) -> Ran {
        self.run_with_input(&["set", "--resume", id, "--script", "-", "--json"], script.as_bytes())
    }
}

/// A driver of our own, in a vented box that needs its filter.
pub const VENTED: &str = "\
[driver]
name = \"Sample driver 12\"
fs_hz = 26.4
qes = 0.47
qms = 5.8
vas_l = \"58 l\"
sd_cm2 = 507
re_ohm = 3.3
xmax_mm = \"13 mm\"
xmech_mm = 27
[box]
kind = \"vented\"
volume_l = 49.6
tuning_hz = 34
[drive]
power_w = 320
load_ohm = 4
[filter]
family = \"butterworth\"
slope_db_per_octave = 24
";
